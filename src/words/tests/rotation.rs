//! Why a rule of rotation speaks, as it is said.

use proptest::prelude::*;

use crate::rotation::tests::properties::{any_bed, any_seen, config};
use crate::rotation::tests::{book, check, day, graph, of_rule, past, planting, seen, whole_bed};
use crate::rotation::{Policy, RotationFinding, Rule, Stand};
use crate::units::{Mm, Rect};
use crate::words::rotation::{source, why};

fn why_of(stands: &[Stand], rule: Rule) -> String {
    let findings = check(stands);
    why(book(), of_rule(&findings, rule)[0])
}

fn hosts(stands: &[Stand], hazard: (&str, i32)) -> Vec<RotationFinding> {
    let seen = [seen(hazard.0, hazard.1)];
    let findings = graph().check(book(), &Policy::default(), stands, &seen, &[]);
    findings.into_iter().filter(|finding| finding.rule == Rule::HazardHost).collect()
}

#[test]
fn a_family_is_said_with_its_years_and_the_part_of_the_ground() {
    let findings = check(&[past("garlic", 2025), past("leek", 2026)]);
    let finding = of_rule(&findings, Rule::FamilyReturn)[0];
    let words = why(book(), finding);
    assert!(words.contains("here last as Garlic in 2025: 1 year between crops, 4 asked"), "{words}");
    assert!(source(book(), finding).contains("Soil Association"), "{}", source(book(), finding));
    // 24 cm of 120 cm.
    let mut garlic = planting(1, "garlic", day(2025, 10, 20), day(2026, 7, 15));
    garlic.ground = vec![Rect { y1: Mm::from_cm(24), ..whole_bed() }];
    let words = why_of(&[garlic, planting(2, "leek", day(2027, 6, 10), day(2027, 12, 1))], Rule::FamilyReturn);
    assert!(words.ends_with("(on 20 % of its ground)"), "{words}");
}

#[test]
fn a_crop_set_in_autumn_says_which_year_it_counts_for() {
    let stands = [past("onion", 2026), planting(1, "onion-overwintered", day(2027, 9, 1), day(2028, 6, 20))];
    let words = why_of(&stands, Rule::FamilyReturn);
    assert!(words.contains(" counts for 2028 (goes in 1 Sep 2027); the onion family, as "), "{words}");
    assert!(words.ends_with(" last stood for 2026: 2 rotation years, 4 asked"), "{words}");
}

#[test]
fn less_than_a_year_between_days_is_told_in_weeks() {
    // 253 days, 36 weeks and a day.
    let stands = [
        planting(1, "garlic", day(2025, 10, 20), day(2026, 7, 10)),
        planting(2, "onion", day(2027, 3, 20), day(2027, 8, 20)),
    ];
    let words = why_of(&stands, Rule::FamilyReturn);
    assert!(words.ends_with("36 weeks between crops, 1 rotation year, 4 asked"), "{words}");
}

#[test]
fn hosts_are_said_with_the_years_they_were_away_and_advice_with_its_contrary() {
    let findings = hosts(&[past("mustard-green-manure", 2024), past("cabbage", 2028)], ("clubroot", 2015));
    let words = why(book(), findings.iter().find(|finding| finding.year == 2028).unwrap());
    assert!(words.contains("3 host-free years, 5 to 7 asked"), "{words}");
    let words = why(book(), &hosts(&[past("asparagus", 2080)], ("asparagus_fusarium_replant", 2020))[0]);
    assert!(words.ends_with("no break is long enough"), "{words}");
    let words = why_of(&[past("cabbage", 2025), past("sweetcorn", 2026)], Rule::AvoidAfter);
    assert!(words.contains("; other sources say the contrary"), "{words}");
}

#[test]
fn no_source_is_told_with_the_names_of_columns() {
    let sources = book().families().iter().map(|family| &family.source);
    for source in sources.chain(book().hazards().iter().map(|hazard| &hazard.source)) {
        let words = book().source_words(source);
        for column in ["feeding_class", "return_m", "return_u", "persistence_", "break_", "from memory:"] {
            assert!(!words.contains(column), "{words}");
        }
    }
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn every_finding_can_be_put_into_words(stands in any_bed(), seen in any_seen()) {
        for finding in graph().check(book(), &Policy::default(), &stands, &seen, &[]) {
            prop_assert!(!why(book(), &finding).is_empty() && !source(book(), &finding).is_empty());
        }
    }
}
