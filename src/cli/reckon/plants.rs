//! `reckon plants`: stations and plants of a layout in a bed.

use anyhow::{Result, bail};
use serde::Serialize;

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::PlantsArgs;
use super::super::fit::rounded;
use super::super::read::Length;
use super::super::words::{LayoutWord, word_of};
use crate::garden::{Layout, Run, Side};
use crate::layout;
use crate::units::{Mm, Rect};
use crate::words::{count_words, counted, layout_words, setback_words};

#[derive(Serialize)]
struct Planted {
    stations: u64,
    plants: u64,
    lines: u64,
    per_m2: f64,
}

/// The engine counts in whole steps of its unit. Where a length is finer than a millimetre (12 inches are
/// 304.8 mm) the whole figure is drawn ten times as large, so that nothing is rounded; larger than this it is
/// too large for the engine, and is rounded.
const LARGEST_FINE_BED_TENTHS_MM: i64 = 1_000_000;
const LARGEST_FINE_DISTANCE_TENTHS_MM: i64 = 100_000;

/// More stations than this are a slip of the pen (own choice): at 10 cm each way they would fill 10 hectares.
const GREATEST_COUNT: u64 = 10_000_000;

/// A length to the tenth and to the whole of a millimetre.
#[derive(Clone, Copy, Default)]
struct Fine {
    tenths_mm: i64,
    whole_mm: i64,
}

/// Lengths of the question, not yet in the engine's steps.
struct Drawing {
    width: Fine,
    length: Fine,
    /// Spacing, or distance of rows.
    spacing: Fine,
    in_row: Fine,
    setback: Option<Fine>,
    remarks: Vec<String>,
}

/// What a layout needs, and what it does not take.
struct Needs {
    spacing: Need,
    row: Need,
    in_row: Need,
    per_metre: Need,
    per_m2: Need,
    sides: Need,
}

#[derive(Clone, Copy, PartialEq)]
enum Need {
    Must,
    May,
    Not,
}

/// Counts the plants.
pub fn plants(common: &Common, args: &PlantsArgs) -> Result<Answer> {
    check_options(args)?;
    let (per_metre, per_m2) = (args.per_metre.unwrap_or_default(), args.per_m2.unwrap_or_default());
    let (sides, clump) = (args.sides.unwrap_or(1), args.clump);
    let mut drawing = Drawing::of_args(args)?;
    let steps = drawing.steps_per_mm();
    let spacing_mm = in_steps(drawing.spacing, steps);
    let in_row_mm = in_steps(drawing.in_row, steps);
    let setback = drawing.setback.map(|setback| in_steps(setback, steps));
    let (width, length) = (in_steps(drawing.width, steps), in_steps(drawing.length, steps));
    let scale = f64::from(steps);
    let layout_of = |spacing_mm: Mm, in_row_mm: Mm, per_m: f64, per_m2: f64| match args.layout {
        LayoutWord::Grid => Layout::Grid { spacing_mm },
        LayoutWord::Offset => Layout::Offset { spacing_mm },
        LayoutWord::Rows => Layout::Rows { row_mm: spacing_mm, in_row_mm, run: Run::Along },
        LayoutWord::Drill => Layout::Drill { row_mm: spacing_mm, plants_per_m: per_m, run: Run::Along },
        LayoutWord::Edge => Layout::Edge { spacing_mm, along: if sides == 2 { Side::Whole } else { Side::Left } },
        LayoutWord::Broadcast | LayoutWord::Between => Layout::Broadcast { plants_per_m2: per_m2 },
    };
    let drawn = layout_of(spacing_mm, in_row_mm, per_metre / scale, per_m2 / (scale * scale));
    let count = layout::count(&drawn, Rect::of_size(length, width), setback, clump, None)?;
    if count.n_stations > GREATEST_COUNT {
        bail!("that would be more than {GREATEST_COUNT} stations; give wider distances, fewer plants or a smaller bed");
    }
    let answer = Planted {
        stations: count.n_stations,
        plants: count.n_plants,
        lines: count.n_lines,
        per_m2: rounded(count.per_m2 * scale * scale, 4),
    };
    let remarks = std::mem::take(&mut drawing.remarks);
    let real = layout_of(in_steps(drawing.spacing, 1), in_steps(drawing.in_row, 1), per_metre, per_m2);
    let told = Answer::of(common, &answer, |page| {
        page.line(&format!(
            "bed {} cm, {}",
            args.bed.given,
            layout_words(&real) + &setback_words(&real, drawing.setback.map(|setback| in_steps(setback, 1)))
        ));
        page.line(&count_words(&real, answer.stations, clump, answer.plants));
        if answer.lines > 0 {
            page.line(&format!("in {}, {} per m²", counted(answer.lines, "line", "lines"), rounded(answer.per_m2, 1)));
        } else {
            page.line(&format!("{} per m²", rounded(answer.per_m2, 1)));
        }
        if answer.stations == 0 {
            page.line("the spacing is too wide for this bed");
        }
    })?;
    Ok(told.with_remarks(remarks))
}

fn check_options(args: &PlantsArgs) -> Result<()> {
    use Need::{May, Must, Not};
    let none = Needs { spacing: Not, row: Not, in_row: Not, per_metre: Not, per_m2: Not, sides: Not };
    let needs = match args.layout {
        LayoutWord::Grid | LayoutWord::Offset => Needs { spacing: Must, ..none },
        LayoutWord::Rows => Needs { row: Must, in_row: Must, ..none },
        LayoutWord::Drill => Needs { row: Must, per_metre: Must, ..none },
        LayoutWord::Edge => Needs { spacing: Must, sides: May, ..none },
        LayoutWord::Broadcast => Needs { per_m2: Must, ..none },
        LayoutWord::Between => bail!("a crop set between needs another's stations; use `bedfellow reckon fit`"),
    };
    let options = [
        ("--spacing", needs.spacing, args.spacing.is_some()),
        ("--row", needs.row, args.row.is_some()),
        ("--in-row", needs.in_row, args.in_row.is_some()),
        ("--per-metre", needs.per_metre, args.per_metre.is_some()),
        ("--per-m2", needs.per_m2, args.per_m2.is_some()),
        ("--sides", needs.sides, args.sides.is_some()),
    ];
    for (name, need, is_given) in options {
        match (need, is_given) {
            (Must, false) => bail!("--layout {} needs {name}", word_of(&args.layout)),
            (Not, true) => bail!("--layout {} does not take {name}", word_of(&args.layout)),
            _ => {}
        }
    }
    Ok(())
}

impl Drawing {
    fn of_args(args: &PlantsArgs) -> Result<Self> {
        let mut remarks = Vec::new();
        let mut taken = |name: &str, length: &Length| {
            if length.is_rounded {
                let taken = length.tenths_mm as f64 / 100.0;
                remarks.push(format!("{name} {} cm is taken as {taken:.2} cm", length.given));
            }
            Fine { tenths_mm: length.tenths_mm, whole_mm: length.whole_mm }
        };
        let (width, length) = (taken("--bed", &args.bed.width), taken("--bed", &args.bed.length));
        let spacing = match (&args.spacing, &args.row) {
            (Some(spacing), _) => taken("--spacing", spacing),
            (None, Some(row)) => taken("--row", row),
            (None, None) => Fine::default(),
        };
        let in_row = args.in_row.as_ref().map_or_else(Fine::default, |length| taken("--in-row", length));
        let setback = args.setback.as_ref().map(|length| taken("--setback", length));
        let mut drawing = Self { width, length, spacing, in_row, setback, remarks };
        drawing.keep_within_reach()?;
        Ok(drawing)
    }

    fn distances(&self) -> impl Iterator<Item = Fine> {
        [self.spacing, self.in_row].into_iter().chain(self.setback)
    }

    /// The engine knows distances to 100 m. In a bed smaller than that a longer one gives the same answer,
    /// no second station, and is drawn at its reach.
    fn keep_within_reach(&mut self) -> Result<()> {
        let tenths_of = |length: Mm| i64::from(length.0) * 10;
        let greatest = crate::garden::limits::BED_SIDE.greatest;
        let reach = tenths_of(crate::garden::limits::SPACING.greatest);
        let sides = [self.width, self.length];
        if sides.iter().any(|side| side.tenths_mm > tenths_of(greatest)) {
            bail!("--bed is larger than {greatest} cm (1 km)");
        }
        if sides.iter().all(|side| side.tenths_mm < reach) {
            for distance in [&mut self.spacing, &mut self.in_row].into_iter().chain(self.setback.as_mut()) {
                distance.tenths_mm = distance.tenths_mm.min(reach);
                distance.whole_mm = distance.whole_mm.min(reach / 10);
            }
        }
        Ok(())
    }

    /// 10 where something is finer than a millimetre and all of it small enough, else 1.
    fn steps_per_mm(&mut self) -> i32 {
        let sides = [self.width, self.length];
        let is_fine = sides.into_iter().chain(self.distances()).any(|fine| fine.tenths_mm % 10 != 0);
        let has_room = sides.iter().all(|side| side.tenths_mm <= LARGEST_FINE_BED_TENTHS_MM)
            && self.distances().all(|distance| distance.tenths_mm <= LARGEST_FINE_DISTANCE_TENTHS_MM);
        if is_fine && !has_room {
            self.remarks.push("lengths are taken to the nearest millimetre".to_owned());
        }
        if is_fine && has_room { 10 } else { 1 }
    }
}

/// A length in the engine's steps. Lengths are below 1 km, so the number is far from its bounds.
fn in_steps(fine: Fine, steps_per_mm: i32) -> Mm {
    Mm(if steps_per_mm == 1 { fine.whole_mm } else { fine.tenths_mm } as i32)
}
