//! One crop at one site: what other rooms ask of growth.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `given` | the dates that a grower gave, real before planned |
//! | `dates` | a planting's dates, step by step |

use chrono::NaiveDate;

use super::almanac::Almanac;
use super::by_book::entry_window;
use super::day::{CommonDay, YEAR_DAYS, plus_days};
use super::months::SiteMonths;
use super::sky::{Measure, Odds};
use super::under_sky::UnderSky;
use crate::crops::{Crop, Raised};
use crate::garden::Cover;

mod dates;
mod given;

pub use dates::PERMANENT_YEARS;

/// One crop, raised one way under one cover at the site of an [`Almanac`]: its dates, their spread and its limits. It only borrows, so
/// a new one may be made for every question; the tables stay with the almanac.
#[derive(Debug, Clone, Copy)]
pub struct Growing<'a> {
    pub(super) almanac: &'a Almanac,
    /// Its growth under the sky of the site, or of one year there; `None` by the book's calendar alone.
    pub(super) under: Option<UnderSky<'a>>,
    pub(super) crop: &'a Crop,
    pub(super) raised: Raised,
    pub(super) cover: Cover,
}

impl Almanac {
    /// A crop of this site, raised one way under one cover. Cheap: tables are made when first needed, and kept.
    pub fn growing<'a>(&'a self, crop: &'a Crop, raised: Raised, cover: Cover) -> Growing<'a> {
        let under = self.site.as_deref().map(|site| UnderSky { sky: &site.sky, book: &site.book, crop, raised, cover });
        Growing { almanac: self, under, crop, raised, cover }
    }
}

impl<'a> Growing<'a> {
    /// The crop.
    pub fn crop(&self) -> &'a Crop {
        self.crop
    }

    /// How it is raised.
    pub fn raised(&self) -> Raised {
        self.raised
    }

    /// The book's months at the site under the cover.
    pub(super) fn months(&self) -> SiteMonths<'a> {
        self.almanac.months(self.cover)
    }

    /// The first day on or after `from` on which books put the crop into the ground, raised that way.
    pub fn next_entry(&self, from: NaiveDate) -> Option<NaiveDate> {
        let entry = entry_window(self.crop, self.raised)?;
        let day = self.months().next_day_in(entry.months, plus_days(from, -entry.later_days));
        day.map(|day| plus_days(day, entry.later_days))
    }

    /// Whether books put the crop into the ground on that day, raised that way; `false` if they never raise it so.
    pub fn is_in_season(&self, day: NaiveDate) -> bool {
        entry_window(self.crop, self.raised)
            .is_some_and(|entry| self.months().holds(entry.months, plus_days(day, -entry.later_days)))
    }

    /// Growth days at the site over the days `from..to`, however the crop is raised; `None` by the book's calendar alone.
    pub fn growth_days(&self, from: NaiveDate, to: NaiveDate) -> Option<f64> {
        self.under.map(|under| under.growth().between(CommonDay::of(from), CommonDay::of(to)))
    }

    /// Growth days that the crop needs from going into the bed to its first pick, under any cover; `None` by the book's calendar alone.
    pub fn growth_days_needed(&self) -> Option<f64> {
        self.under.map(|under| under.need())
    }

    /// Whether the crop, standing from `from` on, survives an average winter there; `None` by the book's calendar alone.
    pub fn outlives_winter(&self, from: NaiveDate) -> Option<bool> {
        let sky = self.under?.sky;
        let from = CommonDay::of(from);
        let at_c = self.crop.temperature.hardiness_c.to_bits();
        let nights = sky.table(Measure::KillingNights { at_c }, self.cover).between(from, from.plus(YEAR_DAYS as i64));
        Some(nights < Odds::Average.expected_nights())
    }
}
