//! How much a crop grows on a day.
//!
//! The unit is the *growth day*: what the crop grows on a day that is all of it at its optimum, under the light of an ordinary summer's
//! day. `D` is the mean over the day of a rate that rises in a straight line from the crop's base to its optimum, is level to its
//! ceiling and falls to nothing at its maximum, the day being one sine ([`heat::mean_rate`]). `R` is the radiation that reaches the
//! ground ([`Day::solar_mj_m2`]) times the share that a cover lets through, as a share of 15 MJ m⁻² day⁻¹. Warmth and light limit
//! each other as in the effective day-degrees of Scaife, Cox & Morris 1987, Annals of Botany 59:429-439 (from memory):
//!
//! `(1 + f) / (1/D + f/R)`
//!
//! with one weight of light `f` for all crops. What is picked by its size (leaves, heads, roots) goes on growing a few degrees below
//! the base at which its stages stand still, if it stands frost; what must flower, set and ripen does not. A crop's temperatures and
//! which of the two it is stand in the book, with their sources ([`Development`]). A crop without them takes those at which it grows
//! best.
//!
//! The weight, the degrees below the base and the radiation that counts as full were chosen on published plantings of many climates
//! (`tests/calibrated/trials.rs`).
//!
//! Where it stops being true: drought, hunger, disease, varieties bred for another season, plants checked by planting, clouds other
//! than the day's range of temperature tells.

use crate::climate::{Day, heat};
use crate::crops::{Crop, Development, RipensBy};

/// Crops killed at this temperature or above it end with the first frost, °C (starting value: a light frost in a screen).
pub const TENDER_C: f64 = -1.0;
/// Radiation above the air on a midsummer day of the middle latitudes, MJ m⁻² day⁻¹ (FAO-56 Annex 2, Table 2.6: 41 to 42
/// in June from 30 to 55° N).
pub const FULL_LIGHT_MJ_M2: f64 = 41.0;
/// Radiation at the ground that counts as 1, MJ m⁻² day⁻¹ (about that of a summer's day by the northern seas).
const SUMMER_LIGHT_MJ_M2: f64 = 15.0;
/// Weight of want of light against want of warmth.
const LIGHT_WEIGHT: f64 = 0.2;
/// Degrees below the base of its stages down to which what is picked by its size still grows.
const GROWS_BELOW_BASE_C: f64 = 4.0;
/// No plant of the book grows below this, °C.
const GROWS_ABOVE_C: f64 = 0.0;
/// Day length below which growth nearly stops, hours (common practice, no published source).
pub const SHORT_DAY_H: f64 = 10.0;
/// Degrees from the end of the optimum range to the temperature at which nothing grows, where the book has none (starting value).
const HEAT_SPAN_C: f64 = 10.0;

/// What a crop's growth responds to: crops with the same figures share their tables. Made of bits so that it can be a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Response {
    /// Base, optimum, ceiling and maximum.
    cardinals: [u64; 4],
}

impl Response {
    pub(super) fn of(crop: &Crop) -> Self {
        let cardinals = match &crop.development {
            Some(development) => [
                growth_base_c(development, crop.temperature.hardiness_c),
                development.optimum_c,
                development.ceiling_c,
                development.maximum_c,
            ],
            None => {
                let temperature = &crop.temperature;
                let most_c = temperature.optimum_high_c + HEAT_SPAN_C;
                [temperature.base_c, temperature.optimum_c, temperature.optimum_high_c, most_c]
            }
        };
        Self { cardinals: cardinals.map(f64::to_bits) }
    }

    /// Growth days of one day under a cover that lets through `light_share` of the light.
    pub(super) fn on(self, day: &Day, light_share: f64) -> f64 {
        let warmth = heat::mean_rate(day.tmin_c, day.tmax_c, self.cardinals.map(f64::from_bits));
        short_of_either(warmth, day.solar_mj_m2 * light_share / SUMMER_LIGHT_MJ_M2)
    }
}

fn growth_base_c(development: &Development, hardiness_c: f64) -> f64 {
    let is_by_size = development.ripens_by == RipensBy::Size && hardiness_c < TENDER_C;
    if is_by_size { (development.base_c - GROWS_BELOW_BASE_C).max(GROWS_ABOVE_C) } else { development.base_c }
}

/// Growth from the shares of warmth and light: 1 where both are full, 0 where either is missing.
fn short_of_either(warmth: f64, light: f64) -> f64 {
    if warmth <= 0.0 || light <= 0.0 {
        return 0.0;
    }
    (1.0 + LIGHT_WEIGHT) / (1.0 / warmth + LIGHT_WEIGHT / light)
}

#[cfg(test)]
mod tests {
    use super::super::fixture::lettuce;
    use super::*;

    fn day(tmin_c: f64, tmax_c: f64, solar_mj_m2: f64) -> Day {
        let tmean_c = f64::midpoint(tmin_c, tmax_c);
        Day { tmin_c, tmax_c, tmean_c, day_length_h: 12.0, ra_mj_m2: 41.0, solar_mj_m2 }
    }

    fn development(ripens_by: RipensBy) -> Development {
        let source = "made up for this test".to_owned();
        Development { base_c: 8.0, optimum_c: 28.0, ceiling_c: 32.0, maximum_c: 40.0, ripens_by, source }
    }

    #[test]
    fn a_day_at_the_optimum_in_summer_light_is_one_growth_day() {
        let crop = Crop { development: Some(development(RipensBy::Stage)), ..lettuce() };
        assert!((Response::of(&crop).on(&day(28.0, 32.0, 15.0), 1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn cool_days_hot_days_and_dull_days_by_hand() {
        let growth = |ripens_by, day: &Day, light_share: f64| {
            Response::of(&Crop { development: Some(development(ripens_by)), ..lettuce() }).on(day, light_share)
        };
        // 7 of 20 degrees: 1.2 / (20/7 + 0.2) = 0.392523.
        assert!((growth(RipensBy::Stage, &day(10.0, 20.0, 15.0), 1.0) - 0.392_523).abs() < 1e-6);
        // Half of the way from ceiling to maximum: 1.2 / (2 + 0.2) = 0.545455.
        assert!((growth(RipensBy::Stage, &day(34.0, 38.0, 15.0), 1.0) - 0.545_455).abs() < 1e-6);
        // A fifth of the light: 1.2 / (20/7 + 1) = 0.311111; the same from twice the light under a cover that lets half of it through.
        assert!((growth(RipensBy::Stage, &day(10.0, 20.0, 3.0), 1.0) - 0.311_111).abs() < 1e-6);
        assert!((growth(RipensBy::Stage, &day(10.0, 20.0, 6.0), 0.5) - 0.311_111).abs() < 1e-6);
        // By its size from 4 °C on: 11 of 24 degrees: 1.2 / (24/11 + 0.2) = 0.503817. Neither grows in frost or in the dark.
        assert!((growth(RipensBy::Size, &day(10.0, 20.0, 15.0), 1.0) - 0.503_817).abs() < 1e-6);
        for ripens_by in [RipensBy::Stage, RipensBy::Size] {
            assert!(growth(ripens_by, &day(-4.0, 4.0, 15.0), 1.0).abs() < 1e-12);
            assert!(growth(ripens_by, &day(10.0, 20.0, 0.0), 1.0).abs() < 1e-12);
        }
        // What frost kills does not grow below its base, however it is picked.
        let mut tender = Crop { development: Some(development(RipensBy::Size)), ..lettuce() };
        tender.temperature.hardiness_c = 0.0;
        assert!((Response::of(&tender).on(&day(10.0, 20.0, 15.0), 1.0) - 0.392_523).abs() < 1e-6);
    }

    #[test]
    fn a_crop_without_development_grows_by_the_temperatures_it_likes() {
        // Base 5, optimum 18, to 24, nothing at 34. 6.5 of 13 degrees: 1.2 / (2 + 0.2); half-way from 24 to 34 likewise.
        let growth = |day: &Day| Response::of(&lettuce()).on(day, 1.0);
        assert!((growth(&day(6.5, 16.5, 15.0)) - 0.545_455).abs() < 1e-6);
        assert!((growth(&day(27.0, 31.0, 15.0)) - 0.545_455).abs() < 1e-6);
        assert!((growth(&day(19.0, 23.0, 15.0)) - 1.0).abs() < 1e-12);
    }
}
