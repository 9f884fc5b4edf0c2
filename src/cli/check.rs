//! `check`: every finding of a plan.

use anyhow::Result;
use serde::Serialize;

use super::Desk;
use super::answer::Answer;
use super::args::CheckArgs;
use super::files::plan_of;
use crate::export::{Page, counted, severity_word, verdict_word};
use crate::garden::{PlantingId, Severity};
use crate::rotation::{CropGraph, StandKey, rotation_years};
use crate::season::{Finding, Plan, Says};

#[derive(Serialize)]
struct Checked {
    worst: &'static str,
    findings: Vec<Told>,
}

/// One finding as scripts read it.
#[derive(Serialize)]
struct Told {
    severity: &'static str,
    rule: String,
    year: Option<i32>,
    crop: Option<String>,
    earlier_crop: Option<String>,
    earlier_year: Option<i32>,
    why: String,
    source: String,
    bed: String,
    planting: Option<String>,
    other_planting: Option<String>,
    headline: String,
    sentences: Vec<String>,
    clear_year: Option<i32>,
    verdict: Option<&'static str>,
    first_bad_week: Option<String>,
    out_by_week: Option<String>,
    /// `null` where other beds were not looked for.
    clean_beds: Option<Vec<String>>,
    accepted: Option<String>,
}

/// Findings for which other beds are looked for, gravest first. Looking through a thousand beds takes half a
/// millisecond, and nobody moves more plantings than this at once.
const N_WITH_CLEAN_BEDS: usize = 500;

/// Lists the findings; a breach that nobody has accepted sets the exit code.
pub fn run(desk: &Desk, args: &CheckArgs) -> Result<Answer> {
    let plan = plan_of(desk, &args.file)?;
    let graph = CropGraph::of_book(plan.book());
    let findings = plan.findings();
    let worst = findings.iter().filter(|finding| is_open(finding)).map(|finding| finding.severity).max();
    let told = |(idx, finding)| told(&plan, &graph, finding, idx < N_WITH_CLEAN_BEDS);
    let findings: Vec<Told> = findings.into_iter().enumerate().map(told).collect();
    let checked = Checked { worst: worst.map_or("none", severity_word), findings };
    let answer = Answer::of(desk, &checked, |page| write(page, &plan, &checked, args.why))?;
    Ok(answer.with_breach(worst == Some(Severity::Breach)))
}

fn is_open(finding: &Finding) -> bool {
    finding.accepted.is_none()
}

fn told(plan: &Plan, graph: &CropGraph, finding: &Finding, looks_for_beds: bool) -> Told {
    let explanation = if looks_for_beds { plan.explain(finding) } else { plan.explain_in_place(finding) };
    let bed = plan.garden().beds.get(finding.bed_idx).map_or(String::new(), |bed| bed.id.clone());
    let year = finding.planting.and_then(|id| plan.standing(id)).map(|standing| {
        let (first_year, _) = rotation_years(standing.stages.enters, standing.stages.clear);
        first_year
    });
    let mut told = Told {
        severity: severity_word(finding.severity),
        rule: explanation.rule,
        year,
        crop: finding.planting.and_then(|id| crop_name(plan, id)),
        earlier_crop: None,
        earlier_year: None,
        why: explanation.sentences.join(" "),
        source: explanation.source,
        bed,
        planting: finding.planting.map(|id| id.to_string()),
        other_planting: None,
        headline: explanation.headline,
        sentences: explanation.sentences,
        clear_year: None,
        verdict: None,
        first_bad_week: None,
        out_by_week: None,
        clean_beds: looks_for_beds.then_some(explanation.clean_beds),
        accepted: finding.accepted.clone(),
    };
    match &finding.says {
        Says::Rotation(rotation) => {
            told.year = Some(rotation.year);
            told.earlier_crop = rotation.earlier.and_then(|earlier| stand_name(plan, earlier));
            told.earlier_year = rotation.earlier_year;
            told.why = graph.words(plan.book(), rotation).why;
            told.clear_year = rotation.clear_year;
            if let Some(StandKey::Planting(id)) = rotation.earlier {
                told.other_planting = Some(id.to_string());
            }
        }
        Says::Overlap { other, from, .. } => {
            told.other_planting = Some(other.to_string());
            told.year = told.year.or_else(|| Some(rotation_years(*from, *from).0));
        }
        Says::Crowding { other, verdict, first_bad_week, out_by_week, .. } => {
            told.other_planting = Some(other.to_string());
            told.verdict = Some(verdict_word(*verdict));
            told.first_bad_week = first_bad_week.map(|week| week.to_string());
            told.out_by_week = out_by_week.map(|week| week.to_string());
        }
        Says::Gap { from, .. } => {
            told.year = Some(rotation_years(*from, *from).0);
        }
        _ => {}
    }
    told
}

/// The name of a planting's crop; its id if the book does not know it.
fn crop_name(plan: &Plan, id: PlantingId) -> Option<String> {
    let planting = plan.garden().planting(id)?;
    Some(plan.book().crop(&planting.crop).map_or_else(|| planting.crop.clone(), |crop| crop.name.clone()))
}

fn stand_name(plan: &Plan, key: StandKey) -> Option<String> {
    match key {
        StandKey::Planting(id) => crop_name(plan, id),
        StandKey::Past(idx) => {
            let what = &plan.garden().past.get(idx)?.what;
            Some(match plan.book().find(what) {
                Some(plant) => plan.book().plant_names(plant).0.to_owned(),
                None => plan.book().family(what).map_or_else(|| what.clone(), |family| family.common.clone()),
            })
        }
        StandKey::Item(_) | StandKey::Proposed => None,
    }
}

fn write(page: &mut Page, plan: &Plan, checked: &Checked, is_full: bool) {
    let n_of = |word: &str| {
        checked.findings.iter().filter(|told| told.severity == word && told.accepted.is_none()).count() as u64
    };
    let n_accepted = checked.findings.iter().filter(|told| told.accepted.is_some()).count() as u64;
    let mut sums = vec![
        counted(n_of("breach"), "breach", "breaches"),
        counted(n_of("caution"), "caution", "cautions"),
        counted(n_of("note"), "note", "notes"),
    ];
    if n_accepted > 0 {
        sums.push(format!("{n_accepted} accepted"));
    }
    page.line(&format!("{}: {}", plan.garden().name, sums.join(", ")));
    let (notes, troubles): (Vec<&Told>, Vec<&Told>) =
        checked.findings.iter().partition(|told| told.severity == "note" && !is_full);
    for told in troubles {
        page.blank();
        write_finding(page, told);
    }
    if !notes.is_empty() {
        page.blank();
        write_notes(page, &notes);
    }
}

/// What stands before the second and later lines of a finding.
const UNDER: &str = "         ";

/// Whom a finding is about, and what it says in one line.
fn head(told: &Told) -> String {
    let accepted = if told.accepted.is_some() { " (accepted)" } else { "" };
    match &told.planting {
        Some(id) => format!("bed {} {id}{accepted}: {}", told.bed, told.headline),
        // The headline begins with the bed.
        None => format!("bed {}{accepted}", told.headline),
    }
}

fn write_finding(page: &mut Page, told: &Told) {
    page.paragraph(&format!("{:<8} ", told.severity), UNDER, &head(told));
    if !told.sentences.is_empty() {
        page.paragraph(UNDER, UNDER, &told.sentences.join(" "));
    }
    if let Some(beds) = told.clean_beds.as_ref().filter(|beds| !beds.is_empty() && told.accepted.is_none()) {
        page.paragraph(UNDER, UNDER, &format!("without a finding in: {}", beds.join(", ")));
    }
    if !told.source.is_empty() {
        page.paragraph(UNDER, UNDER, &format!("source: {}", told.source));
    }
}

/// Notes, a line each; where several rules say the same of a planting, once.
fn write_notes(page: &mut Page, notes: &[&Told]) {
    let mut before = String::new();
    for told in notes {
        let head = head(told);
        if head != before {
            page.paragraph("note     ", UNDER, &head);
        }
        before = head;
    }
    page.blank();
    page.line("--why tells the reasons and sources of notes too");
}
