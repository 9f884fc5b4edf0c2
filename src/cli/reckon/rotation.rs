//! `reckon rotation`: what a sequence of crops comes to.

use anyhow::{Result, bail};

use super::super::Desk;
use super::super::answer::Answer;
use super::super::args::RotationArgs;
use super::super::read::ReturnYears;
use super::sequence::{self, SequenceReport};
use crate::crops::CropBook;
use crate::export::{Page, counted, severity_word};
use crate::rotation::{CropGraph, Policy};

/// Judges the sequence; a breach sets the exit code.
pub fn rotation(desk: &Desk, args: &RotationArgs) -> Result<Answer> {
    let policy = policy(&desk.book, &args.return_years)?;
    let graph = CropGraph::of_book(&desk.book);
    let report = sequence::reckon(&desk.book, &graph, &args.sequence, args.cycle, &policy, args.hazard.as_deref())?;
    let has_breach = report.worst == "breach";
    let answer = Answer::of(desk, &report, |page| write(page, &report))?;
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

fn write(page: &mut Page, report: &SequenceReport) {
    page.line(&format!("worst: {}; {}", report.worst, counted(report.findings.len() as u64, "finding", "findings")));
    for finding in &report.findings {
        page.blank();
        let head = format!("year {}, {}: {}", finding.year, finding.crop, finding.why);
        page.paragraph(&format!("{:<8} ", severity_word(finding.severity)), "         ", &head);
        if !finding.source.is_empty() {
            page.paragraph("         ", "         ", &format!("source: {}", finding.source));
        }
    }
}
