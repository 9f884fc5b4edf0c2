//! Orders of crops, manure and lime.

use crate::crops::{LimeEffect, PlantRef};
use crate::garden::{Amendment, Severity};
use crate::rotation::{Because, Edge, Given, Node, Policy, Rule, SoilCase, Stand, Taxon};

use super::{book, check, day, graph, of_rule, past, planting, worst};

fn rule_ids(stands: &[Stand], rule: Rule) -> Vec<&'static str> {
    let findings = check(stands);
    of_rule(&findings, rule)
        .iter()
        .map(|finding| book().follow_rules()[finding.follow_idx.unwrap()].id.as_str())
        .collect()
}

#[test]
fn contrary_advice_is_reported_from_both_sides() {
    let stands = [past("cabbage", 2025), past("sweetcorn", 2026)];
    assert_eq!(rule_ids(&stands, Rule::AvoidAfter), ["F10"]);
    assert_eq!(rule_ids(&stands, Rule::GoodAfter), ["F09"]);
    let rule = |id: &str| book().follow_rules().iter().find(|rule| rule.id == id).unwrap();
    assert!(!rule("F10").conflicts_with.is_empty());
}

#[test]
fn advice_against_an_order_weighs_by_how_firmly_and_by_whom_it_is_given() {
    let worst_after = |before: &str, after: &str| worst(&check(&[past(before, 2025), past(after, 2026)]));
    // IOBC strict rule (F30), usual advice (F04).
    assert_eq!(worst_after("potato", "strawberry"), Some(Severity::Breach));
    assert_eq!(worst_after("carrot", "beetroot"), Some(Severity::Caution));
    // Firm advice of one garden text (F35) is no norm.
    assert_eq!(worst_after("radish", "leek"), Some(Severity::Caution));
    // Said by the way (F59).
    assert_eq!(worst_after("runner-bean", "leek"), Some(Severity::Note));
    // A good order is sound.
    assert_eq!(worst_after("pea", "cabbage"), None);
}

#[test]
fn advice_ends_after_its_years() {
    // Wireworm: potatoes within four years of grass (F27).
    assert_eq!(rule_ids(&[past("grass ley", 2022), past("potato", 2026)], Rule::AvoidAfter), ["F27"]);
    assert!(rule_ids(&[past("grass ley", 2021), past("potato", 2026)], Rule::AvoidAfter).is_empty());
}

#[test]
fn raspberries_are_not_replanted_at_once_but_currants_may_follow_them() {
    let raspberries = [past("raspberry-summer", 2025), past("raspberry-autumn", 2026)];
    assert_eq!(rule_ids(&raspberries, Rule::AvoidAfter), ["F66"]);
    assert!(rule_ids(&[past("raspberry-summer", 2025), past("blackcurrant", 2026)], Rule::AvoidAfter).is_empty());
}

#[test]
fn a_turned_in_green_manure_wants_three_weeks_before_small_seed() {
    let rye = planting(1, "winter-rye", day(2025, 9, 20), day(2026, 4, 1));
    let soon = planting(2, "carrot-early", day(2026, 4, 10), day(2026, 7, 10));
    let later = planting(2, "carrot-early", day(2026, 4, 30), day(2026, 7, 10));
    assert_eq!(rule_ids(&[rye.clone(), soon], Rule::AvoidAfter), ["F57", "F58"]);
    assert!(rule_ids(&[rye, later], Rule::AvoidAfter).is_empty());
}

#[test]
fn the_path_of_advice_runs_through_what_the_rule_names() {
    let findings = check(&[past("lucerne", 2025), past("pea", 2026)]);
    let avoid = of_rule(&findings, Rule::AvoidAfter);
    let path = graph().path(avoid[0]);
    let Some(Node::Known(first)) = path.nodes.first() else { panic!("{path:?}") };
    assert_eq!(super::taxon("lucerne"), Taxon::Plant(PlantRef::Known(*first)));
    assert!(path.edges.contains(&Edge::Follow(avoid[0].follow_idx.unwrap())), "{path:?}");
    assert!(path.nodes.contains(&Node::Botanical("Fabaceae".to_owned())), "{path:?}");
}

#[test]
fn rules_without_an_edge_are_those_about_no_crop_in_particular() {
    let mut ids: Vec<&str> =
        graph().unlinked_rules().iter().map(|&idx| book().follow_rules()[idx].id.as_str()).collect();
    ids.dedup();
    // F05 is the return interval; F21 to F24 and F56 speak of lime, manure and residues; F18 of most crops; F34 wants
    // two predecessors; F39 of how to count; F66 names bushes that follow each other only to mean each after itself.
    let known = ["F05", "F18", "F21", "F22", "F23", "F24", "F34", "F39", "F56", "F66"];
    assert_eq!(ids, known);
}

fn soil(stands: &[Stand], amendments: &[Given]) -> Vec<(SoilCase, Severity)> {
    let findings = graph().check(book(), &Policy::default(), stands, &[], amendments);
    findings
        .iter()
        .filter_map(|finding| match finding.because {
            Because::Soil(case) => Some((case, finding.severity)),
            _ => None,
        })
        .collect()
}

#[test]
fn manure_and_lime_are_held_against_what_dislikes_them() {
    let given = |amendment, date| [Given { amendment, date }];
    let carrots = [planting(1, "carrot-maincrop", day(2026, 5, 1), day(2026, 10, 20))];
    let autumn = day(2025, 11, 10);
    let roots = (SoilCase::RootsAfterManure, Severity::Caution);
    assert_eq!(soil(&carrots, &given(Amendment::FreshManure, autumn)), [roots]);
    assert_eq!(soil(&carrots, &given(Amendment::FreshManure, day(2025, 4, 1))), []);
    assert_eq!(soil(&carrots, &given(Amendment::Compost, autumn)), []);
    let potatoes = [planting(1, "potato-maincrop", day(2026, 4, 20), day(2026, 9, 20))];
    let scab = (SoilCase::AfterLime(LimeEffect::Scab), Severity::Caution);
    assert_eq!(soil(&potatoes, &given(Amendment::Lime, day(2025, 2, 1))), [scab]);
    assert_eq!(soil(&potatoes, &given(Amendment::Lime, day(2024, 2, 1))), []);
    let kale = [planting(1, "kale", day(2026, 6, 1), day(2027, 3, 1))];
    let limed = (SoilCase::AfterLime(LimeEffect::Welcome), Severity::Note);
    assert_eq!(soil(&kale, &given(Amendment::Lime, day(2026, 2, 1))), [limed]);
    assert_eq!(soil(&kale, &given(Amendment::Lime, day(2025, 5, 1))), [], "more than a year ago");
    let mustard = [planting(1, "mustard-green-manure", day(2026, 6, 1), day(2026, 9, 1))];
    assert_eq!(soil(&mustard, &given(Amendment::Lime, day(2026, 2, 1))), []);
    let blueberries = [planting(1, "blueberry", day(2026, 4, 20), day(2030, 9, 20))];
    let sweetened = (SoilCase::AfterLime(LimeEffect::Harm), Severity::Caution);
    assert_eq!(soil(&blueberries, &given(Amendment::Lime, day(2025, 2, 1))), [sweetened]);
}

#[test]
fn raw_manure_keeps_its_distance_from_the_harvest() {
    // Cleared on 20 July: 119 days after 23 March, 120 after 22 March.
    let lettuce = [planting(1, "lettuce-head", day(2026, 5, 1), day(2026, 7, 20))];
    let raw = |date| soil(&lettuce, &[Given { amendment: Amendment::FreshManure, date }]);
    assert_eq!(raw(day(2026, 3, 23)), [(SoilCase::RawManureNearHarvest, Severity::Caution)]);
    assert_eq!(raw(day(2026, 3, 22)), []);
}

#[test]
fn heavy_feeders_in_a_row_are_noted_where_nothing_was_given_between() {
    let stands = [
        planting(1, "cabbage-summer", day(2025, 5, 1), day(2025, 9, 1)),
        planting(2, "courgette", day(2026, 5, 20), day(2026, 10, 1)),
    ];
    let elsewhen = Given { amendment: Amendment::Compost, date: day(2024, 11, 1) };
    let between = Given { amendment: Amendment::Compost, date: day(2025, 11, 1) };
    assert_eq!(soil(&stands, &[elsewhen]), [(SoilCase::HeavyAfterHeavy, Severity::Note)]);
    assert_eq!(soil(&stands, &[elsewhen, between]), []);
    assert_eq!(soil(&stands, &[]), [], "no soil log is kept");
}
