//! The trade's words for the values of a planting: layout, strip, counts, how it is raised.

use super::text::counted;
use crate::crops::{Feeding, HarvestHabit, Life, Months, Raised};
use crate::fit::{Change, Verdict, Which};
use crate::garden::{Layout, Planting, Run, Severity, Side};
use crate::layout::{SowingNeed, is_usual_setback};
use crate::units::Mm;

/// The layout's own word, as options and tables write it.
pub const fn layout_name(layout: &Layout) -> &'static str {
    match layout {
        Layout::Grid { .. } => "grid",
        Layout::Offset { .. } => "offset",
        Layout::Rows { .. } => "rows",
        Layout::Drill { .. } => "drill",
        Layout::Edge { .. } => "edge",
        Layout::Between { .. } => "between",
        Layout::Broadcast { .. } => "broadcast",
    }
}

/// The layout with its distances, in cm.
pub fn layout_words(layout: &Layout) -> String {
    match layout {
        Layout::Grid { spacing_mm } => format!("grid {spacing_mm} cm"),
        Layout::Offset { spacing_mm } => format!("offset {spacing_mm} cm"),
        Layout::Rows { row_mm, in_row_mm, run } => {
            format!("rows {} the bed, {row_mm} cm apart, {in_row_mm} cm in the row", run_word(*run))
        }
        Layout::Drill { row_mm, plants_per_m, run } => {
            format!("drill, lines {} the bed, {row_mm} cm apart, {plants_per_m:.0} a metre", run_word(*run))
        }
        Layout::Edge { spacing_mm, along } => match along {
            Side::Whole => format!("both edges, {spacing_mm} cm"),
            Side::Left => format!("left edge, {spacing_mm} cm"),
            Side::Right => format!("right edge, {spacing_mm} cm"),
        },
        Layout::Between { host } => format!("between the stations of {host}"),
        Layout::Broadcast { plants_per_m2 } => format!("broadcast, {plants_per_m2:.0} per square metre"),
    }
}

/// The distance kept from the edges, where it is not the usual one of the layout; else nothing.
pub fn setback_words(layout: &Layout, setback: Option<Mm>) -> String {
    match setback {
        Some(setback) if !is_usual_setback(layout, setback) => format!(", {setback} cm from the edges"),
        _ => String::new(),
    }
}

/// The strip and side a planting takes, in cm.
pub fn strip_words(planting: &Planting) -> String {
    let side = match planting.side {
        Side::Whole => String::new(),
        side => format!(", {} side", side_word(side)),
    };
    format!("{}–{} cm{side}", planting.from_mm, planting.to_mm)
}

/// Which part of the width, in a word.
pub const fn side_word(side: Side) -> &'static str {
    match side {
        Side::Whole => "whole",
        Side::Left => "left",
        Side::Right => "right",
    }
}

/// Which edges a layout runs along, in a word.
pub const fn edge_word(along: Side) -> &'static str {
    match along {
        Side::Whole => "both",
        side => side_word(side),
    }
}

/// Which way rows run, in a word.
pub const fn run_word(run: Run) -> &'static str {
    match run {
        Run::Along => "along",
        Run::Across => "across",
    }
}

/// Stations × clump = plants. Where plants stand singly there is nothing to multiply.
pub fn count_words(layout: &Layout, n_stations: u64, clump: u32, n_plants: u64) -> String {
    let is_sown_thick = matches!(layout, Layout::Drill { .. } | Layout::Broadcast { .. });
    let plants = counted(n_plants, "plant", "plants");
    if is_sown_thick && clump <= 1 {
        return plants;
    }
    format!("{} × {clump} = {plants}", counted(n_stations, "station", "stations"))
}

/// What is put into the ground or the modules: seeds, sets, tubers and so on.
pub fn propagules(n: u64, raised: Raised) -> String {
    let (one, many) = propagule(raised);
    counted(n, one, many)
}

/// One of them and several.
const fn propagule(raised: Raised) -> (&'static str, &'static str) {
    match raised {
        Raised::InPlace | Raised::Module => ("seed", "seeds"),
        Raised::Set => ("set", "sets"),
        Raised::Tuber => ("tuber", "tubers"),
        Raised::Crown => ("crown", "crowns"),
        Raised::Slip => ("slip", "slips"),
        Raised::Cutting => ("cutting", "cuttings"),
    }
}

/// How a crop is raised, as it is chosen among few: `in modules`, `sets`.
pub const fn raised_choice(raised: Raised) -> &'static str {
    match raised {
        Raised::InPlace | Raised::Module => raised_words(raised),
        _ => propagule(raised).1,
    }
}

/// What modules have to be filled, if any, and what goes into them or into the ground: `35 modules (1 tray), 141 seeds, 0.4 g`.
pub fn need_words(need: &SowingNeed, raised: Raised) -> String {
    let mut words = Vec::new();
    if need.n_modules > 0 {
        let trays = counted(need.n_trays, "tray", "trays");
        words.push(format!("{} ({trays})", counted(need.n_modules, "module", "modules")));
    }
    words.push(propagules(need.n_seeds, raised));
    words.extend(need.seed_g.map(grams_words));
    words.join(", ")
}

/// `0.4 g`, `12 g`, `1.2 kg`.
pub fn grams_words(grams: f64) -> String {
    if grams >= 1000.0 {
        format!("{:.1} kg", grams / 1000.0)
    } else if grams >= 9.95 {
        format!("{grams:.0} g")
    } else if grams < 0.05 {
        "under 0.1 g".to_owned()
    } else {
        format!("{grams:.1} g")
    }
}

/// How a crop is raised, in words.
pub const fn raised_words(raised: Raised) -> &'static str {
    match raised {
        Raised::InPlace => "sown in place",
        Raised::Module => "in modules",
        Raised::Set => "from sets",
        Raised::Tuber => "from tubers",
        Raised::Crown => "from crowns",
        Raised::Slip => "from slips",
        Raised::Cutting => "from cuttings",
    }
}

/// Cans of water, to the half.
pub fn cans_words(cans: f64, is_ascii: bool) -> String {
    let halves = (cans * 2.0).round().max(0.0) as u64;
    let half = match (halves % 2, is_ascii) {
        (0, _) => "",
        (_, true) => ".5",
        (_, false) => "½",
    };
    match (halves / 2, halves % 2) {
        (0, 0) => "less than half a can".to_owned(),
        (0, _) => "half a can".to_owned(),
        (1, 0) => "1 can".to_owned(),
        (whole, _) => format!("{whole}{half} cans"),
    }
}

/// How long a plant lives.
pub const fn life_word(life: Life) -> &'static str {
    match life {
        Life::Annual => "annual",
        Life::Biennial => "biennial",
        Life::Perennial => "perennial",
    }
}

/// How much a crop takes from the soil.
pub const fn feeding_word(feeding: Feeding) -> &'static str {
    match feeding {
        Feeding::Light => "light",
        Feeding::Medium => "medium",
        Feeding::Heavy => "heavy",
    }
}

/// How a crop is picked.
pub const fn habit_words(habit: HarvestHabit) -> &'static str {
    match habit {
        HarvestHabit::Once => "picked at once",
        HarvestHabit::Standing => "stands until wanted",
        HarvestHabit::PickedOver => "picked over again and again",
        HarvestHabit::CutAndComeAgain => "cut and comes again",
        HarvestHabit::Storage => "lifted once and stored",
    }
}

/// `Mar–May`, or one month alone.
pub fn months_words(months: Months) -> String {
    const NAMES: [&str; 12] = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];
    let name = |month: u32| NAMES.get(month.saturating_sub(1) as usize).copied().unwrap_or("?");
    if months.from == months.to {
        name(months.from).to_owned()
    } else {
        format!("{}–{}", name(months.from), name(months.to))
    }
}

/// The severity's word, as findings are written everywhere.
pub const fn severity_word(severity: Severity) -> &'static str {
    match severity {
        Severity::Note => "note",
        Severity::Caution => "caution",
        Severity::Breach => "breach",
    }
}

/// The verdict's word.
pub const fn verdict_word(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fits => "fits",
        Verdict::Tight => "tight",
        Verdict::Crowds => "crowds",
    }
}

/// The nearest change that fits, with the names of both crops put in.
pub fn change_words(change: &Change, stands: &str, joins: &str) -> String {
    match change {
        Change::OutBy(which, week) => {
            let name = if *which == Which::Stands { stands } else { joins };
            format!("clear {name} by the end of {week}")
        }
        Change::ShiftWeeks(weeks) => {
            let direction = if *weeks < 0 { "earlier" } else { "later" };
            format!("put {joins} in {} {direction}", counted(weeks.unsigned_abs(), "week", "weeks"))
        }
        Change::WidenHost(spacing_mm) => format!("set {stands} at {} cm", Mm(*spacing_mm)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_and_drills_name_their_direction() {
        let rows = |run| layout_words(&Layout::Rows { row_mm: Mm(400), in_row_mm: Mm(200), run });
        assert_eq!(rows(Run::Along), "rows along the bed, 40 cm apart, 20 cm in the row");
        assert_eq!(rows(Run::Across), "rows across the bed, 40 cm apart, 20 cm in the row");
        let drill = Layout::Drill { row_mm: Mm(250), plants_per_m: 40.0, run: Run::Across };
        assert_eq!(layout_words(&drill), "drill, lines across the bed, 25 cm apart, 40 a metre");
    }

    #[test]
    fn a_setback_is_told_where_it_is_not_the_usual_one() {
        let grid = Layout::Grid { spacing_mm: Mm(400) };
        assert_eq!(setback_words(&grid, None), "");
        assert_eq!(setback_words(&grid, Some(Mm(200))), "");
        assert_eq!(setback_words(&grid, Some(Mm(400))), ", 40 cm from the edges");
        let rows = Layout::Rows { row_mm: Mm(400), in_row_mm: Mm(200), run: Run::Along };
        // Half a row is half the distance in the row no longer.
        assert_eq!(setback_words(&rows, Some(Mm(200))), ", 20 cm from the edges");
        let sown = Layout::Broadcast { plants_per_m2: 100.0 };
        assert_eq!(
            (setback_words(&sown, Some(Mm(0))), setback_words(&sown, Some(Mm(50)))),
            (String::new(), ", 5 cm from the edges".to_owned())
        );
    }

    #[test]
    fn seed_is_weighed_in_grams_and_kilograms() {
        // 9.95 g and more are told to the gram, a kilogram and more in kilograms.
        assert_eq!(
            [0.04, 0.05, 9.94, 9.95, 999.4, 1_000.0].map(grams_words),
            ["under 0.1 g", "0.1 g", "9.9 g", "10 g", "999 g", "1.0 kg"]
        );
    }

    #[test]
    fn a_window_of_one_month_is_that_month() {
        let words = |from, to| months_words(Months { from, to });
        assert_eq!([words(3, 5), words(9, 4), words(7, 7)], ["Mar–May", "Sep–Apr", "Jul"]);
    }

    #[test]
    fn cans_are_counted_in_halves() {
        for (cans, words) in [
            (0.0, "less than half a can"),
            (0.24, "less than half a can"),
            (0.26, "half a can"),
            (1.1, "1 can"),
            (1.3, "1½ cans"),
            (2.6, "2½ cans"),
            (3.1, "3 cans"),
            (-4.0, "less than half a can"),
            (f64::NAN, "less than half a can"),
        ] {
            assert_eq!(cans_words(cans, false), words, "{cans}");
        }
        assert_eq!(cans_words(2.6, true), "2.5 cans");
    }
}
