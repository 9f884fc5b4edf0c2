//! Published rotations and do-not-follow cases, judged under the rule of the publisher named in each row.
//!
//! `data/rotation_checks.csv` holds the sequences with their sources; `sequences` says how one is put to the program. Rows on whose
//! verdict a reading of ours hangs, made with these rows in view, are in `tests/calibrated/` instead; no other is left out.

use std::collections::BTreeSet;

use bedfellow::cli::sequence;
use bedfellow::crops::{CropBook, PlantRef};
use bedfellow::rotation::{CropGraph, Policy};

use crate::sequences::{is_in_scope, judge};

const CHECKS: &str = include_str!("data/rotation_checks.csv");

#[test]
fn published_rotations_are_judged_as_their_publishers_judge_them() {
    assert_eq!(judge(CHECKS), 50, "the table of checks is whole");
}

/// The rows' own figure: years from one crop of the scope to the next, at least, worked out here by hand from the
/// sequence, so that the table itself is checked.
#[test]
fn the_least_years_between_crops_of_a_family_are_those_the_table_states() {
    let mut reader = csv::Reader::from_reader(CHECKS.as_bytes());
    let headers = reader.headers().unwrap().clone();
    let column = |name: &str| headers.iter().position(|header| header == name).unwrap();
    let book = CropBook::embedded().unwrap();
    let mut n_checked = 0;
    for record in reader.records() {
        let record = record.unwrap();
        let Ok(stated) = record[column("min_observed_return_years")].parse::<usize>() else { continue };
        let scope = &record[column("scope")];
        let years: Vec<&str> = record[column("sequence")].split('>').collect();
        let stands = years.iter().map(|year| {
            year.split('+').any(|crop| {
                let crop = crop.trim();
                is_in_scope(&book, scope, crop.split_once(':').map_or(crop, |(_, crop)| crop))
            })
        });
        let mut at: Vec<usize> = stands.enumerate().filter(|(_, stands)| *stands).map(|(year, _)| year).collect();
        if &record[column("cyclic")] == "yes" {
            at.extend(at.first().map(|first| first + years.len()));
        }
        let least = at.windows(2).map(|pair| pair[1] - pair[0]).min();
        assert_eq!(least, Some(stated), "{}", &record[0]);
        n_checked += 1;
    }
    assert!(n_checked > 35);
}

/// Issues of the trade without a published source: common practice.
#[test]
fn leeks_straight_after_shallots_in_one_year_are_a_finding_but_no_breach() {
    let book = CropBook::embedded().unwrap();
    let graph = CropGraph::of_book(&book);
    let report = sequence::reckon(&book, &graph, "shallots + leeks", false, &Policy::default(), None).unwrap();
    assert_eq!(report.worst, "caution");
    assert_eq!(report.findings.iter().map(|finding| finding.rule).collect::<Vec<_>>(), ["same-year"]);
}

/// Every host that a hazard of the book names is a plant of the book, so that no host goes unheard (the hosts named are
/// those of the sources at each hazard).
#[test]
fn hosts_that_sources_name_are_hosts_in_the_graph() {
    let book = CropBook::embedded().unwrap();
    let graph = CropGraph::of_book(&book);
    let mut unheard = BTreeSet::new();
    for (hazard_idx, hazard) in book.hazards().iter().enumerate() {
        for name in hazard.host_crops.iter().chain(&hazard.host_green_manures) {
            let found = book.find(name);
            let is_host = |plant: PlantRef| graph.is_host(bedfellow::rotation::Taxon::Plant(plant), hazard_idx);
            if !found.is_some_and(is_host) {
                unheard.insert(format!("{}: {name}", hazard.id));
            }
        }
    }
    assert!(unheard.is_empty(), "{unheard:?}");
}
