//! Hazards seen, and what keeps them going.

use crate::garden::Severity;
use crate::rotation::{Because, Edge, Node, Policy, RotationFinding, Rule, Seen, Stand};

use super::{book, day, graph, of_rule, past, planting, seen};

fn check(stands: &[Stand], seen: &[Seen]) -> Vec<RotationFinding> {
    let findings = graph().check(book(), &Policy::default(), stands, seen, &[]);
    findings.into_iter().filter(|finding| finding.rule == Rule::HazardHost).collect()
}

#[test]
fn clubroot_bars_every_crucifer_green_manures_too_until_the_break_is_kept() {
    // Clubroot: sources ask at least 5 and usually 7 host-free years; it usually lives 15.
    let clubroot = [seen("clubroot", 2020)];
    for crop in ["cabbage", "mustard-green-manure", "radish", "mustard-greens", "brassicaceae"] {
        let findings = check(&[past(crop, 2025)], &clubroot);
        assert_eq!((findings.len(), findings[0].severity), (1, Severity::Breach), "{crop}");
        assert_eq!((findings[0].asked_years, findings[0].clear_year), (Some(8), Some(2036)));
        assert_eq!(findings[0].caution_year, Some(2026));
        assert_eq!(check(&[past(crop, 2026)], &clubroot)[0].severity, Severity::Caution, "{crop}");
        assert_eq!(check(&[past(crop, 2035)], &clubroot)[0].severity, Severity::Caution, "{crop}");
        assert_eq!(check(&[past(crop, 2036)], &clubroot), [], "{crop}");
    }
    assert_eq!(check(&[past("leek", 2021), past("potato", 2022)], &clubroot), []);
}

#[test]
fn a_host_since_the_sighting_starts_the_clock_again() {
    let stands = [past("mustard-green-manure", 2024), past("cabbage", 2028)];
    let findings = check(&stands, &[seen("clubroot", 2015)]);
    let cabbage = findings.iter().find(|finding| finding.year == 2028).unwrap();
    assert_eq!((cabbage.severity, cabbage.earlier_year), (Severity::Breach, Some(2024)));
    assert!(cabbage.earlier.is_some());
    // Three host-free years of the seven asked, where there would have been twelve.
    assert_eq!((cabbage.asked_years, cabbage.caution_year), (Some(8), Some(2030)));
}

#[test]
fn the_crop_in_which_a_hazard_was_seen_is_not_blamed_for_it() {
    let cabbage = planting(1, "cabbage", day(2025, 5, 1), day(2025, 9, 1));
    assert_eq!(check(std::slice::from_ref(&cabbage), &[seen("clubroot", 2025)]), []);
    let kale = planting(2, "kale", day(2025, 9, 2), day(2025, 12, 1));
    assert_eq!(check(&[cabbage, kale], &[seen("clubroot", 2025)])[0].severity, Severity::Breach);
}

#[test]
fn what_no_break_clears_is_asked_for_without_end() {
    let findings = check(&[past("asparagus", 2080)], &[seen("asparagus_fusarium_replant", 2020)]);
    assert_eq!(findings[0].severity, Severity::Breach);
    assert_eq!((findings[0].asked_years, findings[0].clear_year), (None, None));
}

#[test]
fn a_relative_that_the_source_does_not_name_is_only_noted() {
    // Leaf spot of celery names celery and celeriac, not the family's carrots.
    let findings = check(&[past("carrot", 2026)], &[seen("celery_leaf_spot", 2025)]);
    assert_eq!((findings[0].severity, findings[0].because), (Severity::Note, Because::HostRelative));
    let findings = check(&[past("celeriac", 2026)], &[seen("celery_leaf_spot", 2025)]);
    assert_eq!(findings[0].severity, Severity::Breach);
    // A bed of which only the family is known may have carried a host.
    let findings = check(&[past("apiaceae", 2026)], &[seen("celery_leaf_spot", 2025)]);
    assert_eq!((findings[0].severity, findings[0].because), (Severity::Caution, Because::PartHost));
}

#[test]
fn where_sources_speak_of_risk_and_not_of_a_break_a_host_is_a_caution() {
    assert_eq!(check(&[past("potato", 2026)], &[seen("potato_black_dot", 2025)])[0].severity, Severity::Caution);
}

#[test]
fn the_path_leads_from_the_hazard_to_the_host() {
    let findings = check(&[past("kale", 2026)], &[seen("clubroot", 2025)]);
    let path = graph().path(&findings[0]);
    let clubroot = Node::Hazard(seen("clubroot", 2025).hazard_idx);
    assert_eq!(path.nodes, [clubroot, Node::Crop(book().crop_idx("kale").unwrap())]);
    assert!(matches!(path.edges[..], [Edge::LivesOn(_)]), "{path:?}");
    let findings = check(&[past("mustard-greens", 2026)], &[seen("clubroot", 2025)]);
    let path = graph().path(&findings[0]);
    assert_eq!(path.nodes.last(), Some(&Node::Crop(book().crop_idx("mustard-greens").unwrap())), "{path:?}");
    assert!(path.nodes.contains(&Node::Botanical("Brassicaceae".to_owned())), "{path:?}");
}

#[test]
fn advice_about_a_disease_holds_only_where_it_was_seen() {
    // Garlic after potatoes: fusarium of garlic lives on potatoes (F33), yet UK plans set alliums after potatoes (F19).
    let stands = [past("potato", 2025), past("garlic", 2026)];
    let findings = graph().check(book(), &Policy::default(), &stands, &[], &[]);
    assert!(of_rule(&findings, Rule::AvoidAfter).is_empty());
    assert!(!of_rule(&findings, Rule::GoodAfter).is_empty());
    let fusarium = [seen("onion_fusarium_basal_rot", 2020)];
    let findings = graph().check(book(), &Policy::default(), &stands, &fusarium, &[]);
    let [finding] = of_rule(&findings, Rule::AvoidAfter)[..] else { panic!("{findings:?}") };
    assert_eq!(finding.severity, Severity::Caution);
}
