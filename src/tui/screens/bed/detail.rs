//! The selected planting in detail: its days, what to sow, its findings; then when the bed frees up and what could follow.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::rows::Row;
use crate::layout::sowing_need;
use crate::tui::scene::Scene;
use crate::tui::session::Session;
use crate::tui::view::View;
use crate::tui::widgets::{paint, text};
use crate::tui::wording;
use crate::units::text::shown;
use crate::words::{headline, reason_words};
use crate::words::{need_words, severity_word};

/// Candidates named.
const CANDIDATES: usize = 3;

/// Lines from which past years may take more than one.
const PAST_ROOM: u16 = 10;

fn view_past(session: &Session, view: &View) -> String {
    let bed = session.plan().garden().beds.get(view.bed_idx);
    bed.map_or_else(String::new, |bed| wording::past_years(session.plan(), &bed.id))
}

/// Draws it.
pub fn draw(buf: &mut Buffer, area: Rect, rows: &[Row<'_>], scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let width = usize::from(area.width.saturating_sub(2)).max(1);
    let mut lines: Vec<(String, Style)> = Vec::new();
    if let Some(row) = rows.iter().find(|row| Some(row.planting.id) == view.planting) {
        planting_lines(&mut lines, row, scene, width);
    }
    let past = view_past(session, view);
    if !past.is_empty() && usize::from(area.height) > lines.len() {
        let words = format!("past years (y changes them): {past}");
        let most = if area.height >= PAST_ROOM { usize::MAX } else { 1 };
        lines.extend(text::wrap(&words, width).into_iter().take(most).map(|line| (line, theme.faint())));
    }
    if usize::from(area.height) > lines.len() {
        bed_lines(&mut lines, area, scene, width);
    }
    for ((line, style), y) in lines.iter().zip(area.top()..area.bottom()) {
        paint::put(buf, area, area.x + 1, y, &text::cut(line, width, signs.ellipsis), *style);
    }
}

fn planting_lines(lines: &mut Vec<(String, Style)>, row: &Row<'_>, scene: Scene<'_>, width: usize) {
    let Scene { session, view, theme, signs, .. } = scene;
    let (plan, planting) = (session.plan(), row.planting);
    let year = view.week.iso_year();
    let mut clauses = vec![format!("{} {}", row.letter, wording::crop_and_variety(plan, planting))];
    if let Some(standing) = row.standing {
        clauses.push(wording::counts(standing, planting.clump, signs));
    }
    if let (Some(crop), Some(standing)) = (plan.book().crop(&planting.crop), row.standing) {
        let need = sowing_need(standing.n_stations, planting.clump, &crop.seed, planting.raised);
        clauses.push(need_words(&need, planting.raised));
    }
    let heads = wording::flow(&clauses, width, signs);
    lines.extend(heads.into_iter().map(|line| (line, theme.heading())));
    if let Some(standing) = row.standing {
        let dates = wording::dates(&standing.stages, year, signs);
        lines.extend(wording::flow(&dates, width, signs).into_iter().map(|line| (line, theme.plain())));
    }
    let findings = plan.beds().get(view.bed_idx).map_or(&[][..], |bed| &bed.findings);
    for finding in findings.iter().filter(|finding| finding.planting == Some(planting.id)) {
        let (sign, style) = if finding.accepted.is_some() {
            (signs.accepted, theme.faint())
        } else {
            (signs.severity(finding.severity), theme.severity(finding.severity))
        };
        let word = if finding.accepted.is_some() { "accepted" } else { severity_word(finding.severity) };
        let words = format!("{sign} {word}: {}", headline(plan, finding));
        lines.extend(text::wrap(&words, width).into_iter().map(|line| (line, style)));
    }
    if !planting.notes.is_empty() {
        let notes = format!("notes: {}", shown(&planting.notes));
        lines.extend(text::wrap(&notes, width).into_iter().map(|line| (line, theme.faint())));
    }
}

fn bed_lines(lines: &mut Vec<(String, Style)>, area: Rect, scene: Scene<'_>, width: usize) {
    let Scene { session, view, theme, signs, .. } = scene;
    let year = view.week.iso_year();
    let (asked, free) = session.free_up(view.bed_idx, view.week);
    if free.strips.len() > 1 {
        lines.push(("Frees up".to_owned(), theme.heading()));
        for strip in &free.strips {
            let place = wording::strip(strip.from_mm, strip.to_mm, strip.side, signs);
            let from = if strip.free_from <= asked { "now".to_owned() } else { wording::date(strip.free_from, year) };
            let until = strip.until.map_or_else(String::new, |day| format!(", until {}", wording::date(day, year)));
            lines.push((format!("  {place} cm: {from}{until}"), theme.plain()));
        }
    }
    if usize::from(area.height) < lines.len() + CANDIDATES + 1 {
        return;
    }
    lines.extend(
        candidate_lines(scene, CANDIDATES)
            .into_iter()
            .map(|(words, style)| (text::cut(&words, width, signs.ellipsis), style)),
    );
}

/// What could go into the bed next, the best first, under a heading; nothing if there is nothing.
pub(in crate::tui) fn candidate_lines(scene: Scene<'_>, most: usize) -> Vec<(String, Style)> {
    let Scene { session, view, theme, .. } = scene;
    let (plan, year) = (session.plan(), view.week.iso_year());
    let (asked, free) = session.free_up(view.bed_idx, view.week);
    let day = free.free_from.max(session.today);
    let candidates = plan.candidates_seen_from(view.bed_idx, day, session.today);
    if candidates.is_empty() {
        return Vec::new();
    }
    let heading = if free.whole_bed_free_from <= asked { "Could go in" } else { "Could follow" };
    let mut lines = vec![(format!("{heading} (n lists all)"), theme.heading())];
    for candidate in candidates.iter().take(most) {
        let Some(crop) = plan.book().crops().get(candidate.crop_idx) else { continue };
        let mut words = format!("  {}, in {}", crop.name, wording::date(candidate.enters, year));
        if let Some(reason) = candidate.reasons.first() {
            words.push_str(&format!(": {}", reason_words(plan, reason)));
        }
        lines.push((words, theme.plain()));
    }
    lines
}
