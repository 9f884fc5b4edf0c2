//! The edges of what a climate says, each worked by hand.

use chrono::NaiveDate;

use super::*;
use crate::garden::{ClimateChoice, Cover, Garden, MonthDay, SoilTexture};
use crate::units::Week;

fn date(text: &str) -> NaiveDate {
    text.parse().unwrap()
}

fn records(from: &str, n_days: usize, frosts: &[&str]) -> Weather {
    let days = date(from).iter_days().take(n_days).map(|day| {
        let tmin_c = if frosts.contains(&day.to_string().as_str()) { 0.0 } else { 3.0 };
        WeatherDay { tmin_c, tmax_c: 9.0, rain_mm: None }
    });
    Weather::from_days(date(from), days.collect()).unwrap()
}

/// A climate whose nights and days are the same all year.
fn even(tmin_c: f64, tmax_c: f64) -> Climate {
    let mut site = Garden::empty("Fennockrigg").site;
    let (tmin_c, tmax_c) = (vec![tmin_c; 12], vec![tmax_c; 12]);
    site.climate = ClimateChoice::Normals { tmin_c, tmax_c, rain_mm: None, spread_c: Some(1.0) };
    Climate { last_frost: None, first_frost: None, ..of_site(&site, None).unwrap() }
}

/// Light fleece keeps 1 to 3 °C of frost out; the rest are starting values within what extension services give, see `cover`.
#[test]
fn a_cold_half_bright_day_and_a_hot_one_under_each_cover() {
    let under = |cover, tmin_c, tmax_c: f64, solar_mj_m2| {
        let tmean_c = f64::midpoint(tmin_c, tmax_c);
        let day = Day { tmin_c, tmax_c, tmean_c, day_length_h: 12.0, ra_mj_m2: 40.0, solar_mj_m2 };
        let day = lift(cover).of_day(day);
        (day.tmin_c, day.tmax_c)
    };
    for (cover, cold, hot) in [
        (Cover::Open, (-1.0, 6.0), (12.0, 24.0)),
        (Cover::Fleece, (1.0, 7.35), (14.0, 28.05)),
        (Cover::Mesh, (-0.5, 6.45), (12.5, 25.35)),
        // What can be opened is opened at 25 °C.
        (Cover::Cloche, (0.5, 9.15), (13.5, 25.0)),
        (Cover::UnheatedTunnel, (1.0, 10.5), (14.0, 25.0)),
        (Cover::Glass, (1.5, 10.5), (14.5, 25.0)),
    ] {
        // Half of the sun that the lift is given for, then more than half as much again.
        assert_eq!((under(cover, -1.0, 6.0, 5.0), under(cover, 12.0, 24.0, 30.0)), (cold, hot), "{cover:?}");
    }
}

#[test]
fn a_week_of_even_chances_counts_neighbouring_nights_in_part() {
    // Seven nights of one half each, three nights for two trials: 1 - 0.5^(7 / 1.5) = 0.9606.
    let chance = frost::chance_in_week(&even(0.0, 10.0), Week::of(date("2027-03-15")));
    assert!((chance - 0.9606).abs() < 0.0001, "{chance}");
}

#[test]
fn frost_on_the_first_of_july_is_the_first_of_autumn() {
    let year = frost::of_years(&records("2026-01-01", 365, &["2026-05-02", "2026-07-01"]), false)[0];
    assert_eq!((year.last, year.first), (Some(date("2026-05-02")), Some(date("2026-07-01"))));
}

#[test]
fn a_southern_leap_year_has_a_day_more_without_frost() {
    // 1 January to 11 May are 132 days in 2028, 21 September to 31 December 102.
    let year = frost::of_years(&records("2028-01-01", 366, &["2028-05-12", "2028-09-20"]), true)[0];
    assert_eq!(year.n_frost_free_days(), Some(132 + 102));
}

#[test]
fn half_way_between_a_day_and_none_there_is_none() {
    let two_of_four = [100.0, 110.0, f64::INFINITY, f64::INFINITY];
    assert!(frost::quantile(&two_of_four, 0.5).is_infinite());
    assert!((frost::quantile(&two_of_four, 0.4) - 110.0).abs() < 1e-12);
}

#[test]
fn a_later_median_makes_the_early_and_the_late_frost_later() {
    let own = frost::FrostDates::of_normals(&by_name("maritime-upland").unwrap());
    let about = own.about(MonthDay { month: 6, day: 10 }, MonthDay { month: 9, day: 1 });
    let number = |day: Option<MonthDay>| {
        let day = day.unwrap();
        i64::from(chrono::Datelike::ordinal(&NaiveDate::from_ymd_opt(2023, day.month, day.day).unwrap()))
    };
    for (own, about) in [(own.last, about.last), (own.first, about.first)] {
        let moved = number(about.median) - number(own.median);
        let days = [own.early, own.late].into_iter().zip([about.early, about.late]);
        assert!(moved.abs() > 5, "{moved}");
        assert!(days.into_iter().all(|(own, about)| number(about) - number(own) == moved), "{own:?} {about:?}");
    }
}

#[test]
fn a_sunday_frost_is_of_its_week() {
    let sunday = records("2027-01-01", 365, &["2027-05-16"]);
    let share = |day| frost::share_of_years_in_week(&sunday, Week::of(date(day)));
    assert_eq!((share("2027-05-10"), share("2027-05-17")), (Some(1.0), Some(0.0)));
}

#[test]
fn the_mean_of_a_hot_day_counts_up_to_the_upper_threshold() {
    // Mean 35 °C, held to 30: 20 above 10.
    assert!((heat::degree_days(30.0, 40.0, 10.0, Some(30.0), heat::Method::Mean) - 20.0).abs() < 1e-12);
}

#[test]
fn half_a_year_on_no_month_is_longer_than_it_is() {
    let on = |month, day| {
        let MonthDay { month, day } = half_a_year_on(MonthDay { month, day });
        (month, day)
    };
    assert_eq!([on(12, 31), on(8, 31), on(4, 30), on(1, 15)], [(6, 30), (2, 28), (10, 30), (7, 15)]);
}

#[test]
fn rain_is_turned_round_with_the_year() {
    let north = reference().unwrap();
    let south = north.moved_to(-52.0, north.elevation_m);
    let (north, south) = (north.normals.rain_mm.unwrap(), south.normals.rain_mm.unwrap());
    assert!((south[0] - north[6]).abs() < 1e-12 && (north[0] - north[6]).abs() > 1.0);
}

#[test]
fn the_sandier_a_soil_the_faster_warmth_goes_down() {
    use SoilTexture::{Clay, Loam, LoamySand, Sand, SandyLoam, SiltLoam};
    let by_sand = [Sand, LoamySand, SandyLoam, Loam, SiltLoam, Clay].map(diffusivity_m2_s);
    assert!(by_sand.windows(2).all(|pair| pair[0] > pair[1]), "{by_sand:?}");
}

#[test]
fn the_one_frost_that_is_known_is_taken() {
    let known = Some(MonthDay { month: 6, day: 3 });
    let book = by_name("maritime-upland").unwrap();
    let climate = Climate { last_frost: known, first_frost: None, ..book };
    let (last, first) = median_frosts(&climate);
    assert_eq!(last, known);
    assert!(first.is_some_and(|first| (9..=11).contains(&first.month)), "{first:?}");
}

#[test]
fn january_and_july_are_told_by_their_own_means() {
    let mut climate = even(0.0, 10.0);
    (climate.normals.tmin_c[0], climate.normals.tmax_c[0]) = (-1.0, 5.0);
    (climate.normals.tmin_c[6], climate.normals.tmax_c[6]) = (11.0, 21.0);
    let year = SiteYear::of(&climate);
    assert!((year.january_c - 2.0).abs() < 1e-12 && (year.july_c - 16.0).abs() < 1e-12, "{year:?}");
}

#[test]
fn a_unit_behind_another_name_says_nothing_of_temperatures() {
    let text = "date,tmin_c,tmax_c,rain f\n2027-01-01,1,5,0\n2027-01-02,1,5,0\n";
    let read = Weather::parse(text).unwrap();
    assert!((read.weather.days()[0].tmax_c - 5.0).abs() < 1e-12, "{:?}", read.repairs);
}

#[test]
fn just_north_of_the_equator_the_nearest_climate_is_a_northern_one() {
    // Singapore lies at 1.4° N, Quito at 0.2° S and 2,812 m: with a longitude the equator is no wall.
    let name = |latitude, longitude, elevation| nearest(latitude, longitude, Some(elevation)).unwrap().name;
    assert_eq!(name(1.0, None, 60), "Singapore");
    assert_eq!(name(0.1, Some(-78.4), 2_800), "Quito, Ecuador");
    assert_eq!(name(-0.1, None, 2_500), "Quito, Ecuador");
}
