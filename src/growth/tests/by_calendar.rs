use proptest::prelude::*;

use crate::crops::{Crop, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use crate::growth::by_book::{FALLBACK_DAYS, days_to_first_pick};
use crate::growth::day::plus_days;
use crate::growth::fixture::{courgette, day, garlic, leek, lettuce, phacelia, salad_onion, strawberry};
use crate::growth::{Almanac, Stages, StagesError};

const NORTH: Almanac = Almanac { is_southern: false, site: None };
const SOUTH: Almanac = Almanac { is_southern: true, site: None };

fn planned(pairs: &[(&str, &str)]) -> PlannedDates {
    let mut dates = PlannedDates::default();
    for (what, on) in pairs {
        let slot = match *what {
            "sow" => &mut dates.sow,
            "plant" => &mut dates.plant,
            "first_pick" => &mut dates.first_pick,
            "last_pick" => &mut dates.last_pick,
            "clear" => &mut dates.clear,
            other => panic!("{other}"),
        };
        *slot = Some(day(on));
    }
    dates
}

fn real(pairs: &[(&str, &str)]) -> RealDates {
    let dates = planned(pairs);
    RealDates {
        sow: dates.sow,
        plant: dates.plant,
        first_pick: dates.first_pick,
        last_pick: dates.last_pick,
        clear: dates.clear,
        ..RealDates::default()
    }
}

/// `sow enters first_pick last_pick clear`, a dash for no sowing.
fn shown(stages: &Stages) -> String {
    let sow = stages.sow.map_or("-".to_owned(), |sow| sow.to_string());
    format!("{sow} {} {} {} {}", stages.enters, stages.first_pick, stages.last_pick, stages.clear)
}

fn check(crop: &Crop, raised: Raised, given: &[(&str, &str)], expected: &str) {
    let stages = NORTH.growing(crop, raised, Cover::Open).stages(&planned(given), &RealDates::default()).unwrap();
    assert_eq!(shown(&stages), expected, "{} {raised:?} {given:?}", crop.id);
}

#[test]
fn dates_follow_from_any_one_of_them() {
    // By the calendar (checked with Python's datetime): 70 days in modules, 95 from planting, 28 weeks of standing.
    let all = "2027-03-01 2027-05-10 2027-08-13 2028-02-25 2028-02-26";
    for given in [("sow", "2027-03-01"), ("plant", "2027-05-10"), ("first_pick", "2027-08-13")] {
        check(&leek(), Raised::Module, &[given], all);
    }
    check(
        &salad_onion(),
        Raised::InPlace,
        &[("sow", "2027-04-01")],
        "2027-04-01 2027-04-01 2027-06-15 2027-07-20 2027-07-21",
    );
    check(&garlic(), Raised::Set, &[("plant", "2027-10-15")], "- 2027-10-15 2028-06-16 2028-07-07 2028-07-08");
    // A sowing date given alone for what is never sown counts as planting.
    check(&garlic(), Raised::Set, &[("sow", "2027-10-15")], "- 2027-10-15 2028-06-16 2028-07-07 2028-07-08");
}

#[test]
fn a_date_that_is_given_is_kept() {
    check(
        &leek(),
        Raised::Module,
        &[("sow", "2027-03-01"), ("plant", "2027-05-24"), ("clear", "2028-01-10")],
        "2027-03-01 2027-05-24 2027-08-27 2028-01-09 2028-01-10",
    );
    check(
        &leek(),
        Raised::Module,
        &[("plant", "2027-05-24"), ("first_pick", "2027-10-01"), ("last_pick", "2027-12-01")],
        "2027-03-15 2027-05-24 2027-10-01 2027-12-01 2027-12-02",
    );
}

#[test]
fn what_stands_into_its_season_ends_with_its_months() {
    // Twelve weeks from 20 August would run to 12 November; books pick courgettes until October.
    check(
        &courgette(),
        Raised::Module,
        &[("first_pick", "2027-08-20")],
        "2027-06-08 2027-07-06 2027-08-20 2027-10-31 2027-11-01",
    );
    // A first pick beyond the months is not pulled back.
    check(
        &courgette(),
        Raised::Module,
        &[("first_pick", "2027-11-05")],
        "2027-08-24 2027-09-21 2027-11-05 2028-01-28 2028-01-29",
    );
}

#[test]
fn a_planting_cleared_before_it_is_ripe_is_never_picked() {
    check(
        &phacelia(),
        Raised::InPlace,
        &[("sow", "2027-08-01"), ("clear", "2027-09-01")],
        "2027-08-01 2027-08-01 2027-09-01 2027-09-01 2027-09-01",
    );
}

#[test]
fn what_really_happened_comes_before_the_plan() {
    let plan = planned(&[("sow", "2027-03-01"), ("plant", "2027-05-10"), ("first_pick", "2027-08-13")]);
    let late =
        NORTH.growing(&leek(), Raised::Module, Cover::Open).stages(&plan, &real(&[("plant", "2027-06-01")])).unwrap();
    assert_eq!(shown(&late), "2027-03-01 2027-06-01 2027-08-13 2028-02-25 2028-02-26");
    // Planted after the day it was to be picked: that plan no longer counts.
    let later =
        NORTH.growing(&leek(), Raised::Module, Cover::Open).stages(&plan, &real(&[("plant", "2027-08-20")])).unwrap();
    assert_eq!(later.first_pick, day("2027-11-23"));
}

#[test]
fn no_date_and_dates_that_run_backwards_are_refused() {
    let none = NORTH
        .growing(&leek(), Raised::Module, Cover::Open)
        .stages(&planned(&[("clear", "2027-01-01")]), &RealDates::default());
    assert_eq!(none, Err(StagesError::NoDate));
    let back = planned(&[("plant", "2027-05-10"), ("first_pick", "2027-05-01")]);
    let error = NORTH.growing(&leek(), Raised::Module, Cover::Open).stages(&back, &RealDates::default()).unwrap_err();
    assert_eq!(error.to_string(), "the first pick on 2027-05-01 is before planting on 2027-05-10");
    let real = real(&[("sow", "2027-05-10"), ("clear", "2027-05-01")]);
    assert!(NORTH.growing(&leek(), Raised::Module, Cover::Open).stages(&PlannedDates::default(), &real).is_err());
}

#[test]
fn missing_days_are_taken_from_the_other_way_of_raising() {
    let mut crop = leek();
    crop.calendar.days_from_planting = None;
    assert_eq!(days_to_first_pick(&crop, Raised::Module), 95);
    crop = leek();
    crop.calendar.days_from_sow = None;
    assert_eq!(days_to_first_pick(&crop, Raised::InPlace), 165);
    crop.calendar.days_from_planting = None;
    assert_eq!(days_to_first_pick(&crop, Raised::InPlace), FALLBACK_DAYS);
}

#[test]
fn strawberries_stand_three_years_and_are_first_picked_in_season() {
    // 300 days from 1 August 2027 is 27 May 2028; books pick from June.
    check(&strawberry(), Raised::Crown, &[("plant", "2027-08-01")], "- 2027-08-01 2028-06-01 2030-07-31 2030-08-01");
    let mut rhubarb = strawberry();
    rhubarb.bed_years = None;
    check(&rhubarb, Raised::Crown, &[("plant", "2027-11-10")], "- 2027-11-10 2029-06-01 2037-07-31 2037-11-10");
    let mut own = strawberry();
    (own.id, own.bed_years.as_mut().unwrap().most) = ("hill-strawberry".to_owned(), 2);
    check(&own, Raised::Crown, &[("plant", "2027-08-01")], "- 2027-08-01 2028-06-01 2029-07-31 2029-08-01");
    check(
        &strawberry(),
        Raised::Crown,
        &[("plant", "2027-08-01"), ("clear", "2029-09-01")],
        "- 2027-08-01 2028-06-01 2029-07-31 2029-09-01",
    );
}

#[test]
fn entry_months_are_those_of_the_way_of_raising() {
    let next = |crop: &Crop, raised, from| {
        NORTH.growing(crop, raised, Cover::Open).next_entry(day(from)).map(|on| on.to_string())
    };
    assert_eq!(next(&leek(), Raised::Module, "2027-01-15").as_deref(), Some("2027-04-01"));
    assert_eq!(next(&leek(), Raised::Module, "2027-05-15").as_deref(), Some("2027-05-15"));
    assert_eq!(next(&leek(), Raised::InPlace, "2027-05-15").as_deref(), Some("2028-03-01"));
    assert_eq!(next(&garlic(), Raised::Set, "2027-03-01").as_deref(), Some("2027-10-01"));
    assert_eq!(next(&phacelia(), Raised::Module, "2027-10-01").as_deref(), Some("2028-03-01"));
    assert_eq!(next(&garlic(), Raised::InPlace, "2027-03-01"), None);
    // Lettuce in the fixture has no planting months: sown under cover from 1 February, out four weeks later.
    assert_eq!(next(&lettuce(), Raised::Module, "2027-01-01").as_deref(), Some("2027-03-01"));
    assert!(NORTH.growing(&lettuce(), Raised::Module, Cover::Open).is_in_season(day("2027-08-28")));
    assert!(!NORTH.growing(&lettuce(), Raised::Module, Cover::Open).is_in_season(day("2027-08-29")));
}

#[test]
fn months_lie_six_months_later_in_the_south() {
    assert_eq!(
        SOUTH.growing(&leek(), Raised::Module, Cover::Open).next_entry(day("2027-01-15")),
        Some(day("2027-01-15"))
    );
    assert_eq!(
        SOUTH.growing(&leek(), Raised::Module, Cover::Open).next_entry(day("2027-02-15")),
        Some(day("2027-10-01"))
    );
    assert!(SOUTH.growing(&garlic(), Raised::Set, Cover::Open).is_in_season(day("2027-04-10")));
    // Courgettes first picked in February end with April, not October.
    let stages = SOUTH
        .growing(&courgette(), Raised::Module, Cover::Open)
        .stages(&planned(&[("first_pick", "2027-02-20")]), &RealDates::default());
    assert_eq!(stages.unwrap().last_pick, day("2027-04-30"));
}

#[test]
fn every_crop_of_the_book_has_entry_months_and_dates_in_every_way_it_is_raised() {
    let book = crate::crops::CropBook::embedded().unwrap();
    for crop in book.crops() {
        for &raised in &crop.seed.raised {
            let label = format!("{} {raised:?}", crop.id);
            let entry = NORTH.growing(crop, raised, Cover::Open).next_entry(day("2027-01-01")).expect(&label);
            assert!(NORTH.growing(crop, raised, Cover::Open).is_in_season(entry), "{label}");
            let dates = PlannedDates { plant: Some(entry), ..PlannedDates::default() };
            let stages = NORTH.growing(crop, raised, Cover::Open).stages(&dates, &RealDates::default()).expect(&label);
            assert_eq!(stages.enters, entry, "{label}");
            assert_eq!(stages.sow.is_some(), matches!(raised, Raised::InPlace | Raised::Module), "{label}");
            let years_stood = (stages.clear - stages.enters).num_days() as f64 / 365.25;
            assert_eq!(years_stood > 2.0, crop.is_permanent, "{label}");
            let full = crate::growth::full_cover_on(crop, &stages);
            assert!(full > stages.enters && full <= stages.first_pick, "{label}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn dates_that_are_given_are_kept_and_all_run_forwards(
        offsets in proptest::collection::vec(proptest::option::of(0_i64..900), 5), crop_idx in 0_usize..6, way in 0_usize..3
    ) {
        let crops = [leek(), salad_onion(), courgette(), garlic(), phacelia(), strawberry()];
        let raised = [Raised::InPlace, Raised::Module, Raised::Set][way];
        let at = |idx: usize| offsets[idx].map(|n| plus_days(day("2027-01-01"), n));
        let dates = PlannedDates { sow: at(0), plant: at(1), first_pick: at(2), last_pick: at(3), clear: at(4) };
        if let Ok(stages) = NORTH.growing(&crops[crop_idx], raised, Cover::Open).stages(&dates, &RealDates::default()) {
            prop_assert!(stages.sow.is_none_or(|sow| sow <= stages.enters));
            prop_assert!(stages.enters <= stages.first_pick, "{:?}", stages);
            prop_assert!(stages.first_pick <= stages.last_pick, "{:?}", stages);
            prop_assert!(stages.last_pick <= stages.clear, "{:?}", stages);
            for (given, is) in [(dates.first_pick, stages.first_pick), (dates.last_pick, stages.last_pick), (dates.clear, stages.clear)] {
                prop_assert!(given.is_none_or(|given| given == is), "{:?}", stages);
            }
        }
    }
}
