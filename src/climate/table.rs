//! One year of days.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::evaporation::from_radiation_mm_day;
use super::sun::{day_length_h, extraterrestrial_mj_m2_day, solar_mj_m2};

/// One day of a table.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Day {
    /// Minimum of the air, °C.
    pub tmin_c: f64,
    /// Maximum of the air, °C.
    pub tmax_c: f64,
    /// Mean of the two, °C.
    pub tmean_c: f64,
    /// Sunrise to sunset, hours.
    pub day_length_h: f64,
    /// Radiation above the air, MJ m⁻² day⁻¹.
    pub ra_mj_m2: f64,
    /// Radiation that reaches the ground in the open, MJ m⁻² day⁻¹: see [`solar_mj_m2`](super::sun::solar_mj_m2).
    pub solar_mj_m2: f64,
}

impl Day {
    /// Reference evaporation, mm a day (FAO-56 eq. 52).
    pub fn evaporation_mm(&self) -> f64 {
        from_radiation_mm_day(self.ra_mj_m2, self.tmin_c, self.tmax_c)
    }
}

/// The days of one calendar year, 365 or 366, at one latitude. Cheap to clone: clones share the days.
#[derive(Debug, Clone, PartialEq)]
pub struct DayTable {
    year: i32,
    latitude_deg: f64,
    days: Arc<[Day]>,
}

impl DayTable {
    /// A table from the temperatures (tmin, tmax) of each day of `year` from 1 January on; the sun is that of the latitude.
    /// `None` if the number of days is not that of the year.
    pub fn new(latitude_deg: f64, year: i32, temperatures_c: &[(f64, f64)]) -> Option<Self> {
        (temperatures_c.len() == n_days_of_year(year)).then(|| Self::of_whole_year(latitude_deg, year, temperatures_c))
    }

    /// The same where the number of days is known to be right.
    pub(super) fn of_whole_year(latitude_deg: f64, year: i32, temperatures_c: &[(f64, f64)]) -> Self {
        // A year that chrono cannot represent gets the sun of one that it can.
        let first = NaiveDate::from_ymd_opt(year, 1, 1).unwrap_or_default();
        let days = first
            .iter_days()
            .zip(temperatures_c)
            .map(|(date, (tmin_c, tmax_c))| {
                let ra_mj_m2 = extraterrestrial_mj_m2_day(latitude_deg, date);
                Day {
                    tmin_c: *tmin_c,
                    tmax_c: *tmax_c,
                    tmean_c: f64::midpoint(*tmin_c, *tmax_c),
                    day_length_h: day_length_h(latitude_deg, date),
                    ra_mj_m2,
                    solar_mj_m2: solar_mj_m2(ra_mj_m2, *tmin_c, *tmax_c),
                }
            })
            .collect();
        Self { year, latitude_deg, days }
    }

    /// The year whose days these are.
    pub fn year(&self) -> i32 {
        self.year
    }

    /// Degrees, south negative.
    pub fn latitude_deg(&self) -> f64 {
        self.latitude_deg
    }

    /// All days from 1 January on.
    pub fn days(&self) -> &[Day] {
        &self.days
    }

    /// Place of a date in [`days`](Self::days), whatever its year: the same month and day. 29 February has that of
    /// 28 February in a common year's table.
    pub fn index_of(&self, date: NaiveDate) -> usize {
        let ordinal0 = date.ordinal0() as usize;
        match (date.leap_year(), self.days.len() == 366) {
            (true, false) if ordinal0 >= 59 => ordinal0 - 1,
            (false, true) if ordinal0 >= 59 => ordinal0 + 1,
            _ => ordinal0,
        }
    }

    /// The day with the month and day of a date, see [`index_of`](Self::index_of).
    pub fn day(&self, date: NaiveDate) -> Day {
        self.days[self.index_of(date)]
    }

    /// Mean of a value over each month.
    pub fn month_means(&self, value: impl Fn(&Day) -> f64) -> [f64; 12] {
        let mut at = 0;
        month_lengths(self.year).map(|n_days| {
            let days = &self.days[at..at + n_days];
            at += n_days;
            days.iter().map(&value).sum::<f64>() / n_days as f64
        })
    }

    pub(super) fn map(&self, change: impl Fn(Day) -> Day) -> Self {
        Self { days: self.days.iter().map(|day| change(*day)).collect(), ..*self }
    }
}

pub(super) fn n_days_of_year(year: i32) -> usize {
    month_lengths(year).iter().sum()
}

/// Days of each month of a year of the Gregorian calendar.
pub(super) fn month_lengths(year: i32) -> [usize; 12] {
    let is_leap = year.rem_euclid(4) == 0 && (year.rem_euclid(100) != 0 || year.rem_euclid(400) == 0);
    [31, 28 + usize::from(is_leap), 31, 30, 31, 30, 31, 31, 30, 31, 30, 31]
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    fn table(year: i32) -> DayTable {
        let numbered: Vec<_> = (0..n_days_of_year(year)).map(|n| (n as f64, n as f64)).collect();
        DayTable::new(54.0, year, &numbered).unwrap()
    }

    #[test]
    fn a_date_of_any_year_finds_its_month_and_day() {
        let day = |text: &str| text.parse().unwrap();
        for (of_table, date, found) in [
            (2027, "2027-03-01", 59),
            (2027, "2028-03-01", 59),
            (2027, "2028-02-29", 58),
            (2027, "2028-02-28", 58),
            (2027, "2028-12-31", 364),
            (2028, "2027-03-01", 60),
            (2028, "2028-02-29", 59),
            (2028, "2027-02-28", 58),
            (2028, "2027-12-31", 365),
        ] {
            assert_eq!(table(of_table).index_of(day(date)), found, "{of_table} {date}");
        }
    }

    #[test]
    fn a_year_wants_all_its_days() {
        assert!(DayTable::new(54.0, 2028, &[(0.0, 1.0); 365]).is_none());
        assert!(DayTable::new(54.0, 1900, &[(0.0, 1.0); 366]).is_none(), "1900 was no leap year");
        assert!(DayTable::new(54.0, 2000, &[(0.0, 1.0); 366]).is_some());
    }
}
