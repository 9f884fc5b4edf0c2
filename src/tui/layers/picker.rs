//! Choosing from a list by a few letters: a crop to place, a hazard, a family, what could follow.

use ratatui::Frame;
use ratatui::layout::Rect;

use super::After;
use crate::crops::{Hold, Miss, SearchWords, retain_best};
use crate::garden::limits::NAME_CHARS;
use crate::garden::{PlantingId, Quiet};
use crate::tui::context::Context;
use crate::tui::keys::{Act, Front, Key};
use crate::tui::scene::Scene;
use crate::tui::widgets::line::Line;
use crate::tui::widgets::{paint, text};

/// Lines below the list of what could follow: a rule, and the reasons of the selected crop.
const REASON_LINES: u16 = 5;

/// Items that `PgUp` and `PgDn` move by.
const PAGE_STEP: usize = 10;

/// What the choice is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    /// A crop to place in the bed looked at.
    Place,
    /// A crop to place between a planting's stations.
    Interplant(PlantingId),
    /// A hazard seen in the bed looked at.
    Hazard,
    /// A family whose return interval is to be set.
    Family,
    /// What could follow in the bed looked at.
    Follow,
    /// Of what findings of a kind are kept quiet: of the bed and the crop of the row, or of one of them, or of neither.
    Quiet(Quiet),
}

/// One line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Item {
    /// Id passed on when it is chosen.
    pub id: String,
    /// What is shown first.
    pub label: String,
    /// Other names it is found by; not shown.
    pub also: String,
    /// What is shown after it.
    pub detail: String,
}

/// The picker.
#[derive(Debug, Clone)]
pub struct Picker {
    /// What the choice is for.
    pub purpose: Purpose,
    title: String,
    letters: Line,
    items: Vec<Item>,
    /// Places of the items that match; searched when the letters change, not at every step.
    found: Vec<usize>,
    row: usize,
}

impl Picker {
    /// A picker over items.
    pub fn new(purpose: Purpose, title: impl Into<String>, items: Vec<Item>) -> Self {
        let found = (0..items.len()).collect();
        Self { purpose, title: title.into(), letters: Line::new("", NAME_CHARS), items, found, row: 0 }
    }

    fn item(&self, row: usize) -> Option<&Item> {
        self.found.get(row).and_then(|idx| self.items.get(*idx))
    }

    fn find_anew(&mut self) {
        self.found = matching(&self.items, self.letters.value());
        self.row = 0;
    }

    /// Types, walks, chooses.
    pub fn key(&mut self, act: Option<Act>, key: Key, cx: &mut Context<'_>) -> After {
        match act {
            Some(Act::Back) => return After::Close,
            Some(Act::Take) => {
                let chosen = self.item(self.row).map(|item| item.id.clone());
                return match chosen {
                    Some(id) => After::Chosen(self.purpose.clone(), id),
                    None => {
                        cx.view.complain("nothing matches these letters");
                        After::Stay
                    }
                };
            }
            Some(Act::Down) => self.row = (self.row + 1).min(self.found.len().saturating_sub(1)),
            Some(Act::Up) => self.row = self.row.saturating_sub(1),
            Some(Act::PageDown) => self.row = (self.row + PAGE_STEP).min(self.found.len().saturating_sub(1)),
            Some(Act::PageUp) => self.row = self.row.saturating_sub(PAGE_STEP),
            Some(Act::First) => self.row = 0,
            Some(Act::Last) => self.row = self.found.len().saturating_sub(1),
            _ if cx.type_into(&mut self.letters, key) => self.find_anew(),
            _ => {}
        }
        After::Stay
    }

    /// Takes pasted text.
    pub fn paste(&mut self, pasted: &str, cx: &mut Context<'_>) {
        cx.paste_into(&mut self.letters, pasted);
        self.find_anew();
    }

    /// Draws the list.
    pub fn draw(&self, frame: &mut Frame, area: Rect, scene: Scene<'_>) {
        let Scene { theme, signs, .. } = scene;
        let size = (area.width.clamp(20, 110).min(area.width), area.height.min(24));
        let inside = paint::layer_box(frame.buffer_mut(), area, size, &self.title, theme, signs);
        if inside.height < 2 {
            return;
        }
        let n_found = self.found.len();
        let label_cells = self.items.iter().map(|item| text::width(&item.label)).max().unwrap_or(10).min(34);
        // In the list of what could follow, the reasons stand in full below.
        let n_below = if self.purpose == Purpose::Follow && inside.height >= 12 { REASON_LINES } else { 0 };
        let list = Rect { y: inside.y + 1, height: inside.height - 1 - n_below, ..inside };
        let top = paint::scroll_top(self.row, n_found, usize::from(list.height));
        let buf = frame.buffer_mut();
        paint::put(buf, inside, inside.x + 1, inside.y, signs.pointer, theme.key());
        let place = format!(" {} of {} ", (self.row + 1).min(n_found), n_found);
        let place_x = inside.right().saturating_sub(u16::try_from(text::width(&place)).unwrap_or(0) + 1);
        let (letters, cursor) = self.letters.visible(usize::from(place_x.saturating_sub(inside.x + 3)));
        paint::put(buf, inside, inside.x + 3, inside.y, &letters, theme.plain());
        for (row, y) in (top..n_found).zip(list.top()..list.bottom()) {
            let Some(item) = self.item(row) else { continue };
            let words = format!(" {}  {}", text::fill(&item.label, label_cells, signs.ellipsis), item.detail);
            let style = if row == self.row { theme.selected() } else { theme.plain() };
            paint::put_filled(buf, paint::line_of(list, y), &words, style, signs);
        }
        paint::scrollbar(buf, list, top, n_found, scene);
        if let Some(item) = self.item(self.row).filter(|_| n_below > 0) {
            let below = Rect { y: list.bottom(), height: n_below, ..inside };
            let rule = signs.rule.repeat(usize::from(below.width));
            paint::put(buf, below, below.x, below.y, &rule, theme.faint());
            let words = format!("{} {}", item.label, item.detail);
            let lines = text::wrap(&words, usize::from(below.width.saturating_sub(2)).max(1));
            for (line, y) in lines.iter().zip(below.y + 1..below.bottom()) {
                paint::put(buf, below, below.x + 1, y, line, theme.plain());
            }
        }
        paint::put(buf, inside, place_x, inside.y, &place, theme.faint());
        if n_found == 0 {
            paint::put(buf, list, list.x + 1, list.y, "nothing matches these letters", theme.faint());
        }
        let cursor = cursor.saturating_add(inside.x + 3);
        if cursor < inside.right() {
            frame.set_cursor_position((cursor, inside.y));
        }
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> Vec<Front> {
        vec![Front::Picker, Front::Line]
    }
}

/// Places of the items that match a few letters, best first; without letters, all of them.
pub(super) fn matching(items: &[Item], letters: &str) -> Vec<usize> {
    let letters = letters.trim();
    if letters.is_empty() {
        return (0..items.len()).collect();
    }
    let held = held(items, &SearchWords::of(letters));
    if held.is_empty() { missed(items, &SearchWords::of(letters)) } else { held }
}

/// Items that contain the letters as words or beginnings of words; if there are none, those that contain them anywhere. A match
/// in the label comes before one in the other names.
fn held(items: &[Item], words: &SearchWords) -> Vec<usize> {
    let mut ranked: Vec<((bool, bool, Hold), usize)> = items
        .iter()
        .enumerate()
        .filter_map(|(idx, item)| {
            let rank = |hold: Hold, is_also: bool| (hold > Hold::Beginnings, is_also, hold);
            let label = words.hold_of(&item.label).map(|hold| rank(hold, false));
            let also = words.hold_of(&item.also).map(|hold| rank(hold, true));
            // Some of the words may be in the label and some in the other names.
            let both = || words.hold_of(&format!("{} {}", item.label, item.also)).map(|hold| rank(hold, true));
            Some((label.into_iter().chain(also).min().or_else(both)?, idx))
        })
        .collect();
    ranked.sort_by_key(|(rank, _)| *rank);
    let is_in_pieces = ranked.first().is_some_and(|(rank, _)| rank.0);
    ranked.retain(|(rank, _)| rank.0 == is_in_pieces);
    ranked.into_iter().map(|(_, idx)| idx).collect()
}

/// Items whose names the letters match but for a slip. Letters that are no slip of any name match nothing, so that Enter cannot
/// choose another crop instead.
fn missed(items: &[Item], words: &SearchWords) -> Vec<usize> {
    let mut ranked: Vec<(Miss, (bool, usize))> = Vec::new();
    for (idx, item) in items.iter().enumerate() {
        let label = words.miss_of(&item.label).map(|miss| (miss, (false, idx)));
        let also = words.miss_of(&item.also).map(|miss| (miss, (true, idx)));
        ranked.extend(label.into_iter().chain(also).min());
    }
    retain_best(&mut ranked);
    ranked.sort_unstable();
    ranked.into_iter().map(|(_, (_, idx))| idx).collect()
}
