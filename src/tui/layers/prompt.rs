//! One line of text: a file name, a bed's id, a reason.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::Quiet;
use crate::garden::limits::{NAME_CHARS, NOTES_CHARS};
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::widgets::line::{Line, NUMBER_CHARS, PATH_CHARS};
use crate::tui::widgets::paint;

/// What the line is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// File to save under.
    SaveAs,
    /// File to write the planting list to.
    WriteList,
    /// Id of the bed to go to.
    GoToBed,
    /// Reason for accepting the finding at this place in the list.
    AcceptReason(usize),
    /// Reason for keeping findings of a kind quiet.
    QuietReason(Quiet),
    /// Years after which a family may come back.
    ReturnYears(String),
    /// File of a new garden.
    NewGarden,
    /// Letters that narrow the crop book or the findings.
    Search,
}

impl Question {
    /// Most characters of an answer.
    fn most_chars(&self) -> usize {
        match self {
            Self::SaveAs | Self::WriteList | Self::NewGarden => PATH_CHARS,
            Self::AcceptReason(_) | Self::QuietReason(_) => NOTES_CHARS,
            Self::ReturnYears(_) => NUMBER_CHARS,
            Self::GoToBed | Self::Search => NAME_CHARS,
        }
    }
}

/// The prompt.
#[derive(Debug, Clone)]
pub struct Prompt {
    /// What the line is for.
    pub question: Question,
    title: String,
    line: Line,
}

impl Prompt {
    /// A prompt with an initial answer.
    pub fn new(question: Question, title: impl Into<String>, start: &str) -> Self {
        let line = Line::new(start, question.most_chars());
        Self { question, title: title.into(), line }
    }

    /// Types; Enter answers.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => After::Close,
            Some(Act::Take) => After::Answered(self.question.clone(), self.line.value().to_owned()),
            _ => {
                cx.type_into(&mut self.line, key);
                After::Stay
            }
        }
    }

    /// Takes pasted text; a pasted line break does not submit.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        cx.paste_into(&mut self.line, pasted);
    }

    /// Draws the line.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let inside = paint::layer_box(frame.buffer_mut(), area, (76, 3), &self.title, theme, signs);
        if inside.height == 0 || inside.width < 4 {
            return;
        }
        let (visible, cursor) = self.line.visible(usize::from(inside.width - 2));
        paint::put(frame.buffer_mut(), inside, inside.x + 1, inside.y, &visible, theme.plain());
        let cursor = cursor.saturating_add(inside.x + 1);
        if cursor < inside.right() {
            frame.set_cursor_position((cursor, inside.y));
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Prompt, Front::Line]
    }
}
