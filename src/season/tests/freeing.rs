use super::*;
use crate::units::{Rect, Week};

/// Lettuce on the first metre until 1 July, kale on the rest until March.
fn two_strips() -> Plan {
    let mut garden = garden(&["A1", "A2"]);
    garden.plantings = vec![
        on_strip(planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)), 0, 100),
        on_strip(planting(2, "A1", "kale", grid(45), day(2027, 6, 1), day(2028, 3, 1)), 100, 300),
        on_strip(planting(3, "A1", "beetroot", grid(25), day(2027, 8, 1), day(2027, 10, 15)), 0, 100),
    ];
    plan(garden)
}

#[test]
fn each_strip_frees_up_on_its_own_day() {
    let free = two_strips().free_up(0, day(2027, 6, 15));
    let strips: Vec<_> = free.strips.iter().map(|s| (s.from_mm.0, s.to_mm.0, s.free_from, s.until)).collect();
    assert_eq!(strips, [(0, 1000, day(2027, 7, 1), Some(day(2027, 8, 1))), (1000, 3000, day(2028, 3, 1), None),]);
    assert_eq!(free.free_from, day(2027, 7, 1));
    assert_eq!(free.whole_bed_free_from, day(2028, 3, 1));
    assert_eq!(free.standing, [PlantingId(1), PlantingId(2)]);
    assert_eq!(free.next, [PlantingId(3)]);
    assert_eq!(free.empty_weeks, None);
    // Of the twelve months from 15 June 2027 the bed is bare from 1 March 2028 to 14 June: 105 days.
    assert_eq!(free.bare_weeks, 15);
}

#[test]
fn the_weeks_a_bed_stands_empty_are_the_same_from_a_week_and_from_the_day_in_it() {
    let plan = two_strips();
    // 3 May 2028 is a Wednesday; nothing stands in the first bed from 1 March 2028 on, and nothing ever in the second.
    let mut garden = plan.garden().clone();
    garden.plantings.push(planting(4, "A1", "leek", grid(20), day(2028, 11, 15), day(2029, 3, 1)));
    let plan = super::plan(garden);
    let today = day(2028, 5, 3);
    let (asked, free) = plan.free_up_in_week(0, Week::of(today), today);
    assert_eq!((asked, &free), (today, &plan.free_up(0, today)));
    assert_eq!(free.empty_weeks, Some(28), "196 days from 3 May to 15 November 2028");
    // Another week is seen from its Monday: 26 weeks from 15 May, with two days over.
    let (asked, free) = plan.free_up_in_week(0, Week::of(day(2028, 5, 17)), today);
    assert_eq!((asked, free.empty_weeks), (day(2028, 5, 15), Some(26)));
    // What goes in within the week stands.
    let (asked, free) = plan.free_up_in_week(0, Week::of(day(2028, 11, 13)), today);
    assert_eq!((asked, free.whole_bed_free_from), (day(2028, 11, 19), day(2029, 3, 1)));
}

#[test]
fn ground_that_is_taken_over_on_the_day_it_frees_up_is_not_free() {
    let mut garden = garden(&["A1"]);
    garden.plantings = vec![
        planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1)),
        planting(2, "A1", "beetroot", grid(25), day(2027, 7, 1), day(2027, 10, 1)),
        planting(3, "A1", "garlic", grid(15), day(2027, 10, 20), day(2028, 7, 10)),
    ];
    let free = plan(garden).free_up(0, day(2027, 6, 1));
    assert_eq!(free.whole_bed_free_from, day(2027, 10, 1));
    assert_eq!(free.strips.len(), 1, "strips with the same answer are one: {:?}", free.strips);
    assert_eq!(free.strips[0].until, Some(day(2027, 10, 20)));
    assert_eq!(free.empty_weeks, Some(2)); // 19 days
}

#[test]
fn halves_of_the_width_are_told_apart_only_where_they_differ() {
    let mut garden = garden(&["A1"]);
    let left = planting(1, "A1", "lettuce-head", grid(28), day(2027, 5, 1), day(2027, 7, 1));
    garden.plantings = vec![on_strip(Planting { side: Side::Left, ..left }, 0, 150)];
    let free = plan(garden).free_up(0, day(2027, 6, 1));
    let strips: Vec<_> = free.strips.iter().map(|s| (s.from_mm.0, s.to_mm.0, s.side, s.free_from)).collect();
    assert_eq!(
        strips,
        [
            (0, 1500, Side::Left, day(2027, 7, 1)),
            (0, 1500, Side::Right, day(2027, 6, 1)),
            (1500, 3000, Side::Whole, day(2027, 6, 1)),
        ]
    );
}

#[test]
fn an_empty_bed_is_free_at_once_and_bare_all_year() {
    let free = two_strips().free_up(1, day(2027, 6, 1));
    assert_eq!((free.free_from, free.whole_bed_free_from), (day(2027, 6, 1), day(2027, 6, 1)));
    assert_eq!((free.strips.len(), free.bare_weeks, free.empty_weeks), (1, 52, None));
}

#[test]
fn ground_is_free_only_if_nothing_stands_on_it_the_whole_while() {
    let plan = two_strips();
    let ground = Rect { x0: Mm(0), x1: Mm(500), y0: Mm(0), y1: Mm(1200) };
    assert!(plan.is_free(0, ground, day(2027, 7, 1), day(2027, 8, 1)));
    assert!(!plan.is_free(0, ground, day(2027, 7, 1), day(2027, 8, 2)));
    assert!(!plan.is_free(0, ground, day(2027, 6, 30), day(2027, 8, 1)));
}

/// Common practice, no published source: garlic along the edges leaves the middle of a bed to other crops.
#[test]
fn lines_along_both_edges_leave_the_ground_between_them_free() {
    let mut garden = garden(&["A1"]);
    let edge = |along| Layout::Edge { spacing_mm: Mm::from_cm(15), along };
    garden.plantings = vec![
        planting(1, "A1", "garlic", edge(Side::Left), day(2026, 10, 20), day(2027, 7, 10)),
        planting(2, "A1", "garlic", edge(Side::Right), day(2026, 10, 20), day(2027, 7, 10)),
        on_strip(planting(3, "A1", "kale", grid(45), day(2026, 7, 1), day(2027, 4, 1)), 0, 100),
    ];
    let free = plan(garden).free_up(0, day(2027, 3, 1));
    let strips: Vec<_> = free.strips.iter().map(|s| (s.from_mm.0, s.to_mm.0, s.side, s.free_from)).collect();
    assert_eq!(strips, [(0, 1000, Side::Whole, day(2027, 4, 1)), (1000, 3000, Side::Whole, day(2027, 3, 1))]);
    assert_eq!((free.free_from, free.whole_bed_free_from), (day(2027, 3, 1), day(2027, 7, 10)));
}
