//! Climates that come with the program, and the climate of a garden's site.
//!
//! The file is `assets/climates.ron`, which says where each comes from.

use chrono::{Datelike, NaiveDate};
use serde::Deserialize;

use super::error::ClimateError;
use super::moved::FROST_YEAR;
use super::normals::Normals;
use super::of_place::{Away, Climate};
use super::places::{FAR_BY_NAME_DEG, nearest};
use super::weather::Weather;
use crate::garden::{ClimateChoice, MonthDay, Site, limits};
use crate::units::text::{cut, nearest as nearest_name};

const FILE: &str = "climates.ron";
const TEXT: &str = include_str!("../../assets/climates.ron");

/// Name of the climate whose months are those of the crop book.
pub const REFERENCE: &str = "maritime-lowland";

/// One entry as the file writes it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    name: String,
    title: String,
    latitude_deg: f64,
    elevation_m: i32,
    tmin_c: Vec<f64>,
    tmax_c: Vec<f64>,
    rain_mm: Vec<f64>,
    spread_c: f64,
    last_frost: MonthDay,
    first_frost: MonthDay,
    source: String,
}

/// The climates that come with the program, in the order of their file.
///
/// # Errors
/// An entry that does not hold together, by name and field.
pub fn named() -> Result<Vec<Climate>, ClimateError> {
    read(TEXT)
}

fn read(text: &str) -> Result<Vec<Climate>, ClimateError> {
    let entries: Vec<Entry> = ron::from_str(text).map_err(|error| ClimateError::Book {
        file: FILE,
        entry: format!("line {}, column {}", error.span.start.line, error.span.start.col),
        field: "text".to_owned(),
        what: error.code.to_string(),
    })?;
    let mut climates: Vec<Climate> = Vec::with_capacity(entries.len());
    for entry in entries {
        let climate = checked(entry)?;
        if climates.iter().any(|before| before.name == climate.name) {
            return Err(book_error(&climate.name, "name", "it is there twice"));
        }
        climates.push(climate);
    }
    Ok(climates)
}

fn book_error(entry: &str, field: &str, what: &str) -> ClimateError {
    ClimateError::Book { file: FILE, entry: entry.to_owned(), field: field.to_owned(), what: what.to_owned() }
}

fn checked(entry: Entry) -> Result<Climate, ClimateError> {
    let name = if entry.name.is_empty() { "an entry without a name" } else { entry.name.as_str() };
    let refuse = |field: &str, what: &str| Err(book_error(name, field, what));
    if entry.name.is_empty() || !entry.name.bytes().all(|b| b.is_ascii_lowercase() || b == b'-') {
        return refuse("name", "it must be small letters and hyphens");
    }
    for (field, text) in [("title", &entry.title), ("source", &entry.source)] {
        if text.trim().is_empty() {
            return refuse(field, "it is empty");
        }
    }
    if limits::LATITUDE.refusal(entry.latitude_deg).is_some() {
        return refuse("latitude_deg", "it is outside -90 to 90");
    }
    if limits::ELEVATION.refusal(entry.elevation_m).is_some() {
        return refuse("elevation_m", "it is outside -500 to 9000");
    }
    for (field, day) in [("last_frost", entry.last_frost), ("first_frost", entry.first_frost)] {
        if chrono::NaiveDate::from_ymd_opt(2024, day.month, day.day).is_none() {
            return refuse(field, "there is no such day");
        }
    }
    let normals = Normals::from_lists(&entry.tmin_c, &entry.tmax_c, Some(&entry.rain_mm), entry.spread_c)
        .map_err(|error| book_error(name, "normals", &error.to_string()))?;
    Ok(Climate {
        normals,
        name: entry.name,
        title: entry.title,
        latitude_deg: entry.latitude_deg,
        elevation_m: entry.elevation_m,
        last_frost: Some(entry.last_frost),
        first_frost: Some(entry.first_frost),
        source: entry.source,
        away: None,
    })
}

/// The climate of that name.
///
/// # Errors
/// No such name, with the names there are.
pub fn by_name(name: &str) -> Result<Climate, ClimateError> {
    let climates = named()?;
    let suggestion = nearest_name(name, climates.iter().map(|climate| climate.name.as_str())).map(str::to_owned);
    let known = climates.iter().map(|climate| climate.name.clone()).collect();
    climates.into_iter().find(|climate| climate.name == name).ok_or_else(|| ClimateError::Unknown {
        name: name.to_owned(),
        suggestion,
        known,
    })
}

/// The climate that the crop book's months and durations belong to.
///
/// # Errors
/// The embedded file does not hold together.
pub fn reference() -> Result<Climate, ClimateError> {
    by_name(REFERENCE)
}

/// The climate of a site: the one chosen by name or the nearest, moved to the site; its own normals; or the normals of its
/// weather records, which the caller has read. The site's own frost days stand in place of the climate's, unless they would put the
/// season without frost into the colder part of its year, as those of the north do in a southern garden.
///
/// # Errors
/// No climate of that name, normals that do not hold together, records that are missing or too short.
pub fn of_site(site: &Site, weather: Option<&Weather>) -> Result<Climate, ClimateError> {
    let own = |name: &str, title: &str, normals: Normals, source: String| Climate {
        name: name.to_owned(),
        title: title.to_owned(),
        latitude_deg: site.latitude_deg,
        elevation_m: site.elevation_m,
        normals,
        last_frost: None,
        first_frost: None,
        source,
        away: None,
    };
    let climate = match &site.climate {
        ClimateChoice::Nearest => {
            let place = nearest(site.latitude_deg, site.longitude_deg, Some(site.elevation_m))?;
            place.moved_to(site.latitude_deg, site.elevation_m)
        }
        ClimateChoice::Book(name) => within_reach(by_name(name)?, site)?.moved_to(site.latitude_deg, site.elevation_m),
        ClimateChoice::Normals { tmin_c, tmax_c, rain_mm, spread_c } => {
            let spread_c = spread_c.unwrap_or(super::DEFAULT_SPREAD_C);
            let normals = Normals::from_lists(tmin_c, tmax_c, rain_mm.as_deref(), spread_c)?;
            own("own-normals", "Own normals", normals, "the garden file".to_owned())
        }
        ClimateChoice::Weather { file } => {
            let weather = weather.ok_or_else(|| ClimateError::NotRead { file: file.clone() })?;
            own("own-weather", "Own weather records", weather.normals()?, cut(file, 60))
        }
    };
    if is_warmer_without_frost(&climate, site.last_frost, site.first_frost) {
        return Ok(Climate { last_frost: Some(site.last_frost), first_frost: Some(site.first_frost), ..climate });
    }
    Ok(climate)
}

/// The climate, unless it was chosen by name for a site of which it says nothing.
fn within_reach(climate: Climate, site: &Site) -> Result<Climate, ClimateError> {
    let away = Away {
        km: None,
        poleward_deg: climate.poleward_deg(site.latitude_deg),
        higher_m: site.elevation_m.saturating_sub(climate.elevation_m),
    };
    if away.poleward_deg.abs() > FAR_BY_NAME_DEG {
        return Err(ClimateError::TooFar { place: format!("that of `{}`", climate.name), away });
    }
    Ok(climate)
}

/// Whether the days between a last and a first frost are no colder than the rest of the year.
fn is_warmer_without_frost(climate: &Climate, last: MonthDay, first: MonthDay) -> bool {
    let table = climate.day_table(FROST_YEAR);
    let place = |day: MonthDay| {
        let n_days = super::table::month_lengths(FROST_YEAR).get((day.month as usize).wrapping_sub(1)).copied();
        let date = NaiveDate::from_ymd_opt(FROST_YEAR, day.month, day.day.min(n_days.map_or(28, |n| n as u32)));
        date.map(|date| date.ordinal0() as usize)
    };
    let (Some(last), Some(first)) = (place(last), place(first)) else { return true };
    let is_between = |idx: usize| if last <= first { (last..first).contains(&idx) } else { idx >= last || idx < first };
    let mean = |is_meant: &dyn Fn(usize) -> bool| {
        let days = table.days().iter().enumerate().filter(|(idx, _)| is_meant(*idx));
        let (n_days, sum) = days.fold((0.0, 0.0), |(n, sum), (_, day)| (n + 1.0, sum + day.tmean_c));
        if n_days > 0.0 { Some(sum / n_days) } else { None }
    };
    match (mean(&is_between), mean(&|idx| !is_between(idx))) {
        (Some(without), Some(with)) => without >= with,
        _ => true,
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::garden::Garden;

    #[test]
    fn five_climates_come_with_the_program_one_of_them_southern() {
        let climates = named().unwrap();
        assert_eq!(climates.len(), 5);
        assert_eq!(climates.iter().filter(|climate| climate.is_southern()).count(), 1);
        assert_eq!(reference().unwrap().name, REFERENCE);
        for climate in climates {
            let january = climate.normals.tmax_c[0];
            assert_eq!(january > climate.normals.tmax_c[6], climate.is_southern(), "{}", climate.name);
        }
    }

    #[test]
    fn a_faulty_entry_is_named_with_its_field() {
        let faults = [
            (
                "0.3, 0.2, 1.2,",
                "0.2, 1.2,",
                "maritime-upland: normals: tmin_c has 11 values; give 12, January to December",
            ),
            ("[5.2, 5.6,", "[0.1, 5.6,", "maritime-upland: normals: tmin_c 0.3 is not below tmax_c 0.1 in January"),
            ("latitude_deg: 54.0", "latitude_deg: 95.0", "maritime-upland: latitude_deg: it is outside -90 to 90"),
            ("(month: 5, day: 20)", "(month: 5, day: 32)", "maritime-upland: last_frost: there is no such day"),
            ("\"continental\"", "\"maritime-upland\"", "maritime-upland: name: it is there twice"),
            ("spread_c: 2.0", "spread_c: -2.0", "continental: normals: spread_c -2 is outside 0 to 10"),
            ("title: \"Mediterranean\"", "title: \" \"", "mediterranean: title: it is empty"),
        ];
        for (right, wrong, message) in faults {
            assert!(TEXT.contains(right), "{right}");
            let error = read(&TEXT.replacen(right, wrong, 1)).unwrap_err().to_string();
            assert_eq!(error, format!("climates.ron: {message}"));
        }
        let error = read("[(name: 3)]").unwrap_err().to_string();
        assert!(error.starts_with("climates.ron: line 1, column"), "{error}");
    }

    #[test]
    fn an_unknown_name_gets_the_nearest_one_said() {
        let error = by_name("maritime-uplands").unwrap_err().to_string();
        assert!(error.contains("did you mean `maritime-upland`?") && error.contains("continental"), "{error}");
    }

    #[test]
    fn a_climate_moved_uphill_is_cooler_and_keeps_its_range() {
        // 200 m × 0.0065 = 1.3 °C, and 2° × 0.5 = 1.0 °C.
        let low = reference().unwrap();
        let high = low.moved_to(54.0, 250);
        assert!((low.normals.tmin_c[3] - high.normals.tmin_c[3] - 2.3).abs() < 1e-9);
        assert!((low.normals.tmax_c[3] - high.normals.tmax_c[3] - 2.3).abs() < 1e-9);
        assert!(high.day_table(2027).days()[171].day_length_h > low.day_table(2027).days()[171].day_length_h);
    }

    #[test]
    fn a_climate_moved_across_the_equator_turns_its_year_round() {
        let north = reference().unwrap();
        let south = north.moved_to(-52.0, north.elevation_m);
        assert!((south.normals.tmin_c[0] - north.normals.tmin_c[6]).abs() < 1e-9);
        assert!((south.normals.tmax_c[6] - north.normals.tmax_c[0]).abs() < 1e-9);
        // Last frost 28 April in the north: 28 October in the south.
        assert_eq!(south.last_frost, Some(MonthDay { month: 10, day: 28 }));
        assert_eq!(south.first_frost, Some(MonthDay { month: 4, day: 28 }));
        let back = south.moved_to(52.0, north.elevation_m);
        assert_eq!(back.normals.rain_mm, north.normals.rain_mm);
    }

    #[test]
    fn frosts_end_later_and_begin_sooner_nearer_the_pole_and_higher_up() {
        let number = |day: Option<MonthDay>| {
            let day = day.unwrap();
            NaiveDate::from_ymd_opt(FROST_YEAR, day.month, day.day).unwrap().ordinal()
        };
        let low = reference().unwrap();
        for far in [low.moved_to(58.0, 50), low.moved_to(52.0, 450)] {
            assert!(number(far.last_frost) > number(low.last_frost) + 10, "{:?}", far.last_frost);
            assert!(number(far.first_frost) + 10 < number(low.first_frost), "{:?}", far.first_frost);
        }
        assert_eq!(low.moved_to(low.latitude_deg, low.elevation_m), low);
        // 6 °C warmer: in half of the years no night freezes, and there is no day to give.
        assert_eq!(low.moved_to(40.0, 50).last_frost, None);
    }

    #[test]
    fn a_kind_of_climate_says_nothing_of_the_other_end_of_the_world() {
        let mut site = Garden::empty("Fennockrigg").site;
        site.latitude_deg = 80.0;
        let error = of_site(&site, None).unwrap_err();
        assert!(matches!(error, ClimateError::TooFar { .. }), "{error}");
        assert!(error.to_string().contains("that of `maritime-upland`, 26.0 degrees of latitude away"), "{error}");
        site.climate = ClimateChoice::Nearest;
        assert!(of_site(&site, None).is_err());
        site.latitude_deg = 58.0;
        let (near, far) = (of_site(&site, None).unwrap(), Garden::empty("x").site);
        assert!(near.away.is_some_and(|away| away.km.is_none()));
        assert!(of_site(&far, None).unwrap().away.is_none());
    }

    #[test]
    fn a_site_gets_the_climate_it_chose_and_keeps_its_frosts() {
        let mut site = Garden::empty("Fennockrigg").site;
        assert_eq!(of_site(&site, None).unwrap().name, "maritime-upland");
        site.climate = ClimateChoice::Book("continental".to_owned());
        let climate = of_site(&site, None).unwrap();
        assert_eq!((climate.name.as_str(), climate.last_frost), ("continental", Some(site.last_frost)));
        site.climate =
            ClimateChoice::Normals { tmin_c: vec![1.0; 12], tmax_c: vec![9.0; 12], rain_mm: None, spread_c: None };
        let day = of_site(&site, None).unwrap().day_table(2027).days()[100];
        assert!((day.tmean_c - 5.0).abs() < 1e-9);
        // Half a year off: May to October at 38° S would be the frost-free winter.
        let mut southern = Garden::empty("Fennockrigg").site;
        (southern.latitude_deg, southern.elevation_m) = (-38.0, 100);
        southern.climate = ClimateChoice::Book("southern-temperate".to_owned());
        let day = |month, day| Some(MonthDay { month, day });
        let climate = of_site(&southern, None).unwrap();
        assert_eq!((climate.last_frost, climate.first_frost), (day(9, 24), day(5, 14)));
        southern.last_frost = MonthDay { month: 10, day: 20 };
        southern.first_frost = MonthDay { month: 4, day: 20 };
        assert_eq!(of_site(&southern, None).unwrap().last_frost, day(10, 20));
        site.climate = ClimateChoice::Weather { file: "weather.csv".to_owned() };
        assert_eq!(
            of_site(&site, None).unwrap_err().to_string(),
            "the site's weather is in `weather.csv`, which was not read"
        );
    }
}
