//! A question whose yes is a different key from the one that raised it.

use std::path::PathBuf;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::{Edit, Planting};
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::widgets::{paint, text};

/// What yes does.
#[derive(Debug, Clone, PartialEq)]
pub enum Yes {
    /// Leave although the garden cannot be saved.
    QuitUnsaved,
    /// Save over an existing file.
    SaveOver(PathBuf),
    /// Write the planting list over an existing file.
    ListOver(PathBuf),
    /// Place a planting.
    Place(Box<Planting>),
    /// Go back to the earlier version with this number.
    Restore(usize),
    /// Bring back what was put aside in this file.
    BringBack(PathBuf),
}

/// The question.
#[derive(Debug, Clone)]
pub struct Confirm {
    /// What yes does.
    pub yes: Yes,
    /// The question, naming what is lost.
    pub question: String,
}

impl Confirm {
    /// Acts on the key for yes; any other key goes back.
    pub fn key(&mut self, act: Option<Act>, _key: Key, cx: &mut Context<'_>) -> After {
        if act == Some(Act::Yes) {
            let effect = match &self.yes {
                Yes::QuitUnsaved => Effect::QuitUnsaved,
                Yes::SaveOver(path) => Effect::SaveAs { path: path.clone(), may_overwrite: true },
                Yes::ListOver(path) => Effect::WriteList { path: path.clone(), may_overwrite: true },
                Yes::Place(planting) => {
                    let (id, bed_id) = (planting.id, planting.bed.clone());
                    if cx.apply(Edit::AddPlanting(planting.clone())) {
                        cx.view.select(cx.session, id, &bed_id);
                    }
                    return After::Close;
                }
                Yes::Restore(number) => Effect::Restore(*number),
                Yes::BringBack(path) => Effect::BringBack(path.clone()),
            };
            cx.effects.push(effect);
        }
        After::Close
    }

    /// Draws the question.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let lines = text::wrap(&self.question, usize::from(area.width.min(70).saturating_sub(4)).max(10));
        let height = u16::try_from(lines.len()).unwrap_or(8).saturating_add(2);
        let title = if matches!(self.yes, Yes::Place(_)) { "No free slot" } else { "Sure?" };
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, (70, height), title, theme, signs);
        for (line, y) in lines.iter().zip(inside.top()..inside.bottom()) {
            paint::put(buf, inside, inside.x + 1, y, line, theme.plain());
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![match self.yes {
            Yes::QuitUnsaved => Front::LeaveUnsaved,
            Yes::SaveOver(_) | Yes::ListOver(_) => Front::WriteOver,
            Yes::Place(_) => Front::PlaceAnyway,
            Yes::Restore(_) | Yes::BringBack(_) => Front::Restore,
        }]
    }
}
