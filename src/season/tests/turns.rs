//! Beds with a turn of their own: containers filled anew, and permanent crops that stand for years.

use super::*;
use crate::garden::{EntryId, PastCrop};

fn past(bed: &str, what: &str, years: std::ops::RangeInclusive<i32>) -> Vec<PastCrop> {
    let row = |year: i32| PastCrop {
        id: EntryId(year as u32),
        bed: bed.to_owned(),
        year,
        what: what.to_owned(),
        strip_mm: None,
        side: crate::garden::Side::Whole,
    };
    years.map(row).collect()
}

#[test]
fn a_container_with_fresh_compost_each_year_is_outside_the_rotation_of_ground() {
    let mut garden = garden(&["P1"]);
    garden.past = past("P1", "potato-first-early", 2025..=2026).into();
    garden.plantings = vec![planting(1, "P1", "potato-first-early", grid(30), day(2027, 4, 10), day(2027, 7, 1))];
    assert_eq!(worst_of(&plan(garden.clone()), "family-return"), Some(Severity::Breach));
    garden.beds[0].renewed_yearly = true;
    let plan = plan(garden);
    assert_eq!(worst_of(&plan, "family-return"), None);
    let potatoes = plan.garden().plantings[0].clone();
    assert!(!plan.preview(&potatoes).findings.iter().any(|finding| matches!(finding.says, Says::Rotation(_))));
}

#[test]
fn asparagus_written_down_year_by_year_is_one_crop_and_not_replanted() {
    for crop in ["asparagus", "globe-artichoke"] {
        let mut garden = garden(&["F1"]);
        garden.past = past("F1", crop, 2024..=2026).into();
        garden.plantings = vec![planting(1, "F1", crop, grid(60), day(2027, 4, 1), day(2032, 11, 1))];
        let going_on = plan(garden.clone());
        for rule in ["family-return", "avoid-after", "exempt", "same-year"] {
            assert_eq!(worst_of(&going_on, rule), None, "{crop} {rule}: {:?}", going_on.findings());
        }
        let again = going_on.garden().plantings[0].clone();
        let previewed = going_on.preview(&again);
        assert!(!previewed.findings.iter().any(|finding| matches!(finding.says, Says::Rotation(_))), "{crop}");
    }
    // Grubbed out for two years, it is planted anew.
    let mut garden = garden(&["F1"]);
    garden.past = past("F1", "asparagus", 2024..=2024).into();
    garden.plantings = vec![planting(1, "F1", "asparagus", grid(60), day(2027, 4, 1), day(2032, 11, 1))];
    assert_eq!(worst_of(&plan(garden), "avoid-after"), Some(Severity::Breach));
}
