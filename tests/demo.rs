//! The demo garden is what its header comment says: it opens, is written back byte for byte, and holds the listed
//! mistakes and no other breach or caution.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a demo that cannot be read is a failed test

use std::collections::BTreeSet;
use std::sync::Arc;

use bedfellow::crops::CropBook;
use bedfellow::garden::{Garden, Severity};
use bedfellow::season::{Plan, rule_name};
use bedfellow::words::headline;

const DEMO: &str = include_str!("../demo/walled-garden.ron");

fn demo() -> Garden {
    Garden::from_ron(DEMO, "demo/walled-garden.ron").unwrap_or_else(|error| panic!("{error}"))
}

fn plan() -> Plan {
    Plan::new(demo(), &Arc::new(CropBook::embedded().unwrap()))
}

/// Open findings of that severity as `bed rule`.
fn found(plan: &Plan, severity: Severity) -> BTreeSet<String> {
    plan.findings()
        .into_iter()
        .filter(|finding| finding.severity == severity && finding.accepted.is_none())
        .map(|finding| format!("{} {}", plan.garden().beds[finding.bed_idx].id, rule_name(&finding.says)))
        .collect()
}

fn set(of: &[&str]) -> BTreeSet<String> {
    of.iter().map(|&text| text.to_owned()).collect()
}

#[test]
fn the_demo_is_written_back_byte_for_byte() {
    let written = demo().to_ron();
    let first_difference = DEMO.lines().zip(written.lines()).find(|(read, wrote)| read != wrote);
    assert_eq!(first_difference, None);
    assert!(written == DEMO, "the ends differ");
}

#[test]
fn the_demo_is_as_large_as_a_real_garden() {
    let garden = demo();
    let in_quarters = garden.beds.iter().filter(|bed| "ABCD".contains(&bed.id[..1])).count();
    assert_eq!(in_quarters, 24);
    assert_eq!(garden.households.len(), 5);
    assert!((110..=150).contains(&garden.plantings.len()), "{}", garden.plantings.len());
}

#[test]
fn the_engines_find_the_mistakes_left_in_on_purpose_and_no_other() {
    let plan = plan();
    for finding in plan.findings() {
        println!(
            "{:?} {} {} {}",
            finding.severity,
            plan.garden().beds[finding.bed_idx].id,
            rule_name(&finding.says),
            headline(&plan, finding)
        );
    }
    assert_eq!(
        found(&plan, Severity::Breach),
        set(&["A5 overlap", "C4 family-return", "C6 crowding", "D6 hazard-host"])
    );
    assert_eq!(
        found(&plan, Severity::Caution),
        set(&["B5 same-year", "P2 out-of-season", "P2 tender-before-last-frost"])
    );
    let gaps: BTreeSet<String> =
        found(&plan, Severity::Note).into_iter().filter(|note| note.ends_with(" gap")).collect();
    assert_eq!(gaps, set(&["D5 gap"]));
}

#[test]
fn every_mistake_found_is_listed_in_the_header_comment() {
    let plan = plan();
    let grave = found(&plan, Severity::Breach).into_iter().chain(found(&plan, Severity::Caution));
    for bed_and_rule in grave {
        let (bed, rule) = bed_and_rule.split_once(' ').unwrap();
        let listed = DEMO
            .lines()
            .take_while(|line| line.starts_with("//"))
            .any(|line| line.starts_with(&format!("//   {bed}  ")) && line.contains(rule));
        assert!(listed, "the header comment does not list {bed_and_rule}");
    }
}

#[test]
fn one_finding_is_accepted_with_a_reason() {
    let plan = plan();
    let accepted: Vec<_> = plan.findings().into_iter().filter(|finding| finding.accepted.is_some()).collect();
    assert_eq!(accepted.len(), plan.garden().accepted.len());
    assert_eq!(accepted.len(), 1);
    assert_eq!(rule_name(&accepted[0].says), "family-return");
}

/// Twenty is as many as one reads (our own bound). The header says to look at it on 26 October 2026; before that, two notes on the garlic of
/// that month are still open.
#[test]
fn the_demo_has_at_most_twenty_notes_from_the_day_its_header_names() {
    assert!(DEMO.contains("Look at it as if today were 2026-10-26."));
    for today in ["2026-10-26", "2026-12-01", "2027-03-01", "2027-06-14"] {
        let seen = plan().seen_on(today.parse().unwrap());
        let notes = seen.listed().into_iter().filter(|finding| finding.severity == Severity::Note);
        let n_notes = notes.filter(|finding| finding.accepted.is_none()).count();
        assert_eq!(n_notes, seen.finding_counts().n_notes, "{today}");
        assert!((1..=20).contains(&n_notes), "{n_notes} notes on {today}");
    }
}
