//! The place of a site's day in the book's year.
//!
//! The book's months are those of its own climate. A garden's season between the median last and first frost is laid over the
//! season of the book's climate, and winter over winter, each stretched or squeezed evenly. So for an upland garden the months of
//! spring move later and those of autumn earlier, and in the south all of them move by half a year. Common practice ("shift by
//! frost dates"), no published source; the even stretch is a starting value.
//!
//! Where it stops being true: places with hardly any frost or hardly any summer. Where the frost-free season is shorter than a
//! month or longer than eleven, the months are not stretched: they move by half a year in the south and stay in the north.

use chrono::{Datelike, NaiveDate};

use super::day::{COMMON_YEAR, CommonDay, YEAR_DAYS};
use crate::crops::Months;

const YEAR: i64 = YEAR_DAYS as i64;
/// A frost-free season, or a winter, shorter than this is not stretched, in days (starting value).
const STRETCHED_LEAST_DAYS: i64 = 30;

/// The book's month of each day of the year, and where the next one begins.
#[derive(Debug, Clone)]
pub(super) struct Turn {
    months: Box<[u32]>,
    /// Days until the book's month changes, at least 1.
    until_next: Box<[i64]>,
}

impl Turn {
    /// From the median last and first frost, as places in the year, of the site and of the book's climate.
    pub(super) fn new(site: Option<(i64, i64)>, book: Option<(i64, i64)>, is_southern: bool) -> Self {
        let season = |(last, first): (i64, i64)| (first - last).rem_euclid(YEAR);
        let is_stretched =
            |frosts: &(i64, i64)| (STRETCHED_LEAST_DAYS..=YEAR - STRETCHED_LEAST_DAYS).contains(&season(*frosts));
        let frosts = site.filter(is_stretched).zip(book.filter(is_stretched));
        let book_idx = |idx: i64| {
            let Some((site, book)) = frosts else { return idx + if is_southern { 182 } else { 0 } };
            let since_last = (idx - site.0).rem_euclid(YEAR);
            let (here, there) = (season(site), season(book));
            if since_last < here {
                book.0 + since_last * there / here
            } else {
                book.1 + (since_last - here) * (YEAR - there) / (YEAR - here)
            }
        };
        let month = |idx: i64| {
            let ordinal = book_idx(idx).rem_euclid(YEAR) as u32 + 1;
            NaiveDate::from_yo_opt(COMMON_YEAR, ordinal).map_or(1, |date| date.month())
        };
        let months: Box<[u32]> = (0..YEAR).map(month).collect();
        let month_at = |idx: i64| months.get(idx.rem_euclid(YEAR) as usize).copied();
        let until_next =
            (0..YEAR).map(|idx| (1..YEAR).find(|n| month_at(idx + n) != month_at(idx)).unwrap_or(YEAR)).collect();
        Self { months, until_next }
    }

    pub(super) fn holds(&self, months: Months, day: NaiveDate) -> bool {
        self.months.get(CommonDay::of(day).idx()).is_some_and(|month| months.holds(*month))
    }

    /// The first day of the book's next month.
    pub(super) fn next_month(&self, day: NaiveDate) -> Option<NaiveDate> {
        let day = CommonDay::of(day);
        self.until_next.get(day.idx()).map(|n| day.plus(*n).date())
    }

    /// The last day of the book's month before.
    pub(super) fn month_before(&self, day: NaiveDate) -> NaiveDate {
        let day = CommonDay::of(day);
        let month = |n: i64| self.months.get(day.plus(-n).idx());
        (1..YEAR).find(|n| month(*n) != month(0)).map_or(day, |n| day.plus(-n)).date()
    }
}

#[cfg(test)]
mod tests {
    use super::super::fixture::day;
    use super::*;

    const JUNE: Months = Months { from: 6, to: 6 };

    #[test]
    fn without_frost_dates_months_stay_or_turn_by_half_a_year() {
        let north = Turn::new(None, None, false);
        assert!(north.holds(JUNE, day("2027-06-01")) && !north.holds(JUNE, day("2027-05-31")));
        let south = Turn::new(None, None, true);
        assert!(south.holds(JUNE, day("2027-12-10")));
        assert_eq!(north.next_month(day("2028-02-29")), Some(day("2028-03-01")));
    }

    #[test]
    fn a_late_spring_moves_months_later_and_an_early_autumn_moves_them_earlier() {
        // Last frost 20 May (place 139) for 2 May (121); first frost 3 October (275) for 22 October (294).
        let upland = Turn::new(Some((139, 275)), Some((121, 294)), false);
        // The last frost itself: 2 May of the book.
        assert!(upland.holds(Months { from: 5, to: 5 }, day("2027-05-20")));
        assert!(upland.holds(Months { from: 4, to: 4 }, day("2027-05-15")));
        // 100 days on: 2 May + 100 × 173 / 136 = 127 days: 6 September; here it is 28 August.
        assert!(upland.holds(Months { from: 9, to: 9 }, day("2027-08-28")));
    }
}
