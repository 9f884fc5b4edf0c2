//! How many days after sowing a seedling shows.
//!
//! The table is that of Harrington & Minges 1954 (`assets/emergence.ron`, sources there). Between two of its temperatures the
//! daily rate, which is one over the days, is interpolated in a straight line; it is never extrapolated beyond the ends. In soil
//! that warms and cools the daily rates are added up until they make one.
//!
//! Dates of plantings need more than the table prints: beans did not come up at 10 °C, and took 16 days at 15 °C. Between the
//! warmest temperature without seedlings and the coldest with them the daily rate of a planting rises in a straight line from
//! nothing to the printed one, because the rate of emergence is linear in the temperature above a base (thermal time; common
//! practice, no published source for these bases). So a bean at 13 °C makes 3/5 of 1/16 of its way in a day. Where the table
//! itself is asked ([`emergence`]), that remains too cold. Where a crop came up even in the coldest trial, nothing is added below
//! it.
//!
//! Where it stops being true: seed sown much deeper or shallower than 13 mm, dry or capped soil, old or primed seed. The table's greens of the
//! turnip kin come up in a day at 25 °C: other lists are slower.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::crops::{Crop, EmergenceRow};

const TEXT: &str = include_str!("../../assets/emergence.ron");

/// Temperature of the place where modules come up, °C (common practice, no published source: a propagator or windowsill).
pub const RAISING_C: f64 = 18.0;

/// Days from sowing to a seedling in soil of one temperature.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Emergence {
    /// This many days.
    Days(f64),
    /// Colder than the coldest temperature at which the table has seedlings.
    TooCold,
    /// Warmer than the warmest temperature at which the table has seedlings.
    TooHot,
    /// The table has neither the crop nor a relative.
    Unknown,
}

/// One crop of the table.
#[derive(Debug, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Row {
    /// The key by which crops name it.
    pub(super) key: EmergenceRow,
    /// Name as printed.
    pub(super) name: String,
    /// °C and days, by rising temperature.
    days: Vec<(f64, f64)>,
    /// Temperatures at which nothing came up.
    no_germination_c: Vec<f64>,
    /// Temperatures whose cell is from memory: kept with the table, read by its test.
    #[cfg_attr(not(test), allow(dead_code, reason = "the file's own record"))]
    remembered_c: Vec<f64>,
}

/// A file that cannot be read leaves the table empty: nothing is then known of emergence. A test reads it.
static ROWS: LazyLock<Vec<Row>> = LazyLock::new(|| read().unwrap_or_default());

fn read() -> Result<Vec<Row>, ron::error::SpannedError> {
    ron::from_str(TEXT)
}

impl Row {
    pub(super) fn at(&self, soil_c: f64) -> Emergence {
        let (Some(first), Some(last)) = (self.days.first(), self.days.last()) else { return Emergence::Unknown };
        if soil_c.is_nan() || soil_c < first.0 {
            return Emergence::TooCold;
        }
        if soil_c > last.0 {
            return Emergence::TooHot;
        }
        let above = self.days.partition_point(|(celsius, _)| *celsius < soil_c);
        let (Some(high), low) = (self.days.get(above), above.checked_sub(1).and_then(|below| self.days.get(below)))
        else {
            return Emergence::Unknown;
        };
        let Some(low) = low else { return Emergence::Days(high.1) };
        let share = (soil_c - low.0) / (high.0 - low.0);
        Emergence::Days(1.0 / (1.0 / low.1 + (1.0 / high.1 - 1.0 / low.1) * share))
    }

    /// Share of the way to a seedling that a planting makes in a day: by the table, and below its coldest days in a straight line
    /// down to the temperature at which nothing came up (see the head of this file).
    pub(super) fn rate(&self, soil_c: f64) -> f64 {
        match self.at(soil_c) {
            Emergence::Days(days) => 1.0 / days,
            Emergence::TooCold => self.base_c().map_or(0.0, |base_c| {
                let share = (soil_c - base_c) / (self.least_c() - base_c);
                if share > 0.0 { share * self.least_rate() } else { 0.0 }
            }),
            _ => 0.0,
        }
    }

    /// Share of the way made in a day at the coldest temperature that has seedlings.
    pub(super) fn least_rate(&self) -> f64 {
        self.days.first().map_or(0.0, |(_, days)| 1.0 / days)
    }

    /// The warmest temperature below those with seedlings at which nothing came up, °C.
    fn base_c(&self) -> Option<f64> {
        let colder = self.no_germination_c.iter().copied().filter(|celsius| *celsius < self.least_c());
        colder.max_by(f64::total_cmp)
    }

    /// Coldest soil in which the table has seedlings, °C.
    pub(super) fn least_c(&self) -> f64 {
        self.days.first().map_or(0.0, |(celsius, _)| *celsius)
    }

    fn greatest_c(&self) -> f64 {
        self.days.last().map_or(0.0, |(celsius, _)| *celsius)
    }

    /// Days to emergence in a tray kept warm: at [`RAISING_C`], or the nearest temperature of the table.
    pub(super) fn raising_days(&self) -> Option<f64> {
        match self.at(RAISING_C.clamp(self.least_c(), self.greatest_c())) {
            Emergence::Days(days) => Some(days),
            _ => None,
        }
    }
}

/// The row of that key.
pub(super) fn row(key: EmergenceRow) -> Option<&'static Row> {
    ROWS.iter().find(|row| row.key == key)
}

/// The row that a crop comes up by: its own or that of its kin.
pub(super) fn row_of(crop: &Crop) -> Option<&'static Row> {
    crop.emergence.as_ref().and_then(|comes_up| row(comes_up.row))
}

/// Days to a seedling of a crop in soil of one temperature in °C, by the table.
pub fn emergence(crop: &Crop, soil_c: f64) -> Emergence {
    row_of(crop).map_or(Emergence::Unknown, |row| row.at(soil_c))
}

/// The same by the name that the table prints, such as `bean, snap`.
pub fn emergence_of_row(name: &str, soil_c: f64) -> Emergence {
    ROWS.iter().find(|row| row.name == name).map_or(Emergence::Unknown, |row| row.at(soil_c))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::{ComesUp, CropBook, Raised};

    #[test]
    fn the_table_holds_together() {
        let rows = read().unwrap();
        assert_eq!(rows.len(), 24);
        for row in &rows {
            assert!(row.days.windows(2).all(|pair| pair[0].0 < pair[1].0), "{}", row.name);
            assert!(row.days.iter().all(|(_, days)| *days >= 1.0), "{}", row.name);
            let is_at = |celsius: f64, other: f64| (celsius - other).abs() < 1e-9;
            let says = |celsius: &f64| {
                let has_days = row.days.iter().any(|(at, _)| is_at(*at, *celsius));
                has_days != row.no_germination_c.iter().any(|at| is_at(*at, *celsius))
            };
            assert!(row.remembered_c.iter().all(says), "{}", row.name);
        }
        for crop in CropBook::embedded().unwrap().crops() {
            let Some(comes_up) = &crop.emergence else { continue };
            assert!(row(comes_up.row).is_some(), "{}", crop.id);
            let is_sown = crop.seed.raised.iter().any(|raised| matches!(raised, Raised::InPlace | Raised::Module));
            assert!(is_sown || crop.id == "asparagus", "{}", crop.id);
        }
    }

    #[test]
    fn a_garden_s_own_crop_comes_up_like_the_kin_it_names_and_one_of_the_book_s_keeps_its_row() {
        let book = CropBook::embedded().unwrap();
        let days = |crop: &Crop| emergence(crop, 10.0);
        let carrot = book.crop("carrot-early").unwrap();
        // At 10 °C: carrot 17 days, parsnip 27.
        assert_eq!(days(carrot), Emergence::Days(17.0));
        let like = |row| Some(ComesUp { row, source: "our own".to_owned() });
        let own = [
            Crop { id: "hill-root".to_owned(), emergence: like(EmergenceRow::Parsnip), ..carrot.clone() },
            Crop { id: "unknown-root".to_owned(), emergence: None, ..carrot.clone() },
            Crop { emergence: None, ..carrot.clone() },
            Crop { emergence: like(EmergenceRow::Beet), ..book.crop("parsnip").unwrap().clone() },
        ];
        let with_own = book.with_own_crops(&own).unwrap();
        let said = ["hill-root", "unknown-root", "carrot-early", "parsnip"].map(|id| days(with_own.crop(id).unwrap()));
        let printed = [27.0, 17.0, 17.0].map(Emergence::Days);
        assert_eq!(said, [printed[0], Emergence::Unknown, printed[1], printed[2]]);
    }

    #[test]
    fn between_two_temperatures_the_rate_runs_straight() {
        // Lettuce: 7 days at 10 °C, 4 at 15 °C. At 12.5 °C the rate is (1/7 + 1/4) / 2 = 0.196429: 5.0909 days.
        let Emergence::Days(days) = emergence_of_row("lettuce", 12.5) else { panic!("days") };
        assert!((days - 5.090_909).abs() < 1e-6);
        assert_eq!(emergence_of_row("lettuce", 10.0), Emergence::Days(7.0));
    }

    #[test]
    fn a_planting_s_rate_rises_from_nothing_where_nothing_came_up() {
        let rate = |name: &str, soil_c| ROWS.iter().find(|row| row.name == name).unwrap().rate(soil_c);
        // Beans: none at 10 °C, 16 days at 15 °C. At 13 °C 3/5 × 1/16 = 0.0375 a day: 26.7 days.
        assert!((rate("bean, snap", 13.0) - 0.0375).abs() < 1e-9);
        assert!((rate("bean, snap", 14.999_999) - 1.0 / 16.0).abs() < 1e-6);
        for soil_c in [10.0, 9.0, -3.0, 36.0, f64::NAN] {
            assert!(rate("bean, snap", soil_c).abs() < 1e-12, "{soil_c}");
        }
        // Cabbage has 15 days at 10 °C and no trial below: nothing is added.
        assert!(rate("cabbage", 9.0).abs() < 1e-12);
        // The table itself stays silent.
        assert_eq!(emergence_of_row("bean, snap", 13.0), Emergence::TooCold);
    }

    #[test]
    fn nothing_is_said_beyond_the_ends_of_the_table() {
        assert_eq!(emergence_of_row("lettuce", 30.1), Emergence::TooHot);
        assert_eq!(emergence_of_row("lettuce", -0.1), Emergence::TooCold);
        assert_eq!(emergence_of_row("bean, snap", 12.0), Emergence::TooCold);
        assert_eq!(emergence_of_row("celery", 22.0), Emergence::TooHot);
        assert_eq!(emergence_of_row("lettuce", f64::NAN), Emergence::TooCold);
        assert_eq!(emergence_of_row("triffid", 20.0), Emergence::Unknown);
    }
}
