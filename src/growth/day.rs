//! Days of the calendar, and days of a year that repeats itself.

use chrono::{Datelike, Duration, NaiveDate};

/// Days in every table: 29 February shares the place of 28 February and adds nothing.
pub(super) const YEAR_DAYS: usize = 365;
/// A common year, to make tables of 365 days.
pub(super) const COMMON_YEAR: i32 = 2023;

/// The day that many days later; the same day where the calendar ends.
pub(super) fn plus_days(day: NaiveDate, n_days: i64) -> NaiveDate {
    Duration::try_days(n_days).and_then(|days| day.checked_add_signed(days)).unwrap_or(day)
}

/// A day, counted as if every year had 365.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct CommonDay(pub i64);

impl CommonDay {
    pub(super) fn of(date: NaiveDate) -> Self {
        let ordinal0 = i64::from(date.ordinal0());
        let idx = if date.leap_year() && ordinal0 >= 59 { ordinal0 - 1 } else { ordinal0 };
        Self::new(i64::from(date.year()), idx)
    }

    pub(super) fn new(year: i64, idx: i64) -> Self {
        Self(year * YEAR_DAYS as i64 + idx)
    }

    pub(super) fn year(self) -> i64 {
        self.0.div_euclid(YEAR_DAYS as i64)
    }

    /// Place in the year, 0 to 364.
    pub(super) fn idx(self) -> usize {
        self.0.rem_euclid(YEAR_DAYS as i64) as usize
    }

    #[must_use]
    pub(super) fn plus(self, n_days: i64) -> Self {
        Self(self.0 + n_days)
    }

    /// Never 29 February. The last day that can be written where the calendar ends.
    pub(super) fn date(self) -> NaiveDate {
        let idx = self.idx() as u32;
        let year = i32::try_from(self.year()).unwrap_or(i32::MAX);
        let is_leap = NaiveDate::from_ymd_opt(year, 2, 29).is_some();
        let ordinal = idx + 1 + u32::from(is_leap && idx >= 59);
        NaiveDate::from_yo_opt(year, ordinal).unwrap_or(NaiveDate::MAX)
    }
}

/// The first day on or after `day` with that place in the year.
pub(super) fn next_at(day: CommonDay, idx: i64) -> CommonDay {
    day.plus((idx - day.idx() as i64).rem_euclid(YEAR_DAYS as i64))
}

#[cfg(test)]
mod tests {
    use super::super::fixture::day;
    use super::*;

    #[test]
    fn days_of_leap_years_come_back_but_for_29_february() {
        for date in ["2027-02-28", "2027-03-01", "2028-02-28", "2028-03-01", "2028-12-31", "2027-01-01", "2026-12-31"] {
            assert_eq!(CommonDay::of(day(date)).date(), day(date));
        }
        assert_eq!(CommonDay::of(day("2028-02-29")).date(), day("2028-02-28"));
        assert_eq!(CommonDay::of(day("2028-03-01")).0 - CommonDay::of(day("2028-02-28")).0, 1);
    }
}
