//! ISO 8601 week numbers against published examples.

use bedfellow::units::Week;
use chrono::{Datelike, Days, NaiveDate};

/// Dates and their week dates, `date year-Wweek-day`.
///
/// The first three are examples printed in ISO 8601:2004; the rest is the well-known table of
/// days about New Year in the encyclopaedia article "ISO week date". From memory; each agrees with the rule that
/// week 1 holds the year's first Thursday.
const PUBLISHED: &str = "
1985-04-12 1985-W15-5
1995-01-01 1994-W52-7
1996-12-31 1997-W01-2
1977-01-01 1976-W53-6
1977-01-02 1976-W53-7
1977-12-31 1977-W52-6
1978-01-01 1977-W52-7
1978-01-02 1978-W01-1
1978-12-31 1978-W52-7
1979-01-01 1979-W01-1
1979-12-30 1979-W52-7
1979-12-31 1980-W01-1
1980-01-01 1980-W01-2
1980-12-28 1980-W52-7
1980-12-29 1981-W01-1
1980-12-31 1981-W01-3
1981-01-01 1981-W01-4
1981-12-31 1981-W53-4
1982-01-01 1981-W53-5
1982-01-03 1981-W53-7
2005-01-01 2004-W53-6
2005-01-02 2004-W53-7
2005-12-31 2005-W52-6
2006-01-01 2005-W52-7
2006-01-02 2006-W01-1
2006-12-31 2006-W52-7
2007-01-01 2007-W01-1
2007-12-30 2007-W52-7
2007-12-31 2008-W01-1
2008-01-01 2008-W01-2
2008-12-28 2008-W52-7
2008-12-29 2009-W01-1
2008-12-30 2009-W01-2
2008-12-31 2009-W01-3
2009-01-01 2009-W01-4
2009-12-31 2009-W53-4
2010-01-01 2009-W53-5
2010-01-02 2009-W53-6
2010-01-03 2009-W53-7
";

#[test]
fn published_week_dates_are_met() {
    let mut n = 0;
    for line in PUBLISHED.lines().filter(|line| !line.is_empty()) {
        let (date, week_date) = line.split_once(' ').unwrap();
        let date: NaiveDate = date.parse().unwrap();
        let week = Week::of(date);
        assert_eq!(format!("{week}-{}", date.weekday().number_from_monday()), week_date, "{date}");
        assert_eq!(Week::from_number(week.iso_year(), week.number()), Some(week), "{date}");
        n += 1;
    }
    assert_eq!(n, 39);
}

#[test]
fn every_day_of_four_hundred_years_lies_in_its_week_and_weeks_follow_one_another() {
    let first = NaiveDate::from_ymd_opt(2000, 1, 1).unwrap();
    let mut before = Week::of(first);
    let mut n_long_years = 0;
    // The calendar repeats after 400 years, which are 146 097 days and 20 871 whole weeks.
    for n in 0..146_097 {
        let date = first + Days::new(n);
        let week = Week::of(date);
        assert!(week.monday() <= date && date <= week.sunday(), "{date}");
        if week != before {
            assert_eq!((week.weeks_since(before), before.plus(1)), (1, week), "{date}");
            let follows = week.iso_year() == before.iso_year() && week.number() == before.number() + 1;
            let begins = week.iso_year() == before.iso_year() + 1 && week.number() == 1 && before.number() >= 52;
            assert!(follows || begins, "{date}");
            n_long_years += u32::from(week.number() == 53);
        }
        before = week;
    }
    // ISO 8601: 71 of 400 years have a week 53 (encyclopaedia article "ISO week date", from memory).
    assert_eq!(n_long_years, 71);
    assert_eq!(Week::of(first + Days::new(146_097)).weeks_since(Week::of(first)), 20_871);
}
