//! In the making.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::{After, Desk};
use crate::tui::keys::Key;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::view::View;

/// The layer.
#[derive(Debug, Clone, Default)]
pub struct Why;

impl Why {
    /// Why a finding.
    pub fn of(session: &Session, finding: &crate::season::Finding) -> Self {
        let _ = (session, finding);
        Self
    }

    /// Handles a key.
    pub fn key(&mut self, _key: Key, _desk: &mut Desk<'_>) -> After {
        After::Close
    }

    /// Takes pasted text.
    pub fn paste(&mut self, _pasted: &str) {}

    /// Draws it.
    pub fn draw(&self, _frame: &mut Frame, _area: Rect, _session: &Session, _view: &View) {}

    /// Its keys.
    pub fn hint(&self, _signs: &Signs) -> String {
        String::new()
    }
}
