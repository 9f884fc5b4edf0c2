//! `reckon rotation`: what a sequence of crops comes to.

use anyhow::{Result, bail};

use super::super::Common;
use super::super::answer::Answer;
use super::super::args::RotationArgs;
use super::super::read::ReturnYears;
use super::sequence::{self, SequenceReport};
use crate::crops::CropBook;
use crate::export::Page;
use crate::garden::Severity;
use crate::rotation::{CropGraph, Policy};
use crate::words::{counted, severity_word};

/// Judges the sequence; a breach sets the exit code.
pub fn rotation(common: &Common, args: &RotationArgs) -> Result<Answer> {
    let policy = policy(&common.book, &args.return_years)?;
    let graph = CropGraph::of_book(&common.book);
    let report = sequence::reckon(&common.book, &graph, &args.sequence, args.cycle, &policy, args.hazard.as_deref())?;
    let has_breach = report.worst == "breach";
    let answer = Answer::of(common, &report, |page| write(page, &report))?;
    Ok(answer.with_breach(has_breach))
}

/// Return intervals asked for: `4` for every family, `FAMILY=4` for one.
fn policy(book: &CropBook, given: &[ReturnYears]) -> Result<Policy> {
    let mut policy = Policy::default();
    for ReturnYears { family, years } in given {
        match family {
            None => policy.for_all = Some(*years),
            Some(name) if policy.ask(book, name, *years) => {}
            Some(name) => {
                bail!("--return: the crop book has no family or crop `{name}`; `bedfellow crops` names them")
            }
        }
    }
    Ok(policy)
}

/// How many of each severity: `1 breach, 2 notes`; `2 notes; no breach or caution`.
fn tally(report: &SequenceReport) -> String {
    let n_of = |severity| report.findings.iter().filter(|finding| finding.severity == severity).count() as u64;
    let (n_breaches, n_cautions) = (n_of(Severity::Breach), n_of(Severity::Caution));
    let told = [
        (n_breaches, "breach", "breaches"),
        (n_cautions, "caution", "cautions"),
        (n_of(Severity::Note), "note", "notes"),
    ];
    let told: Vec<String> = told.iter().filter(|(n, ..)| *n > 0).map(|&(n, one, many)| counted(n, one, many)).collect();
    match (told.join(", "), n_breaches + n_cautions) {
        (told, _) if told.is_empty() => "no findings".to_owned(),
        (told, 0) => format!("{told}; no breach or caution"),
        (told, _) => told,
    }
}

fn write(page: &mut Page, report: &SequenceReport) {
    page.line(&tally(report));
    for finding in &report.findings {
        page.blank();
        let head = format!("year {}, {}: {}", finding.year, finding.crop, finding.why);
        page.paragraph(&format!("{:<8} ", severity_word(finding.severity)), "         ", &head);
        if !finding.source.is_empty() {
            page.paragraph("         ", "         ", &format!("source: {}", finding.source));
        }
    }
}
