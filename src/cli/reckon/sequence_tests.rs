//! Sequences as growers write them.

use std::sync::OnceLock;

use super::{SequenceError, SequenceReport, plain, reckon};
use crate::crops::CropBook;
use crate::garden::Severity;
use crate::rotation::{CropGraph, Policy};

fn book() -> &'static CropBook {
    static BOOK: OnceLock<CropBook> = OnceLock::new();
    BOOK.get_or_init(|| CropBook::embedded().unwrap())
}

fn graph() -> &'static CropGraph {
    static GRAPH: OnceLock<CropGraph> = OnceLock::new();
    GRAPH.get_or_init(|| CropGraph::of_book(book()))
}

fn plan(text: &str, is_cycle: bool) -> SequenceReport {
    reckon(book(), graph(), text, is_cycle, &Policy::default(), None).unwrap()
}

#[test]
fn a_cycle_wraps_and_says_each_thing_once() {
    let report = plan("cabbage, potato, onion", true);
    let returns: Vec<_> = report.findings.iter().filter(|finding| finding.rule == "family-return").collect();
    // Each of the three comes back after three years where four are asked.
    assert_eq!(
        returns.iter().map(|finding| (finding.year, finding.earlier_year)).collect::<Vec<_>>(),
        [(1, Some(1)), (2, Some(2)), (3, Some(3))]
    );
    assert_eq!(report.worst, "breach");
    assert_eq!(plan("cabbage, potato, onion", false).worst, "none");
    assert_eq!(plan("pea, cabbage, potato, onion", true).worst, "none");
}

#[test]
fn crops_are_named_as_they_were_written() {
    let report = plan("Turnips, kale", false);
    assert_eq!(
        (report.findings[0].crop.as_str(), report.findings[0].earlier_crop.as_deref()),
        ("kale", Some("Turnips"))
    );
    let why = &report.findings[0].why;
    assert_eq!(why, "kale is of the cabbage family, here last as Turnips in year 1: 1 year between crops, 4 asked");
    let json = serde_json::to_value(&report).unwrap();
    assert_eq!(json["worst"], "breach");
    assert_eq!(json["findings"][0]["severity"], "breach");
    assert_eq!(json["findings"][0]["rule"], "family-return");
}

#[test]
fn a_good_order_is_told_but_does_not_make_a_plan_look_bad() {
    let report = plan("pea, cabbage", false);
    assert_eq!(report.worst, "none");
    assert!(report.findings.iter().all(|finding| finding.rule == "good-after" && finding.severity == Severity::Note));
    assert!(!report.findings.is_empty());
}

#[test]
fn families_fallow_and_marks_stand_for_crops() {
    assert_eq!(plan("amaryllidaceae, fallow, leek", false).worst, "breach");
    assert_eq!(plan("fallow, any:whatever, group:green things", true).worst, "none");
    assert_eq!(plan("gm:white_mustard > cabbage", false).worst, "breach");
    assert_eq!(plan("ley:grass, ley:grass, ley:grass, wheat", false).worst, "note");
}

#[test]
fn permanent_crops_stand_on_unless_they_are_planted_afresh() {
    assert_eq!(plan("strawberry, strawberry, strawberry", false).worst, "none");
    assert_eq!(plan("strawberry, new:strawberry", false).worst, "breach");
    assert_eq!(plan("raspberry, raspberry", false).worst, "breach");
    assert_eq!(plan("raspberry, on:raspberry, on:raspberry", false).worst, "none");
    assert_eq!(plan("rhubarb, rhubarb, rhubarb", false).worst, "none");
}

#[test]
fn a_hazard_seen_before_the_first_year_bars_its_hosts() {
    let with = |text: &str, hazard: &str| reckon(book(), graph(), text, false, &Policy::default(), Some(hazard));
    let report = with("potato, leek, cabbage", "clubroot").unwrap();
    assert_eq!(report.worst, "breach");
    let barred = report.findings.iter().find(|finding| finding.rule == "hazard-host").unwrap();
    assert_eq!((barred.year, barred.earlier_year, barred.earlier_crop.as_deref()), (3, Some(0), None));
    assert!(
        barred.why.contains("clubroot, seen here before year 1: 2 host-free years, 5 to 7 asked"),
        "{}",
        barred.why
    );
    for name in ["white mould", "Globodera pallida", "stem nematode", "Allium white rot", "violet_root_rot"] {
        assert!(with("potato", name).is_ok(), "{name}");
    }
    let Err(SequenceError::UnknownHazard { nearest, .. }) = with("potato", "clubrot") else { panic!() };
    assert_eq!((nearest.len(), nearest[0].as_str()), (3, "Clubroot"));
}

#[test]
fn what_cannot_be_read_is_answered_by_one_clear_line() {
    let error = |text: &str| reckon(book(), graph(), text, false, &Policy::default(), None).unwrap_err();
    assert_eq!(error("  "), SequenceError::Empty);
    assert_eq!(error("leek,,potato"), SequenceError::EmptyItem { year: 2 });
    assert_eq!(error("leek, potato +"), SequenceError::EmptyItem { year: 2 });
    assert_eq!(error(&"leek,".repeat(200)), SequenceError::TooLong);
    let SequenceError::UnknownName { word, nearest } = error("leek, potatto\u{7}") else { panic!() };
    assert_eq!((word.as_str(), nearest.first().map(String::as_str)), ("potatto", Some("Potato")));
    // What is a slip of nothing is said to be missing; three names used to be offered whatever they were.
    assert!(error("leek, tractor").to_string().ends_with("of the book, and none of its names is near"));
    assert!(matches!(error("zz:leek"), SequenceError::UnknownName { .. }));
    assert!(error(&"x".repeat(10_000)).to_string().len() < 300);
}

#[test]
fn names_are_brought_to_one_plain_form() {
    assert_eq!(plain("  French_bean-dwarf "), "french bean dwarf");
}
