//! `fit`: the plantings of one bed that share ground, week by week.

use std::collections::HashSet;

use anyhow::Result;
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::FitArgs;
use super::files::{bed_idx_of, plan_of};
use crate::export::Page;
use crate::fit::{FitReport, Verdict, Which};
use crate::garden::{Layout, PlantingId};
use crate::season::{Plan, Says, WeighedPair};
use crate::words::{change_words, counted, verdict_word};

/// Pairs that are told, the first to meet first, and weeks of theirs after which no more are: others are only counted.
const TOLD_MAX: usize = 1_000;
const TOLD_WEEKS_MAX: usize = 30_000;

#[derive(Serialize)]
struct FitBed {
    bed: String,
    worst: &'static str,
    pairs: Vec<Pair>,
    /// Pairs past counting that were weighed and are not among them.
    #[serde(rename = "not_told", skip_serializing_if = "is_zero")]
    n_not_told: usize,
    /// Pairs past counting of which nothing is known.
    #[serde(rename = "not_weighed", skip_serializing_if = "is_zero")]
    n_not_weighed: usize,
}

#[allow(clippy::trivially_copy_pass_by_ref)] // serde hands over a reference
fn is_zero(n: &usize) -> bool {
    *n == 0
}

/// Two plantings that share ground.
#[derive(Serialize)]
struct Pair {
    stands: Half,
    joins: Half,
    is_accepted: bool,
    #[serde(skip)]
    is_between: bool,
    #[serde(flatten)]
    judged: Judged,
}

#[derive(Serialize)]
struct Half {
    planting: String,
    crop: String,
    stations: u64,
    plants: u64,
}

/// A fit report as scripts read it.
#[derive(Serialize)]
pub struct Judged {
    /// `fits`, `tight` or `crowds`.
    pub verdict: &'static str,
    /// First week that does not fit.
    pub first_bad_week: Option<String>,
    /// Last week by which the quick crop must be out.
    pub out_by_week: Option<String>,
    /// Greatest share of its disc that a station loses, 0 to 1.
    pub share_lost_max: f64,
    /// Stations that lose more than a tenth in the worst week.
    pub n_affected: usize,
    /// Which crop suffers most: `stands` or `joins`.
    pub sufferer: Option<&'static str>,
    /// What would help, in words.
    pub nearest_change: Option<String>,
    /// Week by week.
    pub weeks: Vec<JudgedWeek>,
}

/// One week of a fit report.
#[derive(Serialize)]
pub struct JudgedWeek {
    /// Such as `2027-W30`.
    pub week: String,
    /// The week's verdict.
    pub verdict: &'static str,
    /// Greatest share lost, 0 to 1.
    pub share_lost_max: f64,
    /// Stations that lose more than a tenth.
    pub n_affected: usize,
    /// Least gap between plants of the two, in cm; negative where they meet.
    pub clearance_cm: f64,
}

impl Judged {
    /// A report with the names of both crops.
    pub fn of_report(report: &FitReport, stands: &str, joins: &str) -> Self {
        Self {
            verdict: verdict_word(report.verdict),
            first_bad_week: report.first_bad_week.map(|week| week.to_string()),
            out_by_week: report.out_by_week.map(|week| week.to_string()),
            share_lost_max: rounded(report.share_lost_max, 4),
            n_affected: report.n_affected,
            sufferer: report.sufferer.map(|which| match which {
                Which::Stands => "stands",
                Which::Joins => "joins",
            }),
            nearest_change: report.nearest_change.as_ref().map(|change| change_words(change, stands, joins)),
            weeks: report
                .weeks
                .iter()
                .map(|week| JudgedWeek {
                    week: week.week.to_string(),
                    verdict: verdict_word(week.verdict),
                    share_lost_max: rounded(week.share_lost_max, 4),
                    n_affected: week.n_affected,
                    clearance_cm: rounded(week.clearance_mm / 10.0, 2),
                })
                .collect(),
        }
    }

    /// What it comes to, and its weeks; weeks of the same verdict in a row share a line. Where there are none
    /// `apart` says why, see [`why_apart`].
    pub fn write(&self, page: &mut Page, stands: &str, joins: &str, apart: &str) {
        page.line(&format!("  verdict         {}", self.verdict));
        page.line(&format!("  share lost      {} at most", per_cent(self.share_lost_max)));
        if let Some(sufferer) = self.sufferer {
            let name = if sufferer == "stands" { stands } else { joins };
            let stations = counted(self.n_affected as u64, "station", "stations");
            page.line(&format!("  suffers most    {name}; {stations} lose more than a tenth"));
        }
        if let Some(week) = &self.first_bad_week {
            page.line(&format!("  first bad week  {week}"));
        }
        if let Some(week) = &self.out_by_week {
            page.line(&format!("  out by          the end of {week}"));
        }
        if let Some(change) = &self.nearest_change {
            page.paragraph("  would fit       ", "                  ", change);
        }
        if self.weeks.is_empty() {
            page.paragraph("  ", "  ", apart);
        }
        for run in self.weeks.chunk_by(|one, next| one.verdict == next.verdict) {
            let (Some(first), Some(last)) = (run.first(), run.last()) else { continue };
            let span = if run.len() == 1 {
                format!("{}            ", first.week)
            } else {
                format!("{} – {} ", first.week, last.week)
            };
            let most = run.iter().map(|week| week.share_lost_max).fold(0.0, f64::max);
            page.line(&format!("  {span} {:<6}  up to {} lost", first.verdict, per_cent(most)));
        }
    }
}

/// Why two plantings have no week in common to be judged: each with its name and stations.
pub fn why_apart(stands: (&str, u64), joins: (&str, u64), is_between: bool) -> String {
    match (stands, joins) {
        ((name, 0), _) => format!("{name} has no station in this ground, so nothing can be judged"),
        ((host, _), (name, 0)) if is_between => {
            format!("the stations of {host} leave no cells between them, so no {name} can join")
        }
        (_, (name, 0)) => format!("{name} has no station in this ground, so nothing can be judged"),
        _ => "the two never stand at the same time".to_owned(),
    }
}

fn per_cent(share: f64) -> String {
    format!("{:.0} %", share * 100.0)
}

/// Rounded for reading; binary fractions would otherwise show fifteen digits.
pub fn rounded(value: f64, decimals: i32) -> f64 {
    let scale = 10_f64.powi(decimals);
    (value * scale).round() / scale
}

/// Judges every pair of a bed.
pub fn run(common: &Common, args: &FitArgs) -> Result<Answer> {
    let plan = plan_of(common, &args.file)?;
    let bed_idx = bed_idx_of(&plan, &args.bed)?;
    let accepted = accepted_pairs(&plan, bed_idx);
    let mut pairs = Vec::new();
    let mut worst: Option<Verdict> = None;
    let mut has_breach = false;
    let (mut n_weeks, mut n_not_told) = (0, 0);
    let n_not_weighed = plan.weigh_pairs(bed_idx, |WeighedPair { stands: stands_id, joins: joins_id, report }| {
        let (Some(stands), Some(joins)) = (half(&plan, stands_id), half(&plan, joins_id)) else { return };
        let is_accepted = accepted.contains(&in_order(stands_id, joins_id));
        worst = worst.max(Some(report.verdict));
        has_breach |= report.verdict == Verdict::Crowds && !is_accepted;
        n_weeks += report.weeks.len();
        if n_not_told > 0 || pairs.len() == TOLD_MAX || n_weeks > TOLD_WEEKS_MAX {
            n_not_told += 1;
            return;
        }
        let judged = Judged::of_report(&report, &stands.crop, &joins.crop);
        let is_between = plan
            .garden()
            .planting(joins_id)
            .is_some_and(|joins| matches!(joins.layout, Layout::Between { host } if host == stands_id));
        pairs.push(Pair { stands, joins, is_accepted, is_between, judged });
    });
    let bed = plan.garden().beds.get(bed_idx).map_or_else(|| args.bed.clone(), |bed| bed.id.clone());
    let fit_bed = FitBed { bed, worst: worst.map_or("none", verdict_word), pairs, n_not_told, n_not_weighed };
    let answer = Answer::of(common, &fit_bed, |page| write(page, &fit_bed))?;
    Ok(answer.with_breach(has_breach))
}

fn half(plan: &Plan, id: PlantingId) -> Option<Half> {
    let standing = plan.standing(id)?;
    let crop = plan.book().crops().get(standing.crop_idx)?;
    Some(Half {
        planting: id.to_string(),
        crop: crop.name.clone(),
        stations: standing.n_stations,
        plants: standing.n_plants,
    })
}

/// The pairs of a bed, the lower number first, of which the grower has accepted what is said.
fn accepted_pairs(plan: &Plan, bed_idx: usize) -> HashSet<(PlantingId, PlantingId)> {
    let findings = plan.beds().get(bed_idx).map_or(&[][..], |bed| bed.findings.as_slice());
    let accepted = findings.iter().filter(|finding| finding.accepted.is_some());
    let pairs = accepted.filter_map(|finding| match &finding.says {
        Says::Crowding { other, .. } | Says::Overlap { other, .. } => Some(in_order(*other, finding.planting?)),
        _ => None,
    });
    pairs.collect()
}

fn in_order(one: PlantingId, other: PlantingId) -> (PlantingId, PlantingId) {
    (one.min(other), one.max(other))
}

fn write(page: &mut Page, fit_bed: &FitBed) {
    if fit_bed.pairs.is_empty() && fit_bed.n_not_weighed == 0 {
        page.line(&format!("bed {}: no two plantings share ground at the same time", fit_bed.bed));
        return;
    }
    let n_pairs = fit_bed.pairs.len() + fit_bed.n_not_told + fit_bed.n_not_weighed;
    let n_pairs = counted(n_pairs as u64, "pair shares", "pairs share");
    page.line(&format!("bed {}: {n_pairs} ground", fit_bed.bed));
    for pair in &fit_bed.pairs {
        page.blank();
        let (stands, joins) = (&pair.stands, &pair.joins);
        let accepted = if pair.is_accepted { " (accepted)" } else { "" };
        page.line(&format!(
            "{} {} ({}) with {} {} ({}){accepted}",
            stands.planting,
            stands.crop,
            counted(stands.plants, "plant", "plants"),
            joins.planting,
            joins.crop,
            counted(joins.plants, "plant", "plants"),
        ));
        let apart = why_apart((&stands.crop, stands.stations), (&joins.crop, joins.stations), pair.is_between);
        pair.judged.write(page, &stands.crop, &joins.crop, &apart);
    }
    for (n, what) in [(fit_bed.n_not_told, "weighed and not told"), (fit_bed.n_not_weighed, "not weighed")] {
        if n > 0 {
            page.blank();
            let more = counted(n as u64, "more pair", "more pairs");
            page.line(&format!("and {more} {what}; lay the bed out as several"));
        }
    }
}
