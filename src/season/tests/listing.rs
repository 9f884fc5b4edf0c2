//! What is listed: findings that say the same as one, none that is past, none that is kept quiet.

use super::*;
use crate::garden::{Edit, EntryId, PastCrop, Quiet};
use crate::season::rule_name;

/// Three leafy crops straight after phacelia, which wants three weeks before them.
fn after_phacelia() -> Garden {
    let mut garden = garden(&["A1", "A2"]);
    let phacelia = planting(1, "A1", "phacelia", grid(30), day(2026, 9, 1), day(2027, 4, 20));
    garden.plantings = vec![
        phacelia,
        on_strip(planting(2, "A1", "lettuce-head", grid(28), day(2027, 4, 24), day(2027, 7, 1)), 0, 100),
        on_strip(planting(3, "A1", "lettuce-leaf", grid(25), day(2027, 4, 24), day(2027, 7, 1)), 100, 200),
        on_strip(planting(4, "A1", "beetroot", grid(25), day(2027, 4, 26), day(2027, 8, 1)), 200, 300),
    ];
    garden
}

fn listed(plan: &Plan, rule: &str) -> Vec<usize> {
    let places = (0..plan.n_findings()).filter(|&n| rule_name(&plan.finding_at(n).unwrap().says) == rule);
    places.map(|n| plan.alike(n).len()).collect()
}

#[test]
fn what_is_said_of_three_plantings_of_a_bed_is_one_finding_with_a_count() {
    let plan = plan(after_phacelia());
    assert_eq!(says(&plan, "avoid-after").len(), 3, "one by one: {:?}", plan.findings());
    assert_eq!(listed(&plan, "avoid-after"), [2], "one, and two more alike");
    let counts = plan.finding_counts();
    let n_listed = counts.n_breaches + counts.n_cautions + counts.n_notes + counts.n_accepted;
    assert_eq!(n_listed, plan.n_findings());
}

#[test]
fn a_mistake_is_past_once_its_day_is_over_and_is_counted() {
    let plan = plan(after_phacelia());
    let on = |today| plan.clone().seen_on(today);
    assert_eq!(listed(&on(day(2027, 4, 24)), "avoid-after"), [2], "the day itself is not over");
    assert_eq!(listed(&on(day(2027, 4, 25)), "avoid-after"), [0], "the beetroot is still to come");
    let after = on(day(2027, 4, 27));
    assert_eq!(listed(&after, "avoid-after"), Vec::<usize>::new());
    assert!(after.finding_counts().n_past >= 3);
    assert_eq!(listed(&after.showing_all(true), "avoid-after"), [2]);
}

#[test]
fn a_breach_of_rotation_lasts_as_long_as_its_crop_stands() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "cabbage-summer", grid(45), day(2026, 5, 1), day(2026, 8, 1)),
        planting(2, "A1", "cauliflower-summer", grid(60), day(2027, 5, 1), day(2027, 8, 1)),
    ];
    let plan = plan(garden);
    let n_open = |today| listed(&plan.clone().seen_on(today), "family-return").len();
    assert_eq!(says(&plan, "family-return").len(), 1, "{:?}", plan.findings());
    assert_eq!([n_open(day(2027, 5, 2)), n_open(day(2027, 7, 31)), n_open(day(2027, 8, 2))], [1, 1, 0]);
}

#[test]
fn findings_of_a_kind_are_kept_quiet_for_a_bed_a_crop_or_the_garden_and_shown_again() {
    let mut sitting = sitting(after_phacelia());
    let quiet = |bed: Option<&str>, crop: Option<&str>| Quiet {
        id: EntryId::NONE,
        rule: "avoid-after".to_owned(),
        bed: bed.map(str::to_owned),
        crop: crop.map(str::to_owned),
        reason: "it is hoed off, not dug in".to_owned(),
    };
    for (bed, crop, left) in [
        (None, None, vec![]),
        (Some("A1"), None, vec![]),
        (Some("A2"), None, vec![2]),
        (None, Some("beetroot"), vec![1]),
        (Some("A1"), Some("beetroot"), vec![1]),
    ] {
        let edit = Edit::adding(quiet(bed, crop), sitting.plan().garden());
        sitting.apply(edit).unwrap();
        let plan = sitting.plan();
        assert_eq!(listed(plan, "avoid-after"), left, "{bed:?} {crop:?}");
        let n_hidden = 3 - left.iter().map(|n_more| n_more + 1).sum::<usize>();
        assert_eq!(plan.finding_counts().n_quiet, n_hidden);
        let again = Garden::from_ron(&plan.garden().to_ron(), "again").unwrap();
        assert_eq!(&again, plan.garden());
        assert_eq!(listed(&plan.clone().showing_all(true), "avoid-after").len(), 1 + usize::from(n_hidden == 1));
        sitting.undo().unwrap();
        assert_eq!(listed(sitting.plan(), "avoid-after"), [2]);
    }
}

#[test]
fn lime_before_cabbages_is_no_finding_to_act_on() {
    let mut garden = garden(&["A1"]);
    garden.soil_log.push(crate::garden::SoilEntry {
        id: EntryId(1),
        bed: "A1".to_owned(),
        date: day(2026, 11, 1),
        amendment: crate::garden::Amendment::Lime,
        depth_mm: None,
        weight_g: None,
    });
    garden.past = Vec::<PastCrop>::new().into();
    garden.plantings = vec![planting(1, "A1", "cabbage-summer", grid(45), day(2027, 5, 10), day(2027, 9, 1))];
    let plan = plan(garden);
    assert_eq!(listed(&plan, "soil-order"), Vec::<usize>::new());
    assert!(
        plan.beds()[0]
            .findings
            .iter()
            .any(|finding| finding.is_good_order() && rule_name(&finding.says) == "soil-order")
    );
}
