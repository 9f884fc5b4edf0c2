//! Dates at a site.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};
use proptest::prelude::*;

use crate::climate::{self, Climate, Weather, WeatherDay};
use crate::crops::{Crop, CropBook, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use crate::growth::by_book::entry_window;
use crate::growth::day::plus_days;
use crate::growth::fixture::day;
use crate::growth::{Almanac, BoltCause, Limit, Odds, Stages};

fn at(name: &str) -> Climate {
    climate::named().unwrap().into_iter().find(|climate| climate.name == name).unwrap()
}

fn almanac(climate: Climate) -> Almanac {
    Almanac::new(&Arc::new(climate), None)
}

fn lowland() -> Almanac {
    almanac(at("maritime-lowland"))
}

fn upland() -> Almanac {
    almanac(at("maritime-upland"))
}

fn book() -> CropBook {
    CropBook::embedded().unwrap()
}

fn entering(raised: Raised, on: NaiveDate) -> PlannedDates {
    match raised {
        Raised::InPlace => PlannedDates { sow: Some(on), ..PlannedDates::default() },
        _ => PlannedDates { plant: Some(on), ..PlannedDates::default() },
    }
}

fn life(almanac: &Almanac, crop: &Crop, raised: Raised, on: &str, cover: Cover) -> Stages {
    almanac.growing(crop, raised, cover).stages(&entering(raised, day(on)), &RealDates::default()).unwrap()
}

fn limits(almanac: &Almanac, id: &str, raised: Raised, on: &str, cover: Cover) -> Vec<Limit> {
    let book = book();
    let crop = book.crop(id).unwrap();
    almanac.growing(crop, raised, cover).limits(&life(almanac, crop, raised, on, cover))
}

#[test]
fn a_first_pick_is_the_day_by_which_the_book_s_growth_has_come_together() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let almanac = upland();
    let stages = life(&almanac, lettuce, Raised::Module, "2027-05-10", Cover::Open);
    let growing = almanac.growing(lettuce, Raised::Module, Cover::Open);
    let need = growing.growth_days_needed().unwrap();
    let grown = |to| growing.growth_days(day("2027-05-10"), to).unwrap();
    assert!(grown(stages.first_pick) >= need - 1e-4 && grown(plus_days(stages.first_pick, -1)) < need);
    // The book: 45 days from planting, April to August; two fifths in is 1 April + 61 days: 1 June, and 45 days to 16 July.
    let in_book = lowland()
        .growing(lettuce, Raised::InPlace, Cover::Open)
        .growth_days(day("2027-06-01"), day("2027-07-16"))
        .unwrap();
    assert!((need - in_book).abs() < 1e-9, "{need} {in_book}");
}

#[test]
fn in_the_book_s_climate_its_days_hold_and_a_first_pick_that_is_given_is_planted_for() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let stages = life(&lowland(), lettuce, Raised::Module, "2027-06-01", Cover::Open);
    assert_eq!(stages.first_pick, day("2027-07-16"));
    let given = PlannedDates { first_pick: Some(day("2027-07-16")), ..PlannedDates::default() };
    let back = lowland().growing(lettuce, Raised::Module, Cover::Open).stages(&given, &RealDates::default()).unwrap();
    assert!((back.enters - day("2027-06-01")).num_days().abs() <= 1, "{back:?}");
}

#[test]
fn an_upland_garden_is_later_and_a_tunnel_earlier() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let pick = |almanac: &Almanac, cover| life(almanac, lettuce, Raised::Module, "2027-04-10", cover).first_pick;
    assert!(pick(&upland(), Cover::Open) > pick(&lowland(), Cover::Open));
    assert!(pick(&lowland(), Cover::UnheatedTunnel) < pick(&lowland(), Cover::Fleece));
    assert!(pick(&lowland(), Cover::Fleece) < pick(&lowland(), Cover::Open));
}

#[test]
fn what_is_not_ripe_when_the_light_goes_stands_until_spring() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let stages = life(&upland(), lettuce, Raised::Module, "2027-10-01", Cover::Open);
    assert!(stages.first_pick > day("2028-02-15") && stages.first_pick < day("2028-06-01"), "{stages:?}");
}

#[test]
fn what_is_picked_by_its_size_is_lifted_as_it_is_when_winter_stops_it_and_what_is_too_small_waits() {
    let book = book();
    let parsnip = book.crop("parsnip").unwrap();
    let almanac = upland();
    let growing = almanac.growing(parsnip, Raised::InPlace, Cover::Open);
    let need = growing.growth_days_needed().unwrap();
    // At 54° N days fall below ten hours on 24 October.
    let grown = |from: &str| growing.growth_days(day(from), day("2027-10-24")).unwrap() / need;
    // Sown on 18 April it has made more than three quarters of its growth by then; the book's 195 days end on 30 October.
    // At the upland it shows 28 days after sowing, three later than what the book's 195 days began with.
    assert!((0.75..1.0).contains(&grown("2027-04-18")), "{}", grown("2027-04-18"));
    assert_eq!(life(&almanac, parsnip, Raised::InPlace, "2027-04-18", Cover::Open).first_pick, day("2027-11-02"));
    // Sown on 20 June it has made less: it grows on when the light is back.
    assert!(grown("2027-06-20") < 0.75, "{}", grown("2027-06-20"));
    assert!(life(&almanac, parsnip, Raised::InPlace, "2027-06-20", Cover::Open).first_pick > day("2028-02-15"));
    // A head that must close does not count by its size.
    let lettuce = book.crop("lettuce-head").unwrap();
    assert!(life(&almanac, lettuce, Raised::InPlace, "2027-08-20", Cover::Open).first_pick > day("2028-01-31"));
}

#[test]
fn an_older_plant_is_picked_sooner_and_a_younger_one_later() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let pick = |sow: &str| {
        let dates = PlannedDates { sow: Some(day(sow)), plant: Some(day("2027-05-10")), ..PlannedDates::default() };
        lowland()
            .growing(lettuce, Raised::Module, Cover::Open)
            .stages(&dates, &RealDates::default())
            .unwrap()
            .first_pick
    };
    // The book: four weeks. Two weeks more bring it on by seven growth days.
    assert!(pick("2027-03-29") < pick("2027-04-12") && pick("2027-04-12") < pick("2027-04-26"));
    assert_eq!(pick("2027-04-12"), life(&lowland(), lettuce, Raised::Module, "2027-05-10", Cover::Open).first_pick);
}

#[test]
fn garlic_ripens_with_the_year_whenever_it_was_planted_in_autumn_and_too_late_waits_a_year() {
    let book = book();
    let garlic = book.crop("garlic").unwrap();
    let pick = |on: &str| life(&lowland(), garlic, Raised::Set, on, Cover::Open).first_pick;
    // The middle of its months, 31 October, and 245 days.
    assert!((pick("2026-10-10") - day("2027-07-03")).num_days().abs() <= 1, "{}", pick("2026-10-10"));
    assert_eq!(pick("2026-10-10"), pick("2026-11-28"));
    assert!(pick("2027-06-10") > day("2028-06-01"));
    // A colder spring is later.
    assert!(life(&upland(), garlic, Raised::Set, "2026-10-10", Cover::Open).first_pick > pick("2026-10-10"));
}

#[test]
fn spring_plantings_of_garlic_do_not_move_the_days_of_autumn_ones() {
    // The book's 245 days are those of September to December: from the middle of these months, 1 November, to 4 July, by hand.
    let mut garlic = book().crop("garlic").unwrap().clone();
    let pick = |garlic: &Crop| life(&lowland(), garlic, Raised::Set, "2026-11-01", Cover::Open).first_pick;
    assert!((pick(&garlic) - day("2027-07-04")).num_days().abs() <= 1, "{}", pick(&garlic));
    garlic.calendar.days_hold = None;
    assert!(pick(&garlic) > day("2027-08-01"), "{}", pick(&garlic));
}

#[test]
fn what_stands_for_years_is_first_picked_in_the_same_season_whenever_in_its_months_it_was_planted() {
    // From memory of fruit handbooks: strawberries in the June after a planting of summer or autumn, and in that after the next winter
    // if planted in spring; canes and bushes after one whole growing season; rhubarb lightly in its second spring.
    for (id, raised, on, year, months) in [
        ("strawberry", Raised::Crown, "2026-07-05", 2027, 6..=6),
        ("strawberry", Raised::Crown, "2026-09-25", 2027, 6..=6),
        ("strawberry", Raised::Crown, "2026-11-10", 2027, 6..=6),
        ("strawberry", Raised::Crown, "2027-03-01", 2028, 6..=6),
        ("raspberry-summer", Raised::Cutting, "2026-11-05", 2028, 7..=7),
        ("raspberry-summer", Raised::Cutting, "2027-02-10", 2028, 7..=7),
        ("raspberry-summer", Raised::Cutting, "2027-03-25", 2028, 7..=7),
        ("blackberry", Raised::Cutting, "2027-03-25", 2028, 8..=8),
        ("redcurrant", Raised::Cutting, "2026-11-05", 2028, 7..=7),
        ("blackcurrant", Raised::Cutting, "2027-03-25", 2028, 7..=7),
        ("rhubarb", Raised::Crown, "2026-11-05", 2028, 3..=5),
        ("rhubarb", Raised::Crown, "2027-03-25", 2028, 3..=5),
    ] {
        let book = book();
        let pick = life(&lowland(), book.crop(id).unwrap(), raised, on, Cover::Open).first_pick;
        assert!(pick.year() == year && months.contains(&pick.month()), "{id} of {on}: {pick}");
    }
}

#[test]
fn a_tender_crop_that_frost_overtakes_is_cleared_unripe() {
    let book = book();
    let sweet_potato = book.crop("sweet-potato").unwrap();
    let stages = life(&upland(), sweet_potato, Raised::Slip, "2027-06-15", Cover::Open);
    let frost = at("maritime-upland").first_frost.unwrap();
    let frost = NaiveDate::from_ymd_opt(2027, frost.month, frost.day).unwrap();
    assert_eq!((stages.first_pick, stages.clear), (frost, frost));
    let said = upland().growing(sweet_potato, Raised::Slip, Cover::Open).limits(&stages);
    assert!(said.iter().any(|limit| matches!(limit, Limit::NotRipeInTime { is_frost: true, .. })), "{said:?}");
}

#[test]
fn seasons_turn_round_in_the_south() {
    let book = book();
    let almanac = almanac(at("southern-temperate"));
    let courgette = book.crop("courgette").unwrap();
    let entry = almanac.growing(courgette, Raised::Module, Cover::Open).next_entry(day("2027-07-01")).unwrap();
    assert!(entry > day("2027-08-20") && entry < day("2027-11-30"), "{entry}");
    let stages = life(&almanac, courgette, Raised::Module, "2027-11-10", Cover::Open);
    assert!(stages.first_pick > day("2027-12-05") && stages.first_pick < day("2028-02-01"), "{stages:?}");
    let garlic = life(&almanac, book.crop("garlic").unwrap(), Raised::Set, "2027-05-10", Cover::Open);
    assert!(garlic.first_pick > day("2027-11-01") && garlic.first_pick < day("2028-02-01"), "{garlic:?}");
}

#[test]
fn midsummer_spinach_bolts_and_early_spring_spinach_does_not() {
    let bolts = |almanac: &Almanac, on| {
        let said = limits(almanac, "spinach", Raised::InPlace, on, Cover::Open);
        said.iter().any(|limit| matches!(limit, Limit::Bolts { cause: BoltCause::LongDays, .. }))
    };
    for almanac in [lowland(), upland()] {
        assert!(bolts(&almanac, "2027-06-15") && bolts(&almanac, "2027-06-25"));
        assert!(!bolts(&almanac, "2027-03-20") && !bolts(&almanac, "2027-08-20"));
    }
}

#[test]
fn each_limit_is_said_where_it_holds_and_not_where_it_does_not() {
    let upland = upland();
    let lowland = lowland();
    let says = |almanac: &Almanac, id: &str, raised, on: &str, cover, is: fn(&Limit) -> bool| {
        limits(almanac, id, raised, on, cover).iter().any(is)
    };
    let cold = |limit: &Limit| matches!(limit, Limit::TooColdToEmerge { .. });
    assert!(says(&upland, "french-bean-dwarf", Raised::InPlace, "2027-04-01", Cover::Open, cold));
    assert!(!says(&lowland, "lettuce-head", Raised::InPlace, "2027-04-01", Cover::Open, cold));
    let frost = |limit: &Limit| matches!(limit, Limit::BeforeLastFrost { .. });
    assert!(says(&upland, "courgette", Raised::Module, "2027-05-01", Cover::Open, frost));
    assert!(!says(&upland, "courgette", Raised::Module, "2027-05-21", Cover::Open, frost));
    assert!(!says(&upland, "courgette", Raised::Module, "2027-05-10", Cover::UnheatedTunnel, frost));
    assert!(!says(&upland, "lettuce-head", Raised::Module, "2027-05-01", Cover::Open, frost));
    let late = |limit: &Limit| matches!(limit, Limit::NotRipeInTime { is_frost: false, .. });
    assert!(says(&upland, "calabrese", Raised::Module, "2027-09-20", Cover::Open, late));
    assert!(!says(&upland, "calabrese", Raised::Module, "2027-05-20", Cover::Open, late));
    let young_cold = |limit: &Limit| matches!(limit, Limit::Bolts { cause: BoltCause::Cold, .. });
    assert!(says(&upland, "celeriac", Raised::Module, "2027-04-10", Cover::Open, young_cold));
    assert!(!says(&lowland, "celeriac", Raised::Module, "2027-06-01", Cover::Open, young_cold));
    let forward = |limit: &Limit| matches!(limit, Limit::Bolts { cause: BoltCause::TooForward, .. });
    assert!(says(&lowland, "onion-overwintered", Raised::Set, "2027-08-10", Cover::Open, forward));
    assert!(!says(&lowland, "onion-overwintered", Raised::Set, "2027-09-20", Cover::Open, forward));
    // -4 °C and -9 °C: an average upland winter has -6.7 °C.
    let killed = |limit: &Limit| matches!(limit, Limit::Killed { odds: Odds::Average, .. });
    assert!(says(&upland, "lettuce-head", Raised::Module, "2027-10-01", Cover::Open, killed));
    assert!(!says(&upland, "kale", Raised::Module, "2027-07-01", Cover::Open, killed));
}

#[test]
fn a_first_pick_that_is_given_far_too_early_is_said() {
    let book = book();
    let leek = book.crop("leek").unwrap();
    let dates =
        PlannedDates { plant: Some(day("2027-06-01")), first_pick: Some(day("2027-07-10")), ..PlannedDates::default() };
    let stages = lowland().growing(leek, Raised::Module, Cover::Open).stages(&dates, &RealDates::default()).unwrap();
    assert_eq!(stages.first_pick, day("2027-07-10"));
    let said = lowland().growing(leek, Raised::Module, Cover::Open).limits(&stages);
    assert!(said.iter().any(|limit| matches!(limit, Limit::PickedTooSoon { .. })), "{said:?}");
}

#[test]
fn seedlings_show_sooner_in_warmer_soil_and_are_hardened_off_before_planting() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let almanac = upland();
    let shows = |on: &str| {
        let stages = life(&almanac, lettuce, Raised::InPlace, on, Cover::Open);
        (almanac.growing(lettuce, Raised::InPlace, Cover::Open).seedling(&stages).emerge.unwrap() - day(on)).num_days()
    };
    assert!(shows("2027-03-20") > shows("2027-05-20"));
    // Soil at 12 to 15 °C: between 7 and 4 days.
    assert!((4..=7).contains(&shows("2027-06-10")), "{}", shows("2027-06-10"));
    let stages = life(&almanac, lettuce, Raised::Module, "2027-05-20", Cover::Open);
    let seedling = almanac.growing(lettuce, Raised::Module, Cover::Open).seedling(&stages);
    // Sown on 22 April; at 18 °C the rate is 1/4 + (1/3 - 1/4) × 0.6 = 0.3: 3.33 days.
    assert_eq!(stages.sow, Some(day("2027-04-22")));
    assert_eq!(seedling.emerge, Some(day("2027-04-26")));
    assert_eq!((seedling.prick_out, seedling.harden_off), (Some(day("2027-05-10")), Some(day("2027-05-10"))));
}

#[test]
fn dates_have_a_spread_from_the_normals_or_from_recorded_years() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let dates = entering(Raised::Module, day("2027-05-01"));
    let spread = |almanac: &Almanac| {
        almanac.growing(lettuce, Raised::Module, Cover::Open).spread(&dates, &RealDates::default()).unwrap()
    };
    let by_normals = spread(&upland());
    let middle = life(&upland(), lettuce, Raised::Module, "2027-05-01", Cover::Open);
    assert!(!by_normals.is_from_weather && by_normals.early.enters == by_normals.late.enters);
    assert!(by_normals.early.first_pick < middle.first_pick && middle.first_pick < by_normals.late.first_pick);
    // Five years like the normals, one degree apart: the middle eight tenths lie within them.
    let mut days = Vec::new();
    for (year, warmer_c) in [(2020, -2.0), (2021, -1.0), (2022, 0.0), (2023, 1.0), (2024, 2.0)] {
        let table = at("maritime-upland").normals.warmed_by(warmer_c).day_table(54.0, year);
        let record = |day: &climate::Day| WeatherDay { tmin_c: day.tmin_c, tmax_c: day.tmax_c, rain_mm: None };
        days.extend(table.days().iter().map(record));
    }
    let weather = Weather::from_days(day("2020-01-01"), days).unwrap();
    let recorded = spread(&Almanac::new(&Arc::new(at("maritime-upland")), Some(&Arc::new(weather))));
    assert!(recorded.is_from_weather);
    assert!(recorded.early.first_pick < middle.first_pick && middle.first_pick < recorded.late.first_pick);
    let by_book = spread(&Almanac::by_book(false));
    assert_eq!(by_book.early, by_book.late);
}

#[test]
fn the_last_thirty_recorded_years_give_dates_their_spread() {
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let dates = entering(Raised::Module, day("2027-05-01"));
    let climate = Arc::new(at("maritime-upland"));
    // Warmer or cooler by one degree in turn; the years before them by so much in all.
    let recorded = |n_before: i32, warmer_before_c: f64, n_years: i32| {
        let mut days = Vec::new();
        for year in 2024 - n_years - n_before..2024 {
            let is_before = year < 2024 - n_years;
            let warmer_c = if is_before { warmer_before_c } else { f64::from(year % 2 * 2 - 1) };
            let table = climate.normals.warmed_by(warmer_c).day_table(54.0, year);
            let record = |day: &climate::Day| WeatherDay { tmin_c: day.tmin_c, tmax_c: day.tmax_c, rain_mm: None };
            days.extend(table.days().iter().map(record));
        }
        let first = NaiveDate::from_ymd_opt(2024 - n_years - n_before, 1, 1).unwrap();
        let almanac = Almanac::new(&climate, Some(&Arc::new(Weather::from_days(first, days).unwrap())));
        almanac.growing(lettuce, Raised::Module, Cover::Open).spread(&dates, &RealDates::default()).unwrap()
    };
    let thirty = recorded(0, 0.0, 30);
    assert!(thirty.is_from_weather && thirty.early.first_pick < thirty.late.first_pick);
    assert_eq!(recorded(20, 6.0, 30), thirty, "what lies farther back says nothing");
    assert_ne!(recorded(10, 6.0, 20), thirty, "what lies within thirty years does");
}

#[test]
fn every_crop_of_the_book_has_dates_that_run_forwards_in_every_named_climate() {
    let book = book();
    for climate in climate::named().unwrap() {
        let almanac = almanac(climate);
        for crop in book.crops() {
            for &raised in &crop.seed.raised {
                let label = format!("{} {raised:?}", crop.id);
                let in_open = almanac.growing(crop, raised, Cover::Open);
                let entry = in_open.next_entry(day("2027-01-01")).expect(&label);
                assert!(in_open.is_in_season(entry), "{label}");
                for cover in [Cover::Open, Cover::UnheatedTunnel] {
                    let dates = entering(raised, entry);
                    let stages =
                        almanac.growing(crop, raised, cover).stages(&dates, &RealDates::default()).expect(&label);
                    assert!(stages.enters == entry && stages.enters <= stages.first_pick, "{label} {stages:?}");
                    assert!(
                        stages.first_pick <= stages.last_pick && stages.last_pick <= stages.clear,
                        "{label} {stages:?}"
                    );
                    assert!((stages.clear - stages.enters).num_days() < 365 * 11, "{label} {stages:?}");
                }
            }
        }
    }
}

#[test]
fn in_its_own_months_and_climate_no_crop_is_forbidden_anything_but_to_stand_through_every_winter() {
    let book = book();
    let almanac = lowland();
    let mut said = Vec::new();
    for crop in book.crops() {
        let raised = crop.seed.raised[0];
        let cover = if crop.timing.under_cover { Cover::UnheatedTunnel } else { Cover::Open };
        let Some(entry) = entry_window(crop, raised) else { continue };
        let n_months = (entry.months.to + 12 - entry.months.from) % 12 + 1;
        let first = NaiveDate::from_ymd_opt(2027, entry.months.from, 1).unwrap();
        // The middle of its months.
        let on = plus_days(first, i64::from(n_months) * 15 + entry.later_days);
        let growing = almanac.growing(crop, raised, cover);
        let stages = growing.stages(&entering(raised, on), &RealDates::default()).unwrap();
        for limit in growing.limits(&stages) {
            // Early potatoes are earthed up.
            if matches!(limit, Limit::ShootsBeforeLastFrost { .. }) && raised == Raised::Tuber {
                continue;
            }
            // Globe artichokes want their crowns protected, as the book says.
            if matches!(limit, Limit::Killed { odds, is_before_pick, .. } if !is_before_pick || odds == Odds::OneInTen)
            {
                continue;
            }
            said.push(format!("{} {on}: {limit:?}", crop.id));
        }
    }
    assert!(said.is_empty(), "{}", said.join("\n"));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 150, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_later_sowing_is_never_picked_before_an_earlier_one(
        crop_idx in 0_usize..172, start in 0_i64..730, later in 1_i64..200, place in 0_usize..5, cover in 0_usize..3,
    ) {
        let book = book();
        let crop = &book.crops()[crop_idx % book.crops().len()];
        let almanac = almanac(climate::named().unwrap().remove(place));
        let cover = [Cover::Open, Cover::UnheatedTunnel, Cover::Glass][cover];
        let raised = crop.seed.raised[0];
        let pick = |n: i64| {
            let on = plus_days(day("2027-01-01"), n);
            almanac.growing(crop, raised, cover).stages(&entering(raised, on), &RealDates::default()).unwrap().first_pick
        };
        prop_assert!(pick(start) <= pick(start + later), "{} {} {}", crop.id, pick(start), pick(start + later));
    }

    #[test]
    fn a_warmer_year_that_is_not_too_hot_is_never_later(crop_idx in 0_usize..172, start in 0_i64..365, warmer_c in 0.1_f64..1.5) {
        let book = book();
        let crop = &book.crops()[crop_idx % book.crops().len()];
        // Upland means stay below 16 °C: no optimum range of the book ends there.
        prop_assume!(crop.temperature.optimum_high_c > 15.6);
        let upland = at("maritime-upland");
        let warm = Climate { normals: upland.normals.warmed_by(warmer_c), ..upland.clone() };
        let raised = crop.seed.raised[0];
        // What the season sets is asked in its own months: planted late for one year it may wait for the next.
        let start = plus_days(day("2027-01-01"), start);
        let in_months = || almanac(upland.clone()).growing(crop, raised, Cover::Open).next_entry(start).unwrap_or(start);
        let on = if crop.timing.anchor.is_some() { in_months() } else { start };
        let stages = |climate: &Climate| {
            let dates = entering(raised, on);
            almanac(climate.clone()).growing(crop, raised, Cover::Open).stages(&dates, &RealDates::default()).unwrap()
        };
        let (cool, warm) = (stages(&upland), stages(&warm));
        let is_lost = cool.first_pick >= cool.clear || warm.first_pick >= warm.clear;
        prop_assert!(is_lost || warm.first_pick <= cool.first_pick, "{} {cool:?} {warm:?}", crop.id);
    }
}
