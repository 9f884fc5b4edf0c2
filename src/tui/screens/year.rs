//! Beds by weeks: every planting a bar, empty ground in the growing season dotted, findings signed.
//!
//! ```text
//!          Jan      Feb      Mar      …                 months and the week looked at (v)
//! A1   ▲   ▌Leek▒▒▒▒▒▒▒▒▒▒████████·····▌Carrot▒▒▒▒▒▒███
//!                                 ▲Salad onion▒██         a second lane where two stand at once
//! A2       ····▌Pea▒▒▒▒▒▒███▌Leek▒▒▒▒▒▒▒▒▒▒▒▒▒▒█████
//! ---------------------------------------------------------------
//! the selected planting in a few lines
//! ```

use chrono::{Datelike, NaiveDate};
use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::ground::worst_from;
use crate::garden::{PlantingId, Severity};
use crate::season::{BedSeason, Says, Standing};
use crate::tui::keys::Command;
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::layers::{Desk, Layer};
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::tui::update::{select_standing, step_week};
use crate::tui::view::View;
use crate::tui::widgets::{paint, text};
use crate::units::Week;
use crate::units::text::shown;

/// Cells of a bed's label.
const LABEL_CELLS: u16 = 8;
/// Lines of the selected planting's summary.
const DETAIL_LINES: u16 = 5;
/// Lines of months and weeks.
const HEAD_LINES: u16 = 2;

/// The weeks drawn.
#[derive(Debug, Clone, Copy)]
struct Span {
    first: Week,
    n_weeks: usize,
    cells_per_week: u16,
}

impl Span {
    /// A whole year and what there is room for around it, so that stepping a week does not move the picture.
    fn of(width: u16, week: Week) -> Self {
        let room = width.saturating_sub(LABEL_CELLS).max(1);
        let cells_per_week = (room / 56).clamp(1, 4);
        let n_weeks = usize::from(room / cells_per_week);
        let year_start = Week::from_number(week.iso_year(), 1).unwrap_or(week);
        let first = if n_weeks >= 53 {
            year_start.plus(-(i64::try_from(n_weeks - 53).unwrap_or(0) / 3).min(4))
        } else {
            let page = usize::try_from(week.weeks_since(year_start)).unwrap_or(0) / n_weeks.max(1) * n_weeks;
            year_start.plus(i64::try_from(page).unwrap_or(0))
        };
        Self { first, n_weeks, cells_per_week }
    }

    /// Cell of a day, from the first one drawn; may lie outside.
    fn cell_of(self, day: NaiveDate) -> i64 {
        let days = crate::units::days_between(self.first.monday(), day);
        (days * i64::from(self.cells_per_week)).div_euclid(7)
    }

    fn n_cells(self) -> i64 {
        i64::try_from(self.n_weeks).unwrap_or(0) * i64::from(self.cells_per_week)
    }
}

fn regions(area: Rect) -> (Rect, Rect, Rect) {
    let detail = if area.height >= 14 { DETAIL_LINES } else { 0 };
    let head = Rect { height: HEAD_LINES.min(area.height), ..area };
    let body = Rect { y: head.bottom(), height: area.height.saturating_sub(head.height + detail), ..area };
    (head, body, Rect { y: body.bottom(), height: detail, ..area })
}

/// Plantings of a bed in lanes, so that no two of a lane meet.
fn lanes(bed: &BedSeason, span: Span) -> Vec<Vec<&Standing>> {
    let mut lanes: Vec<Vec<&Standing>> = Vec::new();
    let last = span.first.plus(i64::try_from(span.n_weeks).unwrap_or(0)).monday();
    for standing in &bed.standing {
        if standing.stages.clear <= span.first.monday() || standing.stages.enters >= last {
            continue;
        }
        let fits = |lane: &&mut Vec<&Standing>| {
            lane.last().is_none_or(|before| span.cell_of(before.stages.clear) <= span.cell_of(standing.stages.enters))
        };
        match lanes.iter_mut().find(fits) {
            Some(lane) => lane.push(standing),
            None => lanes.push(vec![standing]),
        }
    }
    if lanes.is_empty() {
        lanes.push(Vec::new());
    }
    lanes
}

/// The beds drawn, from the first, with the line of each: half the lines lie above the selected bed.
fn rows(session: &Session, view: &View, span: Span, height: u16) -> Vec<(usize, u16)> {
    let beds = session.plan.beds();
    let n_lanes = |idx: usize| u16::try_from(lanes(&beds[idx], span).len()).unwrap_or(1);
    if beds.is_empty() || height == 0 {
        return Vec::new();
    }
    let selected = view.bed_idx.min(beds.len() - 1);
    let mut first = selected;
    let mut above = 0;
    while first > 0 && above + n_lanes(first - 1) <= height / 2 {
        first -= 1;
        above += n_lanes(first);
    }
    // At the end of the garden the lines below are filled from above.
    let mut below = 0;
    let mut idx = selected;
    while idx < beds.len() && below < height {
        below += n_lanes(idx);
        idx += 1;
    }
    if idx == beds.len() {
        while first > 0 && above + below + n_lanes(first - 1) <= height {
            first -= 1;
            above += n_lanes(first);
        }
    }
    let mut rows = Vec::new();
    let mut y = 0;
    for idx in first..beds.len() {
        if y >= height {
            break;
        }
        rows.push((idx, y));
        y += n_lanes(idx);
    }
    rows
}

/// Draws the screen.
pub fn draw(frame: &mut Frame, area: Rect, session: &Session, view: &View) {
    let (theme, signs) = (Theme::of(view.options.has_colour), Signs::of(view.options.is_ascii));
    let buf = frame.buffer_mut();
    let (head, body, detail) = regions(area);
    let span = Span::of(area.width, view.week);
    draw_head(buf, head, view, span, theme, signs);
    for (idx, line) in rows(session, view, span, body.height) {
        draw_bed(buf, body, body.y + line, session, view, idx, span, theme, signs);
    }
    // The week looked at runs down the picture.
    let x = area.x + LABEL_CELLS + cell(span.cell_of(view.week.monday()), span);
    for y in body.top()..body.bottom() {
        let is_bare = |x: u16| buf.cell((x, y)).is_none_or(|cell| cell.symbol() == " ");
        // A space inside a name is no bare ground.
        let is_between_words = !is_bare(x.saturating_sub(1)) && !is_bare(x + 1);
        if x < body.right()
            && let Some(cell) = buf.cell_mut((x, y))
        {
            if cell.symbol() == " " && !is_between_words {
                cell.set_symbol(signs.upright).set_style(theme.faint());
            } else {
                cell.set_style(theme.this_week());
            }
        }
    }
    draw_detail(buf, detail, session, view, theme, signs);
}

fn cell(at: i64, span: Span) -> u16 {
    u16::try_from(at.clamp(0, span.n_cells())).unwrap_or(0)
}

fn draw_head(buf: &mut Buffer, area: Rect, view: &View, span: Span, theme: Theme, signs: &Signs) {
    let years = {
        let last = span.first.plus(i64::try_from(span.n_weeks).unwrap_or(1) - 1);
        let (a, b) = (span.first.monday().year(), last.monday().year());
        if a == b { a.to_string() } else { format!("{a}{}{:02}", signs.to, b.rem_euclid(100)) }
    };
    paint::put(buf, area, area.x, area.y, &years, theme.heading());
    let mut end_of_last = 0;
    for n in 0..span.n_weeks {
        let week = span.first.plus(i64::try_from(n).unwrap_or(0));
        let x = area.x + LABEL_CELLS + u16::try_from(n).unwrap_or(0) * span.cells_per_week;
        let monday = week.monday();
        if monday.day() <= 7 && x >= end_of_last {
            end_of_last = x + paint::put(buf, area, x, area.y, &monday.format("%b").to_string(), theme.plain()) + 1;
        }
        let marker = if week == view.week {
            let words = if span.cells_per_week >= 3 { format!("{:02}", week.number()) } else { "v".to_owned() };
            (words, theme.key())
        } else if week.number() % 4 == 1 && span.cells_per_week >= 2 {
            (format!("{:02}", week.number()), theme.faint())
        } else {
            (signs.dot.to_owned(), theme.faint())
        };
        if area.height > 1 && (span.cells_per_week >= 2 || week == view.week || week.number() % 4 == 1) {
            paint::put(buf, area, x, area.y + 1, &marker.0, marker.1);
        }
    }
}

fn finding_of(bed: &BedSeason, id: PlantingId) -> Option<Severity> {
    let open = bed.findings.iter().filter(|finding| finding.planting == Some(id) && finding.accepted.is_none());
    open.map(|finding| finding.severity).max().filter(|severity| *severity > Severity::Note)
}

fn draw_bed(
    buf: &mut Buffer,
    area: Rect,
    y: u16,
    session: &Session,
    view: &View,
    idx: usize,
    span: Span,
    theme: Theme,
    signs: &Signs,
) {
    let (Some(bed), Some(season)) = (session.plan.garden().beds.get(idx), session.plan.beds().get(idx)) else { return };
    let is_selected = idx == view.bed_idx;
    let style = if is_selected { theme.selected() } else { theme.heading() };
    let pointer = if is_selected { signs.pointer } else { " " };
    paint::put_filled(buf, area, area.x, y, &format!("{pointer}{}", shown(&bed.id)), LABEL_CELLS - 3, style, signs);
    if let Some(severity) = worst_from(season, span.first.monday()) {
        paint::put(buf, area, area.x + LABEL_CELLS - 2, y, signs.severity(severity), theme.severity(severity));
    }
    for gap in &season.findings {
        if let Says::Gap { from, until, .. } = gap.says {
            for at in span.cell_of(from).max(0)..span.cell_of(until).min(span.n_cells()) {
                paint::put(
                    buf,
                    area,
                    area.x + LABEL_CELLS + cell(at, span),
                    y,
                    signs.gap,
                    theme.severity(Severity::Note),
                );
            }
        }
    }
    let mut turn = 0;
    for (lane, n) in lanes(season, span).into_iter().zip(0u16..) {
        if y + n >= area.bottom() {
            return;
        }
        for standing in lane {
            let is_chosen = is_selected && view.planting == Some(standing.id);
            draw_bar(buf, area, y + n, session, season, standing, turn, is_chosen, span, theme, signs);
            turn += 1;
        }
    }
}

fn draw_bar(
    buf: &mut Buffer,
    area: Rect,
    y: u16,
    session: &Session,
    season: &BedSeason,
    standing: &Standing,
    turn: usize,
    is_chosen: bool,
    span: Span,
    theme: Theme,
    signs: &Signs,
) {
    let (enters, clear) = (span.cell_of(standing.stages.enters), span.cell_of(standing.stages.clear));
    let (start, end) = (enters.max(0), clear.max(enters + 1).min(span.n_cells()));
    if start >= end {
        return;
    }
    let (pick_start, pick_end) = (span.cell_of(standing.stages.first_pick), span.cell_of(standing.stages.last_pick));
    let style = if is_chosen { theme.selected() } else { theme.planting(turn) };
    let x_of = |at: i64| area.x + LABEL_CELLS + cell(at, span);
    for at in start..end {
        let is_picking = (pick_start..=pick_end).contains(&at);
        let sign = if is_picking { signs.bar_pick } else { signs.bar };
        // A full block reversed is bare ground.
        let is_solid = is_chosen && is_picking && !signs.is_ascii;
        paint::put(buf, area, x_of(at), y, sign, if is_solid { theme.heading() } else { style });
    }
    if is_chosen && let Some(spread) = session.plan.spread(standing.id) {
        // Cells in which it stands in some years only.
        for at in end..span.cell_of(spread.late.clear).min(span.n_cells()) {
            let x = x_of(at);
            if buf.cell((x, y)).is_some_and(|cell| cell.symbol() == " ") {
                paint::put(buf, area, x, y, signs.some_years, theme.faint());
            }
        }
    }
    let severity = finding_of(season, standing.id);
    let (head, head_style) = match severity {
        Some(severity) => (signs.severity(severity), theme.severity(severity)),
        None => (signs.bar_start, style),
    };
    paint::put(buf, area, x_of(start), y, head, head_style);
    let name = session.plan.book().crops().get(standing.crop_idx).map_or("?", |crop| crop.short_name.as_str());
    let room = usize::try_from(end - start - 1).unwrap_or(0);
    let label = if text::width(name) <= room { name.to_owned() } else { text::cut(name, room, "") };
    paint::put(buf, area, x_of(start + 1), y, &label, style.patch(theme.heading()));
}

fn draw_detail(buf: &mut Buffer, area: Rect, session: &Session, view: &View, theme: Theme, signs: &Signs) {
    if area.height < 2 {
        return;
    }
    paint::put(buf, area, area.x, area.y, &signs.rule.repeat(usize::from(area.width)), theme.faint());
    let Some(season) = session.plan.beds().get(view.bed_idx) else { return };
    let mut lines: Vec<(String, ratatui::style::Style)> = Vec::new();
    let chosen = view.planting.and_then(|id| session.plan.standing(id).zip(session.plan.garden().planting(id)));
    match chosen {
        Some((standing, planting)) => {
            let crop = session.plan.book().crops().get(standing.crop_idx);
            let name = crop.map_or("?", |crop| crop.name.as_str());
            let stages = standing.stages;
            lines.push((
                format!(
                    "{name} in {}: {}, {}{}{} cm, in {}, picked {} {} {}, free {}",
                    shown(&planting.bed),
                    text::count(standing.n_plants, "plant", "plants"),
                    planting.from_mm,
                    signs.to,
                    planting.to_mm,
                    text::day(stages.enters),
                    text::day(stages.first_pick),
                    signs.to,
                    text::day(stages.last_pick),
                    text::day_and_week(stages.clear)
                ),
                theme.plain(),
            ));
            if let Some(spread) =
                session.plan.spread(standing.id).filter(|spread| spread.early.clear < spread.late.clear)
            {
                let basis = if spread.is_from_weather { "recorded years" } else { "the spread of the normals" };
                let words = format!(
                    "eight years in ten: first picked {} {} {}, free {} {} {} (by {basis})",
                    text::day(spread.early.first_pick),
                    signs.to,
                    text::day(spread.late.first_pick),
                    text::day(spread.early.clear),
                    signs.to,
                    text::day(spread.late.clear)
                );
                lines.push((words, theme.faint()));
            }
            for finding in season.findings.iter().filter(|finding| finding.planting == Some(standing.id)).take(2) {
                let accepted = if finding.accepted.is_some() { " (accepted)" } else { "" };
                let words =
                    format!("{} {}{accepted}", signs.severity(finding.severity), session.plan.headline(finding));
                lines.push((words, theme.severity(finding.severity)));
            }
        }
        None => {
            let free = session.plan.free_up(view.bed_idx, view.week.sunday());
            lines.push((format!("whole bed free {}", text::day_and_week(free.whole_bed_free_from)), theme.plain()));
            lines.push(("Tab selects a planting".to_owned(), theme.faint()));
        }
    }
    for ((words, style), y) in lines.into_iter().zip(area.y + 1..area.bottom()) {
        paint::put_filled(buf, area, area.x + 1, y, &words, area.width.saturating_sub(1), style, signs);
    }
}

/// Runs a command that means something of its own here; whether it did.
pub fn run(command: Command, desk: &mut Desk<'_>) -> bool {
    let n_beds = desk.session.plan.garden().beds.len();
    let target = match command {
        Command::MoveUp => desk.view.bed_idx.saturating_sub(1),
        Command::MoveDown => (desk.view.bed_idx + 1).min(n_beds.saturating_sub(1)),
        Command::First => 0,
        Command::Last => n_beds.saturating_sub(1),
        Command::MoveLeft => {
            step_week(desk.view, -1);
            return true;
        }
        Command::MoveRight => {
            step_week(desk.view, 1);
            return true;
        }
        Command::Open => {
            if let Some(form) = desk.view.planting.and_then(|id| PlantingForm::change(desk.session, id)) {
                desk.view.layers.push(Layer::PlantingForm(Box::new(form)));
            }
            return true;
        }
        _ => return false,
    };
    if target != desk.view.bed_idx {
        desk.view.bed_idx = target;
        desk.view.planting = None;
        select_standing(desk.session, desk.view);
    }
    true
}

/// The bed and week drawn at a cell, for the mouse.
pub fn bed_and_week_at(area: Rect, session: &Session, view: &View, at: (u16, u16)) -> Option<(usize, Week)> {
    let (_, body, _) = regions(area);
    if !body.contains(at.into()) || at.0 < body.x + LABEL_CELLS {
        return None;
    }
    let span = Span::of(area.width, view.week);
    let week = span.first.plus(i64::from((at.0 - body.x - LABEL_CELLS) / span.cells_per_week));
    let line = at.1 - body.y;
    let rows = rows(session, view, span, body.height);
    let idx = rows.iter().rev().find(|(_, y)| *y <= line).map(|(idx, _)| *idx)?;
    Some((idx, week))
}
