//! ISO 8601 weeks.

use std::fmt;

use chrono::{Datelike, Days, NaiveDate, Weekday};

/// An ISO 8601 week, kept as its Monday.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Week(NaiveDate);

impl Week {
    /// The week that holds `date`.
    pub fn of(date: NaiveDate) -> Self {
        let back = u64::from(date.weekday().num_days_from_monday());
        Self(date.checked_sub_days(Days::new(back)).unwrap_or(date))
    }

    /// The week of an ISO year and number, if that year has it.
    pub fn from_number(iso_year: i32, number: u32) -> Option<Self> {
        NaiveDate::from_isoywd_opt(iso_year, number, Weekday::Mon).map(Self)
    }

    /// First day of the week.
    pub fn monday(self) -> NaiveDate {
        self.0
    }

    /// Last day of the week.
    pub fn sunday(self) -> NaiveDate {
        self.0.checked_add_days(Days::new(6)).unwrap_or(self.0)
    }

    /// Week number, 1 to 53.
    pub fn number(self) -> u32 {
        self.0.iso_week().week()
    }

    /// The ISO year, which may differ from the calendar year around New Year.
    pub fn iso_year(self) -> i32 {
        self.0.iso_week().year()
    }

    /// The week so many weeks later (earlier if negative).
    #[must_use]
    pub fn plus(self, n_weeks: i64) -> Self {
        Self(self.0.checked_add_signed(chrono::Duration::days(n_weeks * 7)).unwrap_or(self.0))
    }

    /// Whole weeks from `earlier` to this week.
    pub fn weeks_since(self, earlier: Self) -> i64 {
        (self.0 - earlier.0).num_days() / 7
    }
}

/// The standard's own form: `2027-W09`.
impl fmt::Display for Week {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.pad(&format!("{}-W{:02}", self.iso_year(), self.number()))
    }
}

/// Days from the first date to the second, negative if the second is earlier.
pub fn days_between(from: NaiveDate, to: NaiveDate) -> i64 {
    (to - from).num_days()
}
