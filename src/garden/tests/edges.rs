//! The most that a garden takes, and one more.

use super::*;

fn problems(with: impl FnOnce(&mut Garden)) -> Vec<String> {
    let mut garden = garden();
    with(&mut garden);
    validate(&garden).iter().map(Problem::sentence).collect()
}

#[test]
fn two_hundred_plantings_stand_in_a_bed_at_once_and_no_more() {
    let mut full = Garden { beds: vec![bed("A1", 4_800)].into(), ..Garden::empty("x") };
    full.plantings = (1..=limits::N_AT_ONCE as u32).map(|id| leek(id, "A1")).collect();
    assert_eq!(validate(&full), []);
    let one_more = |change: &dyn Fn(&mut Planting)| {
        let mut planting = leek(500, "A1");
        change(&mut planting);
        Edit::AddPlanting(Box::new(planting)).apply_to(&mut full.clone()).map_err(|error| error.to_string())
    };
    let refused = one_more(&|_| {}).unwrap_err();
    assert!(refused.starts_with("on 2027-06-07 201 plantings stand in bed A1; 200 at once are the most"), "{refused}");
    // One that goes in as the others are cleared is no one too many, nor one that was cleared as they go in.
    assert!(
        one_more(&|new| new.planned = PlannedDates { plant: Some(day("2028-03-06")), ..PlannedDates::default() })
            .is_ok()
    );
    // What was planted later than it was planned to be cleared stands for the day at least.
    let planned = PlannedDates { clear: Some(day("2027-06-20")), ..PlannedDates::default() };
    let late = Planting { planned, ..leek(500, "A1") };
    let planted = Happened { id: EntryId(1), planting: late.id, date: day("2027-07-01"), what: Happening::Planted };
    full.plantings.push(late);
    let refused = Edit::put(planted).apply_to(&mut full).unwrap_err().to_string();
    assert!(refused.starts_with("on 2027-07-01 201 plantings"), "{refused}");
}

#[test]
fn a_thousand_rows_of_a_list_name_one_bed_and_no_more() {
    let past = |n_rows: usize| {
        problems(|garden| {
            let row = garden.past[0].clone();
            garden.past = (1..=n_rows as u32).map(|id| PastCrop { id: EntryId(id), ..row.clone() }).collect();
        })
    };
    assert_eq!(past(limits::N_IN_BED), Vec::<String>::new());
    let [problem] = &past(limits::N_IN_BED + 1)[..] else { panic!() };
    assert!(problem.contains("bed A1 has more than 1000 past crops"), "{problem}");
}

#[test]
fn two_events_of_one_day_are_in_order_but_nothing_is_cleared_as_it_goes_in() {
    let dated = |sow: &str, plant: &str, clear: &str| {
        problems(|garden| {
            garden.plantings[2].planned = PlannedDates {
                sow: Some(day(sow)),
                plant: Some(day(plant)),
                clear: Some(day(clear)),
                ..PlannedDates::default()
            };
        })
    };
    assert_eq!(dated("2027-06-07", "2027-06-07", "2027-06-08"), Vec::<String>::new());
    let [problem] = &dated("2027-03-15", "2027-06-07", "2027-06-07")[..] else { panic!() };
    assert!(problem.contains("it is cleared on 2027-06-07, the day on which it is planted"), "{problem}");
}

#[test]
fn a_frost_may_fall_on_the_29th_of_february_and_not_on_the_30th() {
    let last_frost = |of_month| problems(|garden| garden.site.last_frost = MonthDay { month: 2, day: of_month });
    assert_eq!(last_frost(29), Vec::<String>::new());
    assert!(last_frost(30)[0].contains("there is no day 30 in month 2"));
}

#[test]
fn names_are_of_one_line_and_notes_of_many() {
    assert_eq!(problems(|garden| garden.beds[0].notes = "one\ntwo".to_owned()), Vec::<String>::new());
    assert!(problems(|garden| garden.beds[0].name = "one\ntwo".to_owned())[0].contains("control character (U+000A)"));
}

#[test]
fn the_greatest_value_of_a_limit_is_within_it() {
    let clump = |clump| problems(|garden| garden.plantings[0].clump = clump);
    assert_eq!(clump(100), Vec::<String>::new());
    assert!(clump(101)[0].contains("clump 101 is outside 1 to 100"));
}

#[test]
fn left_and_right_of_an_odd_width_part_at_its_smaller_half() {
    let across = |side: Side| side.across(Mm(1_201));
    assert_eq!(across(Side::Left), (Mm(0), Mm(600)));
    assert_eq!(across(Side::Right), (Mm(600), Mm(1_201)));
}

#[test]
fn an_edit_after_undo_leads_to_a_state_of_its_own() {
    let mut garden = garden();
    let mut undo = Undo::default();
    let mut rename = |undo: &mut Undo, name: &str| {
        let inverse = Edit::Rename(name.to_owned()).apply_to(&mut garden).unwrap();
        undo.done("rename", inverse);
        undo.state()
    };
    let first = rename(&mut undo, "one");
    let mut before = super::garden();
    assert!(undo.undo(&mut before).is_some());
    let second = rename(&mut undo, "two");
    assert!(first != second && second != 0, "{first} {second}");
}
