//! One crop under one sky: how it grows there, and when a sowing in place comes up.

use std::sync::Arc;

use chrono::NaiveDate;

use super::day::{CommonDay, YEAR_DAYS};
use super::emergence;
use super::prefix::Prefix;
use super::response::Response;
use super::sky::{Measure, Sky};
use crate::crops::{Crop, Raised};
use crate::garden::Cover;

/// Growth days from sowing to a seedling, for crops of which the table of emergence has neither the crop nor its kin (starting
/// value).
const GROWTH_DAYS_TO_EMERGE: f64 = 5.0;
/// Progress towards emergence at which germination counts as begun: just above the rounding error of the sums.
const STIRS: f64 = 2e-6;

/// One crop, raised one way, in one sky under one cover.
#[derive(Debug, Clone, Copy)]
pub(super) struct UnderSky<'a> {
    pub(super) sky: &'a Sky,
    /// The sky of the book's climate.
    pub(super) book: &'a Sky,
    pub(super) crop: &'a Crop,
    pub(super) raised: Raised,
    pub(super) cover: Cover,
}

impl UnderSky<'_> {
    /// What is added up to its ripeness.
    pub(super) fn measure(&self) -> Measure {
        Measure::Growth(Response::of(self.crop))
    }

    /// Growth days at the site.
    pub(super) fn growth(&self) -> Arc<Prefix> {
        self.sky.table(self.measure(), self.cover)
    }

    pub(super) fn book_cover(&self) -> Cover {
        if self.crop.timing.under_cover { Cover::UnheatedTunnel } else { Cover::Open }
    }

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

    /// The day on which germination begins; the day of sowing if it never does.
    pub(super) fn wakes_on(&self, sky: &Sky, cover: Cover, sown: CommonDay) -> CommonDay {
        let stirred = sky.table(self.emergence_sum().0, cover).reached(sown, STIRS);
        stirred.map_or(sown, |after| after.plus(-1).max(sown))
    }
}

fn shows_on(sky: &Sky, (measure, amount): (Measure, f64), cover: Cover, sown: CommonDay) -> Option<CommonDay> {
    sky.table(measure, cover).reached(sown, amount).filter(|day| day.0 - sown.0 <= YEAR_DAYS as i64)
}
