//! The first run: the demo, or a new garden.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::prompt::{Prompt, Question};
use super::{After, Layer};
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::widgets::paint;

/// The first run's question.
#[derive(Debug, Clone, Default)]
pub struct Welcome;

const LINES: [&str; 11] = [
    "bedfellow plans an intensive kitchen garden all year round:",
    "what fits in a bed, what may follow, when it frees up.",
    "",
    "No garden has been opened yet.",
    "",
    "  d   open the demo, a walled garden shared by five households",
    "      (a fresh copy in a temporary place: try anything)",
    "  n   begin a new garden",
    "  q   leave",
    "",
    "In the garden, ? lists the keys and : finds any command.",
];

impl Welcome {
    /// Chooses.
    pub fn key(&mut self, act: Option<Act>, _key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::OpenDemo) => {
                cx.effects.push(Effect::OpenDemo);
                After::Close
            }
            Some(Act::NewGarden) => After::Open(Box::new(Layer::Prompt(Prompt::new(
                Question::NewGarden,
                "File of the new garden",
                "garden.ron",
            )))),
            Some(Act::Leave) => {
                cx.effects.push(Effect::QuitUnsaved);
                After::Stay
            }
            _ => After::Stay,
        }
    }

    /// Draws the question.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, (70, 15), "Welcome", theme, signs);
        for (line, y) in LINES.iter().zip(inside.top() + 1..inside.bottom()) {
            paint::put(buf, inside, inside.x + 2, y, line, theme.plain());
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Welcome]
    }
}
