//! The file has changed since it was last read or written here, and the grower chooses what to do.
//!
//! A choice needs the arrows and Enter, and the first one loses nothing: the question may open while something else is being
//! typed.

use std::path::Path;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::notices::{Line, Notices};
use super::prompt::{Prompt, Question};
use super::{After, Layer};
use crate::tui::context::Context;
use crate::tui::effect::Effect;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::widgets::{paint, text};
use crate::units::text::{short_path, shown};

/// What the file is now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Found {
    /// Not there.
    Gone,
    /// Another garden: what differs, bed by bed.
    Changed(Vec<Line>),
    /// Text that is no garden, and why.
    NoGarden(String),
    /// Something that cannot even be read, and why.
    Unreadable(String),
    /// The name of another file: a link has appeared or changed. Why it is left alone.
    Elsewhere(String),
    /// Unchanged, but one of several hard links, from which a newly written file would be separate. How many names in all.
    Linked(u64),
}

impl Found {
    /// What has become of the file, after its name.
    pub fn in_few_words(&self) -> &'static str {
        match self {
            Self::Gone => "is gone",
            Self::Changed(_) | Self::NoGarden(_) => "was changed by something else",
            Self::Unreadable(_) => "cannot be read any more",
            Self::Elsewhere(_) => "leads elsewhere now",
            Self::Linked(_) => "has other names",
        }
    }
}

/// What the question offers to a grower who is leaving.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaving {
    /// Nothing: nobody is leaving.
    Not,
    /// Leaving with everything in the journal, from which it comes back.
    Waits,
    /// Leaving with the garden put aside.
    Aside,
}

/// What can be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Choice {
    Look,
    WriteOver,
    WriteInstead,
    WriteAgain,
    Part,
    TakeTheirs,
    OtherName,
    LeaveWaiting,
    Leave,
    Later,
}

impl Choice {
    fn words(self) -> &'static str {
        match self {
            Self::Look => "look at what differs, bed by bed",
            Self::WriteOver => "write mine over it (what it holds now goes into the earlier versions first)",
            Self::WriteInstead => "write mine in its place (what stands there now is put aside first)",
            Self::WriteAgain => "write it again",
            Self::Part => "write it into a new file of this name (the other names keep what they hold)",
            Self::TakeTheirs => "take theirs (mine is put aside in a file of its own first)",
            Self::OtherName => "save mine under another name",
            Self::LeaveWaiting => "leave (the journal holds every edit: they come back with the garden)",
            Self::Leave => "leave (mine is put aside in a file of its own first)",
            Self::Later => "later: go on, and save nothing until you press s",
        }
    }
}

/// The question.
#[derive(Debug, Clone)]
pub struct Trouble {
    found: Found,
    file: String,
    choices: Vec<Choice>,
    row: usize,
}

impl Trouble {
    /// The question about a file; one raised by leaving offers to leave.
    pub fn new(found: Found, path: &Path, leaving: Leaving) -> Self {
        let mut choices = match found {
            Found::Gone => vec![Choice::WriteAgain, Choice::OtherName],
            Found::Changed(_) => vec![Choice::Look, Choice::WriteOver, Choice::TakeTheirs, Choice::OtherName],
            Found::NoGarden(_) => vec![Choice::OtherName, Choice::WriteOver],
            Found::Unreadable(_) => vec![Choice::OtherName, Choice::WriteInstead],
            Found::Elsewhere(_) => vec![Choice::OtherName],
            Found::Linked(_) => vec![Choice::OtherName, Choice::Part],
        };
        match leaving {
            Leaving::Not => {}
            Leaving::Waits => choices.push(Choice::LeaveWaiting),
            Leaving::Aside => choices.push(Choice::Leave),
        }
        choices.push(Choice::Later);
        Self { found, file: short_path(path), choices, row: 0 }
    }

    /// Moves and chooses.
    pub fn key(&mut self, act: Option<Act>, _key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Down) => self.row = (self.row + 1).min(self.choices.len() - 1),
            Some(Act::Up) => self.row = self.row.saturating_sub(1),
            Some(Act::First) => self.row = 0,
            Some(Act::Last) => self.row = self.choices.len() - 1,
            Some(Act::Back) => return self.choose(Choice::Later, cx),
            Some(Act::Take) => {
                if let Some(choice) = self.choices.get(self.row) {
                    return self.choose(*choice, cx);
                }
            }
            _ => {}
        }
        After::Stay
    }

    fn choose(&self, choice: Choice, cx: &mut Context<'_>) -> After {
        match choice {
            Choice::Look => {
                if let Found::Changed(lines) = &self.found {
                    let page = Notices::new("What differs since the file was last read or saved here", lines.clone());
                    return After::Open(Box::new(Layer::Notices(page)));
                }
                return After::Stay;
            }
            Choice::OtherName => {
                let prompt = Prompt::new(Question::SaveAs, "Save as", &other_name(cx.session));
                return After::Open(Box::new(Layer::Prompt(prompt)));
            }
            Choice::WriteOver | Choice::WriteInstead | Choice::WriteAgain => cx.effects.push(Effect::WriteOver),
            Choice::Part => cx.effects.push(Effect::Part),
            Choice::LeaveWaiting => cx.effects.push(Effect::QuitUnsaved),
            Choice::TakeTheirs => cx.effects.push(Effect::TakeTheirs),
            Choice::Leave => cx.effects.push(Effect::SetAsideAndLeave),
            Choice::Later => cx.view.complain("not saved: nothing is written to the file until you press s"),
        }
        After::Close
    }

    fn text(&self) -> String {
        let file = &self.file;
        match &self.found {
            Found::Gone => format!("{file} is gone: it was moved, renamed or deleted. Your garden is here in full."),
            Found::Changed(_) => {
                format!("{file} was changed by something else since it was last read or saved here. Both are in full.")
            }
            Found::Linked(n_names) => {
                let others =
                    if *n_names == 2 { "the other keeps what it holds" } else { "the others keep what they hold" };
                format!(
                    "{file} is one of {n_names} names of the same file (hard links). Saved here, it becomes a file of its own, and {others}."
                )
            }
            Found::NoGarden(why) => {
                let first = shown(why.lines().next().unwrap_or_default()).into_owned();
                format!("{file} was changed by something else, and what it holds now is no garden: {first}")
            }
            Found::Unreadable(why) => {
                format!(
                    "Something else came into the place of {file}, and it cannot be read: {why}. Your garden is here in full."
                )
            }
            Found::Elsewhere(why) => format!("{why}. Your garden is here in full."),
        }
    }

    /// Draws the question.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let width = area.width.min(86);
        let lines = text::wrap(&self.text(), usize::from(width.saturating_sub(4)).max(10));
        let n_text = u16::try_from(lines.len()).unwrap_or(8);
        let n_choices = u16::try_from(self.choices.len()).unwrap_or(8);
        let title = match self.found {
            Found::Gone => "The file is gone",
            Found::Linked(_) => "The file has other names",
            Found::Unreadable(_) => "The file cannot be read",
            Found::Changed(_) | Found::NoGarden(_) | Found::Elsewhere(_) => "The file has changed",
        };
        let buf = frame.buffer_mut();
        let inside = paint::layer_box(buf, area, (width, n_text + n_choices + 3), title, theme, signs);
        for (line, y) in lines.iter().zip(inside.top()..inside.bottom()) {
            paint::put(buf, inside, inside.x + 1, y, line, theme.plain());
        }
        let first = (inside.top() + n_text + 1).min(inside.bottom().saturating_sub(n_choices)).max(inside.top());
        for ((n, choice), y) in self.choices.iter().enumerate().zip(first..inside.bottom()) {
            let is_selected = n == self.row;
            let pointer = if is_selected { signs.pointer } else { " " };
            let style = if is_selected { theme.selected() } else { theme.plain() };
            let words = format!(" {pointer} {}", choice.words());
            paint::put_filled(buf, paint::line_of(inside, y), &words, style, signs);
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Trouble]
    }
}

/// A name to suggest that is not the file's own.
pub(in crate::tui) fn other_name(session: &Session) -> String {
    let Some(path) = &session.path else { return "garden.ron".to_owned() };
    let stem = path.file_stem().map_or_else(|| "garden".into(), |stem| stem.to_string_lossy());
    let other = match path.extension() {
        Some(extension) => format!("{stem}-mine.{}", extension.to_string_lossy()),
        None => format!("{stem}-mine"),
    };
    path.with_file_name(other).display().to_string()
}
