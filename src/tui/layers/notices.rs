//! A page to read: what came back at the opening, who has the garden open, what differs between two gardens.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::garden::{Change, Differences};
use crate::season::Plan;
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::session::HeldBy;
use crate::tui::theme::Theme;
use crate::tui::widgets::{paint, text};
use crate::units::text::shown;
use crate::words::counted;

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Weight {
    /// A heading.
    Heading,
    /// Running text.
    Plain,
    /// Something wrong or worth a second look.
    Trouble,
}

/// One line, wrapped when it is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Line {
    /// The text, safe to show.
    pub text: String,
    /// How it is drawn.
    pub weight: Weight,
}

impl Line {
    /// Running text.
    pub fn plain(text: &str) -> Self {
        Self { text: shown(text).into_owned(), weight: Weight::Plain }
    }

    /// A heading.
    pub fn heading(text: &str) -> Self {
        Self { text: shown(text).into_owned(), weight: Weight::Heading }
    }

    /// Something wrong or worth a second look.
    pub fn trouble(text: &str) -> Self {
        Self { text: shown(text).into_owned(), weight: Weight::Trouble }
    }

    fn style(&self, theme: Theme) -> ratatui::style::Style {
        match self.weight {
            Weight::Heading => theme.heading(),
            Weight::Plain => theme.plain(),
            Weight::Trouble => theme.trouble(),
        }
    }
}

/// The layer.
#[derive(Debug, Clone)]
pub struct Notices {
    title: String,
    lines: Vec<Line>,
    top: usize,
}

impl Notices {
    /// A page of lines.
    pub fn new(title: impl Into<String>, lines: Vec<Line>) -> Self {
        Self { title: title.into(), lines, top: 0 }
    }

    /// Scrolls. Only Enter or Esc closes it, since it may have opened while something else was being typed.
    pub fn key(&mut self, act: Option<Act>, _key: Key, _desk: &mut Context<'_>) -> After {
        if act == Some(Act::Back) {
            return After::Close;
        }
        self.top = scrolled(act, self.top, self.lines.len());
        After::Stay
    }

    /// Draws the page.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let width = area.width.min(90);
        let lines = wrapped(&self.lines, usize::from(width.saturating_sub(4)), theme);
        let height = u16::try_from(lines.len()).unwrap_or(u16::MAX).saturating_add(2);
        let inside = paint::layer_box(frame.buffer_mut(), area, (width, height), &self.title, theme, signs);
        put_from(frame.buffer_mut(), inside, &lines, self.top, scene);
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Notices]
    }
}

/// The first line to draw after a scrolling key.
pub(super) fn scrolled(act: Option<Act>, top: usize, n_lines: usize) -> usize {
    const PAGE: usize = 10;
    let top = match act {
        Some(Act::Down) => top + 1,
        Some(Act::Up) => top.saturating_sub(1),
        Some(Act::PageDown) => top + PAGE,
        Some(Act::PageUp) => top.saturating_sub(PAGE),
        Some(Act::First) => 0,
        _ => top,
    };
    top.min(n_lines.saturating_sub(1))
}

/// Lines wrapped to a width; indented lines stay indented.
pub(super) fn wrapped(lines: &[Line], cells: usize, theme: Theme) -> Vec<(String, ratatui::style::Style)> {
    let mut out = Vec::new();
    for line in lines {
        let n_indent = line.text.len() - line.text.trim_start_matches(' ').len();
        let indent = " ".repeat(n_indent);
        let pieces = text::wrap(&line.text, cells.saturating_sub(n_indent + 2).max(10));
        if pieces.is_empty() {
            out.push((String::new(), theme.plain()));
        }
        for (n, piece) in pieces.into_iter().enumerate() {
            let further = if n > 0 && n_indent > 0 { "  " } else { "" };
            out.push((format!("{indent}{further}{piece}"), line.style(theme)));
        }
    }
    out
}

/// Draws lines from `top` on, but never scrolls past the last ones.
pub(super) fn put_from(
    buf: &mut ratatui::buffer::Buffer,
    inside: Rect,
    lines: &[(String, ratatui::style::Style)],
    top: usize,
    scene: Scene<'_>,
) {
    let top = top.min(lines.len().saturating_sub(usize::from(inside.height)));
    for ((line, style), y) in lines.iter().skip(top).zip(inside.top()..inside.bottom()) {
        paint::put(buf, inside, inside.x + 1, y, line, *style);
    }
    paint::scrollbar(buf, inside, top, lines.len(), scene);
}

/// What is told of a garden that another program has open.
pub fn open_elsewhere(held: &HeldBy) -> Vec<Line> {
    vec![
        Line::trouble(&format!("This garden is open elsewhere: {}.", held.who)),
        Line::plain(
            "Here it is read-only: look, list and reckon as you like, or save it under another name with S and edit that.",
        ),
        Line::plain("Once the other program has closed it, O takes the garden over; you are told when."),
    ]
}

/// What is told of a garden that is only looked at.
pub fn barred(why: &str) -> Vec<Line> {
    vec![
        Line::trouble(&format!("This garden is read-only here: {why}.")),
        Line::plain(
            "Look, list and reckon as you like, or save it under another name with S and edit that. O tries again to take it over.",
        ),
    ]
}

/// What is told of a garden whose journal a newer program wrote.
pub fn newer_journal(format: u32) -> Vec<Line> {
    vec![
        Line::trouble(&format!("The journal of this garden was written by a newer bedfellow (format {format}).")),
        Line::plain(
            "It is left untouched, and the garden is read-only here. Open it with the newer program, or save it under another name with S.",
        ),
    ]
}

/// What is told where neither journal nor lock can be had.
pub fn unguarded(why: &str) -> Vec<Line> {
    vec![
        Line::trouble(&format!("There is no journal and no lock here: {why}.")),
        Line::plain("Edits are safe only once they are saved, and nothing keeps another program from the same garden."),
    ]
}

/// Edits that are told each when they come back, the last ones.
const CAME_BACK_MAX: usize = 500;

/// What is told of edits that came back, by their titles.
pub fn came_back(titles: &[String]) -> Vec<Line> {
    let (n, was) = (counted(titles.len() as u64, "edit", "edits"), if titles.len() == 1 { "was" } else { "were" });
    let mut lines = vec![Line::heading(&format!("{n} came back that {was} not saved when the program stopped:"))];
    let n_before = titles.len().saturating_sub(CAME_BACK_MAX);
    if n_before > 0 {
        lines.push(Line::plain(&format!("  {} before these, and then", counted(n_before as u64, "edit", "edits"))));
    }
    lines.extend(titles.iter().skip(n_before).map(|title| Line::plain(&format!("  {title}"))));
    lines.push(Line::plain(""));
    lines.push(Line::plain(match titles.len() {
        1 => "It is in the garden again, and u takes it back.",
        _ => "They are in the garden again, and u takes them back one by one.",
    }));
    lines
}

/// What differs, bed by bed. With names for the two sides, the changes of both are listed and places changed by both are marked;
/// without, only the changes of one garden.
pub fn differences(plan: &Plan, found: &Differences, whose: Option<(&str, &str)>) -> Vec<Line> {
    let name_of = |id: &str| plan.book().crop(id).map(|crop| crop.name.clone());
    let mut lines = Vec::new();
    for part in &found.parts {
        let place = part.place.words();
        if part.is_both() {
            lines.push(Line::trouble(&format!("{place}: both have changed something here")));
        } else {
            lines.push(Line::heading(&place));
        }
        let mut add = |who: Option<&str>, changes: &[Change]| {
            for change in changes {
                let words = change.words(&name_of);
                lines.push(Line::plain(&match who {
                    Some(who) => format!("  {who}: {words}"),
                    None => format!("  {words}"),
                }));
            }
        };
        add(whose.map(|(mine, _)| mine), &part.mine);
        add(whose.map(|(_, theirs)| theirs), &part.theirs);
    }
    if lines.is_empty() {
        lines.push(Line::plain("nothing differs but the way it is written"));
    }
    lines
}
