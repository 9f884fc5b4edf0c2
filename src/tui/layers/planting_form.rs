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
pub struct PlantingForm;

impl PlantingForm {
    /// A form for a crop in the bed and week looked at.
    pub fn place(session: &Session, view: &View, crop_id: &str) -> Option<Self> {
        let _ = (session, view, crop_id);
        None
    }

    /// A form for a crop that follows in the bed looked at, from the day it frees up.
    pub fn follow(session: &Session, view: &View, crop_id: &str) -> Option<Self> {
        let _ = (session, view, crop_id);
        None
    }

    /// A form for a crop between a planting's stations.
    pub fn interplant(session: &Session, view: &View, host: crate::garden::PlantingId, crop_id: &str) -> Option<Self> {
        let _ = (session, view, host, crop_id);
        None
    }

    /// A form for a planting that is there.
    pub fn change(session: &Session, id: crate::garden::PlantingId) -> Option<Self> {
        let _ = (session, id);
        None
    }

    /// Handles a key.
    pub fn key(&mut self, _key: Key, _desk: &mut Desk<'_>) -> After {
        After::Close
    }

    /// Takes pasted text.
    pub fn paste(&mut self, _pasted: &str, _desk: &mut Desk<'_>) {}

    /// Draws it.
    pub fn draw(&self, _frame: &mut Frame, _area: Rect, _session: &Session, _view: &View) {}

    /// Its keys.
    pub fn hint(&self, _signs: &Signs) -> String {
        String::new()
    }
}
