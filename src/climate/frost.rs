//! When frost ends and begins, how sure that is, and how likely a week has one.
//!
//! From recorded years, the last and first frost of each year are taken and their quantiles given (Hyndman & Fan 1996, The
//! American Statistician 50:361-365, type 7). From normals alone a *normal approximation* stands in: a day's minimum is taken to
//! be normally distributed about the curve of the normals, with a spread that combines the spread of months from year to year
//! with that of days within a month. Neighbouring nights resemble each other, so several of them count as one trial. What comes
//! from it is labelled.
//!
//! Where it stops being true: frost here is air at 0 °C or below in a screen; grass and hollows freeze for weeks longer. A normal
//! distribution has no spells of clear nights in May. The recorded years of a site, or its grower's own days, are better.
//!
//! In the north a year's last frost is sought before 1 July and its first one from then on. In the south the cold season lies
//! within one calendar year, so a year's first frost comes before its last.

use chrono::{Datelike, Duration, NaiveDate};

use super::of_place::Climate;
use super::weather::Weather;
use crate::garden::{Cover, MonthDay};
use crate::units::Week;

/// Air at or below this is frost, °C.
pub const FROST_C: f64 = 0.0;

/// Standard deviation of a day's minimum about its month's mean, °C (starting value; Seattle and New York 2012 to 2015, NOAA,
/// have 2.6 to 4.1 in the months in which their frosts end and begin).
pub const NIGHT_SPREAD_C: f64 = 3.2;

/// How many nights count as one trial, because cold nights come in spells (starting value; it brings the medians of New York, and
/// those of Seattle's autumn, within a week of their four recorded years; Seattle's mild springs end four weeks sooner).
pub const NIGHTS_PER_TRIAL: f64 = 1.5;

/// Where frost dates come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrostBasis {
    /// Recorded years.
    Years {
        /// How many.
        n_years: usize,
    },
    /// Normals and their spread: an approximation, to be labelled so.
    NormalApproximation,
}

/// A day of the year that moves from year to year. `None` where that share of years has no such frost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FrostSpread {
    /// In one year of ten it is this day or earlier.
    pub early: Option<MonthDay>,
    /// In half of the years it is this day or earlier.
    pub median: Option<MonthDay>,
    /// In nine years of ten it is this day or earlier.
    pub late: Option<MonthDay>,
}

/// Last frost of spring and first frost of autumn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FrostDates {
    /// Last frost of spring. Where a share of years has none, its early end is `None`.
    pub last: FrostSpread,
    /// First frost of autumn. Where a share of years has none, its late end is `None`.
    pub first: FrostSpread,
    /// Where they come from.
    pub basis: FrostBasis,
}

/// Shares of years for the three days of a spread.
const SHARES: [f64; 3] = [0.1, 0.5, 0.9];

/// A common year, to write days without a year.
const COMMON_YEAR: i32 = 2023;

/// Last frost of spring and first of autumn of one recorded year.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct YearFrosts {
    /// The year.
    pub year: i32,
    /// Last frost of spring.
    pub last: Option<NaiveDate>,
    /// First frost of autumn.
    pub first: Option<NaiveDate>,
}

impl YearFrosts {
    /// Days of the growing season without frost: those between the two in the north, those outside of them in the south.
    /// `None` if one of the two is missing.
    pub fn n_frost_free_days(&self) -> Option<i64> {
        let (last, first) = (self.last?, self.first?);
        let between = (first - last).num_days() - 1;
        if between >= 0 {
            return Some(between);
        }
        let n_year = if last.leap_year() { 366 } else { 365 };
        Some(n_year - (last - first).num_days() - 1)
    }
}

/// The frosts of every whole recorded year.
pub fn of_years(weather: &Weather, is_southern: bool) -> Vec<YearFrosts> {
    let frosts_of = |year: i32| {
        let first_day = NaiveDate::from_ymd_opt(year, 1, 1)?;
        let july = NaiveDate::from_ymd_opt(year, 7, 1)?;
        let days = weather.of_year(year)?;
        let frosts: Vec<NaiveDate> =
            first_day.iter_days().zip(days).filter(|(_, day)| day.tmin_c <= FROST_C).map(|(date, _)| date).collect();
        let (last, first) = if is_southern {
            (frosts.last(), frosts.first())
        } else {
            (frosts.iter().rfind(|date| **date < july), frosts.iter().find(|date| **date >= july))
        };
        let (last, first) = (last.copied(), first.copied());
        Some(YearFrosts { year, last, first })
    };
    weather.years().into_iter().filter_map(frosts_of).collect()
}

impl FrostDates {
    /// From recorded years; `None` without a whole one.
    pub fn of_weather(weather: &Weather, is_southern: bool) -> Option<Self> {
        let years = of_years(weather, is_southern);
        if years.is_empty() {
            return None;
        }
        // A year without a last frost is sorted before all others, one without a first frost after all others.
        let lasts = sorted(years.iter().map(|year| year.last.map_or(f64::NEG_INFINITY, day_number)));
        let firsts = sorted(years.iter().map(|year| year.first.map_or(f64::INFINITY, day_number)));
        let basis = FrostBasis::Years { n_years: years.len() };
        Some(Self { last: spread_of(&lasts), first: spread_of(&firsts), basis })
    }

    /// From the normals of a climate and their spread: an approximation.
    pub fn of_normals(climate: &Climate) -> Self {
        let (last, first) = chances_by_day(climate);
        Self { last, first, basis: FrostBasis::NormalApproximation }
    }

    /// The same around medians that the grower knows: each spread is moved as a whole. Where the approximation has no frost, the
    /// median stands alone.
    #[must_use]
    pub fn about(&self, last_median: MonthDay, first_median: MonthDay) -> Self {
        Self { last: self.last.about(last_median), first: self.first.about(first_median), basis: self.basis }
    }
}

impl FrostSpread {
    fn about(&self, median: MonthDay) -> Self {
        let Some(shift) = self.median.and_then(|own| Some(number_of(median)? - number_of(own)?)) else {
            return Self { early: None, median: Some(median), late: None };
        };
        let moved = |day: Option<MonthDay>| day.and_then(number_of).map(|number| month_day(number + shift));
        Self { early: moved(self.early), median: Some(median), late: moved(self.late) }
    }
}

fn sorted(values: impl Iterator<Item = f64>) -> Vec<f64> {
    let mut values: Vec<f64> = values.collect();
    values.sort_by(f64::total_cmp);
    values
}

/// Days of the year counted as in a common year, from 0; 29 February counts as 1 March.
fn day_number(date: NaiveDate) -> f64 {
    let common = NaiveDate::from_ymd_opt(COMMON_YEAR, date.month(), date.day());
    f64::from(common.map_or(59, |common| common.ordinal0()))
}

fn number_of(day: MonthDay) -> Option<f64> {
    NaiveDate::from_ymd_opt(2024, day.month, day.day).map(day_number)
}

fn month_day(number: f64) -> MonthDay {
    let ordinal0 = number.round().rem_euclid(365.0) as u32;
    let date = NaiveDate::from_yo_opt(COMMON_YEAR, ordinal0 + 1).unwrap_or_default();
    MonthDay { month: date.month(), day: date.day() }
}

fn spread_of(sorted_days: &[f64]) -> FrostSpread {
    let [early, median, late] = SHARES.map(|share| {
        let day = quantile(sorted_days, share);
        day.is_finite().then(|| month_day(day))
    });
    FrostSpread { early, median, late }
}

/// Quantile of sorted values by linear interpolation (Hyndman & Fan 1996, type 7); NaN if there are none.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let at = share.clamp(0.0, 1.0) * sorted.len().saturating_sub(1) as f64;
    let (below, part) = (at.floor() as usize, at.fract());
    let lower = sorted.get(below).copied().unwrap_or(f64::NAN);
    match sorted.get(below + 1) {
        Some(upper) if part > 0.0 && upper.is_finite() && lower.is_finite() => lower + (upper - lower) * part,
        // Between a day and no frost, the nearer of the two.
        Some(upper) if part >= 0.5 => *upper,
        _ => lower,
    }
}

/// Chance that the minimum of a day is frost, 0 to 1, by the normal approximation, for each day of a common year.
fn frost_chances(climate: &Climate, cover: Cover) -> Vec<f64> {
    let spread_c = climate.normals.spread_c.hypot(NIGHT_SPREAD_C);
    let table = climate.day_table(COMMON_YEAR).under(cover);
    table.days().iter().map(|day| normal_below((FROST_C - day.tmin_c) / spread_c)).collect()
}

/// Last and first frost, found by going through the year day by day: the chance that no later night (for the first frost, no
/// earlier night) of the season freezes.
fn chances_by_day(climate: &Climate) -> (FrostSpread, FrostSpread) {
    let chances = frost_chances(climate, Cover::Open);
    let n = chances.len();
    // Both searches run from the middle of summer to the middle of winter; the one for the last frost runs backwards.
    let midsummer = if climate.is_southern() { 0 } else { n / 2 };
    let days_until = |share: f64, step: isize| {
        let mut none_so_far = 1.0;
        for away in 1..=(n / 2) as isize {
            let at = (midsummer as isize + step * away).rem_euclid(n as isize) as usize;
            none_so_far *= (1.0 - chances.get(at).copied().unwrap_or(0.0)).powf(1.0 / NIGHTS_PER_TRIAL);
            if none_so_far <= share {
                return Some(month_day(at as f64));
            }
        }
        None
    };
    // Seen from summer: the last frost is early in years in which hardly any night after it freezes.
    let last = SHARES.map(|share| days_until(share, -1));
    let first = SHARES.map(|share| days_until(1.0 - share, 1));
    let spread = |[early, median, late]: [Option<MonthDay>; 3]| FrostSpread { early, median, late };
    (spread(last), spread(first))
}

/// Chance of at least one frost in a week, 0 to 1, by the normal approximation.
pub fn chance_in_week(climate: &Climate, week: Week) -> f64 {
    WeekChances::new(climate).on(week)
}

/// Chances of frost for any week of a climate, for asking week after week.
#[derive(Debug, Clone)]
pub struct WeekChances {
    by_day: Vec<f64>,
}

impl WeekChances {
    /// Those of a climate, by the normal approximation.
    pub fn new(climate: &Climate) -> Self {
        Self::under(climate, Cover::Open)
    }

    /// The same for the air under a cover: its nights are warmer by the cover's lift, and their spread is that of the open.
    pub fn under(climate: &Climate, cover: Cover) -> Self {
        Self { by_day: frost_chances(climate, cover) }
    }

    /// Chance of at least one frost in the seven days of a week, 0 to 1.
    pub fn on(&self, week: Week) -> f64 {
        let none: f64 = (0..7)
            .map(|n| day_number(week.monday() + Duration::days(n)) as usize)
            .map(|idx| 1.0 - self.by_day.get(idx).copied().unwrap_or(0.0))
            .product();
        1.0 - none.powf(1.0 / NIGHTS_PER_TRIAL)
    }
}

/// Share of the whole recorded years that have a frost on one of the days of that week; `None` without a whole year.
pub fn share_of_years_in_week(weather: &Weather, week: Week) -> Option<f64> {
    let years = weather.years();
    let has_frost = |year: &&i32| {
        (0..7).any(|n| {
            let date = week.monday() + Duration::days(n);
            NaiveDate::from_ymd_opt(**year, date.month(), date.day())
                .and_then(|date| weather.day(date))
                .is_some_and(|day| day.tmin_c <= FROST_C)
        })
    };
    (!years.is_empty()).then(|| years.iter().filter(has_frost).count() as f64 / years.len() as f64)
}

/// Share of a standard normal distribution below `z` (Abramowitz & Stegun 1964, 7.1.26 for the error function; error below 1.5e-7).
pub fn normal_below(z: f64) -> f64 {
    const A: [f64; 5] = [0.254_829_592, -0.284_496_736, 1.421_413_741, -1.453_152_027, 1.061_405_429];
    let x = z.abs() / std::f64::consts::SQRT_2;
    let t = 1.0 / (1.0 + 0.327_591_1 * x);
    let series = A.iter().rev().fold(0.0, |sum, a| (sum + a) * t);
    let above = series * (-x * x).exp() / 2.0;
    if z < 0.0 { above } else { 1.0 - above }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::super::named;
    use super::super::named::by_name;
    use super::super::weather::WeatherDay;
    use super::*;

    const MAY: Option<MonthDay> = Some(MonthDay { month: 5, day: 1 });

    /// Records of which only the named days are frosty.
    fn weather(from: i32, n_days: usize, frosts: &[&str]) -> Weather {
        let first = NaiveDate::from_ymd_opt(from, 1, 1).unwrap();
        let frosts: Vec<NaiveDate> = frosts.iter().map(|day| day.parse().unwrap()).collect();
        let days = first.iter_days().take(n_days).map(|date| {
            let tmin_c = if frosts.contains(&date) { -0.5 } else { 3.0 };
            WeatherDay { tmin_c, tmax_c: 9.0, rain_mm: None }
        });
        Weather::from_days(first, days.collect()).unwrap()
    }

    fn number(day: Option<MonthDay>) -> f64 {
        number_of(day.unwrap()).unwrap()
    }

    #[test]
    fn recorded_years_give_the_median_and_the_tenth_and_ninth_tenth() {
        let weather = weather(
            2025,
            365 * 3,
            &["2025-04-21", "2025-10-01", "2026-05-01", "2026-10-11", "2027-05-11", "2027-10-21"],
        );
        let frosts = FrostDates::of_weather(&weather, false).unwrap();
        assert_eq!(frosts.basis, FrostBasis::Years { n_years: 3 });
        // Days 110, 120, 130 of the year: a tenth of the way is 112, 23 April.
        assert_eq!(frosts.last.early, Some(MonthDay { month: 4, day: 23 }));
        assert_eq!(frosts.last.median, MAY);
        assert_eq!(frosts.last.late, Some(MonthDay { month: 5, day: 9 }));
        assert_eq!(frosts.first.median, Some(MonthDay { month: 10, day: 11 }));
    }

    #[test]
    fn years_without_frost_leave_the_sure_end_open() {
        let weather = weather(2025, 365 * 3, &["2025-05-01"]);
        let frosts = FrostDates::of_weather(&weather, false).unwrap();
        assert_eq!((frosts.last.early, frosts.last.median), (None, None));
        assert_eq!(frosts.last.late, MAY, "one year of three has one");
        assert_eq!(frosts.first.late, None);
    }

    #[test]
    fn in_the_south_the_first_frost_comes_before_the_last() {
        let weather = weather(2026, 365, &["2026-05-12", "2026-07-01", "2026-09-20"]);
        let year = of_years(&weather, true)[0];
        assert_eq!(year.first, "2026-05-12".parse().ok());
        assert_eq!(year.last, "2026-09-20".parse().ok());
        // 131 days before 12 May and 102 after 20 September.
        assert_eq!(year.n_frost_free_days(), Some(131 + 102));
    }

    #[test]
    fn the_approximation_comes_near_the_frosts_of_the_named_climates() {
        for climate in named().unwrap() {
            let found = FrostDates::of_normals(&climate);
            assert_eq!(found.basis, FrostBasis::NormalApproximation);
            for (spread, known) in [(found.last, climate.last_frost), (found.first, climate.first_frost)] {
                let off = number(spread.median) - number(known);
                assert!(off.abs() <= 15.0, "{}: {spread:?} against {known:?}", climate.name);
                let width = number(spread.late) - number(spread.early);
                assert!((10.0..75.0).contains(&width), "{}: {width} days from early to late", climate.name);
            }
        }
    }

    #[test]
    fn a_spread_moves_with_the_median_the_grower_knows() {
        let frosts = FrostDates::of_normals(&by_name("maritime-upland").unwrap());
        let (last, first) = (MonthDay { month: 6, day: 1 }, MonthDay { month: 9, day: 20 });
        let about = frosts.about(last, first);
        assert_eq!((about.last.median, about.first.median), (Some(last), Some(first)));
        let width = |spread: FrostSpread| number(spread.late) - number(spread.early);
        assert!((width(about.last) - width(frosts.last)).abs() < 1.5);
    }

    #[test]
    fn a_week_in_january_is_frostier_than_one_in_may_and_july_is_safe() {
        let climate = by_name("maritime-upland").unwrap();
        let chance = |date: &str| chance_in_week(&climate, Week::of(date.parse().unwrap()));
        assert!(chance("2027-01-15") > 0.7 && chance("2027-05-15") < chance("2027-04-15"));
        assert!(chance("2027-07-20") < 0.02);
        let year = weather(2027, 365, &["2027-05-12"]);
        assert_eq!(share_of_years_in_week(&year, Week::of("2027-05-12".parse().unwrap())), Some(1.0));
        assert_eq!(share_of_years_in_week(&year, Week::of("2027-05-24".parse().unwrap())), Some(0.0));
    }

    #[test]
    fn a_cover_makes_frost_rarer_by_its_lift() {
        let climate = by_name("maritime-upland").unwrap();
        let week = Week::of("2027-03-15".parse().unwrap());
        let (open, tunnel) =
            (chance_in_week(&climate, week), WeekChances::under(&climate, Cover::UnheatedTunnel).on(week));
        // The night's lift moves the bell: a climate as much warmer has the same frosts in the open.
        let mut warmer = climate.clone();
        warmer.normals = warmer.normals.warmed_by(super::super::cover::lift(Cover::UnheatedTunnel).tmin_c);
        assert!((tunnel - chance_in_week(&warmer, week)).abs() < 1e-9 && tunnel < open, "{open} {tunnel}");
    }

    #[test]
    fn a_place_without_frost_has_none() {
        let mut climate = by_name("mediterranean").unwrap();
        climate.normals = climate.normals.warmed_by(25.0);
        let frosts = FrostDates::of_normals(&climate);
        assert_eq!((frosts.last.median, frosts.first.median), (None, None));
    }

    #[test]
    fn quantiles_are_those_of_type_7() {
        let values = [1.0, 2.0, 4.0, 8.0];
        // 0.9 × 3 = 2.7: 4 + 0.7 × 4 = 6.8.
        assert!((quantile(&values, 0.9) - 6.8).abs() < 1e-12);
        assert!((quantile(&values, 0.5) - 3.0).abs() < 1e-12);
        assert!(quantile(&[], 0.5).is_nan());
    }

    #[test]
    fn the_normal_distribution_has_its_tabled_values() {
        for (z, below) in [(0.0, 0.5), (1.0, 0.841_345), (-1.281_552, 0.1), (1.959_964, 0.975), (-8.0, 0.0)] {
            assert!((normal_below(z) - below).abs() < 1e-6, "{z}");
        }
    }
}
