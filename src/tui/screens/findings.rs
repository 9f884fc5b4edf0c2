//! In the making.

use ratatui::Frame;
use ratatui::layout::Rect;

use crate::tui::keys::Command;
use crate::tui::layers::Desk;
use crate::tui::session::Session;
use crate::tui::view::View;

/// Draws the screen.
pub fn draw(_frame: &mut Frame, _area: Rect, _session: &Session, _view: &View) {}

/// Runs a command that means something of its own here; whether it did.
pub fn run(_command: Command, _desk: &mut Desk<'_>) -> bool {
    false
}
