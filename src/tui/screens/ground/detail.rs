//! The selected bed in detail: at the right of the cards on a wide screen, else below them.
//!
//! ```text
//! +- B3 1.2 x 4.8 m ---------+     -- B3 1.2 x 4.8 m -- day 16.9 h, mean 13 C, … --
//! | day 16.9 h, mean 13 C …  |      d Leek: 256 plants, 0-480 cm, until …   ░▒d▒░░▒
//! | ░▒d▒░░▒e▒░░▒d▒░  sketch  |      whole bed free 5 Apr 28                 ▓d▓▓▓e▓
//! | d Leek: 256 plants, …    |
//! +--------------------------+
//! ```

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::{sketch, stands_in};
use crate::garden::{Bed, Severity};
use crate::season::{BedSeason, Standing};
use crate::tui::scene::Scene;
use crate::tui::screens::bed::detail::candidate_lines;
use crate::tui::screens::bed::rows::{covered_now, letter};
use crate::tui::session::Session;
use crate::tui::view::View;
use crate::tui::widgets::cover::Scale;
use crate::tui::widgets::{paint, sky, text};
use crate::tui::wording::past_years;
use crate::units::text::shown;
use crate::words::{counted, headline};

/// Most cells and lines of the sketch below the cards.
const SKETCH_BELOW: (u16, u16) = (30, 4);
/// Most lines of the sketch beside the cards.
const SKETCH_BESIDE_LINES: u16 = 8;
/// Next plantings named below the cards.
const NEXT_BELOW: usize = 3;
/// What could follow, beside the cards.
const CANDIDATES: usize = 6;

/// Lines with their style; each may be wrapped.
type Lines = Vec<(String, Style)>;

/// Draws it.
pub fn draw(buf: &mut Buffer, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, signs, .. } = scene;
    let (Some(bed), Some(season)) =
        (session.plan().garden().beds.get(view.bed_idx), session.plan().beds().get(view.bed_idx))
    else {
        return;
    };
    if area.height < 2 {
        return;
    }
    let name = if bed.name.is_empty() { String::new() } else { format!("{} ", shown(&bed.name)) };
    let title = format!("{} {name}{}", shown(&bed.id), text::size_m(bed.width_mm, bed.length_mm, signs.times));
    if area.x > 0 {
        beside(buf, area, &title, bed, season, scene);
    } else {
        below(buf, area, &title, bed, season, scene);
    }
}

fn beside(buf: &mut Buffer, area: Rect, title: &str, bed: &Bed, season: &BedSeason, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let inside = paint::frame(buf, area, title, theme.frame(false), theme.heading(), signs);
    let inside = Rect { x: inside.x + 1, width: inside.width.saturating_sub(2), ..inside };
    let mut y = inside.y;
    let put = |buf: &mut Buffer, y: &mut u16, lines: &Lines| {
        for (words, style) in lines {
            let hang = if words.starts_with("  ") { "    " } else { "" };
            for (n, line) in text::wrap(words, usize::from(inside.width).saturating_sub(4)).into_iter().enumerate() {
                let lead = if n == 0 { &hang[..hang.len() / 2] } else { hang };
                if *y < inside.bottom() {
                    paint::put(buf, inside, inside.x, *y, &format!("{lead}{line}"), *style);
                }
                *y += 1;
            }
        }
    };
    if let Some(words) = sky::words(session, view.week, bed.cover, signs) {
        put(buf, &mut y, &vec![(words, theme.faint())]);
        y += 1;
    }
    let scale = Scale::within(bed, inside.width, SKETCH_BESIDE_LINES);
    let place = Rect { x: inside.x, y, width: scale.columns, height: scale.rows }.intersection(inside);
    sketch::draw(buf, place, scene, view.bed_idx, scale);
    y += scale.rows + 1;
    put(buf, &mut y, &standing_lines(season, scene, false));
    let free = (free_words(session, view), theme.done());
    put(buf, &mut y, &vec![free]);
    put(buf, &mut y, &next_lines(season, scene, usize::MAX));
    let findings = finding_lines(season, scene);
    if !findings.is_empty() {
        y += 1;
        put(buf, &mut y, &findings);
    }
    let past = past_years(session.plan(), &bed.id);
    if !past.is_empty() {
        y += 1;
        put(buf, &mut y, &vec![(format!("past years (y changes them): {past}"), theme.faint())]);
    }
    let candidates = candidate_lines(scene, CANDIDATES);
    if !candidates.is_empty() {
        y += 1;
        put(buf, &mut y, &candidates);
    }
}

fn below(buf: &mut Buffer, area: Rect, title: &str, bed: &Bed, season: &BedSeason, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    paint::put(buf, area, area.x, area.y, &signs.rule.repeat(usize::from(area.width)), theme.faint());
    let title = text::cut(title, usize::from(area.width / 2), signs.ellipsis);
    let end = area.x + 2 + paint::put(buf, area, area.x + 2, area.y, &format!(" {title} "), theme.heading());
    let room = usize::from(area.right().saturating_sub(end + 4));
    if let Some(words) = sky::words_within(session, view.week, bed.cover, room, signs) {
        paint::put(buf, area, end + 1, area.y, &format!(" {words} "), theme.plain());
    }
    let inside = Rect { y: area.y + 1, height: area.height - 1, x: area.x + 1, width: area.width.saturating_sub(2) };
    let scale = Scale::within(bed, SKETCH_BELOW.0.min(inside.width / 2), SKETCH_BELOW.1.min(inside.height));
    let place = Rect { x: inside.right() - scale.columns, width: scale.columns, height: scale.rows, ..inside };
    sketch::draw(buf, place, scene, view.bed_idx, scale);
    let mut lines = standing_lines(season, scene, true);
    lines.push((free_words(session, view), theme.done()));
    lines.extend(finding_lines(season, scene));
    lines.extend(next_lines(season, scene, NEXT_BELOW));
    for ((words, style), y) in lines.iter().zip(inside.top()..inside.bottom()) {
        let end = if y < place.bottom() { place.x.saturating_sub(1) } else { inside.right() };
        let cells = usize::from(end.saturating_sub(inside.x));
        paint::put(buf, inside, inside.x, y, &text::cut(words, cells, signs.ellipsis), *style);
    }
}

/// `d Leek 256, 0–480 cm, covers 40 %, until 31 Mar 28`; where space is short, without the strip, which the sketch shows.
fn standing_lines(season: &BedSeason, scene: Scene<'_>, is_narrow: bool) -> Lines {
    let Scene { session, view, theme, signs, .. } = scene;
    let here = season.standing.iter().enumerate().filter(|(_, standing)| stands_in(standing, view));
    let line = |(place, standing): (usize, &Standing)| {
        let planting = session.plan().garden().planting(standing.id)?;
        let crop = session.plan().book().crops().get(standing.crop_idx)?;
        let share_pct = covered_now(session, view, standing).share * 100.0;
        let (name, strip) = if is_narrow {
            (&crop.short_name, String::new())
        } else {
            (&crop.name, format!(", {}{}{} cm", planting.from_mm, signs.to, planting.to_mm))
        };
        let until = text::day_seen_from(standing.stages.clear, view.week.iso_year());
        let words =
            format!("{} {name} {}{strip}, covers {share_pct:.0} %, until {until}", letter(place), standing.n_plants);
        Some((words, theme.plain()))
    };
    here.filter_map(line).collect()
}

fn free_words(session: &Session, view: &View) -> String {
    let year = view.week.iso_year();
    let (asked, free) = session.free_up(view.bed_idx, view.week);
    let day = |date| text::day_and_week_seen_from(date, year);
    let mut words = if free.free_from < free.whole_bed_free_from {
        format!("partly free {}, whole bed {}", day(free.free_from), day(free.whole_bed_free_from))
    } else if free.whole_bed_free_from <= asked {
        "whole bed free now".to_owned()
    } else {
        format!("whole bed free {}", day(free.whole_bed_free_from))
    };
    if let Some(weeks) = free.empty_weeks.filter(|weeks| *weeks > 0) {
        words.push_str(&format!(", then empty {}", counted(weeks.unsigned_abs(), "week", "weeks")));
    }
    words
}

fn next_lines(season: &BedSeason, scene: Scene<'_>, most: usize) -> Lines {
    let Scene { session, view, theme, .. } = scene;
    let next = season.standing.iter().filter(|standing| standing.stages.enters > view.week.sunday()).take(most);
    next.map(|next| {
        let name = session.plan().book().crops().get(next.crop_idx).map_or("?", |crop| crop.name.as_str());
        let when = text::day_seen_from(next.stages.enters, view.week.iso_year());
        (format!("next {when}: {name}, {}", counted(next.n_plants, "plant", "plants")), theme.faint())
    })
    .collect()
}

fn finding_lines(season: &BedSeason, scene: Scene<'_>) -> Lines {
    let Scene { session, theme, signs, .. } = scene;
    let open = season.findings.iter().filter(|finding| finding.accepted.is_none());
    open.filter(|finding| finding.severity > Severity::Note)
        .take(6)
        .map(|finding| {
            let words = format!("{} {}", signs.severity(finding.severity), headline(session.plan(), finding));
            (words, theme.severity(finding.severity))
        })
        .collect()
}
