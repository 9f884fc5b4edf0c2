//! How long the day is, how high the sun stands, how much radiation arrives at the top of the atmosphere.
//!
//! Two families of formulas live here and are not to be mixed:
//!
//! - *Astronomy* ([`declination_deg`], [`day_length_h`], [`solar_altitude_deg`]): the low-precision sun of Meeus,
//!   Astronomical Algorithms, 2nd ed. 1998, chapter 25, in the form of NOAA's solar calculator (from memory, checked against
//!   two astronomy libraries to 0.02° of declination and 0.05 h of day).
//! - *FAO-56* ([`geometric_hours`], [`extraterrestrial_mj_m2_day`]): Allen, Pereira, Raes & Smith 1998, Crop
//!   evapotranspiration, FAO Irrigation and Drainage Paper 56, eq. 21 to 34. Its short declination (eq. 24) is up to 1.1°
//!   off in October, so its day is for evaporation only.
//!
//! Where it stops being true: the horizon is flat and at eye level; hills, walls and trees take their share. Refraction is
//! a fixed 34'; near the polar circles a day may be called polar a day early or late.
//! Latitudes are degrees, south negative, -90 to 90; callers check the range. Nothing here panics outside of it.

use std::f64::consts::PI;

use chrono::{Datelike, NaiveDate};

/// Height of the sun's centre at sunrise and sunset, in degrees: 34' of refraction and 16' of radius below the horizon.
pub const SUNRISE_ALTITUDE_DEG: f64 = -0.833;

/// Solar constant of FAO-56 eq. 21, MJ m⁻² min⁻¹.
pub const SOLAR_CONSTANT_MJ_M2_MIN: f64 = 0.0820;

/// Declination of the sun at noon UTC of a day, in degrees, north positive (Meeus, chapter 25, low precision).
pub fn declination_deg(date: NaiveDate) -> f64 {
    apparent_sun(noon_centuries(date)).declination_rad.to_degrees()
}

/// Equation of time at noon UTC of a day: apparent less mean solar time, in minutes (Meeus, chapter 28).
pub fn equation_of_time_min(date: NaiveDate) -> f64 {
    apparent_sun(noon_centuries(date)).equation_of_time_min
}

/// Sunrise to sunset in hours, with the sun's centre at −0.833°. 24 in polar day, 0 in polar night.
pub fn day_length_h(latitude_deg: f64, date: NaiveDate) -> f64 {
    hours_above_h(latitude_deg, date, SUNRISE_ALTITUDE_DEG)
}

/// Hours in which the sun's centre stands above an altitude in degrees, without refraction: −6 gives civil dawn to civil dusk.
pub fn hours_above_h(latitude_deg: f64, date: NaiveDate, altitude_deg: f64) -> f64 {
    hours_above(latitude_deg.to_radians(), declination_deg(date).to_radians(), altitude_deg.to_radians())
}

/// Hours between the two hour angles at which the sun stands at an altitude, all angles in radians.
fn hours_above(latitude: f64, declination: f64, altitude: f64) -> f64 {
    let cos_hour_angle = (altitude.sin() - latitude.sin() * declination.sin()) / (latitude.cos() * declination.cos());
    24.0 / PI * cos_hour_angle.clamp(-1.0, 1.0).acos()
}

/// Altitude of the sun's centre above the horizon in degrees, without refraction, at an hour of true solar time
/// (12 is the sun's highest point; see [`solar_hour`] for clock time).
pub fn solar_altitude_deg(latitude_deg: f64, date: NaiveDate, solar_hour: f64) -> f64 {
    let (latitude, declination) = (latitude_deg.to_radians(), declination_deg(date).to_radians());
    let hour_angle = hour_angle_rad(solar_hour);
    let sine = latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * hour_angle.cos();
    sine.clamp(-1.0, 1.0).asin().to_degrees()
}

/// Compass bearing of the sun in degrees, clockwise from north, 0 to 360, at an hour of true solar time.
pub fn solar_azimuth_deg(latitude_deg: f64, date: NaiveDate, solar_hour: f64) -> f64 {
    let (latitude, declination) = (latitude_deg.to_radians(), declination_deg(date).to_radians());
    let hour_angle = hour_angle_rad(solar_hour);
    let from_south = hour_angle.sin().atan2(hour_angle.cos() * latitude.sin() - declination.tan() * latitude.cos());
    (from_south.to_degrees() + 180.0).rem_euclid(360.0)
}

/// Altitude of the sun's centre at its highest in degrees, without refraction; negative in polar night.
pub fn noon_altitude_deg(latitude_deg: f64, date: NaiveDate) -> f64 {
    90.0 - (latitude_deg - declination_deg(date)).abs()
}

/// True solar time in hours at a moment given in UTC, at a longitude in degrees, east positive.
pub fn solar_hour(date: NaiveDate, utc_hour: f64, longitude_deg: f64) -> f64 {
    utc_hour + longitude_deg / 15.0 + equation_of_time_min(date) / 60.0
}

fn hour_angle_rad(solar_hour: f64) -> f64 {
    (solar_hour - 12.0) * PI / 12.0
}

/// Daylight hours of FAO-56 eq. 34: sun's centre at 0°, no refraction, declination of eq. 24. 24 and 0 at the poles' seasons.
pub fn geometric_hours(latitude_deg: f64, date: NaiveDate) -> f64 {
    24.0 / PI * fao_sunset_hour_angle_rad(latitude_deg, date)
}

/// Radiation above the air, MJ m⁻² day⁻¹ (FAO-56 eq. 21).
pub fn extraterrestrial_mj_m2_day(latitude_deg: f64, date: NaiveDate) -> f64 {
    let (latitude, declination) = (latitude_deg.to_radians(), fao_declination_rad(date));
    let sunset = fao_sunset_hour_angle_rad(latitude_deg, date);
    let sun = sunset * latitude.sin() * declination.sin() + latitude.cos() * declination.cos() * sunset.sin();
    (24.0 * 60.0 / PI * SOLAR_CONSTANT_MJ_M2_MIN * inverse_relative_distance(date) * sun).max(0.0)
}

/// Share of the radiation above the air per √°C of the day's range (FAO-56 eq. 50, for the interior of land masses).
const SOLAR_PER_ROOT_C: f64 = 0.16;
/// Share of it that reaches the ground under a clear sky near sea level (FAO-56 eq. 36: 0.25 + 0.50).
const CLEAR_SKY_SHARE: f64 = 0.75;

/// Radiation that reaches the ground, MJ m⁻² day⁻¹, from that above the air and the day's range of temperature (Hargreaves & Samani;
/// FAO-56 eq. 50): cloud keeps days cool and nights warm. Never more than under a clear sky. Where it stops being true: coasts, where the
/// sea narrows the range (there the equation's share is 0.19), and single days.
pub fn solar_mj_m2(ra_mj_m2: f64, tmin_c: f64, tmax_c: f64) -> f64 {
    let share = SOLAR_PER_ROOT_C * (tmax_c - tmin_c).max(0.0).sqrt();
    ra_mj_m2 * share.min(CLEAR_SKY_SHARE)
}

/// Inverse relative distance of earth and sun (FAO-56 eq. 23), without unit.
pub fn inverse_relative_distance(date: NaiveDate) -> f64 {
    1.0 + 0.033 * fao_year_angle_rad(date).cos()
}

/// Declination of FAO-56 eq. 24 in radians.
pub fn fao_declination_rad(date: NaiveDate) -> f64 {
    0.409 * (fao_year_angle_rad(date) - 1.39).sin()
}

/// Sunset hour angle in radians, 0 to π (FAO-56 eq. 25).
pub fn fao_sunset_hour_angle_rad(latitude_deg: f64, date: NaiveDate) -> f64 {
    (-latitude_deg.to_radians().tan() * fao_declination_rad(date).tan()).clamp(-1.0, 1.0).acos()
}

fn fao_year_angle_rad(date: NaiveDate) -> f64 {
    2.0 * PI / 365.0 * f64::from(date.ordinal())
}

/// Julian centuries from 2000-01-01 12:00 to noon UTC of a day.
fn noon_centuries(date: NaiveDate) -> f64 {
    /// Day number (1 is 0001-01-01) of 2000-01-01.
    const DAY_OF_EPOCH: i32 = 730_120;
    f64::from(date.num_days_from_ce() - DAY_OF_EPOCH) / 36_525.0
}

struct ApparentSun {
    declination_rad: f64,
    equation_of_time_min: f64,
}

/// Meeus, chapters 22, 25 and 28; `t` in Julian centuries from 2000-01-01 12:00.
fn apparent_sun(t: f64) -> ApparentSun {
    let mean_longitude = (280.466_46 + t * (36_000.769_83 + t * 0.000_303_2)).rem_euclid(360.0).to_radians();
    let mean_anomaly = (357.529_11 + t * (35_999.050_29 - t * 0.000_153_7)).rem_euclid(360.0).to_radians();
    let eccentricity = 0.016_708_634 - t * (0.000_042_037 + t * 0.000_000_126_7);
    let centre_deg = mean_anomaly.sin() * (1.914_602 - t * (0.004_817 + t * 0.000_014))
        + (2.0 * mean_anomaly).sin() * (0.019_993 - t * 0.000_101)
        + (3.0 * mean_anomaly).sin() * 0.000_289;
    let node = (125.04 - 1_934.136 * t).to_radians();
    let apparent_longitude = mean_longitude + (centre_deg - 0.005_69 - 0.004_78 * node.sin()).to_radians();
    let mean_obliquity_deg = 23.439_291 - t * 0.013_004_2;
    let obliquity = (mean_obliquity_deg + 0.002_56 * node.cos()).to_radians();
    let half_tan_squared = (obliquity / 2.0).tan().powi(2);
    let equation_rad = half_tan_squared * (2.0 * mean_longitude).sin() - 2.0 * eccentricity * mean_anomaly.sin()
        + 4.0 * eccentricity * half_tan_squared * mean_anomaly.sin() * (2.0 * mean_longitude).cos()
        - 0.5 * half_tan_squared.powi(2) * (4.0 * mean_longitude).sin()
        - 1.25 * eccentricity.powi(2) * (2.0 * mean_anomaly).sin();
    ApparentSun {
        declination_rad: (obliquity.sin() * apparent_longitude.sin()).asin(),
        equation_of_time_min: 4.0 * equation_rad.to_degrees(),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn day(text: &str) -> NaiveDate {
        text.parse().unwrap()
    }

    #[test]
    fn declination_follows_the_worked_example_of_meeus() {
        // Example 25.a: 1992-10-13 0h, declination -7.78507°. Half a day later it has moved by about -0.19°.
        let epoch_to_example = (2_448_908.5 - 2_451_545.0) / 36_525.0;
        let found = apparent_sun(epoch_to_example).declination_rad.to_degrees();
        assert!((found - -7.785_07).abs() < 0.000_5, "{found}");
        assert!((declination_deg(day("1992-10-13")) - -7.97).abs() < 0.02);
    }

    #[test]
    fn radiation_at_the_ground_follows_the_worked_example_of_fao_56() {
        // Example 15 (from memory): Lyon in July, 14.8 to 26.6 °C, 40.6 above the air: 0.16 × √11.8 × 40.6 = 22.3.
        assert!((solar_mj_m2(40.6, 14.8, 26.6) - 22.3).abs() < 0.05);
        // A range of 25 °C would let 0.8 through; a clear sky lets three quarters.
        assert!((solar_mj_m2(40.0, 0.0, 25.0) - 30.0).abs() < 1e-12);
        assert!(solar_mj_m2(40.0, 9.0, 9.0).abs() < 1e-12);
    }

    #[test]
    fn polar_day_and_polar_night_are_answers() {
        for (latitude, date, hours) in [
            (80.0, "2027-06-21", 24.0),
            (80.0, "2027-12-21", 0.0),
            (-90.0, "2027-12-21", 24.0),
            (90.0, "2027-12-21", 0.0),
        ] {
            assert!((day_length_h(latitude, day(date)) - hours).abs() < 1e-9, "{latitude} {date}");
            assert!((geometric_hours(latitude, day(date)) - hours).abs() < 1e-9, "{latitude} {date}");
        }
        assert!(extraterrestrial_mj_m2_day(80.0, day("2027-12-21")).abs() < 1e-9);
        assert!(noon_altitude_deg(80.0, day("2027-12-21")) < 0.0);
    }

    #[test]
    fn the_days_of_both_halves_of_the_world_mirror_each_other() {
        let (june, december) = (day("2027-06-21"), day("2027-12-21"));
        assert!((day_length_h(45.0, june) - day_length_h(-45.0, december)).abs() < 0.02);
        assert!(day_length_h(54.0, june) > 16.5 && day_length_h(-54.0, june) < 7.7);
    }

    #[test]
    fn the_sun_is_highest_at_noon_in_the_south_and_in_the_north_below_the_equator() {
        let date = day("2027-03-21");
        assert!((solar_altitude_deg(54.0, date, 12.0) - noon_altitude_deg(54.0, date)).abs() < 1e-9);
        assert!((solar_azimuth_deg(54.0, date, 12.0) - 180.0).abs() < 1e-6);
        let north = solar_azimuth_deg(-37.0, date, 12.0);
        assert!((north - 180.0).abs() > 180.0 - 1e-6, "{north}");
        assert!(solar_azimuth_deg(54.0, date, 9.0) < 180.0 && solar_azimuth_deg(54.0, date, 15.0) > 180.0);
    }
}
