//! From the seed to a plant fit for the bed.

use chrono::NaiveDate;

use super::day::plus_days;
use super::emergence;
use super::growing::Growing;
use super::stages::Stages;
use crate::crops::Raised;

/// Days in a tray in the warm for crops of which the table of emergence has neither the crop nor its kin (starting value).
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
