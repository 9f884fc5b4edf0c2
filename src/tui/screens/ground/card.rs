//! The card of one bed: its sketch where there is room, what stands in it, when it frees up.
//!
//! ```text
//! >B3               !     id, name, gravest finding
//!  ░▒d▒░░▒e▒░░▒d▒░░       sketch.rs
//!  ▓d▓▓▓e▓▓▓d▓▓▓e▓▓
//! ▆d Leek 256             share of its ground covered, letter, crop, plants
//! ▃e Salad onion 360
//!  free 5 Apr 28 W14
//! ```

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::{crop_name, sketch, stands_in, worst_from};
use crate::garden::Bed;
use crate::season::{BedSeason, Standing};
use crate::tui::scene::Scene;
use crate::tui::screens::bed::rows::{covered_now, letter};
use crate::tui::session::Session;
use crate::tui::view::View;
use crate::tui::widgets::cover::{Scale, gauge};
use crate::tui::widgets::{paint, text};
use crate::units::text::shown;

/// Least lines of a sketch.
const SKETCH_LINES: u16 = 2;

/// Divides the lines of a card: the scale of the sketch, if there is room for one, and the lines for crops.
fn share_out(card: Rect, bed: &Bed, n_standing: usize) -> (Option<Scale>, usize) {
    // Heading and the day it frees up.
    let lines = card.height.saturating_sub(2);
    let n_standing = u16::try_from(n_standing).unwrap_or(u16::MAX).max(1);
    let width = card.width.saturating_sub(2);
    if lines < SKETCH_LINES + n_standing.min(2) || width < 8 {
        return (None, usize::from(lines.max(1)));
    }
    let most = lines.saturating_sub(n_standing).max(SKETCH_LINES);
    let scale = Scale::within(bed, width, most);
    (Some(scale), usize::from(lines - scale.rows))
}

/// Draws it.
pub fn draw(buf: &mut Buffer, card: Rect, scene: Scene<'_>, idx: usize) {
    let Scene { session, view, theme, signs, .. } = scene;
    let (Some(bed), Some(season)) = (session.plan().garden().beds.get(idx), session.plan().beds().get(idx)) else {
        return;
    };
    draw_heading(buf, card, bed, season, scene, idx);
    let standing: Vec<(usize, &Standing)> =
        season.standing.iter().enumerate().filter(|(_, standing)| stands_in(standing, view)).collect();
    let (scale, n_lines) = share_out(card, bed, standing.len());
    let mut y = card.y + 1;
    if let Some(scale) = scale {
        let place = Rect { x: card.x + 1, y, width: scale.columns, height: scale.rows }.intersection(card);
        sketch::draw(buf, place, scene, idx, scale);
        y += scale.rows;
    }
    for (n, &(place, crop)) in standing.iter().take(n_lines).enumerate() {
        let count = crop.n_plants.to_string();
        let more = if n + 1 == n_lines && standing.len() > n_lines {
            format!(" +{}", standing.len() - n_lines)
        } else {
            String::new()
        };
        let lead = if scale.is_some() { format!("{} ", letter(place)) } else { String::new() };
        let room = usize::from(card.width).saturating_sub(count.len() + more.len() + lead.len() + 2);
        let words = format!("{lead}{} {count}{more}", text::cut(crop_name(session, crop), room, signs.ellipsis));
        let bar = gauge(covered_now(session, view, crop).share, signs);
        paint::put(buf, card, card.x, y, bar, theme.planting(place));
        let style = if scale.is_some() { theme.planting(place) } else { theme.plain() };
        let end = card.x + 1 + paint::put(buf, card, card.x + 1, y, &lead, style.patch(theme.heading()));
        paint::put(buf, card, end, y, words.get(lead.len()..).unwrap_or_default(), theme.plain());
        y += 1;
    }
    if standing.is_empty() {
        draw_empty(buf, card, y, season, scene);
        return;
    }
    // A card cut by the edge of the screen keeps its crops.
    if card.height < 3 {
        return;
    }
    let words = frees_up(session, view, idx, card.width);
    paint::put(buf, card, card.x, card.bottom().saturating_sub(1), &words, theme.faint());
}

fn draw_heading(buf: &mut Buffer, card: Rect, bed: &Bed, season: &BedSeason, scene: Scene<'_>, idx: usize) {
    let Scene { view, theme, signs, .. } = scene;
    let is_selected = idx == view.bed_idx;
    let style = match (is_selected, scene.is_behind) {
        (true, false) => theme.selected(),
        (true, true) => theme.selected_behind(),
        _ => theme.heading(),
    };
    let pointer = if is_selected { signs.pointer } else { " " };
    let name = if bed.name.is_empty() { String::new() } else { format!(" {}", shown(&bed.name)) };
    let words = format!("{pointer}{}{name}", shown(&bed.id));
    paint::put_filled(buf, paint::line_of(card, card.y), &words, style, signs);
    if let Some(severity) = worst_from(season, view.week.monday()) {
        let x = card.right().saturating_sub(2);
        paint::put(buf, card, x, card.y, signs.severity(severity), style.patch(theme.severity(severity)));
    }
}

/// Nothing stands: says what comes next.
fn draw_empty(buf: &mut Buffer, card: Rect, y: u16, season: &BedSeason, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    paint::put(buf, card, card.x, y, " empty", theme.faint());
    let Some(next) = season.standing.iter().find(|standing| standing.stages.enters > view.week.sunday()) else {
        return;
    };
    let when = text::day_seen_from(next.stages.enters, view.week.iso_year());
    let room = usize::from(card.width).saturating_sub(when.len() + 3);
    let words = format!(" {} {when}", text::cut(crop_name(session, next), room, signs.ellipsis));
    paint::put(buf, card, card.x, y + 1, &words, theme.faint());
}

/// When it frees up; a narrow card leaves out the week first, never the year.
fn frees_up(session: &Session, view: &View, idx: usize, width: u16) -> String {
    let (asked, free) = session.free_up(idx, view.week);
    let (what, date) = if free.free_from < free.whole_bed_free_from && free.free_from > asked {
        ("partly free", free.free_from)
    } else {
        ("free", free.whole_bed_free_from)
    };
    let year = view.week.iso_year();
    let long = format!(" {what} {}", text::day_and_week_seen_from(date, year));
    let short = format!(" {what} {}", text::day_seen_from(date, year));
    let shortest = format!(" {} {}", what.replace(" free", ""), text::day_seen_from(date, year));
    [long, short].into_iter().find(|words| text::width(words) <= usize::from(width)).unwrap_or(shortest)
}
