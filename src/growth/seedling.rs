//! From the seed to a plant fit for the bed.

use chrono::NaiveDate;

use super::almanac::plus_days;
use super::emergence;
use super::prefix::{CommonDay, YEAR_DAYS};
use super::response::Response;
use super::ripe::UnderSky;
use super::sky::{Measure, Sky};
use super::{Growing, Stages};
use crate::crops::Raised;
use crate::garden::Cover;

/// Growth days from sowing to a seedling, for crops of which the table of emergence has neither the crop nor its kin (starting
/// value).
const GROWTH_DAYS_TO_EMERGE: f64 = 8.0;
/// Progress towards a seedling that counts as stirring: just more than the sums can tell from nothing.
const STIRS: f64 = 2e-6;
/// Days in a tray in the warm for those crops (starting value).
const RAISING_DAYS: f64 = 8.0;
/// Days from emergence to pricking out, when the first true leaves show (common practice, no published source: one to three weeks).
pub const PRICKED_OUT_AFTER_DAYS: i64 = 14;
/// Days of hardening off before planting out (common practice, no published source: one to two weeks).
pub const HARDENED_OFF_DAYS: i64 = 10;

/// The days of a seedling's life before its bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seedling {
    /// Shows above ground; `None` if it is not sown, in soil in which it never comes up, or is cleared before.
    pub emerge: Option<NaiveDate>,
    /// Pricked out, if it was sown in a tray: two weeks after it shows, in modules only and not after hardening off begins.
    pub prick_out: Option<NaiveDate>,
    /// Hardening off begins, ten days before it goes into the bed; modules only.
    pub harden_off: Option<NaiveDate>,
}

impl Growing<'_> {
    /// When a planting's seedlings show, are pricked out and hardened off. In place they come up by the temperature of a loam's bare seed bed at
    /// the book's sowing depth under the cover; in modules at 18 °C. Nothing by the book's calendar alone.
    pub fn seedling(&self, stages: &Stages) -> Seedling {
        let nothing = Seedling { emerge: None, prick_out: None, harden_off: None };
        let (Some(sown), Some(under)) = (stages.sow, self.under) else { return nothing };
        match self.raised {
            Raised::InPlace => {
                // A planting cleared before it shows never does.
                let emerge = under.emerges_on(sown).filter(|emerge| *emerge < stages.clear);
                Seedling { emerge, ..nothing }
            }
            Raised::Module => {
                let row = emergence::row_of(self.crop);
                let days = row.and_then(emergence::Row::raising_days).unwrap_or(RAISING_DAYS);
                let emerge = plus_days(sown, days.ceil() as i64).min(stages.enters);
                let harden_off = plus_days(stages.enters, -HARDENED_OFF_DAYS).max(emerge);
                let prick_out = plus_days(emerge, PRICKED_OUT_AFTER_DAYS);
                Seedling {
                    emerge: Some(emerge),
                    prick_out: (prick_out <= harden_off).then_some(prick_out),
                    harden_off: Some(harden_off),
                }
            }
            _ => nothing,
        }
    }
}

impl UnderSky<'_> {
    /// What is added up to the day a sowing in place shows, for a crop of the table.
    pub(super) fn emergence_measure(&self) -> Option<(&'static emergence::Row, Measure)> {
        let row = emergence::row_of(self.crop)?;
        let depth_mm = self.crop.seed.depth_mm.0.max(0) as u32;
        Some((row, Measure::Emergence { row: row.key, depth_mm }))
    }

    /// What is added up to the day a sowing shows, and how much of it is needed.
    fn emergence_sum(&self) -> (Measure, f64) {
        match self.emergence_measure() {
            Some((_, measure)) => (measure, 1.0),
            None => (Measure::Growth(Response::of(self.crop)), GROWTH_DAYS_TO_EMERGE),
        }
    }

    /// The day on which a sowing in place shows; `None` if it does not within a year.
    pub(super) fn emerges_on(&self, sown: NaiveDate) -> Option<NaiveDate> {
        shows_on(self.sky, self.emergence_sum(), self.cover, CommonDay::of(sown)).map(|day| day.date().max(sown))
    }

    /// The day on which a sowing in place on `sown` shows in the book's climate; `None` if it does not within a year.
    pub(super) fn emerges_in_book(&self, sown: CommonDay) -> Option<CommonDay> {
        shows_on(self.book, self.emergence_sum(), self.book_cover(), sown)
    }

    /// The first day, from the sowing on, on which the seed stirs; the day of sowing if it never does.
    pub(super) fn wakes_on(&self, sky: &Sky, cover: Cover, sown: CommonDay) -> CommonDay {
        let stirred = sky.table(self.emergence_sum().0, cover).reached(sown, STIRS);
        stirred.map_or(sown, |after| after.plus(-1).max(sown))
    }
}

fn shows_on(sky: &Sky, (measure, amount): (Measure, f64), cover: Cover, sown: CommonDay) -> Option<CommonDay> {
    sky.table(measure, cover).reached(sown, amount).filter(|day| day.0 - sown.0 <= YEAR_DAYS as i64)
}
