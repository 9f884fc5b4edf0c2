//! All beds in the week looked at: crops, counts, the week each frees up.
//!
//! ```text
//! +----------------+----------------+----------------+ +-----------------+
//! | card.rs: id,   | A2             | A3             | | detail.rs       |
//! | sketch.rs      | ░▒b▒░░▒b▒░░▒b▒ | ·············· | | the selected    |
//! | what stands,   | ▃b Carrot 900  | empty          | | bed (wide: at   |
//! | frees up       | free 2 Aug W31 | Pea 3 May      | | the right;      |
//! +----------------+----------------+----------------+ | narrow: below)  |
//! ```
//!
//! Cards stand in the order in which the beds are walked; a run of beds whose ids begin with the same letters
//! (a quarter) begins a new line of cards.

mod card;
mod detail;
mod sketch;

use chrono::NaiveDate;
use ratatui::Frame;
use ratatui::layout::Rect;

use crate::garden::{Bed, Severity};
use crate::season::{BedSeason, Standing};
use crate::tui::context::Context;
use crate::tui::keys::Command;
use crate::tui::scene::Scene;
use crate::tui::screens::Ran;
use crate::tui::session::Session;
use crate::tui::view::{Screen, View};
use crate::tui::widgets::paint;

/// Least and most lines of a card, without the blank one below it.
const CARD_LINES: (u16, u16) = (4, 10);
/// Least cells of a card.
const CARD_CELLS: u16 = 19;
/// Beds of one letter before their run begins a new line of cards.
const RUN: usize = 4;

/// The regions: cards, and the selected bed in detail.
fn regions(area: Rect) -> (Rect, Rect) {
    if area.width >= 120 {
        let side = (area.width / 4).clamp(40, 64);
        let cards = Rect { width: area.width - side - 1, ..area };
        (cards, Rect { x: cards.right() + 1, width: side, ..area })
    } else if area.height >= 18 {
        let below = 7;
        let cards = Rect { height: area.height - below, ..area };
        (cards, Rect { y: cards.bottom(), height: below, ..area })
    } else {
        (area, Rect { height: 0, ..area })
    }
}

/// Where each bed's card stands as (line, column), and the width of a card in cells.
struct Cards {
    places: Vec<(usize, usize)>,
    cells: u16,
}

impl Cards {
    fn of(area: Rect, beds: &[Bed]) -> Self {
        let n_columns = usize::from((area.width / CARD_CELLS).max(1));
        let letters = |bed: &Bed| bed.id.chars().take_while(|c| c.is_alphabetic()).collect::<String>();
        let mut places = Vec::with_capacity(beds.len());
        let (mut line, mut column) = (0, 0);
        let mut run_letters = String::new();
        let mut run_left = 0;
        for (idx, bed) in beds.iter().enumerate() {
            if run_left == 0 {
                let now = letters(bed);
                let run = beds[idx..].iter().take_while(|other| letters(other) == now).count();
                let was_long = places.len() >= RUN && idx >= RUN && letters(&beds[idx - RUN]) == run_letters;
                if column > 0 && (run >= RUN || was_long) {
                    line += 1;
                    column = 0;
                }
                run_letters = now;
                run_left = run;
            }
            if column == n_columns {
                line += 1;
                column = 0;
            }
            places.push((line, column));
            column += 1;
            run_left -= 1;
        }
        let widest = places.iter().map(|(_, column)| column + 1).max().unwrap_or(1).max(1);
        let cells = (area.width / u16::try_from(widest).unwrap_or(1)).clamp(CARD_CELLS.min(area.width), 30);
        Self { places, cells }
    }

    fn line_of(&self, bed_idx: usize) -> usize {
        self.places.get(bed_idx).map_or(0, |place| place.0)
    }

    fn n_lines(&self) -> usize {
        self.places.last().map_or(0, |place| place.0 + 1)
    }
}

/// How lines of cards are drawn: the step from one to the next, the height of a card, the first line of cards drawn.
struct Scroll {
    step: u16,
    card_lines: u16,
    top: usize,
}

impl Scroll {
    /// Cards grow into the room there is; if there is little, the blank line between them goes first.
    fn of(area: Rect, cards: &Cards, bed_idx: usize) -> Self {
        let n_lines = u16::try_from(cards.n_lines().max(1)).unwrap_or(u16::MAX);
        let room = (area.height + 1) / n_lines;
        let step = if room > CARD_LINES.0 { room.min(CARD_LINES.1 + 1) } else { CARD_LINES.0 };
        let card_lines = if room > CARD_LINES.0 { step - 1 } else { step };
        let n_shown = usize::from((area.height / step).max(1));
        let n_shown = if room > CARD_LINES.0 { usize::from(n_lines) } else { n_shown };
        Self { step, card_lines, top: paint::scroll_top(cards.line_of(bed_idx), cards.n_lines(), n_shown) }
    }
}

/// Draws the screen.
pub fn draw(frame: &mut Frame, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, .. } = scene;
    let buf = frame.buffer_mut();
    let garden = session.plan().garden();
    if garden.beds.is_empty() {
        let lines = ["No bed yet. N lays out the first one.", "L says where the garden is: latitude, frosts, climate."];
        for (words, y) in lines.iter().zip(area.y + 1..) {
            paint::put(buf, area, area.x + 2, y, words, theme.plain());
        }
        return;
    }
    let (cards_area, detail_area) = regions(area);
    let cards = Cards::of(cards_area, &garden.beds);
    let Scroll { step, card_lines, top } = Scroll::of(cards_area, &cards, view.bed_idx);
    let first = cards.places.partition_point(|place| place.0 < top);
    for (idx, &(line, column)) in cards.places.iter().enumerate().skip(first) {
        let Some(y) = u16::try_from(line - top).ok().and_then(|n| n.checked_mul(step)) else { break };
        if y >= cards_area.height {
            break;
        }
        let x = cards_area.x + u16::try_from(column).unwrap_or(0) * cards.cells;
        let card = Rect { x, y: cards_area.y + y, width: cards.cells - 1, height: card_lines }.intersection(cards_area);
        card::draw(buf, card, scene, idx);
    }
    detail::draw(buf, detail_area, scene);
}

/// The gravest open breach or caution that concerns the week looked at or what comes after it.
pub fn worst_from(bed: &BedSeason, monday: NaiveDate) -> Option<Severity> {
    bed.findings
        .iter()
        .filter(|finding| finding.accepted.is_none())
        .filter(|finding| match finding.planting {
            Some(id) => bed.standing.iter().all(|standing| standing.id != id || standing.stages.clear > monday),
            None => true,
        })
        .map(|finding| finding.severity)
        .filter(|severity| *severity > Severity::Note)
        .max()
}

fn stands_in(standing: &Standing, view: &View) -> bool {
    standing.stages.enters <= view.week.sunday() && standing.stages.clear > view.week.monday()
}

fn crop_name<'a>(session: &'a Session, standing: &Standing) -> &'a str {
    session.plan().book().crops().get(standing.crop_idx).map_or("?", |crop| crop.short_name.as_str())
}

/// Runs a command that means something of its own here.
pub fn run(command: Command, cx: &mut Context<'_>) -> Ran {
    let n_beds = cx.session.plan().garden().beds.len();
    if n_beds == 0 {
        return Ran::NotHere;
    }
    let area = Rect { x: 0, y: 0, width: cx.view.size.0, height: cx.view.size.1 };
    let (_, body, _) = crate::tui::scene::regions(area);
    let cards = Cards::of(regions(body).0, &cx.session.plan().garden().beds);
    let at = cx.view.bed_idx.min(n_beds - 1);
    let (line, column) = cards.places[at];
    let nearest_on = |wanted: usize| {
        let on_line = cards.places.iter().enumerate().filter(|(_, place)| place.0 == wanted);
        on_line.min_by_key(|(_, place)| place.1.abs_diff(column)).map(|(idx, _)| idx)
    };
    let target = match command {
        Command::MoveLeft => Some(at.saturating_sub(1)),
        Command::MoveRight => Some((at + 1).min(n_beds - 1)),
        Command::MoveUp => line.checked_sub(1).and_then(nearest_on),
        Command::MoveDown => nearest_on(line + 1),
        Command::First => Some(0),
        Command::Last => Some(n_beds - 1),
        Command::Open => {
            cx.view.planting = None;
            cx.view.select_standing(cx.session);
            cx.view.show(Screen::Bed);
            return Ran::Here;
        }
        _ => return Ran::NotHere,
    };
    if let Some(idx) = target {
        if idx != cx.view.bed_idx {
            cx.view.planting = None;
        }
        cx.view.bed_idx = idx;
    }
    Ran::Here
}

/// The bed drawn at a cell, for the mouse.
pub fn bed_at(area: Rect, session: &Session, view: &View, at: (u16, u16)) -> Option<usize> {
    let (cards_area, _) = regions(area);
    if !cards_area.contains(at.into()) {
        return None;
    }
    let cards = Cards::of(cards_area, &session.plan().garden().beds);
    let Scroll { step, top, .. } = Scroll::of(cards_area, &cards, view.bed_idx);
    let wanted =
        (top + usize::from((at.1 - cards_area.y) / step), usize::from((at.0 - cards_area.x) / cards.cells.max(1)));
    cards.places.iter().position(|place| *place == wanted)
}
