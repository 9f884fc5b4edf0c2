//! What the rules say of small beds whose answer is plain by hand, and what holds of any bed.

mod beds;
mod edges;
mod hazards;
mod orders;
pub(crate) mod properties;

use std::sync::OnceLock;

use chrono::NaiveDate;

use crate::crops::CropBook;
use crate::garden::{EntryId, PlantingId, Severity};
use crate::rotation::{CropGraph, Policy, RotationFinding, Rule, Seen, Stand, StandKey, Taxon, rotation_years};
use crate::units::{Mm, Rect};

pub(crate) fn book() -> &'static CropBook {
    static BOOK: OnceLock<CropBook> = OnceLock::new();
    BOOK.get_or_init(|| CropBook::embedded().unwrap())
}

pub(crate) fn graph() -> &'static CropGraph {
    static GRAPH: OnceLock<CropGraph> = OnceLock::new();
    GRAPH.get_or_init(|| CropGraph::of_book(book()))
}

pub(crate) fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

/// The whole of a bed 1.2 m by 4 m.
pub(crate) fn whole_bed() -> Rect {
    Rect::of_size(Mm::from_cm(400), Mm::from_cm(120))
}

pub(crate) fn taxon(name: &str) -> Taxon {
    match book().find(name) {
        Some(plant) => Taxon::Plant(plant),
        None => Taxon::Family(book().find_families(name)[0]),
    }
}

/// A past crop of which only the year is known.
pub(crate) fn past(name: &str, year: i32) -> Stand {
    let ground = vec![whole_bed()];
    Stand {
        key: StandKey::Past(EntryId(0)),
        taxon: taxon(name),
        first_year: year,
        last_year: year,
        from: None,
        until: None,
        ground,
    }
}

/// A planting with its days.
pub(crate) fn planting(id: u32, name: &str, from: NaiveDate, until: NaiveDate) -> Stand {
    let (first_year, last_year) = rotation_years(from, until);
    Stand {
        key: StandKey::Planting(PlantingId(id)),
        taxon: taxon(name),
        first_year,
        last_year,
        from: Some(from),
        until: Some(until),
        ground: vec![whole_bed()],
    }
}

pub(crate) fn seen(hazard_id: &str, year: i32) -> Seen {
    let hazard_idx = book().hazards().iter().position(|hazard| hazard.id == hazard_id).unwrap();
    Seen { hazard_idx, year }
}

pub(crate) fn check(stands: &[Stand]) -> Vec<RotationFinding> {
    graph().check(book(), &Policy::default(), stands, &[], &[])
}

pub(crate) fn of_rule(findings: &[RotationFinding], rule: Rule) -> Vec<&RotationFinding> {
    findings.iter().filter(|finding| finding.rule == rule).collect()
}

pub(crate) fn worst(findings: &[RotationFinding]) -> Option<Severity> {
    findings.iter().filter(|finding| finding.rule != Rule::GoodAfter).map(|finding| finding.severity).max()
}
