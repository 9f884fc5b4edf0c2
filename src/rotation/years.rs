//! Which rotation years a planting counts for.

use chrono::{Datelike, NaiveDate};

/// Month and day from which a planting that stands over the turn of the year counts for the next year.
/// Starting value: overwintering onions and spring cabbage go in from mid-August.
pub const AUTUMN_FROM: (u32, u32) = (8, 15);

/// Days in a year, for advice that holds for part of a year.
pub(super) const DAYS_PER_YEAR: f64 = 365.25;

/// The rotation years in which a planting counts (first, last).
///
/// A planting counts in each calendar year in which it stands, except that one that goes in on or after [`AUTUMN_FROM`] and
/// stands into the next year counts only from that next year on, as growers reckon winter crops. `clear` is the day its ground is
/// free again, so a planting cleared on 1 January did not stand in that year.
pub fn rotation_years(enters: NaiveDate, clear: NaiveDate) -> (i32, i32) {
    let last_day = clear.pred_opt().unwrap_or(clear).max(enters);
    let (first, last) = (enters.year(), last_day.year());
    let is_autumn = (enters.month(), enters.day()) >= AUTUMN_FROM;
    if is_autumn && last > first { (first + 1, last) } else { (first, last) }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(year: i32, month: u32, day: u32) -> NaiveDate {
        NaiveDate::from_ymd_opt(year, month, day).unwrap()
    }

    #[test]
    fn winter_crops_set_in_autumn_count_for_the_next_year() {
        assert_eq!(rotation_years(day(2026, 10, 20), day(2027, 7, 15)), (2027, 2027));
        assert_eq!(rotation_years(day(2026, 8, 15), day(2027, 5, 1)), (2027, 2027));
        assert_eq!(rotation_years(day(2026, 8, 14), day(2027, 5, 1)), (2026, 2027));
    }

    #[test]
    fn leeks_that_stand_over_the_winter_count_in_both_years() {
        assert_eq!(rotation_years(day(2026, 6, 10), day(2027, 4, 5)), (2026, 2027));
    }

    #[test]
    fn a_permanent_bed_counts_in_every_year_it_stands() {
        assert_eq!(rotation_years(day(2020, 4, 1), day(2030, 10, 1)), (2020, 2030));
    }

    #[test]
    fn an_autumn_catch_crop_counts_in_its_own_year() {
        assert_eq!(rotation_years(day(2026, 9, 1), day(2026, 11, 30)), (2026, 2026));
        assert_eq!(rotation_years(day(2026, 9, 1), day(2027, 1, 1)), (2026, 2026), "free again on New Year's Day");
    }

    #[test]
    fn dates_the_wrong_way_round_still_give_a_year() {
        assert_eq!(rotation_years(day(2026, 9, 1), day(2025, 1, 1)), (2026, 2026));
    }
}
