//! `reckon fit`: whether two crops share a bed.

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::ReckonFitArgs;
use super::super::fit::{Judged, why_apart};
use super::super::read::Lengths;
use super::stand::{Asked, asked};
use crate::fit::{Sharer, Verdict, judge};
use crate::garden::Layout;
use crate::layout::{SetOut, set_out};
use crate::units::Rect;
use crate::words::{count_words, layout_words};

#[derive(Serialize)]
struct Fit {
    stands: Half,
    joins: Half,
    #[serde(flatten)]
    judged: Judged,
}

#[derive(Serialize)]
struct Half {
    crop: String,
    stations: u64,
    plants: u64,
}

/// Judges the two; crops that crowd set the exit code.
pub fn fit(common: &Common, args: &ReckonFitArgs) -> Result<Answer> {
    let mut lengths = Lengths::default();
    let (width, length) = lengths.whole_size("--bed", &args.bed);
    let stands = asked(&common.book, "--stands", &args.stands, &mut lengths)?;
    let joins = asked(&common.book, "--joins", &args.joins, &mut lengths)?;
    if matches!(stands.layout, Layout::Between { .. }) {
        bail!("--stands cannot be set between; only the crop that joins can");
    }
    let strip = Rect::of_size(length, width);
    let stands_out = set_out(&stands.layout, strip, None, stands.clump, None).context("--stands")?;
    let joins_out = set_out(&joins.layout, strip, None, joins.clump, Some(&stands_out)).context("--joins")?;
    let report = judge(&sharer(&stands, &stands_out), &sharer(&joins, &joins_out));
    let answer = Fit {
        stands: half(&stands, &stands_out),
        joins: half(&joins, &joins_out),
        judged: Judged::of_report(&report, &stands.crop.name, &joins.crop.name),
    };
    let told = Answer::of(common, &answer, |page| {
        for (word, asked, out) in [("stands", &stands, &stands_out), ("joins", &joins, &joins_out)] {
            let count = count_words(&asked.layout, out.n_stations, asked.clump, out.n_plants);
            let layout = match asked.layout {
                Layout::Between { .. } => "between".to_owned(),
                _ => layout_words(&asked.layout),
            };
            let days = format!("{} to {}", asked.stages.enters, asked.stages.clear);
            page.paragraph(
                &format!("{word:<7} "),
                "        ",
                &format!("{}, {layout}: {count}, {days}", asked.crop.name),
            );
        }
        let apart = why_apart(
            (&stands.crop.name, stands_out.n_stations),
            (&joins.crop.name, joins_out.n_stations),
            matches!(joins.layout, Layout::Between { .. }),
        );
        answer.judged.write(page, &stands.crop.name, &joins.crop.name, &apart);
    })?;
    Ok(told.with_remarks(lengths.remarks).with_breach(report.verdict == Verdict::Crowds))
}

fn sharer<'a>(asked: &Asked<'a>, out: &'a SetOut) -> Sharer<'a> {
    Sharer { crop: asked.crop, stations: &out.stations, stages: asked.stages }
}

fn half(asked: &Asked<'_>, out: &SetOut) -> Half {
    Half { crop: asked.crop.name.clone(), stations: out.n_stations, plants: out.n_plants }
}
