//! How much water a short green crop would use on a day, from temperatures alone.
//!
//! Follows Hargreaves & Samani 1985 as given in FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), eq. 52.
//! Where it stops being true: it knows neither wind nor humidity; FAO-56 advises it for spans of five days and longer, and it
//! gives too much in humid places and too little in windy ones. Under a cover it does not apply.

use chrono::NaiveDate;

use super::sun::extraterrestrial_mj_m2_day;

/// Millimetres of water evaporated by a MJ m⁻² (FAO-56 eq. 20: 1 / 2.45, printed as 0.408).
pub const MM_PER_MJ_M2: f64 = 0.408;

/// Reference evaporation in mm a day (FAO-56 eq. 52): `0.0023 (Tmean + 17.8) √(Tmax − Tmin) Ra`, Ra in mm; never negative.
///
/// Temperatures in °C; a `tmin` above `tmax` counts as a range of 0.
pub fn hargreaves_mm_day(latitude_deg: f64, date: NaiveDate, tmin_c: f64, tmax_c: f64) -> f64 {
    from_radiation_mm_day(extraterrestrial_mj_m2_day(latitude_deg, date), tmin_c, tmax_c)
}

/// The same from a radiation that is already known, in MJ m⁻² day⁻¹.
pub fn from_radiation_mm_day(ra_mj_m2: f64, tmin_c: f64, tmax_c: f64) -> f64 {
    let mean_c = f64::midpoint(tmin_c, tmax_c);
    let range_c = (tmax_c - tmin_c).max(0.0);
    (0.0023 * (mean_c + 17.8) * range_c.sqrt() * MM_PER_MJ_M2 * ra_mj_m2).max(0.0)
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn a_day_worked_by_hand() {
        // Ra 30 MJ = 12.24 mm; 0.0023 × (15 + 17.8) × √10 × 12.24 = 0.07544 × 3.16228 × 12.24 = 2.9200.
        assert!((from_radiation_mm_day(30.0, 10.0, 20.0) - 2.920).abs() < 0.001);
    }

    #[test]
    fn frozen_and_sunless_days_evaporate_nothing() {
        assert!(from_radiation_mm_day(20.0, -40.0, -30.0).abs() < 1e-12);
        assert!(hargreaves_mm_day(80.0, "2027-12-21".parse().unwrap(), -10.0, -5.0).abs() < 1e-12);
    }
}
