//! Places whose months are known, and the one that stands for a garden without months of its own.
//!
//! The file is `assets/places.ron`, which says where each place's months come from. The nearest place is that of least difference in
//! warmth: by its distance (where the garden's longitude is not known, by latitude alone) and by its height. Where that stops being true:
//! across a watershed or inland from a coast two near places may differ by more than the distance says; months of one's own are better.

use std::sync::LazyLock;

use serde::Deserialize;

use super::error::ClimateError;
use super::moved::{C_PER_DEGREE, LAPSE_C_PER_M};
use super::normals::{DEFAULT_SPREAD_C, Normals};
use super::of_place::{Away, Climate};
use crate::garden::limits;

const TEXT: &str = include_str!("../../assets/places.ron");
const FILE: &str = "places.ron";

/// Standard deviation of a month's mean from year to year where winters are hard, °C (starting value, as the climate `continental`
/// has it).
const HARD_WINTER_SPREAD_C: f64 = 2.0;

/// A coldest month below this makes a hard winter, °C: the border of Köppen's continental climates (Peel and others 2007, Hydrology and Earth
/// System Sciences 11:1633-1644, table 1).
const HARD_WINTER_C: f64 = 0.0;

/// Kilometres of a degree of latitude: a quarter of the meridian, 10,002 km (WGS 84), by ninety.
const KM_PER_DEGREE: f64 = 111.1;

/// Radius of a sphere of the earth's volume, km (WGS 84).
const EARTH_KM: f64 = 6_371.0;

/// Farther than this no place says anything of a garden, km (starting value).
pub const FAR_KM: f64 = 1_000.0;

/// The same in degrees of latitude where the longitude is not known, and for a kind of climate that was chosen by name (starting values).
pub const FAR_DEG: f64 = 4.0;
/// See [`FAR_DEG`].
pub const FAR_BY_NAME_DEG: f64 = 12.0;

/// Higher or lower than this the lapse rate is not trusted, m (starting value).
pub const FAR_M: i32 = 1_000;

/// Where the longitude is not known, a place with a hard winter is taken only if it is nearer by so much, °C (starting value).
const HARD_WINTER_AWAY_C: f64 = 3.0;

impl Away {
    /// Difference in warmth that the distance may make, °C, whichever way.
    fn difference_c(self) -> f64 {
        let by_distance = self.km.map_or(self.poleward_deg.abs(), |km| km / KM_PER_DEGREE);
        by_distance * C_PER_DEGREE + f64::from(self.higher_m.abs()) * LAPSE_C_PER_M
    }

    /// Whether what is known there says too little of the garden.
    fn is_too_far(self) -> bool {
        let is_far = self.km.map_or(self.poleward_deg.abs() > FAR_DEG, |km| km > FAR_KM);
        is_far || self.higher_m.abs() > FAR_M
    }
}

/// One place as the file writes it.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
struct Entry {
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: i32,
    source: String,
    tmin_c: Vec<f64>,
    tmax_c: Vec<f64>,
    rain_mm: Vec<f64>,
}

/// A place whose months are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Place {
    /// Its name, latitude, height, months and their source.
    pub climate: Climate,
    /// Degrees, west negative.
    pub longitude_deg: f64,
}

static PLACES: LazyLock<Result<Vec<Place>, ClimateError>> = LazyLock::new(|| read(TEXT));

/// The places, in the order of their file.
///
/// # Errors
/// An entry that does not hold together, by name and field.
pub fn places() -> Result<&'static [Place], ClimateError> {
    PLACES.as_deref().map_err(Clone::clone)
}

fn read(text: &str) -> Result<Vec<Place>, ClimateError> {
    let entries: Vec<Entry> = ron::from_str(text).map_err(|error| ClimateError::Book {
        file: FILE,
        entry: format!("line {}, column {}", error.span.start.line, error.span.start.col),
        field: "text".to_owned(),
        what: error.code.to_string(),
    })?;
    entries.into_iter().map(checked).collect()
}

fn checked(entry: Entry) -> Result<Place, ClimateError> {
    let refuse = |field: &str, what: String| {
        Err(ClimateError::Book { file: FILE, entry: entry.name.clone(), field: field.to_owned(), what })
    };
    for (field, limit, value) in [
        ("latitude_deg", limits::LATITUDE, entry.latitude_deg),
        ("longitude_deg", limits::LONGITUDE, entry.longitude_deg),
    ] {
        if limit.refusal(value).is_some() {
            return refuse(field, format!("{value} is outside {} to {}", limit.least, limit.greatest));
        }
    }
    if limits::ELEVATION.refusal(entry.elevation_m).is_some() {
        return refuse("elevation_m", format!("{} is no height of a place", entry.elevation_m));
    }
    let normals = Normals::from_lists(&entry.tmin_c, &entry.tmax_c, Some(&entry.rain_mm), DEFAULT_SPREAD_C);
    let mut normals = match normals {
        Ok(normals) => normals,
        Err(error) => return refuse("months", error.to_string()),
    };
    if coldest_c(&normals) < HARD_WINTER_C {
        normals.spread_c = HARD_WINTER_SPREAD_C;
    }
    let climate = Climate {
        title: entry.name.clone(),
        name: entry.name,
        latitude_deg: entry.latitude_deg,
        elevation_m: entry.elevation_m,
        normals,
        last_frost: None,
        first_frost: None,
        source: entry.source,
        away: None,
    };
    Ok(Place { climate, longitude_deg: entry.longitude_deg })
}

/// Mean of the coldest month, °C.
fn coldest_c(normals: &Normals) -> f64 {
    let means = normals.tmin_c.iter().zip(&normals.tmax_c).map(|(tmin, tmax)| f64::midpoint(*tmin, *tmax));
    means.fold(f64::INFINITY, f64::min)
}

/// Great-circle distance, km (haversine formula).
fn distance_km((lat_a, lon_a): (f64, f64), (lat_b, lon_b): (f64, f64)) -> f64 {
    let half_sine = |a: f64, b: f64| ((b - a).to_radians() / 2.0).sin().powi(2);
    let h = half_sine(lat_a, lat_b) + lat_a.to_radians().cos() * lat_b.to_radians().cos() * half_sine(lon_a, lon_b);
    2.0 * EARTH_KM * h.sqrt().min(1.0).asin()
}

/// The months of the place nearest to a garden, at the place's own latitude and height. A garden whose height is not known counts as
/// level with the place.
///
/// # Errors
/// All places are too far; the embedded file does not hold together.
pub fn nearest(
    latitude_deg: f64,
    longitude_deg: Option<f64>,
    elevation_m: Option<i32>,
) -> Result<Climate, ClimateError> {
    let away_from = |place: &Place| Away {
        km: longitude_deg
            .map(|own| distance_km((latitude_deg, own), (place.climate.latitude_deg, place.longitude_deg))),
        poleward_deg: place.climate.poleward_deg(latitude_deg),
        higher_m: elevation_m.map_or(0, |own| own.saturating_sub(place.climate.elevation_m)),
    };
    let is_hard = |place: &Place| coldest_c(&place.climate.normals) < HARD_WINTER_C;
    let difference_c = |place: &Place, away: Away| {
        let is_guessed = away.km.is_none() && is_hard(place);
        away.difference_c() + f64::from(u8::from(is_guessed)) * HARD_WINTER_AWAY_C
    };
    // Without a longitude the seasons decide for the own half of the world.
    let is_own_half = |place: &&Place| longitude_deg.is_some() || place.climate.is_southern() == (latitude_deg < 0.0);
    let nearest = places()?
        .iter()
        .filter(is_own_half)
        .map(|place| (place, away_from(place)))
        .min_by(|a, b| difference_c(a.0, a.1).total_cmp(&difference_c(b.0, b.1)));
    match nearest {
        Some((place, away)) if !away.is_too_far() => Ok(Climate { away: Some(away), ..place.climate.clone() }),
        Some((place, away)) => Err(ClimateError::TooFar { place: place.climate.title.clone(), away }),
        None => Err(ClimateError::Book {
            file: FILE,
            entry: "all".to_owned(),
            field: "text".to_owned(),
            what: "it holds no place of that half of the world".to_owned(),
        }),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;

    #[test]
    fn the_places_hold_together_and_each_is_there_once() {
        let places = places().unwrap();
        assert_eq!(places.len(), 145);
        let mut names: Vec<&str> = places.iter().map(|place| place.climate.name.as_str()).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), places.len());
        for place in places {
            let climate = &place.climate;
            let (january, july) = (climate.normals.tmax_c[0], climate.normals.tmax_c[6]);
            if climate.latitude_deg.abs() > 30.0 {
                assert_eq!(january > july, climate.is_southern(), "{}", climate.name);
            }
            assert!(!climate.source.trim().is_empty());
        }
    }

    #[test]
    fn a_faulty_place_is_named_with_its_field() {
        for (right, wrong, message) in [
            (
                "longitude_deg: -4.57",
                "longitude_deg: -457",
                "Aberporth, UK: longitude_deg: -457 is outside -180 to 180",
            ),
            ("[3.4, 3.3,", "[3.3,", "Aberporth, UK: months: tmin_c has 11 values; give 12, January to December"),
        ] {
            assert!(TEXT.contains(right), "{right}");
            let error = read(&TEXT.replacen(right, wrong, 1)).unwrap_err().to_string();
            assert_eq!(error, format!("places.ron: {message}"));
        }
    }

    #[test]
    fn distances_are_those_of_the_great_circle() {
        // Oxford to Heathrow by the spherical law of cosines, reckoned apart in Python: 64.1 km; a quarter of the meridian: 10,007.5 km.
        assert!((distance_km((51.761, -1.26), (51.479, -0.45)) - 64.1).abs() < 0.3);
        assert!((distance_km((0.0, 20.0), (90.0, -70.0)) - 10_007.5).abs() < 0.5);
        assert!(distance_km((52.0, 179.9), (52.0, -179.9)) < 15.0);
    }

    #[test]
    fn a_place_is_found_by_where_it_is_and_how_high() {
        for (latitude, longitude, elevation, name) in [
            (51.75, Some(-1.25), Some(70), "Oxford, UK"),
            // 0.67° and 46 m: nearer in warmth than Bradford, which is nearer by distance.
            (54.0, Some(-2.5), Some(215), "Newton Rigg, UK"),
            (55.3, Some(-3.2), Some(240), "Eskdalemuir, UK"),
            (56.9, Some(-3.6), Some(350), "Braemar, UK"),
            (41.9, Some(12.5), Some(20), "Rome Ciampino, Italy"),
            (41.9, Some(-72.5), Some(50), "Hartford, Connecticut, USA"),
            (-37.9, Some(145.1), Some(30), "Melbourne, Australia"),
            // By latitude alone a mild place is taken before one with a hard winter: of the hills at 250 m none is continental.
            (54.0, None, Some(250), "Eskdalemuir, UK"),
            (52.0, None, Some(250), "Aberporth, UK"),
            (-37.9, None, Some(20), "Melbourne, Australia"),
        ] {
            assert_eq!(
                nearest(latitude, longitude, elevation).unwrap().name,
                name,
                "{latitude} {longitude:?} {elevation:?}"
            );
        }
    }

    #[test]
    fn beyond_what_is_known_nothing_is_guessed() {
        for (latitude, longitude, elevation) in [
            (90.0, None, None),
            (75.0, None, Some(10)),
            (-60.0, None, Some(10)),
            // The middle of an ocean, and a height between villages and snow.
            (0.0, Some(-30.0), Some(0)),
            (54.0, Some(-2.5), Some(1_400)),
        ] {
            let error = nearest(latitude, longitude, elevation).unwrap_err();
            assert!(matches!(error, ClimateError::TooFar { .. }), "{latitude} {longitude:?}: {error}");
            assert!(error.to_string().contains("months of its own"), "{error}");
        }
    }
}
