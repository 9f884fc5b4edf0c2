//! All beds in the week looked at: crops, counts, the week each frees up.
//!
//! ```text
//! +----------------+----------------+----------------+ +-----------------+
//! | A1  ▲          | A2             | A3             | | the selected    |
//! | Leek 128       | Carrot 900     | empty          | | bed in detail   |
//! | + Salad oni 96 |                | next Pea 3 May | | (wide: at the   |
//! | free 5 Apr W14 | free 2 Aug W31 |                | | right; narrow:  |
//! +----------------+----------------+----------------+ | below)          |
//! ```
//!
//! Cards stand in the order in which the beds are walked; a run of beds whose ids begin with the same letters
//! (a quarter) begins a new line of cards.

use chrono::NaiveDate;
use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use crate::garden::{Bed, Severity};
use crate::season::{BedSeason, Standing};
use crate::tui::keys::Command;
use crate::tui::layers::Desk;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::update::select_standing;
use crate::tui::view::{Screen, View};
use crate::tui::widgets::{paint, sky, text};
use crate::units::text::shown;

/// Least and most lines of a card, without the blank one below it.
const CARD_LINES: (u16, u16) = (4, 7);
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

/// Where each bed's card stands: (line, column), and the cells of a card.
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

/// How the lines of cards are drawn: lines from one to the next, lines of a card, first line of cards drawn.
struct Scroll {
    step: u16,
    card_lines: u16,
    top: usize,
}

impl Scroll {
    /// Cards grow into the room there is; where there is little, the blank line between them goes first.
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
pub fn draw(frame: &mut Frame, area: Rect, session: &Session, view: &View) {
    let (theme, signs) = (Theme::of(view.options.has_colour), Signs::of(view.options.is_ascii));
    let buf = frame.buffer_mut();
    let garden = session.plan.garden();
    if garden.beds.is_empty() {
        paint::put(buf, area, area.x + 2, area.y + 1, "No bed yet. N lays out the first one.", theme.plain());
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
        draw_card(buf, card, session, view, idx, theme, signs);
    }
    draw_detail(buf, detail_area, session, view, theme, signs);
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
    session.plan.book().crops().get(standing.crop_idx).map_or("?", |crop| crop.short_name.as_str())
}

fn draw_card(buf: &mut Buffer, card: Rect, session: &Session, view: &View, idx: usize, theme: Theme, signs: &Signs) {
    let (Some(bed), Some(season)) = (session.plan.garden().beds.get(idx), session.plan.beds().get(idx)) else { return };
    let is_selected = idx == view.bed_idx;
    let monday = view.week.monday();
    let style = match (is_selected, view.layers.is_empty()) {
        (true, true) => theme.selected(),
        (true, false) => theme.selected_behind(),
        _ => theme.heading(),
    };
    let pointer = if is_selected { signs.pointer } else { " " };
    let name = if bed.name.is_empty() { String::new() } else { format!(" {}", shown(&bed.name)) };
    paint::put_filled(
        buf,
        card,
        card.x,
        card.y,
        &format!("{pointer}{}{name}", shown(&bed.id)),
        card.width,
        style,
        signs,
    );
    if let Some(severity) = worst_from(season, monday) {
        let sign = signs.severity(severity);
        let x = card.right().saturating_sub(2);
        paint::put(buf, card, x, card.y, sign, style.patch(theme.severity(severity)));
    }
    let mut y = card.y + 1;
    let standing: Vec<&Standing> = season.standing.iter().filter(|standing| stands_in(standing, view)).collect();
    let n_named = usize::from(card.height.saturating_sub(2)).max(1);
    for (n, crop) in standing.iter().take(n_named).enumerate() {
        let count = crop.n_plants.to_string();
        let more = if n + 1 == n_named && standing.len() > n_named {
            format!(" +{}", standing.len() - n_named)
        } else {
            String::new()
        };
        let room = usize::from(card.width).saturating_sub(count.len() + more.len() + 2);
        let words = format!(" {} {count}{more}", text::cut(crop_name(session, crop), room, signs.ellipsis));
        paint::put(buf, card, card.x, y, &words, theme.plain());
        y += 1;
    }
    if standing.is_empty() {
        paint::put(buf, card, card.x, y, " empty", theme.faint());
        if let Some(next) = season.standing.iter().find(|standing| standing.stages.enters > view.week.sunday()) {
            let when = text::day_seen_from(next.stages.enters, view.week.iso_year());
            let room = usize::from(card.width).saturating_sub(when.len() + 2);
            let words =
                format!(" {} {when}", text::cut(crop_name(session, next), room.saturating_sub(1), signs.ellipsis));
            paint::put(buf, card, card.x, y + 1, &words, theme.faint());
        }
        return;
    }
    // What goes in within the week stands by its Sunday.
    let free = session.plan.free_up(idx, view.week.sunday());
    let (what, date) = if free.free_from < free.whole_bed_free_from && free.free_from > view.week.sunday() {
        ("part free", free.free_from)
    } else {
        ("free", free.whole_bed_free_from)
    };
    // The week goes first where a card is narrow, never the year.
    let year = view.week.iso_year();
    let long = format!(" {what} {}", text::day_and_week_seen_from(date, year));
    let words = if text::width(&long) <= usize::from(card.width) {
        long
    } else {
        format!(" {what} {}", text::day_seen_from(date, year))
    };
    paint::put(buf, card, card.x, card.bottom().saturating_sub(1), &words, theme.faint());
}

fn draw_detail(buf: &mut Buffer, area: Rect, session: &Session, view: &View, theme: Theme, signs: &Signs) {
    let (Some(bed), Some(season)) =
        (session.plan.garden().beds.get(view.bed_idx), session.plan.beds().get(view.bed_idx))
    else {
        return;
    };
    if area.height < 2 {
        return;
    }
    let mut lines: Vec<(String, ratatui::style::Style)> = Vec::new();
    let year = view.week.iso_year();
    let mut title = format!("{} ", shown(&bed.id));
    if !bed.name.is_empty() {
        title.push_str(&shown(&bed.name));
        title.push(' ');
    }
    title.push_str(&text::size_m(bed.width_mm, bed.length_mm, signs.times));
    let sky_words = sky::words(session, view.week);
    for standing in season.standing.iter().filter(|standing| stands_in(standing, view)) {
        let Some(planting) = session.plan.garden().planting(standing.id) else { continue };
        let name = session.plan.book().crops().get(standing.crop_idx).map_or("?", |crop| crop.name.as_str());
        let words = format!(
            "{name}: {}, {}{}{} cm, until {}",
            text::count(standing.n_plants, "plant", "plants"),
            planting.from_mm,
            signs.to,
            planting.to_mm,
            text::day_seen_from(standing.stages.clear, year)
        );
        lines.push((words, theme.plain()));
    }
    let free = session.plan.free_up(view.bed_idx, view.week.sunday());
    let mut words = format!("whole bed free {}", text::day_and_week_seen_from(free.whole_bed_free_from, year));
    if free.free_from < free.whole_bed_free_from {
        words = format!("part free {}, {words}", text::day_and_week_seen_from(free.free_from, year));
    }
    if let Some(weeks) = free.empty_weeks.filter(|weeks| *weeks > 0) {
        words.push_str(&format!(", then empty {}", text::count(weeks.unsigned_abs(), "week", "weeks")));
    }
    lines.push((words, theme.done()));
    for next in season.standing.iter().filter(|standing| standing.stages.enters > view.week.sunday()).take(3) {
        let name = session.plan.book().crops().get(next.crop_idx).map_or("?", |crop| crop.name.as_str());
        let words = format!(
            "next {name} {}, {}",
            text::day_seen_from(next.stages.enters, year),
            text::count(next.n_plants, "plant", "plants")
        );
        lines.push((words, theme.faint()));
    }
    let open = season.findings.iter().filter(|finding| finding.accepted.is_none());
    for finding in open.filter(|finding| finding.severity > Severity::Note).take(6) {
        let words = format!("{} {}", signs.severity(finding.severity), session.plan.headline(finding));
        lines.push((words, theme.severity(finding.severity)));
    }
    let is_side = area.x > 0;
    if let Some(words) = sky_words {
        let place = if is_side { 0 } else { lines.len() };
        lines.insert(place, (words, theme.faint()));
    }
    let inside = if is_side {
        paint::frame(buf, area, &title, theme.frame(false), theme.heading(), signs)
    } else {
        let rule = signs.rule.repeat(usize::from(area.width));
        paint::put(buf, area, area.x, area.y, &rule, theme.faint());
        paint::put(buf, area, area.x + 2, area.y, &format!(" {title} "), theme.heading());
        Rect { y: area.y + 1, height: area.height - 1, x: area.x + 1, width: area.width.saturating_sub(2) }
    };
    let mut y = inside.y;
    for (words, style) in lines {
        let wrapped = if is_side { text::wrap(&words, usize::from(inside.width)) } else { vec![words] };
        for line in wrapped {
            if y >= inside.bottom() {
                return;
            }
            paint::put(buf, inside, inside.x, y, &text::cut(&line, usize::from(inside.width), signs.ellipsis), style);
            y += 1;
        }
    }
}

/// Runs a command that means something of its own here; whether it did.
pub fn run(command: Command, desk: &mut Desk<'_>) -> bool {
    let n_beds = desk.session.plan.garden().beds.len();
    if n_beds == 0 {
        return false;
    }
    let area = Rect { x: 0, y: 0, width: desk.view.size.0, height: desk.view.size.1 };
    let (_, body, _) = crate::tui::draw::regions(area);
    let cards = Cards::of(regions(body).0, &desk.session.plan.garden().beds);
    let at = desk.view.bed_idx.min(n_beds - 1);
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
            desk.view.planting = None;
            select_standing(desk.session, desk.view);
            desk.view.show(Screen::Bed);
            return true;
        }
        _ => return false,
    };
    if let Some(idx) = target {
        if idx != desk.view.bed_idx {
            desk.view.planting = None;
        }
        desk.view.bed_idx = idx;
    }
    true
}

/// The bed drawn at a cell, for the mouse.
pub fn bed_at(area: Rect, session: &Session, view: &View, at: (u16, u16)) -> Option<usize> {
    let (cards_area, _) = regions(area);
    if !cards_area.contains(at.into()) {
        return None;
    }
    let cards = Cards::of(cards_area, &session.plan.garden().beds);
    let Scroll { step, top, .. } = Scroll::of(cards_area, &cards, view.bed_idx);
    let wanted =
        (top + usize::from((at.1 - cards_area.y) / step), usize::from((at.0 - cards_area.x) / cards.cells.max(1)));
    cards.places.iter().position(|place| *place == wanted)
}
