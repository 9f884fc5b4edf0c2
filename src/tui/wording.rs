//! Plantings, layouts, counts and fit in the short words of the screens.

use std::collections::BTreeMap;

use chrono::{Datelike, NaiveDate};

use crate::fit::{FitReport, Verdict};
use crate::garden::{Layout, Planting, PlantingId, Run, Side};
use crate::growth::Stages;
use crate::season::{FreeUp, Plan, Standing};
use crate::tui::signs::Signs;
use crate::tui::widgets::text::{self, day};
use crate::units::text::shown;
use crate::units::{Mm, Week};
use crate::words::{change_words, counted, crop_name, crop_of, decimal, edge_word, past_name, side_word, verdict_word};

/// Past crops of a bed by year, the latest first: `2026 Calabrese, Cabbage; 2025 Leek`. Empty if none is known.
pub(in crate::tui) fn past_years(plan: &Plan, bed_id: &str) -> String {
    let mut by_year: BTreeMap<i32, Vec<String>> = BTreeMap::new();
    for past in plan.garden().past.iter().filter(|past| past.bed == bed_id) {
        let strip = past.strip_mm.map_or_else(String::new, |(from, to)| format!(" {from} to {to} cm"));
        by_year.entry(past.year).or_default().push(format!("{}{strip}", past_name(plan, &past.what)));
    }
    let years = by_year.iter().rev().map(|(year, names)| format!("{year} {}", names.join(", ")));
    years.collect::<Vec<_>>().join("; ")
}

/// Crop and variety.
pub(in crate::tui) fn crop_and_variety(plan: &Plan, planting: &Planting) -> String {
    let name = crop_name(plan, planting);
    if planting.variety.is_empty() { name } else { format!("{name} '{}'", shown(&planting.variety)) }
}

/// `0–240`, `0–240 left`.
pub(in crate::tui) fn strip(from: Mm, to: Mm, side: Side, signs: &Signs) -> String {
    match side {
        Side::Whole => format!("{from}{}{to}", signs.to),
        _ => format!("{from}{}{to} {}", signs.to, side_word(side)),
    }
}

/// The layout with its distances in cm: `grid 30`, `rows 40×15 across`, `drill 25, 60/m`.
pub(in crate::tui) fn layout(plan: &Plan, layout: &Layout, signs: &Signs) -> String {
    let across = |run: Run| if run == Run::Across { " across" } else { "" };
    match layout {
        Layout::Grid { spacing_mm } => format!("grid {spacing_mm}"),
        Layout::Offset { spacing_mm } => format!("offset {spacing_mm}"),
        Layout::Rows { row_mm, in_row_mm, run } => {
            format!("rows {row_mm}{}{in_row_mm}{}", signs.times, across(*run))
        }
        Layout::Drill { row_mm, plants_per_m, run } => {
            format!("drill {row_mm}, {}/m{}", decimal(*plants_per_m), across(*run))
        }
        Layout::Edge { spacing_mm, along } => format!("edge {spacing_mm} {}", edge_word(*along)),
        Layout::Between { host } => format!("between {}", crop_of(plan, *host)),
        Layout::Broadcast { plants_per_m2 } => format!("broadcast {}/{}", decimal(*plants_per_m2), square_m(signs)),
    }
}

/// The same; in a narrow list, a host goes by its short name.
pub(in crate::tui) fn layout_in_list(plan: &Plan, of: &Layout, is_narrow: bool, signs: &Signs) -> String {
    let short = |host: PlantingId| {
        let host = plan.garden().planting(host)?;
        plan.book().crop(&host.crop).map(|crop| format!("between {}", crop.short_name))
    };
    match of {
        Layout::Between { host } if is_narrow => short(*host).unwrap_or_else(|| layout(plan, of, signs)),
        _ => layout(plan, of, signs),
    }
}

/// Square metre.
pub(in crate::tui) fn square_m(signs: &Signs) -> &'static str {
    if signs.is_ascii { "m2" } else { "m²" }
}

/// `32×4=128`, for lists.
pub(in crate::tui) fn counts_short(standing: &Standing, clump: u32, signs: &Signs) -> String {
    if clump == 1 {
        standing.n_plants.to_string()
    } else {
        format!("{}{}{clump}={}", standing.n_stations, signs.times, standing.n_plants)
    }
}

/// `32 stations × 4 = 128 plants in 4 lines`.
pub(in crate::tui) fn counts(standing: &Standing, clump: u32, signs: &Signs) -> String {
    let plants = counted(standing.n_plants, "plant", "plants");
    let all = if clump == 1 {
        plants
    } else {
        let stations = counted(standing.n_stations, "station", "stations");
        format!("{stations} {} {clump} = {plants}", signs.times)
    };
    if standing.n_lines == 0 { all } else { format!("{all} in {}", counted(standing.n_lines, "line", "lines")) }
}

/// `5 Apr W14`; with its year where that is not the one looked at.
pub(in crate::tui) fn date(date: NaiveDate, year: i32) -> String {
    let week = Week::of(date);
    if date.year() == year {
        format!("{} W{:02}", day(date), week.number())
    } else {
        format!("{} {} W{:02}", day(date), date.year(), week.number())
    }
}

/// `9 Jun W23–2 Mar 28 W09`, for lists.
pub(in crate::tui) fn in_and_out(stages: &Stages, year: i32, signs: &Signs) -> String {
    let one = |date: NaiveDate| {
        let years = if date.year() == year { String::new() } else { date.format(" %y").to_string() };
        format!("{}{years} W{:02}", day(date), Week::of(date).number())
    };
    format!("{}{}{}", one(stages.enters), signs.to, one(stages.clear))
}

/// The days of a planting's life, each by name.
pub(in crate::tui) fn dates(stages: &Stages, year: i32, signs: &Signs) -> Vec<String> {
    let mut words = Vec::new();
    match stages.sow {
        Some(sow) if sow == stages.enters => words.push(format!("sown in place {}", date(sow, year))),
        Some(sow) => {
            words.push(format!("sow {}", date(sow, year)));
            words.push(format!("plant out {}", date(stages.enters, year)));
        }
        None => words.push(format!("plant {}", date(stages.enters, year))),
    }
    if stages.first_pick == stages.last_pick {
        words.push(format!("pick {}", date(stages.first_pick, year)));
    } else {
        words.push(format!("pick {} {} {}", date(stages.first_pick, year), signs.to, date(stages.last_pick, year)));
    }
    words.push(format!("clear {}", date(stages.clear, year)));
    words
}

/// How two plantings share ground; `stands` goes in first.
pub(in crate::tui) fn fit(report: &FitReport, other: &str, stands: &str, joins: &str) -> String {
    let lost = report.share_lost_max * 100.0;
    let mut words = format!("{} beside {other}: ", verdict_word(report.verdict));
    if lost < 0.5 {
        words.push_str("no plant loses room");
    } else {
        words.push_str(&format!("a plant loses {lost:.0} % of its room at most"));
        if let Some(week) = report.worst_week {
            words.push_str(&format!(", in {week}"));
        }
    }
    if let Some(week) = report.first_bad_week {
        words.push_str(&format!("; first too close in {week}"));
    }
    match report.out_by_week {
        Some(week) if report.verdict == Verdict::Fits => {
            words.push_str(&format!("; both stand until the end of {week}"));
        }
        Some(week) => words.push_str(&format!("; out by the end of {week}")),
        None => {}
    }
    if report.verdict != Verdict::Fits
        && let Some(change) = &report.nearest_change
    {
        words.push_str("; would fit: ");
        words.push_str(&change_words(change, stands, joins));
    }
    words
}

/// When the bed frees up, in one line.
pub(in crate::tui) fn frees_up(free: &FreeUp, asked: NaiveDate, year: i32, signs: &Signs) -> String {
    let when = |day: NaiveDate| if day <= asked { "now".to_owned() } else { date(day, year) };
    let mut words = if free.free_from == free.whole_bed_free_from {
        format!("whole bed free {}", when(free.whole_bed_free_from))
    } else {
        let first = free.strips.iter().find(|strip| strip.free_from == free.free_from);
        let part = first.map_or_else(
            || "part".to_owned(),
            |first| format!("{} cm", strip(first.from_mm, first.to_mm, first.side, signs)),
        );
        format!("{part} free {}, whole bed {}", when(free.free_from), when(free.whole_bed_free_from))
    };
    if let Some(weeks) = free.empty_weeks.filter(|weeks| *weeks > 0) {
        words.push_str(&format!(", then empty {}", counted(weeks.unsigned_abs(), "week", "weeks")));
    }
    words
}

/// Clauses in as few lines as hold them; a clause is never broken across lines.
pub(in crate::tui) fn flow(clauses: &[String], width: usize, signs: &Signs) -> Vec<String> {
    let joint = format!(" {} ", signs.dot);
    let mut lines: Vec<String> = Vec::new();
    for clause in clauses {
        match lines.last_mut() {
            Some(line) if text::width(line) + text::width(&joint) + text::width(clause) <= width => {
                line.push_str(&joint);
                line.push_str(clause);
            }
            _ => lines.push(clause.clone()),
        }
    }
    lines
}
