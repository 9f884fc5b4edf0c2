//! Daily records of a thermometer and a rain gauge: what they hold, and what months they make.
//!
//! Reading a file's text is in `read`. Monthly normals are means of all days of a month over the years of record, the usual
//! practice (World Meteorological Organization, Guide to Climatological Practices, WMO-No. 100). Where it stops being true: a
//! normal needs thirty years; a handful of years makes normals that depend on their own weather, and their spread from year to
//! year is a guess.

mod fields;
mod read;

pub use read::{MOST_FILLED_DAYS, WeatherFault, WeatherRead};

use chrono::{Datelike, NaiveDate};

use super::normals::{DEFAULT_SPREAD_C, Normals};
use super::table::{DayTable, month_lengths, n_days_of_year};

/// One day of records.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeatherDay {
    /// Minimum of the air, °C.
    pub tmin_c: f64,
    /// Maximum of the air, °C.
    pub tmax_c: f64,
    /// Rain, mm; `None` where it was not recorded.
    pub rain_mm: Option<f64>,
}

/// Daily records without a gap.
#[derive(Debug, Clone, PartialEq)]
pub struct Weather {
    first: NaiveDate,
    days: Vec<WeatherDay>,
}

/// Why records cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WeatherError {
    /// The text is not what a weather file should be; the line is counted from 1.
    #[error("line {line}: {fault}")]
    Line {
        /// Where.
        line: usize,
        /// What.
        fault: WeatherFault,
    },
    /// More days in a row are missing than are filled in.
    #[error(
        "line {line}: no records from {from} to {to}, {n_days} days; up to {MOST_FILLED_DAYS} missing days in a row are filled in"
    )]
    Gap {
        /// The line of the first day after them.
        line: usize,
        /// First day missing.
        from: NaiveDate,
        /// Last day missing.
        to: NaiveDate,
        /// How many.
        n_days: i64,
    },
    /// No line with a day in it.
    #[error("there is no day in it; give a line of names (date,tmin,tmax,rain) and a line for each day")]
    Empty,
    /// No whole month of some name, so that there is no normal for it.
    #[error("no whole {month} is recorded; a year of days is the least that makes normals")]
    TooShort {
        /// Name of the month.
        month: &'static str,
    },
}

impl Weather {
    /// Records from consecutive days; `None` if there is no day.
    pub fn from_days(first: NaiveDate, days: Vec<WeatherDay>) -> Option<Self> {
        (!days.is_empty()).then_some(Self { first, days })
    }

    /// First day of record.
    pub fn first(&self) -> NaiveDate {
        self.first
    }

    /// Last day of record.
    pub fn last(&self) -> NaiveDate {
        self.first + chrono::Duration::days(self.days.len() as i64 - 1)
    }

    /// Every day from the first on.
    pub fn days(&self) -> &[WeatherDay] {
        &self.days
    }

    /// The record of a day.
    pub fn day(&self, date: NaiveDate) -> Option<WeatherDay> {
        usize::try_from((date - self.first).num_days()).ok().and_then(|idx| self.days.get(idx)).copied()
    }

    /// Calendar years of which every day is recorded.
    pub fn years(&self) -> Vec<i32> {
        (self.first.year()..=self.last().year()).filter(|year| self.of_year(*year).is_some()).collect()
    }

    /// Every day of a calendar year, if all are recorded.
    pub fn of_year(&self, year: i32) -> Option<&[WeatherDay]> {
        self.span(NaiveDate::from_ymd_opt(year, 1, 1)?, n_days_of_year(year))
    }

    fn span(&self, from: NaiveDate, n_days: usize) -> Option<&[WeatherDay]> {
        let from = usize::try_from((from - self.first).num_days()).ok()?;
        self.days.get(from..from + n_days)
    }

    /// The days of a recorded year at a latitude, if all are recorded.
    pub fn day_table(&self, latitude_deg: f64, year: i32) -> Option<DayTable> {
        let temperatures: Vec<_> = self.of_year(year)?.iter().map(|day| (day.tmin_c, day.tmax_c)).collect();
        DayTable::new(latitude_deg, year, &temperatures)
    }

    /// A table for every whole year, earliest first.
    pub fn day_tables(&self, latitude_deg: f64) -> Vec<DayTable> {
        self.years().into_iter().filter_map(|year| self.day_table(latitude_deg, year)).collect()
    }

    /// Normals of the months: the means of all days of the whole months of each name; rain is the mean of the monthly totals; the
    /// spread is the standard deviation of a month's means from year to year, averaged over the months.
    ///
    /// With fewer than three years of any month the spread is [`DEFAULT_SPREAD_C`]. Rain is left out if a month has none
    /// recorded.
    ///
    /// # Errors
    /// Some month is nowhere whole.
    pub fn normals(&self) -> Result<Normals, WeatherError> {
        const LEAST_YEARS: usize = 3;
        let (mut tmin_c, mut tmax_c, mut rain_mm) = ([0.0; 12], [0.0; 12], [0.0; 12]);
        let (mut spreads, mut is_spread_known, mut is_rain_known) = (0.0, true, true);
        for month in 0..12_u32 {
            let at = month as usize;
            let months: Vec<&[WeatherDay]> = (self.first.year()..=self.last().year())
                .filter_map(|year| self.span(NaiveDate::from_ymd_opt(year, month + 1, 1)?, month_lengths(year)[at]))
                .collect();
            if months.is_empty() {
                return Err(WeatherError::TooShort { month: super::normals::MONTH_NAMES[at] });
            }
            let all = || months.iter().copied().flatten();
            tmin_c[at] = mean(all().map(|day| day.tmin_c));
            tmax_c[at] = mean(all().map(|day| day.tmax_c));
            let totals: Vec<f64> =
                months.iter().filter_map(|days| days.iter().map(|day| day.rain_mm).sum::<Option<f64>>()).collect();
            is_rain_known &= !totals.is_empty();
            rain_mm[at] = mean(totals.iter().copied());
            is_spread_known &= months.len() >= LEAST_YEARS;
            let means: Vec<f64> =
                months.iter().map(|days| mean(days.iter().map(|d| f64::midpoint(d.tmin_c, d.tmax_c)))).collect();
            spreads += standard_deviation(&means);
        }
        let spread_c = if is_spread_known { spreads / 12.0 } else { DEFAULT_SPREAD_C };
        Ok(Normals { tmin_c, tmax_c, rain_mm: is_rain_known.then_some(rain_mm), spread_c })
    }
}

fn mean(values: impl Iterator<Item = f64>) -> f64 {
    let (sum, n) = values.fold((0.0, 0_usize), |(sum, n), value| (sum + value, n + 1));
    sum / n.max(1) as f64
}

/// Of a sample (n − 1); 0 for fewer than two values.
fn standard_deviation(values: &[f64]) -> f64 {
    if values.len() < 2 {
        return 0.0;
    }
    let mean = mean(values.iter().copied());
    (values.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / (values.len() - 1) as f64).sqrt()
}

#[cfg(test)]
mod tests;
