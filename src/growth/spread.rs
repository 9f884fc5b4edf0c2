//! How sure a planting's dates are.
//!
//! With recorded weather the planting is worked out again in each whole year of the record (each year repeated, so that a crop
//! standing over New Year meets the same winter again) and each of its dates gets the range that holds the middle eight
//! tenths of the years. Without records the site's normals stand in, all months warmer or cooler by what one
//! season in ten is. Months of one season are not all warm together: the spread of a season is taken as six tenths of a
//! month's (starting value).

use super::ripe::Growing;
use super::sky::Sky;
use super::{Almanac, Stages, StagesError};
use crate::climate::frost::quantile;
use crate::crops::{Crop, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use chrono::NaiveDate;

/// Standard deviations from the middle within which eight tenths of a bell lie.
const EIGHT_TENTHS_Z: f64 = 1.2816;
/// Spread of a season's mean temperature as a share of that of a month (starting value).
const SEASON_SHARE: f64 = 0.6;
/// Years of records below which they say nothing about spread.
pub const N_YEARS_LEAST: usize = 3;

/// Each date's range: in one year of ten it is earlier than `early`, in one later than `late`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spread {
    /// Early ends.
    pub early: Stages,
    /// Late ends.
    pub late: Stages,
    /// From recorded years; else from the spread of the normals, to be labelled so.
    pub is_from_weather: bool,
}

impl Almanac {
    /// The range of a planting's dates; dates that are given have none. By the book's calendar alone both ends are the same.
    ///
    /// # Errors
    /// As [`stages`](Self::stages).
    pub fn spread(
        &self,
        cover: Cover,
        crop: &Crop,
        raised: Raised,
        planned: &PlannedDates,
        real: &RealDates,
    ) -> Result<Spread, StagesError> {
        let middle = self.stages_under(cover, crop, raised, planned, real)?;
        let Some(site) = self.site.as_deref() else {
            return Ok(Spread { early: middle, late: middle, is_from_weather: false });
        };
        let recorded = |weather: &std::sync::Arc<crate::climate::Weather>| weather.years().len() >= N_YEARS_LEAST;
        let weather = site.weather.as_ref().filter(|weather| recorded(weather));
        let skies = site.years.get_or_init(|| match weather {
            Some(weather) => {
                let year =
                    |year: i32| Sky::of_year(&site.climate, &weather.day_table(site.climate.latitude_deg, year)?);
                weather.years().into_iter().filter_map(year).collect()
            }
            None => {
                let season_c = EIGHT_TENTHS_Z * SEASON_SHARE * site.climate.normals.spread_c;
                [season_c, 0.0, -season_c].map(|warmer_c| Sky::of_climate(&site.climate, warmer_c)).into()
            }
        });
        let mut lives = Vec::with_capacity(skies.len());
        for sky in skies {
            let growing = Growing { sky, book: &site.book, crop, raised, cover };
            lives.push(self.stages_by(Some(growing), cover, crop, raised, planned, real)?);
        }
        // The three of the normals are the two ends and the middle themselves.
        let (low, high) = if weather.is_some() { (0.1, 0.9) } else { (0.0, 1.0) };
        let at = |share: f64| Stages {
            sow: middle.sow.map(|sow| range(&lives, |life| life.sow.unwrap_or(sow), share).unwrap_or(sow)),
            enters: range(&lives, |life| life.enters, share).unwrap_or(middle.enters),
            first_pick: range(&lives, |life| life.first_pick, share).unwrap_or(middle.first_pick),
            last_pick: range(&lives, |life| life.last_pick, share).unwrap_or(middle.last_pick),
            clear: range(&lives, |life| life.clear, share).unwrap_or(middle.clear),
            cover: middle.cover,
        };
        Ok(Spread { early: at(low), late: at(high), is_from_weather: weather.is_some() })
    }
}

fn range(lives: &[Stages], date: impl Fn(&Stages) -> NaiveDate, share: f64) -> Option<NaiveDate> {
    let first = lives.first().map(&date)?;
    let mut days: Vec<f64> = lives.iter().map(|life| (date(life) - first).num_days() as f64).collect();
    days.sort_by(f64::total_cmp);
    Some(super::almanac::plus_days(first, quantile(&days, share).round() as i64))
}
