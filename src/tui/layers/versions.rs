//! Earlier versions of the garden file and what was put aside beside it: when, how large, what differs from now; Enter goes back to
//! one, or brings it back.

use std::path::PathBuf;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::confirm::{Confirm, Yes};
use super::notices::{Line, put_from, scrolled, wrapped};
use super::{After, Layer};
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::widgets::paint;
use crate::words::counted;

/// One version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// Where it is kept.
    pub source: Source,
    /// When it was saved or put aside.
    pub when: String,
    /// By the present clock, that time is still to come.
    pub is_yet_to_come: bool,
    /// Its size.
    pub n_bytes: u64,
    /// What is in it, or why it cannot be read.
    pub holds: Result<Holds, String>,
}

/// Where a garden is kept that can be gone back to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Source {
    /// Among the versions, under this number; 1 is the newest.
    Saved(usize),
    /// Among what was put aside.
    Aside {
        /// What it is, in words.
        what: String,
        /// The file itself.
        path: PathBuf,
    },
}

/// What is in a version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Holds {
    /// Beds.
    pub n_beds: usize,
    /// Plantings.
    pub n_plantings: usize,
    /// What has changed since then; for something put aside, what it would change.
    pub differs: Vec<Line>,
    /// It is the garden on the screen.
    pub is_now: bool,
}

/// The list.
#[derive(Debug, Clone)]
pub struct Versions {
    listed: Vec<Version>,
    row: usize,
    top: usize,
}

/// What is said of a version from the future.
pub const YET_TO_COME: &str =
    "that time is yet to come: the clock was wrong then or is now; the numbers are in the order of the saves";

/// Most versions shown at once.
const N_ROWS_MAX: u16 = 10;

impl Versions {
    /// The list: versions newest first, then what was put aside.
    pub fn new(listed: Vec<Version>) -> Self {
        Self { listed, row: 0, top: 0 }
    }

    /// Moves; Enter asks whether to restore.
    pub fn key(&mut self, act: Option<Act>, _key: Key, cx: &mut Context<'_>) -> After {
        let before = self.row;
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Down) => self.row = (self.row + 1).min(self.listed.len().saturating_sub(1)),
            Some(Act::Up) => self.row = self.row.saturating_sub(1),
            Some(Act::First) => self.row = 0,
            Some(Act::Last) => self.row = self.listed.len().saturating_sub(1),
            Some(Act::PageDown | Act::PageUp) => {
                let n_lines = self.holds().map_or(0, |holds| holds.differs.len());
                self.top = scrolled(act, self.top, n_lines);
            }
            Some(Act::Take) => return self.ask(cx),
            _ => {}
        }
        if self.row != before {
            self.top = 0;
        }
        After::Stay
    }

    fn holds(&self) -> Option<&Holds> {
        self.listed.get(self.row)?.holds.as_ref().ok()
    }

    fn ask(&self, cx: &mut Context<'_>) -> After {
        let Some(version) = self.listed.get(self.row) else { return After::Close };
        match &version.holds {
            Err(why) => cx.view.complain(why.lines().next().unwrap_or_default()),
            Ok(holds) if holds.is_now => cx.view.complain("this is the garden as it is now"),
            Ok(_) => {
                let (what, yes) = match &version.source {
                    Source::Saved(number) => ("R goes back to the garden of", Yes::Restore(*number)),
                    Source::Aside { path, .. } => ("R brings back what was put aside", Yes::BringBack(path.clone())),
                };
                let question = format!(
                    "{what} {}. What is on the screen is saved as a version first: undo does not reach back past this, V does.",
                    version.when
                );
                return After::Open(Box::new(Layer::Confirm(Confirm { yes, question })));
            }
        }
        After::Stay
    }

    /// Draws the list and what differs.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let size = (area.width.min(100), area.height.min(36));
        let n_aside = self.listed.iter().filter(|version| version.is_aside()).count();
        let title = match n_aside {
            0 => "Earlier versions".to_owned(),
            n => format!("Earlier versions ({}) and what was put aside ({n})", self.listed.len() - n),
        };
        let inside = paint::layer_box(frame.buffer_mut(), area, size, &title, theme, signs);
        if inside.height < 2 || inside.width < 4 {
            return;
        }
        let buf = frame.buffer_mut();
        if self.listed.is_empty() {
            let words = "none yet: each save keeps one, ten at most";
            paint::put(buf, inside, inside.x + 1, inside.y, words, theme.faint());
            return;
        }
        let n_rows = u16::try_from(self.listed.len()).unwrap_or(N_ROWS_MAX).min(N_ROWS_MAX);
        let list = Rect { height: n_rows.min(inside.height.saturating_sub(2).max(1)), ..inside };
        let top = paint::scroll_top(self.row, self.listed.len(), usize::from(list.height));
        for ((idx, version), y) in self.listed.iter().enumerate().skip(top).zip(list.top()..list.bottom()) {
            let style = if idx == self.row { theme.selected() } else { theme.plain() };
            let pointer = if idx == self.row { signs.pointer } else { " " };
            let words = match version.source {
                Source::Saved(number) => format!(" {pointer} {number:>2}  {}", version.line()),
                Source::Aside { .. } => format!(" {pointer}     {}", version.line()),
            };
            paint::put_filled(buf, paint::line_of(list, y), &words, style, signs);
        }
        paint::scrollbar(buf, list, top, self.listed.len(), scene);
        let below = Rect { y: list.bottom(), height: inside.bottom() - list.bottom(), ..inside };
        let rule = signs.rule.repeat(usize::from(below.width));
        paint::put(buf, below, below.x, below.y, &rule, theme.faint());
        let lines = self.listed.get(self.row).map(Version::lines).unwrap_or_default();
        let page = Rect { y: below.y + 1, height: below.height.saturating_sub(1), ..below };
        let lines = wrapped(&lines, usize::from(page.width.saturating_sub(2)), theme);
        put_from(buf, page, &lines, self.top, scene);
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Versions]
    }
}

impl Version {
    fn is_aside(&self) -> bool {
        matches!(self.source, Source::Aside { .. })
    }

    /// What is told of it when it is selected.
    fn lines(&self) -> Vec<Line> {
        let mut lines = Vec::new();
        if self.is_yet_to_come {
            lines.push(Line::trouble(YET_TO_COME));
        }
        match (&self.holds, &self.source) {
            (Ok(holds), _) if holds.is_now => lines.push(Line::plain("the garden as it is now")),
            (Ok(holds), source) => {
                lines.push(Line::plain(&match source {
                    Source::Saved(_) => "Changed since then:".to_owned(),
                    Source::Aside { what, .. } => format!("Put aside: {what}. Brought back it changes:"),
                }));
                lines.extend(holds.differs.iter().cloned());
            }
            (Err(why), _) => lines.push(Line::trouble(why.lines().next().unwrap_or_default())),
        }
        lines
    }

    fn line(&self) -> String {
        let size = bytes(self.n_bytes);
        let holds = match &self.holds {
            Ok(holds) => format!(
                "{}, {}",
                counted(holds.n_beds as u64, "bed", "beds"),
                counted(holds.n_plantings as u64, "planting", "plantings")
            ),
            Err(_) if self.is_aside() => "no garden".to_owned(),
            Err(_) => "cannot be read".to_owned(),
        };
        match &self.source {
            Source::Saved(_) => format!("{}  {size:>9}  {holds}", self.when),
            Source::Aside { what, .. } => format!("{}  aside: {what}, {holds}", self.when),
        }
    }
}

/// `812 bytes`, `12.5 kB` (1 kB is 1000 bytes).
pub fn bytes(n: u64) -> String {
    if n < 1_000 { format!("{n} bytes") } else { format!("{:.1} kB", n as f64 / 1_000.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_time_yet_to_come_is_said_before_what_has_changed() {
        let holds = Holds { n_beds: 1, n_plantings: 2, differs: vec![Line::plain("B1")], is_now: false };
        let when = "2200-01-01 00:00 UTC".to_owned();
        let mut version =
            Version { source: Source::Saved(2), when, is_yet_to_come: true, n_bytes: 9, holds: Ok(holds) };
        let told = |version: &Version| version.lines().into_iter().map(|line| line.text).collect::<Vec<_>>();
        assert_eq!(told(&version), [YET_TO_COME, "Changed since then:", "B1"]);
        version.is_yet_to_come = false;
        assert_eq!(told(&version), ["Changed since then:", "B1"]);
    }
}
