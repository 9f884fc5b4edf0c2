//! How sure a planting's dates are.
//!
//! With recorded weather the planting is worked out again in each of the last thirty whole years of the record, and each of its
//! dates gets the range that holds the middle eight tenths of those years. Each year is repeated, so that a crop standing over
//! New Year meets the same winter again. Without records the site's normals stand in, with all months warmer or cooler by as much
//! as one season in ten is. The months of a season are not all equally warm or cool: the spread of a season is taken as six tenths of
//! a month's (starting value).

use chrono::NaiveDate;

use super::day::plus_days;
use super::growing::Growing;
use super::stages::{Stages, StagesError};
use super::under_sky::UnderSky;
use super::years::YearSkies;
use crate::climate::frost::quantile;
use crate::garden::{PlannedDates, RealDates};

/// The range of each date: in one year of ten it is earlier than `early`, in one of ten later than `late`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// Early ends.
    pub early: Stages,
    /// Late ends.
    pub late: Stages,
    /// From recorded years; otherwise from the spread of the normals, and to be labelled so.
    pub is_from_weather: bool,
}

impl Growing<'_> {
    /// The range of a planting's dates; a date that is given has none. By the book's calendar alone both ends are the same.
    ///
    /// # Errors
    /// As [`stages`](Self::stages).
    pub fn spread(&self, planned: &PlannedDates, real: &RealDates) -> Result<Spread, StagesError> {
        let middle = self.stages(planned, real)?;
        let (Some(site), Some(under)) = (self.almanac.site.as_deref(), self.under) else {
            return Ok(Spread { early: middle, late: middle, is_from_weather: false });
        };
        let YearSkies { skies, is_from_weather } = site.year_skies();
        let mut lives = Vec::with_capacity(skies.len());
        for sky in skies {
            let in_year = Growing { under: Some(UnderSky { sky, ..under }), ..*self };
            lives.push(in_year.stages(planned, real)?);
        }
        // The normals give three skies: the two ends and the middle themselves.
        let (low, high) = if *is_from_weather { (0.1, 0.9) } else { (0.0, 1.0) };
        let at = |share: f64| Stages {
            sow: middle.sow.map(|sow| range(&lives, |life| life.sow.unwrap_or(sow), share).unwrap_or(sow)),
            enters: range(&lives, |life| life.enters, share).unwrap_or(middle.enters),
            first_pick: range(&lives, |life| life.first_pick, share).unwrap_or(middle.first_pick),
            last_pick: range(&lives, |life| life.last_pick, share).unwrap_or(middle.last_pick),
            clear: range(&lives, |life| life.clear, share).unwrap_or(middle.clear),
            cover: middle.cover,
        };
        Ok(Spread { early: at(low), late: at(high), is_from_weather: *is_from_weather })
    }
}

fn range(lives: &[Stages], date: impl Fn(&Stages) -> NaiveDate, share: f64) -> Option<NaiveDate> {
    let first = lives.first().map(&date)?;
    let mut days: Vec<f64> = lives.iter().map(|life| (date(life) - first).num_days() as f64).collect();
    days.sort_by(f64::total_cmp);
    Some(plus_days(first, quantile(&days, share).round() as i64))
}
