//! What a climate means for a grower, in a handful of figures.
//!
//! On days of fewer than ten hours growth nearly stands still (common practice among growers of winter salads, no published
//! source; where it stops being true: under heated glass, and at latitudes without such days).

use chrono::NaiveDate;

use super::frost::{FrostDates, YearFrosts};
use super::of_place::Climate;
use super::sun;
use crate::garden::MonthDay;

/// Hours of day below which growth nearly stands still.
pub const SHORT_DAY_H: f64 = 10.0;

/// A common year, to write days without a year.
const COMMON_YEAR: i32 = 2023;

/// A site's year.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SiteYear {
    /// Longest day, hours.
    pub longest_day_h: f64,
    /// Shortest day, hours.
    pub shortest_day_h: f64,
    /// First day of fewer than ten hours and first day of ten or more after it; `None` where the year has none, or no other.
    pub short_days: Option<(MonthDay, MonthDay)>,
    /// Mean temperature of January, °C.
    pub january_c: f64,
    /// Mean temperature of July, °C.
    pub july_c: f64,
    /// Days between the median last and first frost.
    pub n_frost_free_days: Option<i64>,
}

impl SiteYear {
    /// The year of a climate.
    pub fn of(climate: &Climate) -> Self {
        let days: Vec<(NaiveDate, f64)> = NaiveDate::from_ymd_opt(COMMON_YEAR, 1, 1)
            .into_iter()
            .flat_map(|first| first.iter_days().take(365))
            .map(|date| (date, sun::day_length_h(climate.latitude_deg, date)))
            .collect();
        let hours = || days.iter().map(|(_, hours)| *hours);
        let month_day =
            |date: NaiveDate| MonthDay { month: chrono::Datelike::month(&date), day: chrono::Datelike::day(&date) };
        let is_short = |hours: f64| hours < SHORT_DAY_H;
        // The day that differs from the day before it, across the turn of the year too.
        let turn = |into_short: bool| {
            let before = days.iter().cycle().skip(days.len().saturating_sub(1));
            let mut pairs = before.zip(&days);
            pairs
                .find(|(before, day)| is_short(day.1) == into_short && is_short(before.1) != into_short)
                .map(|(_, day)| month_day(day.0))
        };
        let mean_c = |month: usize| {
            let normals = &climate.normals;
            let (tmin, tmax) = (normals.tmin_c.get(month).copied(), normals.tmax_c.get(month).copied());
            tmin.zip(tmax).map_or(0.0, |(tmin, tmax)| f64::midpoint(tmin, tmax))
        };
        let frosts = median_frosts(climate);
        let in_year =
            |day: Option<MonthDay>| day.and_then(|day| NaiveDate::from_ymd_opt(COMMON_YEAR, day.month, day.day));
        let frosts = YearFrosts { year: COMMON_YEAR, last: in_year(frosts.0), first: in_year(frosts.1) };
        Self {
            longest_day_h: hours().fold(f64::NEG_INFINITY, f64::max),
            shortest_day_h: hours().fold(f64::INFINITY, f64::min),
            short_days: turn(true).zip(turn(false)),
            january_c: mean_c(0),
            july_c: mean_c(6),
            n_frost_free_days: frosts.n_frost_free_days(),
        }
    }
}

/// Median last and first frost from a climate's months, whatever is known of its frosts.
pub fn frosts_of_its_own(climate: &Climate) -> (Option<MonthDay>, Option<MonthDay>) {
    let by_normals = FrostDates::of_normals(climate);
    (by_normals.last.median, by_normals.first.median)
}

/// Median last frost of spring and first of autumn: as known, otherwise as the normals give them.
pub fn median_frosts(climate: &Climate) -> (Option<MonthDay>, Option<MonthDay>) {
    if climate.last_frost.is_some() && climate.first_frost.is_some() {
        return (climate.last_frost, climate.first_frost);
    }
    let (last, first) = frosts_of_its_own(climate);
    (climate.last_frost.or(last), climate.first_frost.or(first))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate;
    use crate::garden::Garden;

    #[test]
    fn the_year_of_an_upland_village_at_54_degrees() {
        let mut site = Garden::empty("Fennockrigg").site;
        (site.last_frost, site.first_frost) = (MonthDay { month: 5, day: 22 }, MonthDay { month: 10, day: 2 });
        let year = SiteYear::of(&climate::of_site(&site, None).unwrap());
        // By the low-precision sun of the Astronomical Almanac and -0.833° at the horizon, reckoned apart: 17.14 h, 7.37 h, 24
        // October and 18 February.
        assert!((year.longest_day_h - 17.14).abs() < 0.03, "{year:?}");
        assert!((year.shortest_day_h - 7.37).abs() < 0.03, "{year:?}");
        assert_eq!(year.short_days, Some((MonthDay { month: 10, day: 24 }, MonthDay { month: 2, day: 18 })));
        // 23 May to 1 October: 9 + 30 + 31 + 31 + 30 + 1.
        assert_eq!(year.n_frost_free_days, Some(132));
        assert!(year.january_c < year.july_c);
    }

    #[test]
    fn near_the_equator_no_day_is_short_and_at_the_south_winter_is_in_july() {
        let book = climate::reference().unwrap();
        assert_eq!(SiteYear::of(&book.moved_to(2.0, 20)).short_days, None);
        let south = SiteYear::of(&book.moved_to(-52.0, 20));
        let (from, to) = south.short_days.unwrap();
        assert!((4..=5).contains(&from.month) && (7..=8).contains(&to.month), "{from:?} {to:?}");
        assert!(south.january_c > south.july_c);
    }
}
