//! What comes up together is picked together, and nothing before it is up.

use std::sync::Arc;

use chrono::NaiveDate;

use crate::climate;
use crate::crops::{Crop, CropBook, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use crate::growth::by_book::{days_to_first_pick, entry_window};
use crate::growth::day::plus_days;
use crate::growth::fixture::day;
use crate::growth::{Almanac, Limit, Stages};

fn entering(raised: Raised, on: NaiveDate) -> PlannedDates {
    match raised {
        Raised::InPlace => PlannedDates { sow: Some(on), ..PlannedDates::default() },
        _ => PlannedDates { plant: Some(on), ..PlannedDates::default() },
    }
}

fn life(almanac: &Almanac, crop: &Crop, raised: Raised, on: NaiveDate, cover: Cover) -> Stages {
    almanac.growing(crop, raised, cover).stages(&entering(raised, on), &RealDates::default()).unwrap()
}

fn at(name: &str) -> Almanac {
    let climate = climate::named().unwrap().into_iter().find(|climate| climate.name == name).unwrap();
    Almanac::new(&Arc::new(climate), None)
}

/// Sown in the open: up, first picked.
fn shows_and_picks(almanac: &Almanac, id: &str, on: &str) -> (NaiveDate, NaiveDate) {
    let book = CropBook::embedded().unwrap();
    let crop = book.crop(id).unwrap();
    let stages = life(almanac, crop, Raised::InPlace, day(on), Cover::Open);
    (almanac.growing(crop, Raised::InPlace, Cover::Open).seedling(&stages).emerge.unwrap(), stages.first_pick)
}

#[test]
fn nothing_is_picked_before_it_is_up_and_what_is_never_picked_has_a_reason() {
    let book = CropBook::embedded().unwrap();
    let mut wrong = Vec::new();
    for climate in climate::named().unwrap() {
        let almanac = Almanac::new(&Arc::new(climate.clone()), None);
        for crop in book.crops() {
            for (&raised, cover) in
                crop.seed.raised.iter().flat_map(|raised| [(raised, Cover::Open), (raised, Cover::UnheatedTunnel)])
            {
                for week in 0..52 {
                    let on = plus_days(day("2027-01-01"), week * 7);
                    let stages = life(&almanac, crop, raised, on, cover);
                    let emerge = almanac.growing(crop, raised, cover).seedling(&stages).emerge;
                    let is_lost = stages.first_pick >= stages.clear;
                    let runs_on = emerge.is_none_or(|emerge| emerge <= stages.first_pick && emerge < stages.clear)
                        && stages.first_pick <= stages.last_pick
                        && (is_lost || stages.last_pick < stages.clear)
                        && (is_lost || emerge.is_some() || raised != Raised::InPlace);
                    let has_reason = !is_lost
                        || almanac.growing(crop, raised, cover).limits(&stages).iter().any(|limit| {
                            matches!(
                                limit,
                                Limit::NotRipeInTime { .. }
                                    | Limit::TooColdToEmerge { .. }
                                    | Limit::TooHotToEmerge { .. }
                            )
                        });
                    if !runs_on || !has_reason {
                        wrong.push(format!("{} {} {raised:?} {cover:?} {emerge:?} {stages:?}", climate.name, crop.id));
                    }
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}: {}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
}

#[test]
fn sowings_that_come_up_on_one_day_are_picked_on_one_day() {
    let book = CropBook::embedded().unwrap();
    // Two days are allowed; seed of beans and of cabbages lies for weeks in cold ground.
    let (mut n_pairs, mut wrong) = (0, Vec::new());
    for climate in climate::named().unwrap() {
        let almanac = Almanac::new(&Arc::new(climate.clone()), None);
        for crop in book.crops() {
            if crop.is_permanent || !crop.seed.raised.contains(&Raised::InPlace) {
                continue;
            }
            for cover in [Cover::Open, Cover::UnheatedTunnel] {
                let mut before: Option<(NaiveDate, Stages)> = None;
                for week in 0..52 {
                    let on = plus_days(day("2027-01-01"), week * 7);
                    let stages = life(&almanac, crop, Raised::InPlace, on, cover);
                    let emerge = almanac.growing(crop, Raised::InPlace, cover).seedling(&stages).emerge;
                    if let (Some(emerge), Some((up, earlier))) = (emerge, before)
                        && emerge == up
                    {
                        n_pairs += 1;
                        if (stages.first_pick - earlier.first_pick).num_days().abs() > 2 {
                            wrong.push(format!(
                                "{} {} {cover:?} {emerge} {earlier:?} {stages:?}",
                                climate.name, crop.id
                            ));
                        }
                    }
                    before = emerge.map(|emerge| (emerge, stages));
                }
            }
        }
    }
    assert!(n_pairs > 100, "{n_pairs}");
    assert!(wrong.is_empty(), "{}: {}", wrong.len(), wrong[..wrong.len().min(40)].join("\n"));
}

#[test]
fn at_the_upland_early_sowings_gain_little_and_beans_of_june_are_up_in_the_same_month() {
    let upland = at("maritime-upland");
    // Before the seedlings of March show those of February are up for two weeks of cool April: not five weeks of lead are left.
    let (early, late) = (
        shows_and_picks(&upland, "carrot-early", "2027-02-05"),
        shows_and_picks(&upland, "carrot-early", "2027-03-15"),
    );
    assert!(early.0 > day("2027-03-20") && early.0 < late.0 && late.0 > day("2027-04-10"), "{early:?} {late:?}");
    assert!((late.1 - early.1).num_days() <= (late.0 - early.0).num_days(), "{early:?} {late:?}");
    // Two to four weeks, common practice, no published source.
    for (id, on) in [("runner-bean", "2027-05-25"), ("runner-bean", "2027-06-10"), ("courgette", "2027-06-01")] {
        let (shows, _) = shows_and_picks(&upland, id, on);
        assert!((14..=28).contains(&(shows - day(on)).num_days()), "{id} {on} {shows}");
    }
}

#[test]
fn the_book_s_days_from_sowing_hold_in_the_book_s_climate() {
    let book = CropBook::embedded().unwrap();
    let almanac = at("maritime-lowland");
    let mut n_crops = 0;
    for crop in book.crops() {
        let is_sown = crop.seed.raised.contains(&Raised::InPlace);
        if !is_sown || crop.is_permanent || crop.timing.anchor.is_some() {
            continue;
        }
        let Some(window) = entry_window(crop, Raised::InPlace) else { continue };
        let first = NaiveDate::from_ymd_opt(2026, window.months.from, 1).unwrap();
        let n_months = (window.months.to + 12 - window.months.from) % 12 + 1;
        let n_days = ((first + chrono::Months::new(n_months)) - first).num_days();
        let on = plus_days(first, (n_days as f64 * 0.4).round() as i64);
        let cover = if crop.timing.under_cover { Cover::UnheatedTunnel } else { Cover::Open };
        let stages = life(&almanac, crop, Raised::InPlace, on, cover);
        if stages.first_pick < stages.clear {
            n_crops += 1;
            let days = (stages.first_pick - on).num_days();
            assert_eq!(days, days_to_first_pick(crop, Raised::InPlace), "{} {stages:?}", crop.id);
        }
    }
    assert!(n_crops > 30, "{n_crops}");
}

#[test]
fn a_first_pick_that_is_given_is_sown_for_as_late_as_it_can_be() {
    let book = CropBook::embedded().unwrap();
    let mut n_kept = 0;
    for almanac in [at("maritime-upland"), at("continental")] {
        for id in ["carrot-early", "runner-bean", "lettuce-leaf", "beetroot", "radish"] {
            let crop = book.crop(id).unwrap();
            for pick in ["2027-06-20", "2027-07-25", "2027-08-20", "2027-09-10"].map(day) {
                let given = PlannedDates { first_pick: Some(pick), ..PlannedDates::default() };
                let stages =
                    almanac.growing(crop, Raised::InPlace, Cover::Open).stages(&given, &RealDates::default()).unwrap();
                let sown = |n_days: i64| {
                    let on = plus_days(stages.enters, n_days);
                    life(&almanac, crop, Raised::InPlace, on, Cover::Open)
                };
                // What would stand through a frost for it is never picked.
                if sown(0).first_pick < sown(0).clear {
                    n_kept += 1;
                    let (kept, late) = (sown(0).first_pick, sown(1).first_pick);
                    assert!(kept <= pick && late > pick, "{id} {pick} {stages:?} {kept} {late}");
                }
            }
        }
    }
    assert!(n_kept > 30, "{n_kept}");
}

#[test]
fn really_cold_sowings_are_still_said() {
    let book = CropBook::embedded().unwrap();
    let upland = at("maritime-upland");
    let is_cold = |id: &str, on: &str| {
        let crop = book.crop(id).unwrap();
        let stages = life(&upland, crop, Raised::InPlace, day(on), Cover::Open);
        let said = upland.growing(crop, Raised::InPlace, Cover::Open).limits(&stages);
        said.iter().any(|limit| matches!(limit, Limit::TooColdToEmerge { .. }))
    };
    for (id, on) in [
        ("runner-bean", "2027-04-01"),
        ("runner-bean", "2027-05-01"),
        ("courgette", "2027-04-20"),
        ("cabbage-red", "2027-02-20"),
    ] {
        assert!(is_cold(id, on), "{id} {on}");
    }
    for (id, on) in [("runner-bean", "2027-06-05"), ("courgette", "2027-06-01"), ("carrot-early", "2027-04-05")] {
        assert!(!is_cold(id, on), "{id} {on}");
    }
}
