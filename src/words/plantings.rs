//! The trade's words for the values of a planting: layout, strip, counts, how it is raised.

use super::text::counted;
use crate::crops::{Life, Raised};
use crate::fit::{Change, Verdict, Which};
use crate::garden::{Layout, Planting, Run, Severity, Side};
use crate::layout::is_usual_setback;
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
    let run_word = |run: Run| if run == Run::Across { "across the bed" } else { "along the bed" };
    match layout {
        Layout::Grid { spacing_mm } => format!("grid {spacing_mm} cm"),
        Layout::Offset { spacing_mm } => format!("offset {spacing_mm} cm"),
        Layout::Rows { row_mm, in_row_mm, run } => {
            format!("rows {}, {row_mm} cm apart, {in_row_mm} cm in the row", run_word(*run))
        }
        Layout::Drill { row_mm, plants_per_m, run } => {
            format!("drill, lines {}, {row_mm} cm apart, {plants_per_m:.0} a metre", run_word(*run))
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
        Side::Whole => "",
        Side::Left => ", left side",
        Side::Right => ", right side",
    };
    format!("{}–{} cm{side}", planting.from_mm, planting.to_mm)
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
    let (one, many) = match raised {
        Raised::InPlace | Raised::Module => ("seed", "seeds"),
        Raised::Set => ("set", "sets"),
        Raised::Tuber => ("tuber", "tubers"),
        Raised::Crown => ("crown", "crowns"),
        Raised::Slip => ("slip", "slips"),
        Raised::Cutting => ("cutting", "cuttings"),
    };
    counted(n, one, many)
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
