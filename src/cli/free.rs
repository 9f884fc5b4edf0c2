//! `free`: when each bed frees up.

use anyhow::Result;
use chrono::NaiveDate;
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::FreeArgs;
use super::files::{bed_idx_of, plan_of};
use crate::export::{Column, Page};
use crate::garden::{PlantingId, Side};
use crate::season::{FreeStrip, Plan};
use crate::units::Week;

#[derive(Serialize)]
struct FreeBed {
    bed: String,
    free_from: NaiveDate,
    free_from_early: NaiveDate,
    free_from_late: NaiveDate,
    /// What the range rests on; nothing where there is none.
    range_from: Option<&'static str>,
    whole_bed_free_from: NaiveDate,
    standing: Vec<StandsUntil>,
    next: Vec<Next>,
    empty_weeks: Option<i64>,
    bare_weeks: i64,
    strips: Vec<Strip>,
}

#[derive(Serialize)]
struct StandsUntil {
    planting: String,
    crop: String,
    #[serde(skip)]
    short_name: String,
    clear: NaiveDate,
}

#[derive(Serialize)]
struct Next {
    planting: String,
    crop: String,
    #[serde(skip)]
    short_name: String,
    enters: NaiveDate,
}

#[derive(Serialize)]
struct Strip {
    from_cm: f64,
    to_cm: f64,
    side: &'static str,
    free_from: NaiveDate,
    until: Option<NaiveDate>,
}

/// Says when each bed, or one bed, frees up as seen from today.
pub fn run(common: &Common, args: &FreeArgs) -> Result<Answer> {
    let plan = plan_of(common, &args.file)?;
    let bed_idxs = match &args.bed {
        Some(id) => vec![bed_idx_of(&plan, id)?],
        None => (0..plan.garden().beds.len()).collect(),
    };
    let range_from = range_from(&plan);
    let today = common.today()?;
    let beds: Vec<FreeBed> =
        bed_idxs.into_iter().filter_map(|bed_idx| free_bed(&plan, bed_idx, today, range_from)).collect();
    Answer::of(common, &beds, |page| write(page, &beds, today, args.bed.is_some()))
}

/// What ranges rest on in this garden: the same for every planting.
fn range_from(plan: &Plan) -> &'static str {
    let spread = plan.garden().plantings.iter().find_map(|planting| plan.spread(planting.id));
    if spread.is_some_and(|spread| spread.is_from_weather) {
        "the recorded years"
    } else {
        "the spread of the site's normals"
    }
}

fn free_bed(plan: &Plan, bed_idx: usize, today: NaiveDate, range_from: &'static str) -> Option<FreeBed> {
    let bed = plan.garden().beds.get(bed_idx)?;
    let free_up = plan.free_up(bed_idx, today);
    let standing = free_up.standing.iter().filter_map(|&id| {
        let stages = plan.standing(id)?.stages;
        let (crop, short_name) = crop_names(plan, id)?;
        Some(StandsUntil { planting: id.to_string(), crop, short_name, clear: stages.clear })
    });
    let next = free_up.next.iter().filter_map(|&id| {
        let stages = plan.standing(id)?.stages;
        let (crop, short_name) = crop_names(plan, id)?;
        Some(Next { planting: id.to_string(), crop, short_name, enters: stages.enters })
    });
    Some(FreeBed {
        bed: bed.id.clone(),
        free_from: free_up.free_from,
        free_from_early: free_up.free_from_early,
        free_from_late: free_up.free_from_late,
        range_from: (free_up.free_from_early < free_up.free_from_late).then_some(range_from),
        whole_bed_free_from: free_up.whole_bed_free_from,
        standing: standing.collect(),
        next: next.collect(),
        empty_weeks: free_up.empty_weeks,
        bare_weeks: free_up.bare_weeks,
        strips: free_up.strips.iter().map(strip).collect(),
    })
}

/// The crop's name, and its name for narrow columns.
fn crop_names(plan: &Plan, id: PlantingId) -> Option<(String, String)> {
    let crop_idx = plan.standing(id)?.crop_idx;
    plan.book().crops().get(crop_idx).map(|crop| (crop.name.clone(), crop.short_name.clone()))
}

fn strip(free: &FreeStrip) -> Strip {
    Strip {
        from_cm: f64::from(free.from_mm.0) / 10.0,
        to_cm: f64::from(free.to_mm.0) / 10.0,
        side: match free.side {
            Side::Whole => "whole",
            Side::Left => "left",
            Side::Right => "right",
        },
        free_from: free.free_from,
        until: free.until,
    }
}

fn write(page: &mut Page, beds: &[FreeBed], today: NaiveDate, is_one: bool) {
    page.line(&format!("Seen from {} ({})", today.format("%a %-d %b %Y"), Week::of(today)));
    page.blank();
    let when = |day: NaiveDate| if day <= today { "now".to_owned() } else { day.to_string() };
    let weeks = |n: i64| if n == 1 { "1 week".to_owned() } else { format!("{n} weeks") };
    let rows: Vec<Vec<String>> = beds
        .iter()
        .map(|bed| {
            let standing: Vec<&str> = bed.standing.iter().map(|planting| planting.short_name.as_str()).collect();
            let next = bed.next.first().map(|planting| {
                let more = bed.next.len().saturating_sub(1);
                let more = if more > 0 { format!(" (+{more})") } else { String::new() };
                format!("{} {}{more}", planting.enters, planting.short_name)
            });
            vec![
                bed.bed.clone(),
                when(bed.free_from),
                when(bed.whole_bed_free_from),
                bed.empty_weeks.map_or("–".to_owned(), weeks),
                if standing.is_empty() { "–".to_owned() } else { standing.join(", ") },
                next.unwrap_or_else(|| "–".to_owned()),
            ]
        })
        .collect();
    let columns = [
        Column::words("bed"),
        Column::words("some ground"),
        Column::words("whole bed"),
        Column::number("then empty"),
        Column::long("standing"),
        Column::long("next"),
    ];
    page.table(0, &columns, &rows);
    if !is_one {
        return;
    }
    for bed in beds {
        page.blank();
        page.line(&format!("bed {}, strip by strip ({} bare in the year ahead)", bed.bed, weeks(bed.bare_weeks)));
        if let Some(range_from) = bed.range_from {
            let (early, late) = (bed.free_from_early, bed.free_from_late);
            let text =
                format!("some ground free between {early} and {late} in eight years out of ten, by {range_from}");
            page.paragraph("  ", "  ", &text);
        }
        for strip in &bed.strips {
            let side = if strip.side == "whole" { String::new() } else { format!(", {} side", strip.side) };
            let until = strip.until.map_or("open end".to_owned(), |day| format!("until {day}"));
            page.line(&format!(
                "  {}–{} cm{side}: free {}, {until}",
                strip.from_cm,
                strip.to_cm,
                if strip.free_from <= today { "now".to_owned() } else { format!("from {}", strip.free_from) }
            ));
        }
        for planting in &bed.standing {
            page.line(&format!("  {} {} stands until {}", planting.planting, planting.crop, planting.clear));
        }
        for planting in &bed.next {
            page.line(&format!("  {} {} goes in on {}", planting.planting, planting.crop, planting.enters));
        }
    }
}
