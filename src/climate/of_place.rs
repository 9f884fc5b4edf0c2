//! What a place is like, and how far that is from a garden.

use std::fmt;

use super::normals::Normals;
use super::table::DayTable;
use crate::garden::MonthDay;

/// What a place is like.
#[derive(Debug, Clone, PartialEq)]
pub struct Climate {
    /// Name in files and commands, such as `maritime-upland`.
    pub name: String,
    /// Name on screens.
    pub title: String,
    /// Degrees, south negative.
    pub latitude_deg: f64,
    /// Metres above the sea.
    pub elevation_m: i32,
    /// Its months.
    pub normals: Normals,
    /// Median last frost of spring, if it is known; otherwise see [`frost`](super::frost).
    pub last_frost: Option<MonthDay>,
    /// Median first frost of autumn.
    pub first_frost: Option<MonthDay>,
    /// Where the figures come from.
    pub source: String,
    /// How far the garden lies from the place of these figures, if they are those of a place.
    pub away: Option<Away>,
}

impl Climate {
    /// A place's own months.
    pub fn of_months(normals: Normals, latitude_deg: f64, elevation_m: i32, source: String) -> Self {
        let (name, title) = ("own-normals".to_owned(), "Own normals".to_owned());
        let (last_frost, first_frost, away) = (None, None, None);
        Self { name, title, latitude_deg, elevation_m, normals, last_frost, first_frost, source, away }
    }

    /// The days of a year made from the normals.
    pub fn day_table(&self, year: i32) -> DayTable {
        self.normals.day_table(self.latitude_deg, year)
    }

    /// Degrees by which a latitude lies nearer to the pole.
    pub(super) fn poleward_deg(&self, latitude_deg: f64) -> f64 {
        latitude_deg.abs() - self.latitude_deg.abs()
    }

    /// Whether it lies in the southern half of the world.
    pub fn is_southern(&self) -> bool {
        self.latitude_deg < 0.0
    }
}

/// How far a garden lies from the place whose months stand for its own.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Away {
    /// Distance, km; `None` if the garden's longitude is not known.
    pub km: Option<f64>,
    /// Degrees by which the garden lies nearer to the pole.
    pub poleward_deg: f64,
    /// Metres by which the garden lies higher.
    pub higher_m: i32,
}

/// Distance, or difference in latitude, and in height, of the place as seen from the garden: `38 km away and 81 m lower`.
impl fmt::Display for Away {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.km {
            Some(km) => write!(f, "{km:.0} km away")?,
            None => write!(f, "{:.1} degrees of latitude away", self.poleward_deg.abs())?,
        }
        match self.higher_m {
            0 => Ok(()),
            higher @ 1.. => write!(f, " and {higher} m lower"),
            lower => write!(f, " and {} m higher", lower.unsigned_abs()),
        }
    }
}
