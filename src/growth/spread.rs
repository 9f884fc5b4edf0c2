//! How sure a planting's dates are.
//!
//! With recorded weather the planting is worked out again in each of the last thirty whole years of the record, and each of its
//! dates gets the range that holds the middle eight tenths of those years. Each year is repeated, so that a crop standing over
//! New Year meets the same winter again. Without records the site's normals stand in, with all months warmer or cooler by as much
//! as one season in ten is. The months of one season are not all warm together: the spread of a season is taken as six tenths of
//! a month's (starting value).

use std::sync::Arc;

use super::almanac::AtSite;
use super::ripe::UnderSky;
use super::sky::Sky;
use super::{Growing, Stages, StagesError};
use crate::climate::Weather;
use crate::climate::frost::quantile;
use crate::garden::{PlannedDates, RealDates};
use chrono::NaiveDate;

/// Standard deviations on either side of the mean within which eight tenths of a normal distribution lie.
const EIGHT_TENTHS_Z: f64 = 1.2816;
/// Spread of a season's mean temperature as a share of that of a month (starting value).
const SEASON_SHARE: f64 = 0.6;
/// With fewer years of records than this they say nothing about spread.
pub const N_YEARS_LEAST: usize = 3;
/// Most years of records that are looked at, the last ones: as many as climatological standard normals are made of (World
/// Meteorological Organization, WMO-No. 1203, from memory). Older ones say less of the years to come, and each year takes memory.
pub const N_YEARS_MOST: usize = 30;

/// The whole years of records in which dates are worked out again, earliest first; none if there are too few to say anything.
pub fn years_looked_at(weather: &Weather) -> Vec<i32> {
    let years = weather.years();
    if years.len() < N_YEARS_LEAST {
        return Vec::new();
    }
    years.get(years.len().saturating_sub(N_YEARS_MOST)..).map_or_else(Vec::new, <[i32]>::to_vec)
}

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
        let YearSkies { skies, is_from_weather } = site.years.get_or_init(|| YearSkies::of_site(site));
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

/// The skies of single years.
#[derive(Debug)]
pub(super) struct YearSkies {
    skies: Vec<Sky>,
    /// From recorded years; otherwise the normals and their spread stand in.
    is_from_weather: bool,
}

impl YearSkies {
    fn of_site(site: &AtSite) -> Self {
        let climate = &site.climate;
        let recorded = |weather: &Arc<Weather>| {
            let year = |year: i32| Sky::of_year(climate, &weather.day_table(climate.latitude_deg, year)?);
            years_looked_at(weather).into_iter().filter_map(year).collect::<Vec<_>>()
        };
        let skies = site.weather.as_ref().map_or_else(Vec::new, recorded);
        if !skies.is_empty() {
            return Self { skies, is_from_weather: true };
        }
        let season_c = EIGHT_TENTHS_Z * SEASON_SHARE * climate.normals.spread_c;
        let skies = [season_c, 0.0, -season_c].map(|warmer_c| Sky::of_climate(climate, warmer_c)).into();
        Self { skies, is_from_weather: false }
    }
}

fn range(lives: &[Stages], date: impl Fn(&Stages) -> NaiveDate, share: f64) -> Option<NaiveDate> {
    let first = lives.first().map(&date)?;
    let mut days: Vec<f64> = lives.iter().map(|life| (date(life) - first).num_days() as f64).collect();
    days.sort_by(f64::total_cmp);
    Some(super::almanac::plus_days(first, quantile(&days, share).round() as i64))
}
