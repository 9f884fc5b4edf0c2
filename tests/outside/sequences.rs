//! How a published sequence of crops is put to the program.
//!
//! - `required_return_years` is the interval asked of the family, botanical family or crop in `scope`.
//! - `condition` with `found` in it is a hazard. The rows mean that it was found in the first crop of the sequence, so
//!   what is said of that first crop itself (it stands on ground already known to carry it) is left aside. Where the
//!   book knows the hazard on the crops in scope, the hazard's own break is judged; else (leaf spot of beet) the row's
//!   interval.
//! - The verdict is that of the rule the row is about, on the crops in its scope: other rules may object to the same
//!   sequence, as one publisher's plan need not please another.
//! - `sound` (also `sound at minimum`): no breach. `breach`: a breach. `warning`: a caution or note, and no breach.
//!
//! Conditions on soil acidity (R27, R28) and phosphorus (R73) are not known to the program: the interval of the row stands for the
//! first, and the advice is given without asking for the second.

use bedfellow::cli::sequence::{self, SequenceFinding};
use bedfellow::crops::CropBook;
use bedfellow::garden::Severity;
use bedfellow::rotation::{CropGraph, Policy};

struct Check {
    id: String,
    rule_type: String,
    scope: String,
    return_years: Option<u32>,
    sequence: String,
    is_cycle: bool,
    verdict: String,
    condition: String,
    source: String,
}

fn checks(rows: &str) -> Vec<Check> {
    let mut reader = csv::Reader::from_reader(rows.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let column = |name: &str| headers.iter().position(|header| header == name).unwrap();
    let columns = [
        "check_id",
        "rule_type",
        "scope",
        "required_return_years",
        "sequence",
        "cyclic",
        "expected_engine_verdict",
        "condition",
        "source",
    ]
    .map(column);
    reader
        .records()
        .map(|record| {
            let record = record.unwrap();
            let text = |place: usize| record[columns[place]].to_owned();
            Check {
                id: text(0),
                rule_type: text(1),
                scope: text(2),
                return_years: text(3).parse().ok(),
                sequence: text(4),
                is_cycle: text(5) == "yes",
                verdict: text(6),
                condition: text(7),
                source: text(8),
            }
        })
        .collect()
}

/// Whether a crop of the sequence is in the scope of a row: a family, a botanical family, or a crop.
pub fn is_in_scope(book: &CropBook, scope: &str, crop: &str) -> bool {
    if scope.is_empty() || scope.starts_with("group:") {
        return true;
    }
    let Some(plant) = book.find(crop) else { return false };
    let family_id = book.plant_names(plant).2;
    let family = book.family(family_id).unwrap();
    scope.split(';').any(|part| {
        let part = part.trim();
        family.botanical.starts_with(part)
            || family_id == part
            || book.find(part).is_some_and(|wanted| book.rotation_id(wanted) == book.rotation_id(plant))
    })
}

fn speaks_to(check: &Check, finding: &SequenceFinding, is_hazard_known: bool) -> bool {
    match check.rule_type.as_str() {
        "hazard_break" if is_hazard_known => finding.rule == "hazard-host" && finding.earlier_year != Some(0),
        "family_return" | "crop_return" | "composition" | "hazard_break" => finding.rule == "family-return",
        "follow" => finding.rule == "avoid-after",
        "principle" => true,
        other => panic!("{}: no such kind of rule: {other}", check.id),
    }
}

/// Judges the rows, and fails on those that the program judges otherwise than their publishers. Gives how many there were.
pub fn judge(rows: &str) -> usize {
    let book = CropBook::embedded().unwrap();
    let graph = CropGraph::of_book(&book);
    let checks = checks(rows);
    let mut wrong = Vec::new();
    for check in &checks {
        let mut policy = Policy::default();
        if let Some(years) = check.return_years {
            for part in check.scope.split(';') {
                assert!(policy.ask(&book, part, years), "{}: no such family: {part}", check.id);
            }
        }
        let hazard = check.condition.strip_suffix(" found");
        let report = sequence::reckon(&book, &graph, &check.sequence, check.is_cycle, &policy, hazard)
            .unwrap_or_else(|error| panic!("{}: {error}", check.id));
        let in_scope = |finding: &&SequenceFinding| is_in_scope(&book, &check.scope, &finding.crop);
        let is_hazard_known = report.findings.iter().filter(in_scope).any(|finding| finding.rule == "hazard-host");
        // The formal minimum of two crops is judged by itself: the row says that family intervals still apply.
        let is_minimum = check.verdict == "sound at minimum";
        let spoken = report.findings.iter().filter(in_scope).filter(|finding| {
            speaks_to(check, finding, is_hazard_known) && (!is_minimum || finding.why.contains("at least two crops"))
        });
        let worst = spoken.map(|finding| finding.severity).max();
        let is_right = match check.verdict.as_str() {
            "sound" | "sound at minimum" => worst < Some(Severity::Breach),
            "warning" => worst.is_some() && worst < Some(Severity::Breach),
            "breach" => worst == Some(Severity::Breach),
            other => panic!("{}: no such verdict: {other}", check.id),
        };
        if !is_right {
            wrong.push(format!(
                "{}: {} expected, {worst:?} found ({})\n  {}\n  {:#?}",
                check.id, check.verdict, check.source, check.sequence, report.findings
            ));
        }
    }
    assert!(wrong.is_empty(), "{} rows differ:\n{}", wrong.len(), wrong.join("\n"));
    checks.len()
}
