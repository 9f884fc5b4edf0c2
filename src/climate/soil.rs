//! How warm the soil is at a depth.
//!
//! The year's curve of mean air temperature is taken as that of the soil's surface. On the way down each of its waves is damped
//! by `exp(-z/d)` and delayed by `z/d` of its own angle, `d = √(D P / π)` for period `P` (Hillel 1982, Introduction to Soil
//! Physics; Campbell & Norman 1998, An Introduction to Environmental Biophysics, section 2.5). Hillel's annual sine is the first
//! of these waves; here all waves of a year are followed, so a warm week warms a seed bed and hardly reaches the subsoil.
//!
//! Where it stops being true: bare dry soil in the sun is warmer than the air; soil under mulch or a full crop is cooler and
//! slower to change; frozen soil is held at 0 °C by its water; snow keeps soil warm. The year is taken to repeat itself, so the
//! first days of January of a real year depend on the December at its end.

use std::f64::consts::PI;

use chrono::NaiveDate;

use super::table::DayTable;
use crate::garden::SoilTexture;

/// Seconds of a day.
pub const DAY_S: f64 = 86_400.0;

/// Thermal diffusivity of moist soil by texture, m² s⁻¹. Starting values, between those of dry and of saturated soil: sand
/// 0.24 and 0.74, clay 0.18 and 0.51 × 10⁻⁶ (Oke 1987, Boundary Layer Climates, 2nd ed., table 2.1, from memory).
pub fn diffusivity_m2_s(texture: SoilTexture) -> f64 {
    match texture {
        SoilTexture::Sand => 0.70e-6,
        SoilTexture::LoamySand => 0.65e-6,
        SoilTexture::SandyLoam => 0.60e-6,
        SoilTexture::Loam => 0.50e-6,
        SoilTexture::SiltLoam | SoilTexture::Silt => 0.45e-6,
        SoilTexture::Clay => 0.40e-6,
    }
}

/// Depth in m at which a wave of this period is damped to 1/e: `√(D P / π)`.
pub fn damping_depth_m(diffusivity_m2_s: f64, period_s: f64) -> f64 {
    (diffusivity_m2_s * period_s / PI).sqrt()
}

/// Share of a wave's amplitude that is left at a depth.
pub fn amplitude_ratio(depth_m: f64, damping_depth_m: f64) -> f64 {
    (-depth_m / damping_depth_m).exp()
}

/// How much later a wave comes at a depth, in s: `(z/d) P / 2π`.
pub fn lag_s(depth_m: f64, damping_depth_m: f64, period_s: f64) -> f64 {
    depth_m / damping_depth_m * period_s / (2.0 * PI)
}

/// The annual sine of Hillel 1982: temperature in °C at a depth on a day, the surface being coldest on day `coldest_day`
/// (days of the year from 1; a year of 365 days).
pub fn annual_sine_c(
    mean_c: f64,
    amplitude_c: f64,
    coldest_day: f64,
    depth_m: f64,
    diffusivity_m2_s: f64,
    day: f64,
) -> f64 {
    const YEAR_DAYS: f64 = 365.0;
    let ratio = depth_m / damping_depth_m(diffusivity_m2_s, YEAR_DAYS * DAY_S);
    let angle = 2.0 * PI * (day - coldest_day) / YEAR_DAYS - ratio - PI / 2.0;
    mean_c + amplitude_c * (-ratio).exp() * angle.sin()
}

/// The days of a year at one depth of one soil, °C. Cost of making it: the square of the days of a year, once for all dates.
#[derive(Debug, Clone, PartialEq)]
pub struct SoilTable {
    air: DayTable,
    means_c: Vec<f64>,
}

impl SoilTable {
    /// Daily mean temperature at a depth under the air of a table.
    pub fn new(air: &DayTable, depth_mm: f64, texture: SoilTexture) -> Self {
        let days = air.days();
        let n = days.len();
        let turn = 2.0 * PI / n as f64;
        let circle: Vec<(f64, f64)> = (0..n).map(|i| (turn * i as f64).sin_cos()).collect();
        let year_mean = days.iter().map(|day| day.tmean_c).sum::<f64>() / n as f64;
        let mut means_c = vec![year_mean; n];
        let depth_m = depth_mm.max(0.0) / 1000.0;
        let diffusivity = diffusivity_m2_s(texture);
        for wave in 1..=n / 2 {
            let ratio = depth_m / damping_depth_m(diffusivity, n as f64 * DAY_S / wave as f64);
            let left = (-ratio).exp();
            // Waves that would move a day by less than a thousandth of a degree are left out.
            if left < 1e-5 {
                break;
            }
            let (mut sines, mut cosines, mut at) = (0.0, 0.0, 0);
            for day in days {
                let (sine, cosine) = circle[at];
                sines += day.tmean_c * sine;
                cosines += day.tmean_c * cosine;
                at = (at + wave) % n;
            }
            // The wave with half as many turns as days occurs once, every other one twice.
            let share = if 2 * wave == n { 1.0 } else { 2.0 } / n as f64 * left;
            let (lag_sine, lag_cosine) = ratio.sin_cos();
            let on_sine = share * (sines * lag_cosine + cosines * lag_sine);
            let on_cosine = share * (cosines * lag_cosine - sines * lag_sine);
            at = 0;
            for mean in &mut means_c {
                let (sine, cosine) = circle[at];
                *mean += on_sine * sine + on_cosine * cosine;
                at = (at + wave) % n;
            }
        }
        Self { air: air.clone(), means_c }
    }

    /// Mean of the day with the month and day of a date, °C.
    pub fn on(&self, date: NaiveDate) -> f64 {
        self.means_c[self.air.index_of(date)]
    }

    /// All days from 1 January on, °C.
    pub fn days(&self) -> &[f64] {
        &self.means_c
    }
}

/// Daily mean temperature of a loam at a depth on one day, °C. For many days make a [`SoilTable`] once.
pub fn soil_temp_c(air: &DayTable, depth_mm: f64, date: NaiveDate) -> f64 {
    SoilTable::new(air, depth_mm, SoilTexture::default()).on(date)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::super::reference;
    use super::*;

    fn sine_year(wave: f64, n: usize, year: i32) -> DayTable {
        let days: Vec<_> = (0..n)
            .map(|i| {
                let t = 10.0 - 8.0 * (2.0 * PI * wave * i as f64 / n as f64).cos();
                (t - 5.0, t + 5.0)
            })
            .collect();
        DayTable::new(52.0, year, &days).unwrap()
    }

    #[test]
    fn one_annual_wave_is_that_of_hillel() {
        let soil = SoilTable::new(&sine_year(1.0, 365, 2027), 300.0, SoilTexture::Loam);
        for day in [0_usize, 50, 104, 200, 364] {
            let by_sine = annual_sine_c(10.0, 8.0, 0.0, 0.3, 0.5e-6, day as f64);
            assert!((soil.days()[day] - by_sine).abs() < 1e-9, "{day}");
        }
    }

    #[test]
    fn the_surface_has_the_temperature_of_the_air_in_both_kinds_of_year() {
        for year in [2027, 2028] {
            let air = reference().unwrap().day_table(year);
            let soil = SoilTable::new(&air, 0.0, SoilTexture::Clay);
            for (air, soil) in air.days().iter().zip(soil.days()) {
                assert!((air.tmean_c - soil).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn a_ten_day_wave_reaches_a_seed_bed_and_not_the_subsoil() {
        // 36 waves in 360 days or so; d = √(0.5e-6 × 876000 / π) = 0.3734 m, e^(-0.02/0.3734) = 0.9478, e^(-1/0.3734) = 0.0687.
        let air = sine_year(36.0, 365, 2027);
        let swing = |depth_mm| {
            let soil = SoilTable::new(&air, depth_mm, SoilTexture::Loam);
            soil.days().iter().copied().fold(f64::MIN, f64::max) - 10.0
        };
        assert!((swing(20.0) - 8.0 * 0.9478).abs() < 0.1, "{}", swing(20.0));
        assert!((swing(1000.0) - 8.0 * 0.0687).abs() < 0.02, "{}", swing(1000.0));
    }

    #[test]
    fn the_soil_lags_behind_in_spring_and_in_autumn() {
        let air = reference().unwrap().day_table(2027);
        let (april, october) = ("2027-04-10".parse().unwrap(), "2027-10-10".parse().unwrap());
        assert!(soil_temp_c(&air, 500.0, april) < air.day(april).tmean_c);
        assert!(soil_temp_c(&air, 500.0, october) > air.day(october).tmean_c);
    }
}
