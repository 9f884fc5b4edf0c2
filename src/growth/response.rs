//! How much a crop grows on a day.
//!
//! The unit is the *growth day*: what the crop grows on a day at its optimum temperature under a midsummer sun. A day's
//! growth is warmth × light:
//!
//! - warmth: `(D / (optimum − base))^0.3`, at most 1, where `D` are the day's degree-days above the book's base by the single
//!   sine (Baskerville & Emin 1969). Above the optimum range it falls straight to 0.6 at the greatest temperature for growth.
//! - light: `(1 − e^(−R/4)) / (1 − e^(−41/4))`, where `R` is the radiation above the air in MJ m⁻² day⁻¹ times what a cover
//!   lets through; 41 is that of a midsummer day. Below ten hours of day a quarter of it is lost for each hour
//!   that is missing (common practice, no published source: below ten hours growth nearly stops).
//!
//! That warmth and light limit together and that both saturate is long known (Scaife, Cox & Morris 1987, Annals of Botany 59:429-439,
//! from memory); the exponent, the constants 4 and 0.6 and the quarter are starting values, chosen because
//! they agree with published sowing and harvest months and published slowing in autumn better than days of the calendar do
//! (`tests/outside/season.rs`).
//!
//! Where it stops being true: drought, hunger, disease, varieties bred for another season, plants checked by planting. It knows no
//! difference between leaf, root and fruit but the book's temperatures.

use crate::climate::{Day, heat};
use crate::crops::Temperature;

/// Exponent of the response to warmth (starting value).
pub const WARMTH_EXPONENT: f64 = 0.3;
/// Radiation above the air in which the response to light rises by 1 − 1/e, MJ m⁻² day⁻¹ (starting value).
pub const LIGHT_SCALE_MJ_M2: f64 = 4.0;
/// Radiation above the air on a midsummer day of the middle latitudes, MJ m⁻² day⁻¹ (FAO-56 Annex 2, Table 2.6: 41 to 42
/// in June from 30 to 55° N).
pub const FULL_LIGHT_MJ_M2: f64 = 41.0;
/// Day length below which growth nearly stops, hours (common practice, no published source).
pub const SHORT_DAY_H: f64 = 10.0;
/// Share of growth lost for each hour below that (starting value).
const LOST_PER_HOUR: f64 = 0.25;
/// Least share left of short days (starting value).
const SHORT_DAY_LEAST: f64 = 0.1;
/// What is left of growth at the greatest temperature for growth (starting value).
pub const LEFT_IN_HEAT: f64 = 0.6;
/// Degrees from the end of the optimum range to the greatest temperature where the book has none (starting value).
const HEAT_SPAN_C: f64 = 6.0;

/// What a crop's growth answers to: crops with the same figures share their tables. Made of bits so that it can be a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Response {
    base: u64,
    optimum: u64,
    high: u64,
    most: u64,
}

impl Response {
    pub(super) fn of(temperature: &Temperature) -> Self {
        let most = temperature.growth_max_c.unwrap_or(temperature.optimum_high_c + HEAT_SPAN_C);
        Self {
            base: temperature.base_c.to_bits(),
            optimum: temperature.optimum_c.to_bits(),
            high: temperature.optimum_high_c.to_bits(),
            most: most.to_bits(),
        }
    }

    /// Growth days of one day under a cover that lets through that share of the light.
    pub(super) fn on(self, day: &Day, light_share: f64) -> f64 {
        let [base, optimum, high, most] = [self.base, self.optimum, self.high, self.most].map(f64::from_bits);
        let warmth = if day.tmean_c > high {
            let over = (day.tmean_c - high) / (most - high).max(1.0);
            (1.0 - (1.0 - LEFT_IN_HEAT) * over).max(LEFT_IN_HEAT)
        } else {
            let degree_days = heat::degree_days(day.tmin_c, day.tmax_c, base, None, heat::Method::Sine);
            (degree_days / (optimum - base).max(1.0)).min(1.0).powf(WARMTH_EXPONENT)
        };
        warmth * light(day, light_share)
    }
}

/// Response to light, 0 to about 1.
fn light(day: &Day, light_share: f64) -> f64 {
    let saturation = |radiation: f64| 1.0 - (-radiation / LIGHT_SCALE_MJ_M2).exp();
    let missing_h = (SHORT_DAY_H - day.day_length_h).max(0.0);
    let short = (1.0 - LOST_PER_HOUR * missing_h).max(SHORT_DAY_LEAST);
    saturation(day.ra_mj_m2 * light_share) / saturation(FULL_LIGHT_MJ_M2) * short
}

#[cfg(test)]
mod tests {
    use super::super::fixture::lettuce;
    use super::*;

    fn day(tmin_c: f64, tmax_c: f64, day_length_h: f64, ra_mj_m2: f64) -> Day {
        Day { tmin_c, tmax_c, tmean_c: f64::midpoint(tmin_c, tmax_c), day_length_h, ra_mj_m2 }
    }

    /// Base 5, optimum 18 (13 to 24), no greatest temperature: 30.
    fn growth(day: &Day) -> f64 {
        Response::of(&lettuce().temperature).on(day, 1.0)
    }

    #[test]
    fn a_day_at_the_optimum_in_midsummer_is_one_growth_day() {
        assert!((growth(&day(14.0, 22.0, 16.0, 41.0)) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn cool_days_hot_days_and_short_days_by_hand() {
        // 6.5 degree-days of 13: 0.5^0.3 = 0.812252.
        assert!((growth(&day(6.5, 16.5, 16.0, 41.0)) - 0.812_252).abs() < 1e-5);
        // Mean 27, half-way from 24 to 30: 0.8.
        assert!((growth(&day(20.0, 34.0, 16.0, 41.0)) - 0.8).abs() < 1e-12);
        // 8 MJ and 8 hours: (1 - e^-2) = 0.864665 (divided by 0.9999646), half of it lost for two hours missing.
        assert!((growth(&day(14.0, 22.0, 8.0, 8.0)) - 0.432_348).abs() < 1e-5);
        assert!(growth(&day(-4.0, 5.0, 12.0, 25.0)).abs() < 1e-12, "never above the base");
    }
}
