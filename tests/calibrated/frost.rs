//! The normal approximation of frost against recorded years, on which its spread and its nights to a trial were chosen
//! (`src/climate/frost.rs`): NOAA's daily records of New York and Seattle, 2012 to 2015 (public domain, `tests/outside/data/`).

use bedfellow::climate::{Climate, FrostDates, Weather, frost};
use chrono::{Datelike, NaiveDate};

fn recorded(location: &str) -> Weather {
    let text = match location {
        "Seattle" => include_str!("../outside/data/weather_seattle.csv"),
        "New York" => include_str!("../outside/data/weather_new_york.csv"),
        other => panic!("no records of {other}"),
    };
    let read = Weather::parse(text).unwrap();
    assert!(read.repairs.is_empty(), "{:?}", read.repairs);
    read.weather
}

/// The normal approximation of frost against records. Four years are few, and the approximation has one width for
/// all places and seasons, so it is asked to come within ten days; Seattle's springs, whose nights vary least, within 30.
#[test]
fn frost_by_the_normal_approximation_comes_near_the_recorded_medians() {
    for (location, latitude_deg, last_within, first_within) in [("New York", 40.7, 10, 10), ("Seattle", 47.45, 30, 10)]
    {
        let weather = recorded(location);
        let climate = Climate {
            name: "recorded".to_owned(),
            title: location.to_owned(),
            latitude_deg,
            elevation_m: 0,
            normals: weather.normals().unwrap(),
            last_frost: None,
            first_frost: None,
            source: "NOAA".to_owned(),
            away: None,
        };
        let (found, years) = (FrostDates::of_normals(&climate), FrostDates::of_weather(&weather, false).unwrap());
        let number = |day: Option<bedfellow::garden::MonthDay>| {
            let day = day.unwrap();
            i64::from(NaiveDate::from_ymd_opt(2023, day.month, day.day).unwrap().ordinal())
        };
        let off = |a: frost::FrostSpread, b: frost::FrostSpread| (number(a.median) - number(b.median)).abs();
        assert!(off(found.last, years.last) <= last_within, "{location}: {found:?} against {years:?}");
        assert!(off(found.first, years.first) <= first_within, "{location}: {found:?} against {years:?}");
    }
}
