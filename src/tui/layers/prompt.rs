//! One line of text: a file name, a bed's id, a reason.

use ratatui::Frame;
use ratatui::layout::Rect;
use tui_input::{Input as Line, InputRequest};

use super::{After, Desk};
use crate::tui::keys::Key;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::update::answered;
use crate::tui::view::View;
use crate::tui::widgets::{paint, text};

/// What the line is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Question {
    /// File to save under.
    SaveAs,
    /// File to write the planting list to.
    WriteList,
    /// Id of the bed to go to.
    GoToBed,
    /// Reason for accepting the finding of that place in the list of findings.
    AcceptReason(usize),
    /// Years after which a family may come back.
    ReturnYears(String),
    /// File of a new garden.
    NewGarden,
    /// Letters that narrow the crop book or the findings.
    Search,
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
    /// A prompt with an answer to start from.
    pub fn new(question: Question, title: impl Into<String>, start: &str) -> Self {
        Self { question, title: title.into(), line: Line::new(start.to_owned()) }
    }

    /// Types; Enter answers.
    pub fn key(&mut self, key: Key, desk: &mut Desk<'_>) -> After {
        let request = match key {
            Key::Esc => return After::Close,
            Key::Enter => return answered(&self.question, self.line.value(), desk),
            Key::Char(c) => InputRequest::InsertChar(c),
            Key::Backspace => InputRequest::DeletePrevChar,
            Key::Delete => InputRequest::DeleteNextChar,
            Key::Left => InputRequest::GoToPrevChar,
            Key::Right => InputRequest::GoToNextChar,
            Key::Home => InputRequest::GoToStart,
            Key::End => InputRequest::GoToEnd,
            Key::Ctrl('u') => InputRequest::DeleteLine,
            Key::Ctrl('w') => InputRequest::DeletePrevWord,
            _ => return After::Stay,
        };
        self.line.handle(request);
        After::Stay
    }

    /// Takes pasted text; a pasted line end does not submit.
    pub fn paste(&mut self, pasted: &str) {
        for c in pasted.chars().map(|c| if c.is_control() { ' ' } else { c }) {
            self.line.handle(InputRequest::InsertChar(c));
        }
    }

    /// Draws the line.
    pub fn draw(&self, frame: &mut Frame, area: Rect, _session: &Session, view: &View) {
        let (theme, signs) = (Theme::of(view.options.has_colour), Signs::of(view.options.is_ascii));
        let inside = paint::layer_box(frame.buffer_mut(), area, (76, 3), &self.title, theme, signs);
        if inside.height == 0 || inside.width < 4 {
            return;
        }
        let cells = usize::from(inside.width - 2);
        let scroll = self.line.visual_scroll(cells.saturating_sub(1));
        let visible = text::cut(self.line.value().get(scroll..).unwrap_or(self.line.value()), cells, "");
        paint::put(frame.buffer_mut(), inside, inside.x + 1, inside.y, &visible, theme.plain());
        let cursor = u16::try_from(self.line.visual_cursor().saturating_sub(scroll)).unwrap_or(0) + inside.x + 1;
        if cursor < inside.right() {
            frame.set_cursor_position((cursor, inside.y));
        }
    }

    /// Its keys.
    pub fn hint(&self, _signs: &Signs) -> String {
        "Enter take it   Esc back".to_owned()
    }
}
