//! The skies of single years at a site.

use std::sync::Arc;

use super::sky::Sky;
use crate::climate::{Climate, Weather};

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

/// The skies of single years.
#[derive(Debug)]
pub(super) struct YearSkies {
    pub(super) skies: Vec<Sky>,
    /// From recorded years; otherwise the normals and their spread stand in.
    pub(super) is_from_weather: bool,
}

impl YearSkies {
    pub(super) fn new(climate: &Climate, weather: Option<&Arc<Weather>>) -> Self {
        let recorded = |weather: &Arc<Weather>| {
            let year = |year: i32| Sky::of_year(climate, &weather.day_table(climate.latitude_deg, year)?);
            years_looked_at(weather).into_iter().filter_map(year).collect::<Vec<_>>()
        };
        let skies = weather.map_or_else(Vec::new, recorded);
        if !skies.is_empty() {
            return Self { skies, is_from_weather: true };
        }
        let season_c = EIGHT_TENTHS_Z * SEASON_SHARE * climate.normals.spread_c;
        let skies = [season_c, 0.0, -season_c].map(|warmer_c| Sky::of_climate(climate, warmer_c)).into();
        Self { skies, is_from_weather: false }
    }
}
