//! Families coming back, by year, by ground and within one year.

use crate::crops::PlantRef;
use crate::garden::Severity;
use crate::rotation::{Because, Edge, Node, Policy, Rule, StandKey, Taxon};
use crate::units::{Mm, Rect};

use super::{book, check, day, graph, of_rule, past, planting, whole_bed, worst};

#[test]
fn a_family_back_too_soon_is_a_breach_that_says_when_it_would_be_clear() {
    // The book asks four years of brassicas: kale in 2027 after cabbage in 2024 is one year short; 2028 is clear.
    let findings = check(&[past("cabbage", 2024), past("kale", 2027)]);
    let [finding] = of_rule(&findings, Rule::FamilyReturn)[..] else { panic!("{findings:?}") };
    assert_eq!(finding.severity, Severity::Breach);
    assert_eq!((finding.year, finding.earlier_year), (2027, Some(2024)));
    assert_eq!((finding.asked_years, finding.clear_year), (Some(4), Some(2028)));
    assert_eq!(worst(&check(&[past("cabbage", 2024), past("kale", 2028)])), None);
}

#[test]
fn winter_onions_and_a_bed_of_many_years_count_from_their_last_year() {
    // Garlic set in October 2026 stands for 2027; leeks in 2030 come three years after it.
    let garlic = planting(1, "garlic", day(2026, 10, 20), day(2027, 7, 15));
    let leeks = planting(2, "leek", day(2030, 6, 10), day(2030, 12, 1));
    let findings = check(&[garlic, leeks]);
    assert_eq!(of_rule(&findings, Rule::FamilyReturn)[0].earlier_year, Some(2027));
    // Strawberries 2024 to 2026, raspberries in 2029: three years after the last of them, four asked.
    let berries = planting(1, "strawberry", day(2024, 4, 1), day(2026, 9, 1));
    let findings = check(&[berries, past("raspberry-summer", 2029)]);
    assert_eq!(of_rule(&findings, Rule::FamilyReturn)[0].earlier_year, Some(2026));
}

#[test]
fn an_edge_row_of_garlic_troubles_only_its_edge() {
    let mut garlic = planting(1, "garlic", day(2025, 10, 20), day(2026, 7, 15));
    garlic.ground = vec![Rect { y1: Mm::from_cm(24), ..whole_bed() }];
    let mut middle = planting(2, "leek", day(2027, 6, 10), day(2027, 12, 1));
    middle.ground = vec![Rect { y0: Mm::from_cm(24), ..whole_bed() }];
    assert_eq!(check(&[garlic.clone(), middle]), []);
    let across = planting(2, "leek", day(2027, 6, 10), day(2027, 12, 1));
    let findings = check(&[garlic, across]);
    let [finding] = of_rule(&findings, Rule::FamilyReturn)[..] else { panic!("{findings:?}") };
    // 24 cm of 120 cm are a fifth of the leeks' ground.
    assert_eq!(finding.shared_pct, 20);
    assert_eq!(finding.shared, [Rect { y1: Mm::from_cm(24), ..whole_bed() }]);
}

#[test]
fn a_repeat_within_one_year_is_a_caution_straight_after_and_a_note_otherwise() {
    let shallots = planting(1, "shallot", day(2026, 3, 1), day(2026, 7, 10));
    let leeks = planting(2, "leek", day(2026, 7, 12), day(2026, 12, 20));
    let findings = check(&[shallots.clone(), leeks]);
    assert_eq!((findings.len(), findings[0].rule, findings[0].severity), (1, Rule::SameYear, Severity::Caution));
    let lettuce = planting(2, "lettuce-head", day(2026, 7, 12), day(2026, 8, 30));
    let winter = planting(3, "salad-onion", day(2026, 9, 1), day(2026, 11, 30));
    let findings = check(&[shallots, lettuce, winter]);
    let [finding] = of_rule(&findings, Rule::SameYear)[..] else { panic!("{findings:?}") };
    assert_eq!(finding.severity, Severity::Note);
}

#[test]
fn two_crops_of_one_family_side_by_side_are_companions() {
    let leeks = planting(1, "leek", day(2026, 5, 10), day(2026, 12, 20));
    let onions = planting(2, "salad-onion", day(2026, 5, 10), day(2026, 7, 10));
    assert_eq!(check(&[leeks, onions]), []);
}

#[test]
fn the_latest_of_several_repeats_is_to_blame_once() {
    let findings = check(&[past("cabbage", 2024), past("kale", 2025), past("turnip", 2026)]);
    let turnip: Vec<_> = findings.iter().filter(|finding| finding.year == 2026).collect();
    assert_eq!(turnip.len(), 1);
    assert_eq!(turnip[0].earlier_year, Some(2025));
}

#[test]
fn potato_after_pepper_is_a_caution_unless_the_whole_nightshade_family_is_asked_for() {
    let stands = [past("sweet_pepper", 2024), past("potato", 2026)];
    let findings = check(&stands);
    let [finding] = of_rule(&findings, Rule::FamilyReturn)[..] else { panic!("{findings:?}") };
    assert_eq!((finding.severity, finding.because), (Severity::Caution, Because::SameBotanical));
    for (policy, severity) in [
        (Policy { for_all: Some(4), ..Policy::default() }, Some(Severity::Breach)),
        (Policy { by_family: [("Solanaceae".to_owned(), 4)].into(), for_all: None }, Some(Severity::Breach)),
        (Policy { by_family: [("Solanaceae".to_owned(), 2)].into(), for_all: None }, None),
        (Policy { by_family: [("solanaceae_potato".to_owned(), 5)].into(), for_all: None }, Some(Severity::Caution)),
        (Policy { by_family: [("solanaceae_potato".to_owned(), 0)].into(), for_all: Some(4) }, Some(Severity::Note)),
    ] {
        let findings = graph().check(book(), &policy, &stands, &[], &[]);
        assert_eq!(worst(&findings), severity, "{policy:?}");
    }
}

#[test]
fn a_policy_is_asked_by_any_name_a_grower_uses() {
    let mut policy = Policy::default();
    for name in ["solanaceae", "Brassicaceae", "leeks", "apiaceae"] {
        assert!(policy.ask(book(), name, 5), "{name}");
    }
    let asked: Vec<&str> = policy.by_family.keys().map(String::as_str).collect();
    assert_eq!(asked, ["Solanaceae", "amaryllidaceae", "apiaceae", "brassicaceae"]);
    assert!(!policy.ask(book(), "no such crop at all", 5));
}

#[test]
fn exempt_families_are_noted_and_one_crop_alone_three_years_running_is_no_rotation() {
    let two = check(&[past("lettuce", 2024), past("lettuce", 2025)]);
    assert_eq!((two.len(), two[0].rule, two[0].severity), (1, Rule::Exempt, Severity::Note));
    let three = check(&[past("lettuce", 2024), past("lettuce", 2025), past("lettuce", 2026)]);
    let last: Vec<_> = three.iter().filter(|finding| finding.year == 2026).collect();
    // Lettuce the year round is a habit to be warned of, not a mistake; a sequence that is judged as a rotation breaks the norm.
    assert_eq!((last.len(), last[0].severity, last[0].because), (1, Severity::Caution, Because::NoOtherCrop));
    let item = |year: i32| crate::rotation::Stand { key: StandKey::Item(year as usize), ..past("lettuce", year) };
    assert_eq!(worst(&check(&[item(2024), item(2025), item(2026)])), Some(Severity::Breach));
    let with_leeks = [past("lettuce", 2024), past("leek", 2024), past("lettuce", 2025), past("lettuce", 2026)];
    assert_eq!(worst(&check(&with_leeks)), Some(Severity::Note));
}

#[test]
fn a_strawberry_bed_is_not_kept_beyond_three_years() {
    let three = planting(1, "strawberry", day(2024, 4, 1), day(2026, 9, 1));
    assert_eq!(check(&[three]), []);
    let four = planting(1, "strawberry", day(2024, 4, 1), day(2027, 9, 1));
    let findings = check(&[four]);
    assert_eq!((findings.len(), findings[0].because, findings[0].asked_years), (1, Because::BedTooOld, Some(3)));
}

#[test]
fn a_past_crop_known_by_family_only_counts_as_the_family() {
    let findings = check(&[past("brassicaceae", 2024), past("kale", 2025)]);
    assert!(matches!(findings[0].earlier_taxon, Some(Taxon::Family(_))));
    assert_eq!(worst(&findings), Some(Severity::Breach));
}

#[test]
fn a_candidate_gets_its_own_findings_and_those_of_later_crops_because_of_it() {
    let stands = [past("cabbage", 2022), past("kale", 2023), past("turnip", 2028)];
    let mut candidate = past("swede", 2026);
    candidate.key = StandKey::Proposed;
    let policy = Policy::default();
    let findings = graph().check_one(book(), &policy, &stands, &[], &[], &candidate);
    let said: Vec<_> = findings.iter().map(|finding| (finding.year, finding.earlier_year)).collect();
    assert_eq!(said, [(2026, Some(2023)), (2028, Some(2026))]);
    assert_eq!(graph().worst_of(&policy, &stands, &[], &[], &candidate), Some(Severity::Breach));
    candidate.taxon = super::taxon("lettuce");
    assert_eq!(graph().worst_of(&policy, &stands, &[], &[], &candidate), None);
}

#[test]
fn a_taxon_beyond_the_book_is_passed_over() {
    let mut stranger = past("cabbage", 2024);
    stranger.taxon = Taxon::Family(9_999);
    assert_eq!(check(&[stranger, past("cabbage", 2028)]), []);
}

#[test]
fn a_crop_set_in_autumn_counts_for_the_next_year() {
    // Onions of 2026, sets on 1 September 2027: by the calendar a year, by rotation years 2028 - 2026 = 2.
    let findings = check(&[past("onion", 2026), planting(1, "onion-overwintered", day(2027, 9, 1), day(2028, 6, 20))]);
    let finding = of_rule(&findings, Rule::FamilyReturn)[0];
    assert_eq!((finding.year, finding.set_in_autumn(), finding.days_between()), (2028, Some(day(2027, 9, 1)), None));
    // Clear for 2030, which a crop set from 15 August 2029 on counts for.
    assert_eq!((finding.clear_year, finding.clear_from_autumn()), (Some(2030), Some(day(2029, 8, 15))));
}

#[test]
fn days_between_two_crops_are_counted_where_both_are_known() {
    // Garlic out on 10 July 2026, onions in on 20 March 2027: 253 days, 36 weeks and a day.
    let stands = [
        planting(1, "garlic", day(2025, 10, 20), day(2026, 7, 10)),
        planting(2, "onion", day(2027, 3, 20), day(2027, 8, 20)),
    ];
    let findings = check(&stands);
    let finding = of_rule(&findings, Rule::FamilyReturn)[0];
    assert_eq!(finding.days_between(), Some(253));
}

#[test]
fn the_path_through_the_graph_joins_the_two_crops() {
    let taxon_node = |name: &str| match super::taxon(name) {
        Taxon::Plant(PlantRef::Crop(idx)) => Node::Crop(idx),
        Taxon::Plant(PlantRef::Known(idx)) => Node::Known(idx),
        Taxon::Family(idx) => Node::Family(idx),
    };
    let findings = check(&[past("garlic", 2025), past("leek", 2026)]);
    let path = graph().path(of_rule(&findings, Rule::FamilyReturn)[0]);
    assert_eq!(path.nodes, ["garlic", "amaryllidaceae", "leek"].map(taxon_node));
    assert_eq!(path.edges, [Edge::IsOf, Edge::Holds]);
    let findings = check(&[past("tomato", 2025), past("potato", 2026)]);
    let path = graph().path(of_rule(&findings, Rule::FamilyReturn)[0]);
    assert!(path.nodes.contains(&Node::Botanical("Solanaceae".to_owned())), "{path:?}");
}
