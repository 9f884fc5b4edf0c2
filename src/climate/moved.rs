//! A climate at another latitude and height.
//!
//! Temperatures are moved by the lapse rate of the International Standard Atmosphere and by the cooling towards the pole, frosts by as many
//! days as the moved months say. Where that stops being true: frost hollows, south walls, coasts and towns; both rates are means over all
//! weathers.

use chrono::{Datelike, NaiveDate};

use super::of_place::Climate;
use super::table::month_lengths;
use super::year::frosts_of_its_own;
use crate::garden::MonthDay;

/// Cooling with height, °C per m: 6.5 °C per km (ISO 2533:1975, Standard Atmosphere).
pub const LAPSE_C_PER_M: f64 = 0.006_5;

/// Cooling towards the pole, °C per degree of latitude: among the pairs of places of `assets/places.ron` from 25 to 70° that lie within
/// 1,000 km and more than a degree apart, the yearly mean at sea level falls by 0.49 °C a degree (875 pairs, least squares; 0.36 north
/// of 50°, 0.77 from 25 to 40°).
pub(super) const C_PER_DEGREE: f64 = 0.5;

/// Any common year, to give frost days a place.
pub(super) const FROST_YEAR: i32 = 2027;

impl Climate {
    /// The same kind of climate at another place: with the sun of that place, and temperatures and frosts moved to its latitude and
    /// height. Across the equator its year begins half a year later.
    #[must_use]
    pub fn moved_to(&self, latitude_deg: f64, elevation_m: i32) -> Self {
        let higher_m = f64::from(elevation_m) - f64::from(self.elevation_m);
        let cooler_c = LAPSE_C_PER_M * higher_m + C_PER_DEGREE * self.poleward_deg(latitude_deg);
        let normals = self.normals.warmed_by(-cooler_c);
        let mut moved = Self { latitude_deg, elevation_m, normals, ..self.clone() };
        if moved.is_southern() != self.is_southern() {
            moved = moved.turned_round();
        }
        if cooler_c != 0.0 {
            // What is known of the frosts moves by as many days as what the months say of them.
            let (was, is) = (frosts_of_its_own(&self.turned_if(moved.is_southern())), frosts_of_its_own(&moved));
            moved.last_frost = moved.last_frost.and_then(|day| moved_by(day, was.0, is.0));
            moved.first_frost = moved.first_frost.and_then(|day| moved_by(day, was.1, is.1));
        }
        moved
    }

    /// Itself in its own half of the world, or with its year turned round for the other.
    fn turned_if(&self, is_southern: bool) -> Self {
        if self.is_southern() == is_southern {
            return self.clone();
        }
        Self { latitude_deg: -self.latitude_deg, ..self.clone() }.turned_round()
    }

    /// With July in January's place.
    fn turned_round(mut self) -> Self {
        self.normals.tmin_c.rotate_left(6);
        self.normals.tmax_c.rotate_left(6);
        if let Some(rain_mm) = &mut self.normals.rain_mm {
            rain_mm.rotate_left(6);
        }
        self.last_frost = self.last_frost.map(half_a_year_on);
        self.first_frost = self.first_frost.map(half_a_year_on);
        self
    }
}

/// A known day of frost, moved by as many days as lie between two others; where there is no frost any more there is no day.
fn moved_by(known: MonthDay, from: Option<MonthDay>, to: Option<MonthDay>) -> Option<MonthDay> {
    let date = |day: MonthDay| {
        let is_leap_day = (day.month, day.day) == (2, 29);
        NaiveDate::from_ymd_opt(FROST_YEAR, day.month, if is_leap_day { 28 } else { day.day })
    };
    let Some(from) = from.and_then(date) else { return Some(known) };
    let n_days = to.and_then(date)?.signed_duration_since(from);
    let moved = date(known)?.checked_add_signed(n_days)?;
    Some(MonthDay { month: moved.month(), day: moved.day() })
}

/// The same day six months later by the calendar: 28 April becomes 28 October.
pub fn half_a_year_on(day: MonthDay) -> MonthDay {
    let month = (day.month + 5) % 12 + 1;
    let n_days = month_lengths(2027).get(month as usize - 1).map_or(28, |n| *n as u32);
    MonthDay { month, day: day.day.min(n_days) }
}
