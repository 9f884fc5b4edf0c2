//! From twelve monthly means to a value for each day.
//!
//! The curve reproduces every month's mean exactly. The running sum of the year is drawn as a periodic cubic spline through its
//! values at the ends of the months, and a day's value is what the sum gains on that day (a histospline: Boneva, Kendall &
//! Stefanov 1971, Journal of the Royal Statistical Society B 33:1-70, from memory). It is smooth from day to day and across New
//! Year. A curve through mid-month points would flatten the year: its July would be cooler than July.
//!
//! Where it stops being true: it is an average year, without warm spells and cold snaps. Normals that jump wildly from month to
//! month make the curve swing beyond them.

use super::table::{DayTable, month_lengths, n_days_of_year};
use crate::garden::limits::{self, Limit};

/// Standard deviation of a month's mean temperature from year to year where none is known, °C: usual in maritime
/// north-west Europe (starting value; the interior of continents has about 2).
pub const DEFAULT_SPREAD_C: f64 = 1.3;

/// What a place's months are like, January first in both halves of the world.
#[derive(Debug, Clone, PartialEq)]
pub struct Normals {
    /// Mean of the daily minima of each month, °C.
    pub tmin_c: [f64; 12],
    /// Mean of the daily maxima of each month, °C.
    pub tmax_c: [f64; 12],
    /// Rain of each month, mm.
    pub rain_mm: Option<[f64; 12]>,
    /// Standard deviation of a month's mean temperature from year to year, °C.
    pub spread_c: f64,
}

/// Why normals cannot be used.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NormalsError {
    /// Not one value for each month.
    #[error("{field} has {n} values; give 12, January to December")]
    Count {
        /// Which list.
        field: &'static str,
        /// How many it has.
        n: usize,
    },
    /// A value outside of what is believed, or no number.
    #[error("{field}: {value} for {month} is outside {least} to {greatest}")]
    Outside {
        /// Which list.
        field: &'static str,
        /// Name of the month.
        month: &'static str,
        /// The value.
        value: f64,
        /// Least value believed.
        least: f64,
        /// Greatest value believed.
        greatest: f64,
    },
    /// The minimum is not below the maximum.
    #[error("tmin_c {tmin} is not below tmax_c {tmax} in {month}")]
    Reversed {
        /// Name of the month.
        month: &'static str,
        /// Its minimum, °C.
        tmin: f64,
        /// Its maximum, °C.
        tmax: f64,
    },
    /// The spread is no number of degrees that is believed.
    #[error("spread_c {0} is outside {least} to {greatest}", least = limits::MONTH_SPREAD.least, greatest = limits::MONTH_SPREAD.greatest)]
    Spread(f64),
}

/// Names of the months, for messages.
pub const MONTH_NAMES: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

impl Normals {
    /// Normals from lists as a file gives them.
    ///
    /// # Errors
    /// Not twelve values, or what [`check`](Self::check) refuses.
    pub fn from_lists(
        tmin_c: &[f64],
        tmax_c: &[f64],
        rain_mm: Option<&[f64]>,
        spread_c: f64,
    ) -> Result<Self, NormalsError> {
        let twelve =
            |field, list: &[f64]| <[f64; 12]>::try_from(list).map_err(|_| NormalsError::Count { field, n: list.len() });
        let normals = Self {
            tmin_c: twelve("tmin_c", tmin_c)?,
            tmax_c: twelve("tmax_c", tmax_c)?,
            rain_mm: rain_mm.map(|list| twelve("rain_mm", list)).transpose()?,
            spread_c,
        };
        normals.check()?;
        Ok(normals)
    }

    /// Whether they hold together.
    ///
    /// # Errors
    /// A value that is not believed, or a minimum that is not below its maximum.
    pub fn check(&self) -> Result<(), NormalsError> {
        let within = |field, list: &[f64; 12], limit: &Limit<f64>| {
            let Limit { least, greatest, .. } = *limit;
            for (value, month) in list.iter().zip(MONTH_NAMES) {
                if limit.refusal(*value).is_some() {
                    return Err(NormalsError::Outside { field, month, value: *value, least, greatest });
                }
            }
            Ok(())
        };
        within("tmin_c", &self.tmin_c, &limits::MONTH_TEMPERATURE)?;
        within("tmax_c", &self.tmax_c, &limits::MONTH_TEMPERATURE)?;
        if let Some(rain) = &self.rain_mm {
            within("rain_mm", rain, &limits::MONTH_RAIN)?;
        }
        for ((tmin, tmax), month) in self.tmin_c.iter().zip(&self.tmax_c).zip(MONTH_NAMES) {
            if tmin >= tmax {
                return Err(NormalsError::Reversed { month, tmin: *tmin, tmax: *tmax });
            }
        }
        if limits::MONTH_SPREAD.refusal(self.spread_c).is_some() {
            return Err(NormalsError::Spread(self.spread_c));
        }
        Ok(())
    }

    /// The days of a year at a latitude, made from these normals: every month's means come back.
    ///
    /// Normals so wild that a day's minimum would pass its maximum give that day its mean for both.
    pub fn day_table(&self, latitude_deg: f64, year: i32) -> DayTable {
        let temperatures: Vec<(f64, f64)> = daily(&self.tmin_c, year)
            .into_iter()
            .zip(daily(&self.tmax_c, year))
            .map(|(tmin, tmax)| {
                let mean = f64::midpoint(tmin, tmax);
                if tmin <= tmax { (tmin, tmax) } else { (mean, mean) }
            })
            .collect();
        DayTable::of_whole_year(latitude_deg, year, &temperatures)
    }

    /// The same months, all of them warmer by that many degrees (cooler if negative).
    #[must_use]
    pub fn warmed_by(&self, degrees_c: f64) -> Self {
        let warmed = |list: &[f64; 12]| list.map(|value| value + degrees_c);
        Self { tmin_c: warmed(&self.tmin_c), tmax_c: warmed(&self.tmax_c), ..self.clone() }
    }
}

/// A value for each day of a year whose means over the months are those given, smooth across New Year.
pub fn daily(month_means: &[f64; 12], year: i32) -> Vec<f64> {
    let lengths = month_lengths(year);
    let n_days = n_days_of_year(year) as f64;
    let year_mean = month_means.iter().zip(lengths).map(|(mean, n)| mean * n as f64).sum::<f64>() / n_days;
    // The departures from the year's mean add up to 0 over the year, so their spline can be periodic.
    let departures = month_means.map(|mean| mean - year_mean);
    let mut sums = [0.0; 12];
    for month in 1..12 {
        sums[month] = sums[month - 1] + departures[month - 1] * lengths[month - 1] as f64;
    }
    let bends = periodic_bends(&lengths.map(|n| n as f64), &departures);
    let mut days = Vec::with_capacity(366);
    for month in 0..12 {
        let next = (month + 1) % 12;
        let length = lengths[month] as f64;
        let sum_at = |x: f64| {
            let (before, after) = (length - x, x);
            bends[month] * before.powi(3) / (6.0 * length)
                + bends[next] * after.powi(3) / (6.0 * length)
                + (sums[month] / length - bends[month] * length / 6.0) * before
                + (sums[next] / length - bends[next] * length / 6.0) * after
        };
        let mut before = sum_at(0.0);
        for day in 1..=lengths[month] {
            let after = sum_at(day as f64);
            days.push(year_mean + after - before);
            before = after;
        }
    }
    days
}

/// Second derivatives at the knots of the periodic cubic spline with these distances between knots and these slopes of its
/// chords: a cyclic tridiagonal system, solved by Gaussian elimination that carries the corner along.
fn periodic_bends(distances: &[f64; 12], slopes: &[f64; 12]) -> [f64; 12] {
    const N: usize = 12;
    let mut rows = [[0.0_f64; N + 1]; N];
    for (knot, row) in rows.iter_mut().enumerate() {
        let before = (knot + N - 1) % N;
        row[before] += distances[before];
        row[knot] += 2.0 * (distances[before] + distances[knot]);
        row[(knot + 1) % N] += distances[knot];
        row[N] = 6.0 * (slopes[knot] - slopes[before]);
    }
    // Diagonally dominant, so no exchange of rows is needed.
    for pivot in 0..N {
        let pivot_row = rows[pivot];
        for row in rows.iter_mut().skip(pivot + 1) {
            let factor = row[pivot] / pivot_row[pivot];
            if factor != 0.0 {
                for column in pivot..=N {
                    row[column] -= factor * pivot_row[column];
                }
            }
        }
    }
    let mut bends = [0.0; N];
    for knot in (0..N).rev() {
        let known: f64 = (knot + 1..N).map(|column| rows[knot][column] * bends[column]).sum();
        bends[knot] = (rows[knot][N] - known) / rows[knot][knot];
    }
    bends
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use proptest::prelude::*;

    use super::super::named;
    use super::*;

    fn normals(tmin: [f64; 12], tmax: [f64; 12]) -> Normals {
        Normals { tmin_c: tmin, tmax_c: tmax, rain_mm: None, spread_c: 1.3 }
    }

    #[test]
    fn an_even_year_is_even_and_a_sine_comes_back_as_a_sine() {
        assert!(daily(&[7.0; 12], 2027).iter().all(|value| (value - 7.0).abs() < 1e-9));
        let days = 365.0;
        let wave = |at: f64| 10.0 - 8.0 * (std::f64::consts::TAU * at / days).cos();
        // Means of the months by the integral of the wave.
        let integral =
            |at: f64| 10.0 * at - 8.0 * days / std::f64::consts::TAU * (std::f64::consts::TAU * at / days).sin();
        let mut at = 0.0;
        let means = month_lengths(2027).map(|n| {
            let from = at;
            at += n as f64;
            (integral(at) - integral(from)) / n as f64
        });
        for (day, value) in daily(&means, 2027).iter().enumerate() {
            let right = wave(day as f64 + 0.5);
            assert!((value - right).abs() < 0.05, "day {day}: {value} for {right}");
        }
    }

    #[test]
    fn the_months_of_the_named_climates_come_back() {
        for climate in named().unwrap() {
            for year in [2027, 2028] {
                let table = climate.day_table(year);
                let (tmin, tmax) = (table.month_means(|day| day.tmin_c), table.month_means(|day| day.tmax_c));
                for month in 0..12 {
                    assert!((tmin[month] - climate.normals.tmin_c[month]).abs() < 1e-9);
                    assert!((tmax[month] - climate.normals.tmax_c[month]).abs() < 1e-9);
                }
                // No day is far from the next, New Year included: half a degree is more than any real climate moves.
                let days = table.days();
                for (today, tomorrow) in days.iter().zip(days.iter().cycle().skip(1)) {
                    assert!((today.tmean_c - tomorrow.tmean_c).abs() < 0.35, "{} {year}", climate.name);
                }
            }
        }
    }

    #[test]
    fn what_does_not_hold_together_is_refused_by_field_and_month() {
        let mut reversed = normals([5.0; 12], [9.0; 12]);
        reversed.tmax_c[3] = 5.0;
        assert_eq!(reversed.check().unwrap_err().to_string(), "tmin_c 5 is not below tmax_c 5 in April");
        let mut odd = normals([5.0; 12], [9.0; 12]);
        odd.tmax_c[11] = f64::NAN;
        assert_eq!(odd.check().unwrap_err().to_string(), "tmax_c: NaN for December is outside -60 to 55");
        let short = Normals::from_lists(&[1.0; 11], &[9.0; 12], None, 1.0).unwrap_err();
        assert_eq!(short.to_string(), "tmin_c has 11 values; give 12, January to December");
        let wet = Normals::from_lists(&[1.0; 12], &[9.0; 12], Some(&[-1.0; 12]), 1.0).unwrap_err();
        assert_eq!(wet.to_string(), "rain_mm: -1 for January is outside 0 to 4000");
    }

    proptest! {
        #[test]
        fn every_month_comes_back_whatever_the_months_are(
            means in proptest::array::uniform12(-60.0_f64..55.0), year in 1900_i32..2200,
        ) {
            let days = daily(&means, year);
            prop_assert_eq!(days.len(), n_days_of_year(year));
            let mut at = 0;
            for (mean, n) in means.iter().zip(month_lengths(year)) {
                let found = days[at..at + n].iter().sum::<f64>() / n as f64;
                prop_assert!((found - mean).abs() < 1e-6, "{} for {}", found, mean);
                at += n;
            }
        }

        #[test]
        fn no_day_has_its_minimum_above_its_maximum(
            tmin in proptest::array::uniform12(-60.0_f64..40.0), range in proptest::array::uniform12(0.1_f64..15.0),
        ) {
            let mut tmax = tmin;
            for (tmax, range) in tmax.iter_mut().zip(range) {
                *tmax += range;
            }
            let table = normals(tmin, tmax).day_table(52.0, 2027);
            prop_assert!(table.days().iter().all(|day| day.tmin_c <= day.tmax_c && day.tmean_c.is_finite()));
        }
    }
}
