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
fn contrary_advice_is_weighed_together_and_said_once() {
    let stands = [past("cabbage", 2025), past("sweetcorn", 2026)];
    // Usual advice (F10) against a word in passing (F09): the warning stands, and names the other.
    assert_eq!(rule_ids(&stands, Rule::AvoidAfter), ["F10"]);
    assert!(rule_ids(&stands, Rule::GoodAfter).is_empty());
    // Two words in passing (F50, F51) of one order: a note that sources differ, and no praise beside it.
    let findings = check(&[past("winter-squash", 2025), past("cabbage", 2026)]);
    let [finding] = of_rule(&findings, Rule::AvoidAfter)[..] else { panic!("{findings:?}") };
    let id = |idx: Option<usize>| idx.map(|idx| book().follow_rules()[idx].id.as_str());
    assert_eq!((id(finding.follow_idx), id(finding.contrary_idx)), (Some("F51"), Some("F50")));
    assert_eq!(finding.severity, Severity::Note);
    assert!(of_rule(&findings, Rule::GoodAfter).is_empty());
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
    // Said by the way (F61), and nobody says the contrary.
    assert_eq!(worst_after("cucumber-ridge", "strawberry"), Some(Severity::Note));
    // Said by the way as well (F59), while leeks are firmly advised after a legume (F03): the firmer word stands.
    assert_eq!(worst_after("runner-bean", "leek"), None);
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
    assert_eq!(rule_ids(&[rye.clone(), soon], Rule::AvoidAfter), ["F57"]);
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

#[test]
fn advice_on_an_order_is_about_the_crop_just_before() {
    // Peas before cabbage go well, and carrots before beetroot do not, unless another crop stood on that ground between.
    let peas = planting(1, "pea-shelling", day(2026, 3, 1), day(2026, 6, 20));
    let lettuce = planting(2, "lettuce-head", day(2026, 6, 22), day(2026, 8, 30));
    let cabbage = planting(3, "cabbage-spring", day(2026, 9, 1), day(2027, 5, 1));
    assert!(!rule_ids(&[peas.clone(), cabbage.clone()], Rule::GoodAfter).is_empty());
    let findings = check(&[peas.clone(), lettuce, cabbage.clone()]);
    let after_peas = of_rule(&findings, Rule::GoodAfter)
        .into_iter()
        .filter(|good| good.about == cabbage.key && good.earlier == Some(peas.key));
    assert_eq!(after_peas.count(), 0);
    let carrots = planting(1, "carrot-early", day(2026, 3, 1), day(2026, 6, 20));
    let lettuce = planting(2, "lettuce-head", day(2026, 6, 22), day(2026, 7, 30));
    let beetroot = planting(3, "beetroot", day(2026, 8, 1), day(2026, 11, 1));
    assert_eq!(rule_ids(&[carrots.clone(), beetroot.clone()], Rule::AvoidAfter), ["F04"]);
    assert!(rule_ids(&[carrots, lettuce, beetroot], Rule::AvoidAfter).is_empty());
}

#[test]
fn what_stays_in_the_soil_is_looked_for_past_the_crop_between() {
    // Verticillium (F30): five years from potatoes to strawberries, whatever stood between.
    let stands = [past("potato", 2023), past("pea", 2024), past("onion-sets", 2025), past("strawberry", 2026)];
    assert!(rule_ids(&stands, Rule::AvoidAfter).contains(&"F30"));
    // And back from strawberries to potatoes (F71): a caution.
    let findings = check(&[past("strawberry", 2024), past("pea", 2025), past("potato", 2026)]);
    let [finding] = of_rule(&findings, Rule::AvoidAfter)[..] else { panic!("{findings:?}") };
    assert_eq!((finding.severity, finding.asked_years), (Severity::Caution, Some(5)));
}

#[test]
fn potatoes_near_tomatoes_or_aubergines_are_graver_than_peppers_near_tomatoes() {
    let of = |before: &str, after: &str| {
        let findings = check(&[past(before, 2025), past(after, 2026)]);
        let against = findings.iter().filter(|finding| !finding.rule.is_praise() && finding.rule != Rule::SoilOrder);
        against.map(|finding| (finding.severity, finding.rule)).collect::<Vec<_>>()
    };
    for (before, after) in
        [("potato", "tomato"), ("tomato", "potato"), ("potato", "aubergine"), ("aubergine", "potato")]
    {
        assert_eq!(of(before, after), [(Severity::Breach, Rule::FamilyReturn)], "{before} {after}: said once");
    }
    assert_eq!(of("tomato", "sweet_pepper"), [(Severity::Caution, Rule::FamilyReturn)]);
    assert_eq!(of("sweet_pepper", "tomato").iter().map(|(severity, _)| *severity).max(), Some(Severity::Caution));
    assert_eq!(of("potato", "sweet_pepper"), [(Severity::Caution, Rule::FamilyReturn)]);
    assert_eq!(of("tomato", "tomato")[0], (Severity::Breach, Rule::FamilyReturn));
}

#[test]
fn a_catch_crop_of_a_month_is_no_breach() {
    let cabbage = planting(1, "cabbage-summer", day(2026, 4, 20), day(2026, 9, 1));
    let worst_of = |until| worst(&check(&[cabbage.clone(), planting(2, "radish", day(2027, 4, 1), until)]));
    assert_eq!(worst_of(day(2027, 5, 16)), Some(Severity::Caution), "45 days");
    assert_eq!(worst_of(day(2027, 5, 17)), Some(Severity::Breach));
}

#[test]
fn beans_on_fixed_poles_and_lettuce_all_the_year_are_a_caution_at_most() {
    for name in ["runner-bean", "lettuce-leaf"] {
        let years = |year| planting(year as u32, name, day(year, 5, 20), day(year, 10, 1));
        assert_eq!(worst(&check(&[years(2025), years(2026), years(2027)])), Some(Severity::Caution), "{name}");
    }
}
