//! How much a crop grows on a day.
//!
//! The unit is the *growth day*: what the crop grows on a day at its optimum temperature under a midsummer sun. `D` is the day's
//! degree-days above the book's base, by the single sine (Baskerville & Emin 1969), as a share of those from the base to the
//! optimum, at most 1. `R` is the radiation above the air in MJ m⁻² day⁻¹ times the share that a cover lets through; 41 is that
//! of a midsummer day. Above the optimum range the response to warmth falls in a straight line to 0.6 at the greatest temperature
//! for growth.
//!
//! - *Most crops*: warmth × light, with warmth `D^0.3` and light `(1 − e^(−R/4)) / (1 − e^(−41/4))`. Below ten hours of day a
//!   quarter of the growth is lost for each hour that is missing (common practice, no published source: below ten hours growth
//!   nearly stops).
//! - *Crops marked so in the book* ([`crops::Response::Shortest`](crate::crops::Response)): `(1 + w) / (1/warmth + w/light)` with
//!   warmth `(1 − e^(−a D)) / (1 − e^(−a))` and light `(1 − e^(−b R/41)) / (1 − e^(−b))`, where `a` and `b` are the book's rates
//!   and `w` its weight. The day's growth is held back by whichever of the two is short, in the form of the effective day-degrees
//!   of Scaife, Cox & Morris 1987. Short days cost as much as with most crops. Which crops these are, their figures and why stand
//!   in the book with its sources.
//!
//! That warmth and light limit together and that both saturate is long known (Scaife, Cox & Morris 1987, Annals of Botany
//! 59:429-439, from memory). All exponents, rates and shares here are starting values, chosen because they agree with published
//! sowing and harvest months and with published slowing in autumn better than calendar days do (`tests/calibrated/season.rs`).
//!
//! Where it stops being true: drought, hunger, disease, varieties bred for another season, plants checked by planting. Leaf, root
//! and fruit crops differ only by the book's temperatures, and clouds are those of the book's climate.

use crate::climate::{Day, heat};
use crate::crops::{self, Crop};

/// Exponent of the response to warmth (starting value).
pub const WARMTH_EXPONENT: f64 = 0.3;
/// Radiation above the air over which the response to light rises by 1 − 1/e, MJ m⁻² day⁻¹ (starting value).
pub const LIGHT_SCALE_MJ_M2: f64 = 4.0;
/// Radiation above the air on a midsummer day of the middle latitudes, MJ m⁻² day⁻¹ (FAO-56 Annex 2, Table 2.6: 41 to 42
/// in June from 30 to 55° N).
pub const FULL_LIGHT_MJ_M2: f64 = 41.0;
/// Day length below which growth nearly stops, hours (common practice, no published source).
pub const SHORT_DAY_H: f64 = 10.0;
/// Share of growth lost for each hour below that (starting value).
const LOST_PER_HOUR: f64 = 0.25;
/// Share of growth that is left on the shortest days (starting value).
const SHORT_DAY_LEAST: f64 = 0.1;
/// Share of growth that is left at the greatest temperature for growth (starting value).
pub const LEFT_IN_HEAT: f64 = 0.6;
/// Degrees from the end of the optimum range to the greatest temperature where the book has none (starting value).
const HEAT_SPAN_C: f64 = 6.0;

/// What a crop's growth responds to: crops with the same figures share their tables. Made of bits so that it can be a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Response {
    base: u64,
    optimum: u64,
    high: u64,
    most: u64,
    /// Rates of warmth and light and the weight of light, for a crop held back by whichever is short.
    shortest: Option<[u64; 3]>,
}

impl Response {
    pub(super) fn of(crop: &Crop) -> Self {
        let temperature = &crop.temperature;
        let most = temperature.growth_max_c.unwrap_or(temperature.optimum_high_c + HEAT_SPAN_C);
        Self {
            base: temperature.base_c.to_bits(),
            optimum: temperature.optimum_c.to_bits(),
            high: temperature.optimum_high_c.to_bits(),
            most: most.to_bits(),
            shortest: match &crop.response {
                crops::Response::Product => None,
                crops::Response::Shortest { warmth_rate, light_rate, light_weight, .. } => {
                    Some([warmth_rate, light_rate, light_weight].map(|figure| figure.to_bits()))
                }
            },
        }
    }

    /// Growth days of one day under a cover that lets through `light_share` of the light.
    pub(super) fn on(self, day: &Day, light_share: f64) -> f64 {
        let [base, optimum, high, most] = [self.base, self.optimum, self.high, self.most].map(f64::from_bits);
        let shortest = self.shortest.map(|figures| figures.map(f64::from_bits));
        let warmth = if day.tmean_c > high {
            let over = (day.tmean_c - high) / (most - high).max(1.0);
            (1.0 - (1.0 - LEFT_IN_HEAT) * over).max(LEFT_IN_HEAT)
        } else {
            let degree_days = heat::degree_days(day.tmin_c, day.tmax_c, base, None, heat::Method::Sine);
            let share = (degree_days / (optimum - base).max(1.0)).min(1.0);
            match shortest {
                Some([warmth_rate, ..]) => saturation(share, warmth_rate),
                None => share.powf(WARMTH_EXPONENT),
            }
        };
        let light_share = day.ra_mj_m2 * light_share / FULL_LIGHT_MJ_M2;
        if let Some([_, light_rate, light_weight]) = shortest {
            let light = saturation(light_share, light_rate);
            return short_of_either(warmth, light, light_weight) * left_of_short_day(day);
        }
        let light = saturation(light_share, FULL_LIGHT_MJ_M2 / LIGHT_SCALE_MJ_M2);
        warmth * light * left_of_short_day(day)
    }
}

/// Rises from 0 at 0 to 1 at 1, more steeply at first the greater the rate.
fn saturation(share: f64, rate: f64) -> f64 {
    (1.0 - (-rate * share).exp()) / (1.0 - (-rate).exp())
}

/// Growth from the shares of warmth and light of a crop held back by whichever is short: 1 where both are full, 0 where either is
/// missing.
fn short_of_either(warmth: f64, light: f64, light_weight: f64) -> f64 {
    if warmth <= 0.0 || light <= 0.0 {
        return 0.0;
    }
    (1.0 + light_weight) / (1.0 / warmth + light_weight / light)
}

fn left_of_short_day(day: &Day) -> f64 {
    let missing_h = (SHORT_DAY_H - day.day_length_h).max(0.0);
    (1.0 - LOST_PER_HOUR * missing_h).max(SHORT_DAY_LEAST)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::lettuce;
    use super::*;
    use crate::crops::CropBook;

    fn day(tmin_c: f64, tmax_c: f64, day_length_h: f64, ra_mj_m2: f64) -> Day {
        Day { tmin_c, tmax_c, tmean_c: f64::midpoint(tmin_c, tmax_c), day_length_h, ra_mj_m2 }
    }

    /// A crop that answers as most do. Base 5, optimum 18 (13 to 24), no greatest temperature: 30.
    fn growth(day: &Day) -> f64 {
        Response::of(&lettuce()).on(day, 1.0)
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

    #[test]
    fn a_lettuce_by_hand_is_held_back_by_what_is_shortest() {
        let response = CropBook::embedded().unwrap().crop("lettuce-head").unwrap().response.clone();
        assert_ne!(response, crops::Response::Product);
        let lettuce = Crop { response, ..lettuce() };
        let growth = |day: &Day, light_share: f64| Response::of(&lettuce).on(day, light_share);
        assert!((growth(&day(14.0, 22.0, 16.0, 41.0), 1.0) - 1.0).abs() < 1e-12);
        // 6.5 degree-days of 13: (1 - e^-1.275) / (1 - e^-2.55) = 0.781597; 20.5 MJ, half of the light: (1 - e^-1.4) / (1 - e^-2.8) = 0.802184.
        // 1.165 / (1.279431 + 0.205688) = 0.784449.
        assert!((growth(&day(6.5, 16.5, 12.0, 20.5), 1.0) - 0.784_449).abs() < 1e-5);
        // The same light from a brighter day under a cover that lets half of it through.
        assert!((growth(&day(6.5, 16.5, 12.0, 41.0), 0.5) - 0.784_449).abs() < 1e-5);
        // 8 hours: half is lost.
        assert!((growth(&day(6.5, 16.5, 8.0, 20.5), 1.0) - 0.392_224).abs() < 1e-5);
        assert!(growth(&day(-4.0, 5.0, 12.0, 25.0), 1.0).abs() < 1e-12, "never above the base");
        assert!(growth(&day(14.0, 22.0, 0.0, 0.0), 1.0).abs() < 1e-12, "never in the dark");
    }
}
