//! Ground cover by stage and the radius of a plant.

use chrono::NaiveDate;

use super::by_book::days_to_first_pick;
use super::day::{CommonDay, plus_days};
use super::stages::{CoverDays, Stages};
use super::under_sky::UnderSky;
use crate::crops::{Crop, HarvestHabit, Raised};

/// Cover at the end of the initial stage (FAO-56, chapter 6: about 10 % of the ground).
pub const COVER_AFTER_INITIAL: f64 = 0.10;

/// Cover of a module plant, set or the like on the day it is set out (starting value).
pub const COVER_WHEN_SET: f64 = 0.05;

/// A crop fills its ground within this many days even if its first pick comes later, as with asparagus and fruit (starting
/// value).
const FILLED_WITHIN_DAYS: f64 = 365.0;

/// Radius of a plant where the book gives no distance at all, as for scattered green manures, in mm (starting value).
const FALLBACK_RADIUS_MM: f64 = 50.0;

/// Share of the initial stage after which the shoots of tubers show (starting value: potatoes planted in mid March in the north
/// show in late April).
const TUBERS_SHOW_AT: f64 = 0.8;

impl UnderSky<'_> {
    /// The end of each stage of cover: its share of the growth days from emergence to the first pick. Where nothing is picked, or the
    /// season rather than growth sets the first pick, the share is one of the growth days that the crop needs by the book. `None`
    /// where nothing grows.
    pub(super) fn cover_days(&self, enters: NaiveDate, first_pick: NaiveDate, is_picked: bool) -> Option<CoverDays> {
        let growth = self.growth();
        let comes_up = if self.raised == Raised::InPlace { self.emerges_on(enters) } else { None };
        let shows = comes_up.filter(|day| *day < first_pick).unwrap_or(enters);
        let from = CommonDay::of(shows);
        let amount = if is_picked && self.crop.timing.anchor.is_none() {
            growth.between(from, CommonDay::of(first_pick))
        } else {
            self.need()
        };
        if amount <= 0.0 {
            return None;
        }
        let (initial_share, full_share) = shares(self.crop);
        let reached = |share: f64| growth.reached(from, amount * share).map(CommonDay::date);
        let shows = if self.raised == Raised::Tuber { reached(initial_share * TUBERS_SHOW_AT)? } else { shows };
        let after_initial = reached(initial_share)?.max(shows);
        let full = reached(full_share)?.min(plus_days(enters, FILLED_WITHIN_DAYS as i64)).max(after_initial);
        Some(CoverDays { shows, after_initial, full })
    }
}

/// The ground cover of one planting over its life.
///
/// ```text
/// 1.0             ________
///               /
/// 0.1        _/
/// 0 or .05__-
///    enters shows  initial  full       clear
/// ```
///
/// The stage lengths of FAO-56 Table 11 are scaled to the growth days of this planting, so that a cold spring lengthens them; by the
/// book's calendar alone they are scaled to its days. A crop lifted or cut as a whole (once, standing, storage) passes through all
/// four stages between entering and its first pick, except tubers lifted young. A crop picked over, or cut again and again,
/// reaches full cover at its first pick. Where FAO-56 has no lengths, shares by harvest habit stand in (starting
/// values).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverCurve {
    enters: NaiveDate,
    clear: NaiveDate,
    at_entry: f64,
    shows_days: f64,
    initial_days: f64,
    full_days: f64,
}

impl CoverCurve {
    /// The curve of a crop with these dates.
    pub fn new(crop: &Crop, stages: &Stages) -> Self {
        let is_sown_in_place = stages.sow == Some(stages.enters);
        let is_tuber = stages.sow.is_none() && crop.seed.raised.contains(&Raised::Tuber);
        let at_entry = if is_sown_in_place || is_tuber { 0.0 } else { COVER_WHEN_SET };
        if let Some(cover) = stages.cover {
            let days = |day: NaiveDate| (day - stages.enters).num_days() as f64;
            return Self {
                enters: stages.enters,
                clear: stages.clear,
                at_entry,
                shows_days: days(cover.shows),
                initial_days: days(cover.after_initial),
                full_days: days(cover.full),
            };
        }
        let is_picked = stages.first_pick < stages.clear;
        let grown_days = if is_picked {
            (stages.first_pick - stages.enters).num_days()
        } else {
            let raised = match stages.sow {
                Some(_) if is_sown_in_place => Raised::InPlace,
                Some(_) => Raised::Module,
                None => Raised::Set,
            };
            days_to_first_pick(crop, raised)
        };
        let grown_days = (grown_days.max(1) as f64).min(FILLED_WITHIN_DAYS);
        let (initial_share, full_share) = shares(crop);
        Self {
            enters: stages.enters,
            clear: stages.clear,
            at_entry,
            shows_days: if is_tuber { grown_days * initial_share * TUBERS_SHOW_AT } else { 0.0 },
            initial_days: grown_days * initial_share,
            full_days: grown_days * full_share,
        }
    }

    /// Share of its ground covered on a day, 0 to 1; 0 when it does not stand.
    pub fn on(&self, day: NaiveDate) -> f64 {
        if day < self.enters || day >= self.clear {
            0.0
        } else {
            self.after_days((day - self.enters).num_days() as f64)
        }
    }

    fn after_days(&self, days: f64) -> f64 {
        let between = |from: f64, to: f64, share: f64| from + (to - from) * share;
        if days >= self.full_days {
            1.0
        } else if days < self.shows_days {
            self.at_entry
        } else if days <= self.initial_days {
            let initial = self.initial_days - self.shows_days;
            let share = if initial > 0.0 { (days - self.shows_days) / initial } else { 1.0 };
            between(self.at_entry, COVER_AFTER_INITIAL, share)
        } else {
            between(COVER_AFTER_INITIAL, 1.0, (days - self.initial_days) / (self.full_days - self.initial_days))
        }
    }

    /// First day of full cover, which may lie after clearing.
    pub fn full_on(&self) -> NaiveDate {
        plus_days(self.enters, self.full_days.ceil() as i64)
    }
}

/// Ends of the initial and of the development stage, as shares of the days from entering to the first pick.
fn shares(crop: &Crop) -> (f64, f64) {
    let habit = crop.calendar.habit;
    let Some(stages) = &crop.stages else { return habit_shares(habit) };
    let to_full = stages.initial_days + stages.development_days;
    let is_tuber = crop.seed.raised.contains(&Raised::Tuber);
    let whole = match habit {
        // Early potatoes are lifted while their haulm is still green: their last stages are cut short, not compressed.
        HarvestHabit::Once | HarvestHabit::Standing | HarvestHabit::Storage if is_tuber => {
            let days = days_to_first_pick(crop, Raised::Tuber) as f64;
            days.min(to_full + stages.mid_days + stages.late_days).max(to_full)
        }
        HarvestHabit::Once | HarvestHabit::Standing | HarvestHabit::Storage => {
            to_full + stages.mid_days + stages.late_days
        }
        HarvestHabit::PickedOver | HarvestHabit::CutAndComeAgain => to_full,
    };
    if whole > 0.0 { (stages.initial_days / whole, to_full / whole) } else { habit_shares(habit) }
}

/// Stand-ins where FAO-56 has no stage lengths for a crop. Starting values, near the means of its Table 11
/// (lettuce 0.27 and 0.67, cabbage 0.24 and 0.61, carrot 0.20 and 0.47, green onion 0.36 and 0.79).
fn habit_shares(habit: HarvestHabit) -> (f64, f64) {
    match habit {
        HarvestHabit::Once => (0.25, 0.65),
        HarvestHabit::Standing => (0.25, 0.70),
        HarvestHabit::Storage => (0.20, 0.55),
        HarvestHabit::PickedOver | HarvestHabit::CutAndComeAgain => (0.40, 1.0),
    }
}

/// Share of its ground a planting covers on a day, 0 to 1 (0 outside `enters..clear`).
pub fn cover_on(crop: &Crop, stages: &Stages, day: NaiveDate) -> f64 {
    CoverCurve::new(crop, stages).on(day)
}

/// First day on which a planting covers all of its ground, even if it is cleared before it.
pub fn full_cover_on(crop: &Crop, stages: &Stages) -> NaiveDate {
    CoverCurve::new(crop, stages).full_on()
}

/// Radius of a grown plant or clump: half the equidistant spacing the book gives for the crop alone, in mm.
///
/// Where the book has only a row spacing, half the square of the same area; where it has none (scattered green manures),
/// a starting value of 50 mm.
pub fn mature_radius_mm(crop: &Crop) -> f64 {
    let spacing = &crop.spacing;
    if let Some(equidistant) = spacing.equidistant_mm {
        return equidistant.as_f64() / 2.0;
    }
    match (spacing.row_mm, spacing.in_row_mm) {
        (Some(row), Some(in_row)) => (row.as_f64() * in_row.as_f64()).sqrt() / 2.0,
        _ => FALLBACK_RADIUS_MM,
    }
}

/// Radius on a day: mature radius × √cover, in mm.
pub fn radius_on_mm(crop: &Crop, stages: &Stages, day: NaiveDate) -> f64 {
    mature_radius_mm(crop) * cover_on(crop, stages, day).sqrt()
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "these values are exact")]

    use super::super::fixture::{day, leek, lettuce, phacelia, salad_onion};
    use super::*;
    use crate::crops::{CropBook, StageLengths};
    use crate::garden::{Cover, PlannedDates, RealDates};
    use crate::growth::Almanac;

    fn stages(sow: Option<&str>, enters: &str, first_pick: &str, clear: &str) -> Stages {
        Stages {
            sow: sow.map(day),
            enters: day(enters),
            first_pick: day(first_pick),
            last_pick: day(clear).pred_opt().unwrap(),
            clear: day(clear),
            cover: None,
        }
    }

    #[test]
    fn cover_follows_the_stage_lengths_stretched_to_the_planting() {
        let mut crop = lettuce();
        crop.stages = Some(StageLengths {
            initial_days: 20.0,
            development_days: 30.0,
            mid_days: 15.0,
            late_days: 10.0,
            source: "FAO-56 Table 11, lettuce, April, Mediterranean".to_owned(),
        });
        // 50 days from planting to pick, the book's stages take 75: initial to day 13.33, full on day 33.33.
        let stages = stages(Some("2027-03-20"), "2027-05-01", "2027-06-20", "2027-07-05");
        let curve = CoverCurve::new(&crop, &stages);
        assert!((curve.on(day("2027-05-01")) - 0.05).abs() < 1e-12);
        // Day 23: 0.1 + 0.9 × (23 - 13.3333) / 20 = 0.535.
        assert!((curve.on(day("2027-05-24")) - 0.535).abs() < 1e-9);
        assert_eq!(curve.on(day("2027-06-04")), 1.0);
        assert_eq!(curve.full_on(), day("2027-06-04"));
        assert_eq!(curve.on(day("2027-07-04")), 1.0);
        assert_eq!(curve.on(day("2027-07-05")), 0.0);
        assert_eq!(curve.on(day("2027-04-30")), 0.0);
    }

    #[test]
    fn what_is_sown_in_place_starts_bare() {
        let stages = stages(Some("2027-05-01"), "2027-05-01", "2027-07-15", "2027-08-20");
        assert_eq!(cover_on(&salad_onion(), &stages, day("2027-05-01")), 0.0);
    }

    #[test]
    fn a_planting_cleared_unripe_has_not_grown_faster_for_it() {
        let ripe = stages(Some("2027-02-01"), "2027-04-12", "2027-07-16", "2027-12-01");
        let early = stages(Some("2027-02-01"), "2027-04-12", "2027-05-12", "2027-05-12");
        let on = day("2027-05-10");
        let gap = cover_on(&leek(), &ripe, on) - cover_on(&leek(), &early, on);
        assert!(gap.abs() < 1e-9, "{gap}");
    }

    #[test]
    fn radius_is_half_the_spacing_at_full_cover_and_grows_with_its_root() {
        let stages = stages(Some("2027-02-01"), "2027-04-12", "2027-07-16", "2027-12-01");
        assert_eq!(mature_radius_mm(&leek()), 125.0);
        assert_eq!(radius_on_mm(&leek(), &stages, day("2027-08-01")), 125.0);
        let when_set = radius_on_mm(&leek(), &stages, day("2027-04-12"));
        assert!((when_set - 125.0 * 0.05_f64.sqrt()).abs() < 1e-9);
    }

    #[test]
    fn without_an_equidistant_spacing_the_rows_or_a_starting_value_stand_in() {
        let mut crop = leek();
        crop.spacing.equidistant_mm = None;
        // √(300 × 150) / 2 = 106.07.
        assert!((mature_radius_mm(&crop) - 106.066).abs() < 1e-3);
        assert_eq!(mature_radius_mm(&phacelia()), 50.0);
    }

    #[test]
    fn cover_never_falls_while_a_planting_stands() {
        for crop in [leek(), lettuce(), salad_onion(), phacelia()] {
            let stages = stages(None, "2027-04-12", "2027-07-16", "2027-12-01");
            let curve = CoverCurve::new(&crop, &stages);
            let mut before = 0.0;
            for n in 0..233 {
                let cover = curve.on(plus_days(stages.enters, n));
                assert!((0.0..=1.0).contains(&cover) && cover >= before, "{} on day {n}", crop.id);
                before = cover;
            }
        }
    }

    fn upland() -> Almanac {
        let climate = crate::climate::by_name("maritime-upland").unwrap();
        Almanac::new(&std::sync::Arc::new(climate), None)
    }

    fn life(almanac: &Almanac, crop: &Crop, raised: Raised, on: &str, cover: Cover) -> Stages {
        let planned = PlannedDates { plant: Some(day(on)), ..PlannedDates::default() };
        almanac.growing(crop, raised, cover).stages(&planned, &RealDates::default()).unwrap()
    }

    #[test]
    fn a_cold_spring_keeps_the_ground_of_early_potatoes_bare() {
        let (book, almanac) = (CropBook::embedded().unwrap(), upland());
        let potato = book.crop("potato-first-early").unwrap();
        let stages = life(&almanac, potato, Raised::Tuber, "2027-03-15", Cover::Open);
        let covered = |on: &str| cover_on(potato, &stages, day(on));
        // Bare until late April, closed in June (common practice, no published source).
        assert!(covered("2027-04-18") == 0.0 && covered("2027-05-01") < 0.25 && covered("2027-05-15") < 0.6);
        let cover = stages.cover.unwrap();
        assert!((day("2027-06-01")..=day("2027-06-20")).contains(&cover.full), "{cover:?}");
        // 30 and 65 of the 75 days of the book: four tenths and 0.8667 of the growth to the first pick.
        let grown = |to| almanac.growing(potato, Raised::InPlace, Cover::Open).growth_days(stages.enters, to).unwrap();
        let whole = grown(stages.first_pick);
        for (on, share) in [(cover.after_initial, 0.4), (cover.full, 65.0 / 75.0)] {
            assert!(grown(on) >= whole * share - 1e-6 && grown(on.pred_opt().unwrap()) < whole * share, "{on}");
        }
        // By the calendar alone: 30 days, of which the shoots show after 24; full after 65.
        let by_book = life(&Almanac::by_book(false), potato, Raised::Tuber, "2027-03-15", Cover::Open);
        assert_eq!(by_book.cover, None);
        let covered = |on: &str| cover_on(potato, &by_book, day(on));
        assert!(covered("2027-04-07") == 0.0 && covered("2027-04-09") > 0.0);
        assert!((covered("2027-04-14") - 0.1).abs() < 1e-9 && (covered("2027-05-19") - 1.0).abs() < 1e-9);
    }

    #[test]
    fn the_cover_of_what_is_sown_in_place_begins_when_it_comes_up() {
        let (book, almanac) = (CropBook::embedded().unwrap(), upland());
        let carrot = book.crop("carrot-early").or_else(|| book.crop("carrot")).unwrap();
        let stages = life(&almanac, carrot, Raised::InPlace, "2027-03-10", Cover::Open);
        let up = almanac.growing(carrot, Raised::InPlace, Cover::Open).seedling(&stages).emerge.unwrap();
        assert_eq!(stages.cover.unwrap().shows, up);
        assert!(up > day("2027-03-20") && cover_on(carrot, &stages, up) == 0.0);
    }
}
