//! Where a duplicate goes.

use super::*;

/// A planting of lettuce on a strip in cm, and where its duplicate goes.
fn lettuce_on(from_cm: i32, to_cm: i32) -> Planting {
    on_strip(planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)), from_cm, to_cm)
}

/// Kale that stands all the while.
fn kale_on(id: u32, bed: &str, from_cm: i32, to_cm: i32) -> Planting {
    on_strip(planting(id, bed, "kale", grid(45), day(2027, 4, 1), day(2028, 3, 1)), from_cm, to_cm)
}

/// A bed of 6 m.
fn long_bed(plantings: Vec<Planting>) -> Garden {
    let mut garden = garden(&["A1"]);
    garden.beds[0] = bed("A1", 120, 600);
    garden.plantings = plantings;
    garden
}

/// The bed, from and to in cm, and the side of the duplicate of the first planting.
fn duplicate(garden: Garden) -> Option<(String, i32, i32, Side)> {
    let first = garden.plantings[0].clone();
    let copy = plan(garden).next_free_slot(&first)?;
    Some((copy.bed, copy.from_mm.0 / 10, copy.to_mm.0 / 10, copy.side))
}

fn at(bed: &str, from_cm: i32, to_cm: i32, side: Side) -> (String, i32, i32, Side) {
    (bed.to_owned(), from_cm, to_cm, side)
}

#[test]
fn a_duplicate_stands_next_after_its_own_then_farther_on_and_then_at_the_start_of_its_bed() {
    // Free on both sides: after it, not before it.
    let own = lettuce_on(100, 200);
    assert_eq!(duplicate(long_bed(vec![own.clone()])), Some(at("A1", 200, 300, Side::Whole)));
    // Two places after it: the nearer one.
    let between = kale_on(2, "A1", 300, 400);
    assert_eq!(duplicate(long_bed(vec![own.clone(), between])), Some(at("A1", 200, 300, Side::Whole)));
    let beside = kale_on(2, "A1", 200, 400);
    assert_eq!(duplicate(long_bed(vec![own.clone(), beside])), Some(at("A1", 400, 500, Side::Whole)));
    // None after it, two before it: the one at the start of the bed, not the one beside it.
    let own = lettuce_on(500, 600);
    let before = kale_on(2, "A1", 100, 200);
    assert_eq!(duplicate(long_bed(vec![own.clone(), before])), Some(at("A1", 0, 100, Side::Whole)));
    let at_start = kale_on(2, "A1", 0, 200);
    assert_eq!(duplicate(long_bed(vec![own, at_start])), Some(at("A1", 200, 300, Side::Whole)));
}

#[test]
fn a_place_is_as_long_as_the_planting_and_a_cell_less_is_none() {
    let own = lettuce_on(100, 200);
    let after = |from_cm| long_bed(vec![own.clone(), kale_on(2, "A1", from_cm, 600), kale_on(3, "A1", 0, 100)]);
    assert_eq!(duplicate(after(300)), Some(at("A1", 200, 300, Side::Whole)));
    assert_eq!(duplicate(after(299)), None);
}

#[test]
fn a_duplicate_of_one_side_takes_that_side_where_it_can_and_else_the_other() {
    for (own_side, other_side) in [(Side::Left, Side::Right), (Side::Right, Side::Left)] {
        let own = Planting { side: own_side, ..lettuce_on(0, 200) };
        assert_eq!(duplicate(long_bed(vec![own.clone()])), Some(at("A1", 200, 400, own_side)));
        let beside = Planting { side: own_side, ..kale_on(2, "A1", 200, 600) };
        assert_eq!(duplicate(long_bed(vec![own, beside])), Some(at("A1", 200, 400, other_side)));
    }
}

#[test]
fn other_beds_are_asked_in_turn_from_their_start_and_only_of_the_same_kind_and_cover() {
    let mut garden = garden(&["A1", "A2", "A3", "A4"]);
    garden.plantings = vec![Planting { bed: "A2".to_owned(), ..lettuce_on(200, 300) }, kale_on(2, "A2", 0, 200)];
    assert_eq!(duplicate(garden.clone()), Some(at("A3", 0, 100, Side::Whole)), "the next bed, from its start");
    garden.beds[2].kind = BedKind::Border;
    assert_eq!(duplicate(garden.clone()), Some(at("A4", 0, 100, Side::Whole)), "a border is no bed");
    garden.beds[3].cover = Cover::UnheatedTunnel;
    assert_eq!(
        duplicate(garden.clone()),
        Some(at("A1", 0, 100, Side::Whole)),
        "under another cover it would be another crop"
    );
    garden.plantings.push(kale_on(3, "A1", 0, 300));
    assert_eq!(duplicate(garden), None);
}

#[test]
fn what_takes_the_whole_length_takes_it_in_the_next_bed_too() {
    let mut garden = garden(&["A1", "A2"]);
    garden.beds[1] = bed("A2", 120, 480);
    garden.plantings = vec![lettuce_on(0, 300)];
    assert_eq!(duplicate(garden), Some(at("A2", 0, 480, Side::Whole)));
}
