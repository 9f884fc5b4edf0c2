//! The book's months in the year of a site.

use chrono::{Datelike, Months as CalendarMonths, NaiveDate};

use super::turn::Turn;
use crate::crops::Months;

/// The book's months at a site under one cover, whose frosts end earlier and begin later than those of the open: laid over the year by
/// frost dates (see `turn`). By the book's calendar alone they stand as printed, six months later in the southern half of the world.
#[derive(Debug, Clone, Copy)]
pub(super) struct SiteMonths<'a> {
    pub(super) turn: Option<&'a Turn>,
    pub(super) is_southern: bool,
}

impl SiteMonths<'_> {
    /// Whether `day` lies in a window of the book's months.
    pub(super) fn holds(self, months: Months, day: NaiveDate) -> bool {
        if let Some(turn) = self.turn {
            return turn.holds(months, day);
        }
        let month = day.month();
        months.holds(if self.is_southern { (month + 5) % 12 + 1 } else { month })
    }

    /// The first day of the book's next month; `None` where the calendar ends.
    fn next_month(self, day: NaiveDate) -> Option<NaiveDate> {
        match self.turn {
            Some(turn) => turn.next_month(day),
            None => day.with_day(1)?.checked_add_months(CalendarMonths::new(1)),
        }
    }

    /// The last day of the book's month before.
    fn month_before(self, day: NaiveDate) -> NaiveDate {
        match self.turn {
            Some(turn) => turn.month_before(day),
            None => day.with_day(1).and_then(|first| first.pred_opt()).unwrap_or(day),
        }
    }

    /// The first day of the window on or after `from`.
    pub(super) fn next_day_in(self, months: Months, from: NaiveDate) -> Option<NaiveDate> {
        let mut day = from;
        for _ in 0..=12 {
            if self.holds(months, day) {
                return Some(day);
            }
            day = self.next_month(day)?;
        }
        None
    }

    /// The last day of the window on or before `until`; a day of the twelfth month before it if the window holds none of them.
    pub(super) fn last_day_in(self, months: Months, until: NaiveDate) -> NaiveDate {
        let mut day = until;
        for _ in 0..12 {
            if self.holds(months, day) {
                break;
            }
            day = self.month_before(day);
        }
        day
    }

    /// The last day of the window that holds `day`; `None` if it has no end.
    pub(super) fn window_end(self, months: Months, day: NaiveDate) -> Option<NaiveDate> {
        let mut next = day;
        for _ in 0..12 {
            next = self.next_month(next)?;
            if !self.holds(months, next) {
                return next.pred_opt();
            }
        }
        None
    }
}
