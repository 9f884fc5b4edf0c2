#![allow(clippy::unwrap_used)]

use chrono::Days;

use super::*;
use crate::crops::Raised;
use crate::garden::Cover;
use crate::growth::BoltCause;
use crate::season::tests::{book, day};

/// A day in the middle of the year and one `n_days` later.
fn apart(n_days: u64) -> (NaiveDate, NaiveDate) {
    let first = day(2027, 6, 1);
    (first, first.checked_add_days(Days::new(n_days)).unwrap())
}

fn of(crop: &str, limit: Limit) -> Option<Severity> {
    severity(book().crop(crop).unwrap(), &RealDates::default(), &limit)
}

fn unripe(n_days_late: u64, is_frost: bool) -> Limit {
    let (by, ripe) = apart(n_days_late);
    Limit::NotRipeInTime { ripe: Some(ripe), by, is_frost }
}

#[test]
fn two_months_too_late_for_frost_is_a_breach_and_a_day_less_a_caution() {
    assert_eq!(of("pumpkin", unripe(60, true)), Some(Severity::Caution));
    assert_eq!(of("pumpkin", unripe(61, true)), Some(Severity::Breach));
    assert_eq!(of("pumpkin", unripe(1, true)), Some(Severity::Caution));
    let never = Limit::NotRipeInTime { ripe: None, by: day(2027, 10, 1), is_frost: true };
    assert_eq!(of("pumpkin", never), Some(Severity::Breach));
    // Short days hold a crop up, they do not kill it.
    assert_eq!(of("leek", unripe(61, false)), Some(Severity::Caution));
}

#[test]
fn seed_that_lies_longer_than_six_weeks_is_a_caution_and_seed_that_never_comes_up_a_breach() {
    let lies = |n_days| {
        let (sown, emerges) = apart(n_days);
        Limit::TooColdToEmerge { sown, soil_c: 4.0, least_c: 8.0, emerges: Some(emerges) }
    };
    assert_eq!(of("parsnip", lies(42)), Some(Severity::Note));
    assert_eq!(of("parsnip", lies(43)), Some(Severity::Caution));
    let never = Limit::TooColdToEmerge { sown: day(2027, 1, 4), soil_c: 4.0, least_c: 8.0, emerges: None };
    assert_eq!(of("parsnip", never), Some(Severity::Breach));
    assert_eq!(
        of("lettuce-head", Limit::TooHotToEmerge { sown: day(2027, 7, 1), soil_c: 29.0 }),
        Some(Severity::Caution)
    );
}

#[test]
fn two_weeks_before_the_last_frost_a_fleece_is_enough() {
    let out = |n_days| {
        let (out, last_frost) = apart(n_days);
        Limit::BeforeLastFrost { out, last_frost }
    };
    assert_eq!(of("courgette", out(14)), Some(Severity::Note));
    assert_eq!(of("courgette", out(15)), Some(Severity::Caution));
}

#[test]
fn what_is_in_the_ground_is_no_more_than_a_note_unless_cold_is_still_to_come() {
    let courgette = book().crop("courgette").unwrap().clone();
    let is_in = RealDates { plant: Some(day(2027, 5, 20)), ..RealDates::default() };
    let is_sown = RealDates { sow: Some(day(2027, 5, 20)), ..RealDates::default() };
    let killed = |odds, is_before_pick| Limit::Killed {
        odds,
        from: day(2027, 11, 1),
        coldest_c: -9.0,
        hardiness_c: 0.0,
        is_before_pick,
    };
    for real in [is_in, is_sown] {
        assert_eq!(severity(&courgette, &real, &unripe(61, true)), Some(Severity::Note));
        assert_eq!(severity(&courgette, &real, &killed(Odds::Average, true)), Some(Severity::Caution));
    }
    assert_eq!(severity(&courgette, &RealDates::default(), &killed(Odds::Average, true)), Some(Severity::Caution));
    assert_eq!(severity(&courgette, &RealDates::default(), &killed(Odds::Average, false)), Some(Severity::Note));
    assert_eq!(severity(&courgette, &RealDates::default(), &killed(Odds::OneInTen, true)), Some(Severity::Note));
    assert_eq!(of("phacelia", killed(Odds::Average, true)), None, "killed by frost it covers the soil as well");
}

#[test]
fn what_is_grown_for_its_leaves_or_picked_already_may_bolt_and_be_late() {
    let picked = RealDates { first_pick: Some(day(2027, 7, 1)), ..RealDates::default() };
    let book = book();
    let lettuce = book.crop("lettuce-head").unwrap();
    let bolts = Limit::Bolts { cause: BoltCause::LongDays, n_days: 30.0, n_days_most: 20.0 };
    let too_soon = Limit::PickedTooSoon { first_pick: day(2027, 6, 1), ripe: day(2027, 7, 1) };
    for limit in [bolts, too_soon, unripe(5, false)] {
        assert_eq!(severity(lettuce, &RealDates::default(), &limit), Some(Severity::Caution), "{limit:?}");
        assert_eq!(severity(lettuce, &picked, &limit), None, "{limit:?}");
        assert_eq!(of("phacelia", limit), None, "{limit:?}");
    }
}

/// Shoots of potatoes set out on a day, counted among what is to be waited for when a day is proposed: from 15 days before the last
/// frost on they are, though a planting that stands so is told with a note.
#[test]
fn shoots_long_before_the_last_frost_are_waited_for() {
    let mut garden = crate::season::tests::garden(&["A1"]);
    (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
    let plan = crate::season::tests::plan(garden);
    let potato = book().crop("potato-first-early").unwrap().clone();
    let mut seen = [false; 2];
    for n in 0..60 {
        let planted = day(2027, 3, 15).checked_add_days(Days::new(n)).unwrap();
        let planned = crate::season::entry::entering_on(Raised::Tuber, planted);
        let growing = plan.almanac().growing(&potato, Raised::Tuber, Cover::Open);
        let stages = growing.stages(&planned, &RealDates::default()).unwrap();
        let shoots = growing.limits(&stages).into_iter();
        let n_days = shoots.filter_map(|limit| match limit {
            Limit::ShootsBeforeLastFrost { shows, last_frost } => Some(days_between(shows, last_frost)),
            _ => None,
        });
        let Some(n_days) = n_days.max() else { continue };
        let are_cautions = !cautions(growing, &stages).is_empty();
        assert_eq!(are_cautions, n_days > 14, "{planted}: {n_days}");
        seen[usize::from(n_days > 14)] = true;
    }
    assert_eq!(seen, [true; 2], "days at both sides");
}
