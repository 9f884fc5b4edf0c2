//! Worked by hand: what a list of what happened says of one planting, and what is refused in it.

use std::collections::HashMap;

use super::*;

const ID: PlantingId = PlantingId(1);

fn row(id: u32, date: &str, what: Happening) -> Happened {
    Happened { id: EntryId(id), planting: ID, date: day(date), what }
}

fn picked(g: Option<u32>, pieces: Option<u32>, is_last: bool) -> Happening {
    Happening::Picked { g, pieces, household: None, is_last }
}

#[test]
fn dates_and_totals_are_those_of_the_rows_in_whatever_order() {
    let mut rows = vec![
        row(1, "2027-03-16", Happening::Sown),
        row(2, "2027-03-29", Happening::Emerged),
        row(3, "2027-06-08", Happening::Planted),
        row(4, "2027-07-01", Happening::Lost { plants: 3, why: Some(Cause::Pest) }),
        row(5, "2027-08-01", Happening::Lost { plants: 2, why: None }),
        row(6, "2027-10-11", picked(Some(1_200), None, false)),
        row(7, "2027-10-11", picked(None, Some(4), false)),
        row(8, "2027-12-20", picked(Some(900), Some(3), false)),
    ];
    let expected = RealDates {
        sow: Some(day("2027-03-16")),
        emerge: Some(day("2027-03-29")),
        plant: Some(day("2027-06-08")),
        first_pick: Some(day("2027-10-11")),
        picked_g: 2_100,
        picked_pieces: 7,
        lost_plants: 5,
        ..RealDates::default()
    };
    assert_eq!(RealDates::of_rows(&rows), expected);
    rows.push(row(9, "2028-01-03", Happening::Ended { why: Some(Ending::Harvested) }));
    let expected = RealDates {
        last_pick: Some(day("2027-12-20")),
        clear: Some(day("2028-01-03")),
        ended: Some(Ending::Harvested),
        ..expected
    };
    for _ in 0..rows.len() {
        rows.rotate_left(1);
        assert_eq!(RealDates::of_rows(&rows), expected);
    }
}

#[test]
fn a_pick_is_the_last_if_it_is_said_or_if_nothing_can_follow_several() {
    let last_of = |rows: &[Happened]| RealDates::of_rows(rows).last_pick;
    let (first, second) =
        (row(1, "2027-07-05", picked(None, None, false)), row(2, "2027-07-12", picked(None, None, true)));
    let ended = row(3, "2027-08-01", Happening::Ended { why: None });
    let more = row(4, "2027-07-19", picked(None, None, false));
    assert_eq!(last_of(&[first]), None, "more may follow");
    assert_eq!(last_of(&[first, more]), None, "more may follow");
    assert_eq!(last_of(&[first, second]), Some(day("2027-07-12")));
    assert_eq!(last_of(&[first, second, more]), Some(day("2027-07-19")), "what is said to be over has gone on");
    assert_eq!(last_of(&[first, ended]), None, "only the first one was noted");
    assert_eq!(last_of(&[first, more, ended]), Some(day("2027-07-19")));
    assert_eq!(last_of(&[ended]), None);
}

#[test]
fn dates_of_some_plantings_are_theirs_alone() {
    let mut garden = garden();
    let other = Happened { planting: PlantingId(7), ..row(2, "2027-05-11", Happening::Planted) };
    garden.happened = vec![row(1, "2027-06-08", Happening::Planted), other].into();
    let real = RealDates { plant: Some(day("2027-06-08")), ..RealDates::default() };
    assert_eq!(garden.real_dates(ID), real);
    assert_eq!(garden.real_dates(PlantingId(2)), RealDates::default());
    assert_eq!(garden.real_dates_of(&[ID, PlantingId(2)]), HashMap::from([(ID, real)]));
    let all = garden.real_dates_by_planting();
    assert_eq!((all.len(), all.get(&PlantingId(7)).and_then(|real| real.plant)), (2, Some(day("2027-05-11"))));
}

#[test]
fn what_cannot_have_happened_is_refused_on_reading_and_by_an_edit() {
    let ended = Happening::Ended { why: None };
    for (rows, message) in [
        (
            vec![row(1, "2027-03-16", Happening::Sown), row(2, "2027-03-15", Happening::Planted)],
            "it is planted on 2027-03-15, before it is sown on 2027-03-16; exchange or correct the two dates (entry 2 of happened)",
        ),
        (
            vec![row(1, "2027-06-08", Happening::Planted), row(2, "2027-06-07", picked(Some(1), None, false))],
            "it is first picked on 2027-06-07, before it is planted on 2027-06-08",
        ),
        (
            vec![row(1, "2027-06-08", ended), row(2, "2027-06-09", picked(Some(1), None, false))],
            "it is cleared on 2027-06-08, before it is last picked on 2027-06-09",
        ),
        (
            vec![row(1, "2027-03-16", Happening::Sown), row(2, "2027-03-15", Happening::Emerged)],
            "it is up on 2027-03-15, before it is sown on 2027-03-16",
        ),
        (
            vec![row(1, "2027-03-16", Happening::Sown), row(2, "2027-03-16", ended)],
            "it is cleared on 2027-03-16, the day on which it is sown; clear it at least a day later",
        ),
        (
            vec![row(1, "2027-03-16", Happening::Sown), row(2, "2027-04-16", Happening::Sown)],
            "p1 is sown twice, on 2027-03-16 and on 2027-04-16; keep one of the two",
        ),
        (
            vec![row(1, "2027-06-16", ended), row(2, "2027-06-17", Happening::Ended { why: Some(Ending::Frost) })],
            "p1 is cleared twice",
        ),
        (
            vec![row(1, "2027-06-16", ended), row(2, "1627-06-17", Happening::Lost { plants: 1, why: None })],
            "year 1627 is outside 1900 to 2200",
        ),
        (
            vec![row(1, "2027-06-16", ended), Happened { planting: PlantingId(0), ..row(2, "2027-06-16", ended) }],
            "planting number 0 is outside 1 to 999999999",
        ),
    ] {
        let mut garden = garden();
        Edit::put(rows[0]).apply_to(&mut garden).unwrap();
        let before = garden.clone();
        let refused = Edit::put(rows[1]).apply_to(&mut garden).unwrap_err().to_string();
        assert!(refused.starts_with(message), "{refused}");
        assert_eq!(garden, before);
        garden.happened = rows.into();
        assert!(!validate(&garden).is_empty(), "{message}");
        let read = Garden::from_ron(&garden.to_ron(), "g.ron").unwrap_err().to_string();
        assert!(read.contains(message.split(';').next().unwrap()), "{read}");
        assert!(read.contains("g.ron:"), "{read}");
    }
}

#[test]
fn a_row_that_goes_to_another_planting_must_fit_there() {
    let mut garden = garden();
    let other = Happened { planting: PlantingId(7), ..row(1, "2027-05-11", Happening::Planted) };
    for row in [other, row(2, "2027-06-08", Happening::Planted)] {
        Edit::put(row).apply_to(&mut garden).unwrap();
    }
    let before = garden.clone();
    let moved = Edit::change(Happened { planting: ID, ..other });
    assert!(moved.apply_to(&mut garden).unwrap_err().to_string().starts_with("p1 is planted twice"));
    assert_eq!(garden, before);
}

/// What a bed carries at once depends on what happened as well.
#[test]
fn a_row_taken_out_may_not_leave_a_bed_overfull() {
    let mut garden = garden();
    let of = |n: u32| Planting { id: PlantingId(100 + n), ..garden.plantings[0].clone() };
    let more: Vec<_> = (0..u32::try_from(limits::N_AT_ONCE).unwrap()).map(of).collect();
    garden.plantings.retain(|planting| planting.id == ID);
    garden.plantings.extend(more);
    // The first one was cleared before the others go in.
    garden.happened = vec![row(1, "2027-06-07", Happening::Ended { why: None })].into();
    garden.plantings[0].planned.plant = Some(day("2027-05-07"));
    assert_eq!(validate(&garden), []);
    let before = garden.clone();
    let refused = Edit::Take(Key::Happened(EntryId(1))).apply_to(&mut garden).unwrap_err().to_string();
    assert!(refused.starts_with("on 2027-06-07 201 plantings stand in bed A1"), "{refused}");
    assert_eq!(garden, before);
}

#[test]
fn a_number_that_something_happened_to_is_not_given_again() {
    let mut garden = Garden::empty("hand");
    let what = Happening::Picked { g: None, pieces: None, household: Some(EntryId(5)), is_last: false };
    Edit::put(Happened { planting: PlantingId(9), ..row(1, "2027-08-01", what) }).apply_to(&mut garden).unwrap();
    assert_eq!(garden.next_planting_id(), PlantingId(10));
    assert_eq!(garden.next_entry_id::<Household>(), EntryId(6));
    let head = garden.to_ron();
    let head = head.trim_end().strip_suffix(')').unwrap();
    let by_hand = format!("{head}    households: [(name: \"Mill\", n_people: 4)],\n)\n");
    assert_eq!(Garden::from_ron(&by_hand, "g.ron").unwrap().households[0].id, EntryId(6));
}
