//! Beds by weeks: every planting is a bar, empty ground in the growing season is dotted, findings are marked.
//!
//! ```text
//!          Jan      Feb      Mar      …                 months and the week looked at (v)
//! A1   ▲   ▌Leek▒▒▒▒▒▒▒▒▒▒████████·····▌Carrot▒▒▒▒▒▒███
//!                                 ▲Salad onion▒██         a second lane where two stand at once
//! A2       ····▌Pea▒▒▒▒▒▒███▌Leek▒▒▒▒▒▒▒▒▒▒▒▒▒▒█████
//! ---------------------------------------------------------------
//! the selected planting in a few lines
//!
//! Days that vary from year to year are drawn as ranges that hold eight years in ten: ▓ where it is picked in some years only, at
//! either end of the picking; ░ where it still stands in some years only.
//! ```

use chrono::{Datelike, Months, NaiveDate};
use ratatui::Frame;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;

use super::ground::worst_from;
use crate::garden::{PlantingId, Severity};
use crate::growth::Spread;
use crate::season::{BedSeason, Says, Standing};
use crate::tui::context::Context;
use crate::tui::keys::Command;
use crate::tui::layers::Layer;
use crate::tui::layers::planting_form::PlantingForm;
use crate::tui::scene::Scene;
use crate::tui::screens::Ran;
use crate::tui::session::Session;
use crate::tui::signs::Signs;
use crate::tui::view::View;
use crate::tui::widgets::{paint, text};
use crate::units::Week;
use crate::units::text::shown;
use crate::words::{counted, headline};

/// Cells of a bed's label.
const LABEL_CELLS: u16 = 8;
/// Lines of the selected planting's summary.
const DETAIL_LINES: u16 = 5;
/// Months drawn before that of the week looked at.
const MONTHS_BEFORE: u32 = 2;
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
    /// Starts two months before the week looked at, which leaves most of the width to the season to come. Starting on the first of
    /// a month, the picture moves only when a step reaches another month.
    fn of(width: u16, week: Week) -> Self {
        let room = width.saturating_sub(LABEL_CELLS).max(1);
        let cells_per_week = (room / 56).clamp(1, 4);
        let n_weeks = usize::from(room / cells_per_week);
        let month = week.monday().checked_sub_months(Months::new(MONTHS_BEFORE)).and_then(|day| day.with_day(1));
        Self { first: month.map_or(week, Week::of), n_weeks, cells_per_week }
    }

    /// Cell of a day, counted from the first one drawn; may lie outside.
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

/// Plantings of a bed in lanes, so that no two in a lane overlap.
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

/// The beds drawn, with the line of each: up to half the lines are above the selected bed.
fn rows(session: &Session, view: &View, span: Span, height: u16) -> Vec<(usize, u16)> {
    let beds = session.plan().beds();
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
    // At the end of the garden, lines left over below are used above.
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
pub fn draw(frame: &mut Frame, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    let buf = frame.buffer_mut();
    let (head, body, detail) = regions(area);
    let span = Span::of(area.width, view.week);
    draw_head(buf, head, scene, span);
    for (idx, line) in rows(session, view, span, body.height) {
        draw_bed(buf, body, body.y + line, scene, idx, span);
    }
    // A rule through the picture marks the week looked at.
    let x = area.x + LABEL_CELLS + cell(span.cell_of(view.week.monday()), span);
    for y in body.top()..body.bottom() {
        let is_bare = |x: u16| buf.cell((x, y)).is_none_or(|cell| cell.symbol() == " ");
        // A space inside a name is not bare ground.
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
    draw_detail(buf, detail, scene);
}

fn cell(at: i64, span: Span) -> u16 {
    u16::try_from(at.clamp(0, span.n_cells())).unwrap_or(0)
}

fn draw_head(buf: &mut Buffer, area: Rect, scene: Scene<'_>, span: Span) {
    let Scene { view, theme, signs, .. } = scene;
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

fn draw_bed(buf: &mut Buffer, area: Rect, y: u16, scene: Scene<'_>, idx: usize, span: Span) {
    let Scene { session, view, theme, signs, .. } = scene;
    let (Some(bed), Some(season)) = (session.plan().garden().beds.get(idx), session.plan().beds().get(idx)) else {
        return;
    };
    let is_selected = idx == view.bed_idx;
    let style = if is_selected { theme.selected() } else { theme.heading() };
    let pointer = if is_selected { signs.pointer } else { " " };
    paint::put_filled(
        buf,
        paint::cells_of(area, area.x, y, LABEL_CELLS - 3),
        &format!("{pointer}{}", shown(&bed.id)),
        style,
        signs,
    );
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
        let lane_line = LaneLine { scene, span, area, y: y + n };
        let first_turn = turn;
        for standing in &lane {
            let is_chosen = is_selected && view.planting == Some(standing.id);
            draw_bar(buf, lane_line, season, standing, turn, is_chosen);
            turn += 1;
        }
        for (standing, turn) in lane.iter().zip(first_turn..) {
            draw_tail(buf, lane_line, standing, turn);
        }
    }
}

/// The line of the picture on which a lane's bars are drawn.
#[derive(Clone, Copy)]
struct LaneLine<'a> {
    scene: Scene<'a>,
    span: Span,
    area: Rect,
    y: u16,
}

fn draw_bar(
    buf: &mut Buffer,
    line: LaneLine<'_>,
    season: &BedSeason,
    standing: &Standing,
    turn: usize,
    is_chosen: bool,
) {
    let LaneLine { scene: Scene { session, theme, signs, .. }, span, area, y } = line;
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
        // A full block in reverse would look like bare ground.
        let is_solid = is_chosen && is_picking && !signs.is_ascii;
        paint::put(buf, area, x_of(at), y, sign, if is_solid { theme.heading() } else { style });
    }
    if let Some(spread) = range_of(session, standing) {
        let early_pick = span.cell_of(spread.early.first_pick);
        let (late_pick, early_clear) = (cell_after(spread.late.first_pick, span), span.cell_of(spread.early.clear));
        for at in (early_pick.max(start)..late_pick.min(end)).chain(early_clear.max(start)..end) {
            let is_unpicked = at > pick_end && at >= early_clear;
            let sign = if is_unpicked { signs.maybe_stands } else { signs.maybe_picked };
            paint::put(buf, area, x_of(at), y, sign, style);
        }
    }
    let severity = finding_of(season, standing.id);
    let (head, head_style) = match severity {
        Some(severity) => (signs.severity(severity), theme.severity(severity)),
        None => (signs.bar_start, style),
    };
    paint::put(buf, area, x_of(start), y, head, head_style);
    let name = session.plan().book().crops().get(standing.crop_idx).map_or("?", |crop| crop.short_name.as_str());
    let room = usize::try_from(end - start - 1).unwrap_or(0);
    let label = if text::width(name) <= room { name.to_owned() } else { text::cut(name, room, "") };
    paint::put(buf, area, x_of(start + 1), y, &label, style.patch(theme.heading()));
}

/// The range of a planting's days, if they have one.
fn range_of(session: &Session, standing: &Standing) -> Option<Spread> {
    session.plan().spread(standing.id).filter(|spread| spread.early != spread.late)
}

/// The cell after the one of the day before.
fn cell_after(day: NaiveDate, span: Span) -> i64 {
    day.pred_opt().map_or(0, |day| span.cell_of(day) + 1)
}

/// Draws the weeks in which it still stands in some years: up to the day by which it is cleared in nine years of ten. If the next
/// bar of the lane begins within them, they take its first cell.
fn draw_tail(buf: &mut Buffer, line: LaneLine<'_>, standing: &Standing, turn: usize) {
    let LaneLine { scene: Scene { session, theme, signs, .. }, span, area, y } = line;
    let has_range = |spread: &Spread| spread.early.clear < spread.late.clear;
    let Some(spread) = range_of(session, standing).filter(has_range) else { return };
    let enters = span.cell_of(standing.stages.enters);
    let start = span.cell_of(standing.stages.clear).max(enters + 1).max(0);
    for at in start..cell_after(spread.late.clear, span).min(span.n_cells()) {
        let x = area.x + LABEL_CELLS + cell(at, span);
        let Some(there) = buf.cell((x, y)) else { return };
        let is_bar = ![" ", signs.gap].contains(&there.symbol());
        if !is_bar || there.symbol() == signs.bar_start {
            paint::put(buf, area, x, y, signs.maybe_stands, theme.planting(turn));
        }
        if is_bar {
            return;
        }
    }
}

/// The legend of the bars, and what the ranges are based on.
fn legend(session: &Session, signs: &Signs) -> String {
    format!(
        " {} stands  {} picked  {}{} in some years only, {} ",
        signs.bar,
        signs.bar_pick,
        signs.maybe_picked,
        signs.maybe_stands,
        basis_words(session)
    )
}

fn basis_words(session: &Session) -> String {
    match session.plan().n_weather_years() {
        Some(n) => format!("from {}", counted(n as u64, "weather year", "weather years")),
        None => "by year-to-year variation".to_owned(),
    }
}

fn draw_detail(buf: &mut Buffer, area: Rect, scene: Scene<'_>) {
    let Scene { session, view, theme, signs, .. } = scene;
    if area.height < 2 {
        return;
    }
    paint::put(buf, area, area.x, area.y, &signs.rule.repeat(usize::from(area.width)), theme.faint());
    let room = usize::from(area.width.saturating_sub(2));
    paint::put(buf, area, area.x + 2, area.y, &text::cut(&legend(session, signs), room, signs.ellipsis), theme.plain());
    let Some(season) = session.plan().beds().get(view.bed_idx) else { return };
    let mut lines: Vec<(String, ratatui::style::Style)> = Vec::new();
    let chosen = view.planting.and_then(|id| session.plan().standing(id).zip(session.plan().garden().planting(id)));
    match chosen {
        Some((standing, planting)) => {
            let crop = session.plan().book().crops().get(standing.crop_idx);
            let name = crop.map_or("?", |crop| crop.name.as_str());
            let stages = standing.stages;
            let year = view.week.iso_year();
            lines.push((
                format!(
                    "{name} in {}: {}, {}{}{} cm, in {}, picked {} {} {}, free {}",
                    shown(&planting.bed),
                    counted(standing.n_plants, "plant", "plants"),
                    planting.from_mm,
                    signs.to,
                    planting.to_mm,
                    text::day_seen_from(stages.enters, year),
                    text::day_seen_from(stages.first_pick, year),
                    signs.to,
                    text::day_seen_from(stages.last_pick, year),
                    text::day_and_week_seen_from(stages.clear, year)
                ),
                theme.plain(),
            ));
            if let Some(spread) = range_of(session, standing) {
                let day = |day: NaiveDate| text::day_seen_from(day, year);
                let range = |what: &str, early: NaiveDate, late: NaiveDate| {
                    (early < late).then(|| format!("{what} {} {} {}", day(early), signs.to, day(late)))
                };
                let ranges = [
                    range("first picked", spread.early.first_pick, spread.late.first_pick),
                    range("free", spread.early.clear, spread.late.clear),
                ];
                let ranges = ranges.into_iter().flatten().collect::<Vec<_>>().join(", ");
                let words = format!("in eight years out of ten, {ranges}, {}", basis_words(session));
                lines.push((words, theme.faint()));
            }
            for finding in season.findings.iter().filter(|finding| finding.planting == Some(standing.id)).take(2) {
                let accepted = if finding.accepted.is_some() { " (accepted)" } else { "" };
                let words =
                    format!("{} {}{accepted}", signs.severity(finding.severity), headline(session.plan(), finding));
                lines.push((words, theme.severity(finding.severity)));
            }
        }
        None => {
            let (_, free) = session.free_up(view.bed_idx, view.week);
            let when = text::day_and_week_seen_from(free.whole_bed_free_from, view.week.iso_year());
            lines.push((format!("whole bed free {when}"), theme.plain()));
            lines.push(("Tab selects a planting".to_owned(), theme.faint()));
        }
    }
    let width = usize::from(area.width.saturating_sub(2));
    let wrapped = lines
        .into_iter()
        .flat_map(|(words, style)| text::wrap(&words, width).into_iter().map(move |line| (line, style)));
    for ((words, style), y) in wrapped.zip(area.y + 1..area.bottom()) {
        paint::put(buf, area, area.x + 1, y, &words, style);
    }
}

/// Runs a command that means something of its own here.
pub fn run(command: Command, cx: &mut Context<'_>) -> Ran {
    let n_beds = cx.session.plan().garden().beds.len();
    let target = match command {
        Command::MoveUp => cx.view.bed_idx.saturating_sub(1),
        Command::MoveDown => (cx.view.bed_idx + 1).min(n_beds.saturating_sub(1)),
        Command::First => 0,
        Command::Last => n_beds.saturating_sub(1),
        Command::MoveLeft => {
            cx.view.step_weeks(-1);
            return Ran::Here;
        }
        Command::MoveRight => {
            cx.view.step_weeks(1);
            return Ran::Here;
        }
        Command::Open => {
            if let Some(form) = cx.view.planting.and_then(|id| PlantingForm::change(cx.session, id)) {
                return Ran::opens(Layer::PlantingForm(Box::new(form)));
            }
            return Ran::Here;
        }
        _ => return Ran::NotHere,
    };
    if target != cx.view.bed_idx {
        cx.view.bed_idx = target;
        cx.view.planting = None;
        cx.view.select_standing(cx.session);
    }
    Ran::Here
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

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::climate::{Weather, WeatherDay};
    use crate::crops::CropBook;
    use crate::season::Plan;
    use crate::tui::fixture::{day, garden, look_at, text};
    use crate::tui::ui::Ui;
    use crate::tui::view::{Options, Screen};

    fn look_at_year() -> (Session, Ui) {
        let (session, mut ui) = look_at(garden(), Options::default());
        ui.view.screen = Screen::Year;
        (session, ui)
    }

    #[test]
    fn the_range_of_every_planting_is_drawn_selected_or_not() {
        let (session, mut ui) = look_at_year();
        for selected in [1, 3] {
            ui.view.planting = Some(PlantingId(selected));
            let screen = text(&session, &ui, 200, 50);
            let spread = session.plan().spread(PlantingId(3)).unwrap();
            let stages = session.plan().standing(PlantingId(3)).unwrap().stages;
            assert!(spread.early.first_pick < spread.late.first_pick && stages.clear < spread.late.clear);
            let carrot = screen.lines().find(|line| line.contains("Carrot main")).unwrap();
            let bar = &carrot[carrot.find("Carrot main").unwrap()..];
            let span = Span::of(200, ui.view.week);
            let n_tail = cell_after(spread.late.clear, span) - span.cell_of(stages.clear);
            let tail: String = bar.chars().skip_while(|c| *c != '░').take_while(|c| *c == '░').collect();
            assert_eq!(tail.chars().count() as i64, n_tail, "{carrot}");
            assert!(bar.contains('▓'), "{carrot}");
        }
    }

    #[test]
    fn two_months_before_the_week_looked_at_and_the_season_after_it_are_drawn() {
        for (width, n_after) in [(80, 58), (200, 49)] {
            for date in ["2027-01-01", "2027-03-03", "2027-07-14", "2027-12-29"] {
                let week = Week::of(day(date));
                let span = Span::of(width, week);
                let before = week.weeks_since(span.first);
                assert!((8..=14).contains(&before), "{date}: {before} weeks before");
                assert!(span.n_weeks as i64 - before >= n_after, "{date}: {} weeks in all", span.n_weeks);
            }
            // 5 to 26 July lie in one month: the picture stays.
            let firsts = ["2027-07-05", "2027-07-26"].map(|date| Span::of(width, Week::of(day(date))).first);
            assert_eq!(firsts, [Week::of(day("2027-05-01")); 2]);
        }
    }

    #[test]
    fn what_ranges_rest_on_is_said() {
        let (mut session, ui) = look_at_year();
        assert!(text(&session, &ui, 80, 24).contains("in some years only, by year-to-year variation"));
        // Three years alike but for a degree each.
        let days = day("2020-01-01").iter_days().take_while(|date| *date <= day("2022-12-31"));
        let days = days.map(|date| {
            let mean_c = 9.0 - 6.0 * (f64::from(date.ordinal()) / 365.0 * std::f64::consts::TAU).cos()
                + f64::from(date.year() - 2021);
            WeatherDay { tmin_c: mean_c - 4.0, tmax_c: mean_c + 4.0, rain_mm: None }
        });
        let weather = Weather::from_days(day("2020-01-01"), days.collect()).unwrap();
        let book = Arc::new(CropBook::embedded().unwrap());
        session.show_instead(Plan::with_weather(garden(), &book, Some(Arc::new(weather))));
        assert!(text(&session, &ui, 80, 24).contains("in some years only, from 3 weather years"));
    }

    #[test]
    fn year_with_ranges_at_80_by_24() {
        let (session, ui) = look_at_year();
        insta::assert_snapshot!(text(&session, &ui, 80, 24));
    }

    #[test]
    fn year_with_ranges_at_200_by_50() {
        let (session, ui) = look_at_year();
        insta::assert_snapshot!(text(&session, &ui, 200, 50));
    }
}
