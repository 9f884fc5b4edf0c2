//! Ground cover by stage and the radius of a plant.

use chrono::NaiveDate;

use super::Stages;
use super::almanac::{days_to_first_pick, plus_days};
use crate::crops::{Crop, HarvestHabit, Raised};

/// Cover at the end of the initial stage (FAO-56, chapter 6: about 10 % of the ground).
pub const COVER_AFTER_INITIAL: f64 = 0.10;

/// Cover of a module plant, set, tuber or the like on the day it is set out (starting value).
pub const COVER_WHEN_SET: f64 = 0.05;

/// Days in which a crop that takes longer to its first pick (asparagus, fruit) fills its ground at the latest (starting value).
const FILLED_WITHIN_DAYS: f64 = 365.0;

/// Radius of a plant where the book gives no distance at all, as for scattered green manures, in mm (starting value).
const FALLBACK_RADIUS_MM: f64 = 50.0;

/// How the cover of one planting grows, for asking day after day.
///
/// ```text
/// 1.0           ________
///             /
/// 0.1      _/
/// 0 or .05_-
///        enters  initial  full         clear
/// ```
///
/// The stage lengths of FAO-56 Table 11 are stretched to this planting's own dates. A crop lifted or cut
/// as a whole (once, standing, storage) runs through all four stages from entering to its first pick.
/// A crop picked over or cut again and again has just reached full cover at its first pick. Where FAO-56 has no lengths
/// shares by harvest habit stand in (starting values).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CoverCurve {
    enters: NaiveDate,
    clear: NaiveDate,
    at_entry: f64,
    initial_days: f64,
    full_days: f64,
}

impl CoverCurve {
    /// The curve of a crop with these dates.
    pub fn new(crop: &Crop, stages: &Stages) -> Self {
        let is_sown_in_place = stages.sow == Some(stages.enters);
        let is_picked = stages.first_pick < stages.clear;
        let grown_days = if is_picked {
            (stages.first_pick - stages.enters).num_days()
        } else {
            let raised = match stages.sow {
                Some(_) if is_sown_in_place => Raised::Direct,
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
            at_entry: if is_sown_in_place { 0.0 } else { COVER_WHEN_SET },
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
        } else if days <= self.initial_days {
            let share = if self.initial_days > 0.0 { days / self.initial_days } else { 1.0 };
            between(self.at_entry, COVER_AFTER_INITIAL, share)
        } else {
            between(COVER_AFTER_INITIAL, 1.0, (days - self.initial_days) / (self.full_days - self.initial_days))
        }
    }

    /// First day of full cover, whether or not it still stands then.
    pub fn full_on(&self) -> NaiveDate {
        plus_days(self.enters, self.full_days.ceil() as i64)
    }
}

/// Ends of the initial and of the development stage, as shares of the days from entering to the first pick.
fn shares(crop: &Crop) -> (f64, f64) {
    let habit = crop.calendar.habit;
    let Some(stages) = &crop.stages else { return habit_shares(habit) };
    let to_full = stages.initial_days + stages.development_days;
    let whole = match habit {
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

/// First day on which a planting covers its ground wholly, whether or not it still stands then.
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
    use crate::crops::StageLengths;

    fn stages(sow: Option<&str>, enters: &str, first_pick: &str, clear: &str) -> Stages {
        Stages {
            sow: sow.map(day),
            enters: day(enters),
            first_pick: day(first_pick),
            last_pick: day(clear).pred_opt().unwrap(),
            clear: day(clear),
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
}
