//! How much water a soil holds within reach of roots, and the soak that fills dry ground before planting.
//!
//! Follows FAO Irrigation and Drainage Paper 56 (Allen, Pereira, Raes & Smith 1998), chapter 8: eq. 82 and 83, Table 19
//! (`assets/soils.ron`) and Table 22 (`assets/roots.ron`). A soak brings a depth of soil from a stated dryness to field capacity. A millimetre
//! of water is a litre on a square metre.
//!
//! Where it stops being true: soils of one class differ by a third, and compost makes a bed hold more than the table says. On
//! caked or stony soil water runs off or drains through before the soil is full. The rain that fell is not known here.

use std::sync::LazyLock;

use serde::Deserialize;

use crate::crops::{Crop, RootsRow};
use crate::garden::SoilTexture;
use crate::units::Mm;

const SOILS: &str = include_str!("../../assets/soils.ron");
const ROOTS: &str = include_str!("../../assets/roots.ron");

/// Depth that a soak before planting is to reach: 20 cm (starting value; FAO-56 Annex 8, from memory, takes 0.15 to 0.20 m for the roots of
/// annual crops on the day of planting).
pub const SOAK_DEPTH: Mm = Mm(200);

/// Share of its available water that dry soil has lost, unless another is given: all of it (starting value: dried to the wilting
/// point).
pub const DRY: f64 = 1.0;

/// Litres in a can (common practice, no published source).
pub const CAN_L: f64 = 10.0;

/// One class of soil. Contents in m³ of water per m³ of soil, each as the range of the table.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoilWater {
    /// The class.
    pub texture: SoilTexture,
    /// Its name.
    pub name: String,
    /// Water that it holds against gravity, a day or two after rain.
    pub field_capacity: (f64, f64),
    /// What roots cannot take.
    pub wilting_point: (f64, f64),
    /// What lies between the two, as printed.
    pub available: (f64, f64),
    /// Where the figures come from.
    pub source: String,
}

/// How deep a crop roots.
#[derive(Debug, Clone, PartialEq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Roots {
    /// The key by which a crop names it.
    pub row: RootsRow,
    /// Name as printed.
    pub name: String,
    /// Greatest depth of a grown crop's roots in m, as a range.
    pub depth_m: (f64, f64),
    /// Share of the available water that it takes before growth suffers, at 5 mm a day.
    pub depletion: f64,
    /// Where the figures come from.
    pub source: String,
}

/// A file that cannot be read leaves its table empty: nothing is then said of soaks. A test reads both.
static SOIL_ROWS: LazyLock<Vec<SoilWater>> = LazyLock::new(|| ron::from_str(SOILS).unwrap_or_default());
static ROOT_ROWS: LazyLock<Vec<Roots>> = LazyLock::new(|| ron::from_str(ROOTS).unwrap_or_default());

/// Every class of soil, from light to heavy.
pub fn soils() -> &'static [SoilWater] {
    &SOIL_ROWS
}

/// What a class of soil holds.
pub fn soil_of(texture: SoilTexture) -> Option<&'static SoilWater> {
    SOIL_ROWS.iter().find(|soil| soil.texture == texture)
}

/// Every row of the table of roots.
pub fn roots() -> &'static [Roots] {
    &ROOT_ROWS
}

/// How deep a crop roots; `None` if the table has no row of its own for it.
pub fn roots_of(crop: &Crop) -> Option<&'static Roots> {
    ROOT_ROWS.iter().find(|roots| Some(roots.row) == crop.roots)
}

/// Water that roots can take from a depth of soil, mm (FAO-56 eq. 82): `1000 (θFC − θWP) Zr`. `available` is the bracket, in m³ per m³.
pub fn total_available_mm(available: f64, root_m: f64) -> f64 {
    1_000.0 * available * root_m
}

/// Water that roots take before growth suffers, mm (FAO-56 eq. 83): `p TAW`.
pub fn readily_available_mm(total_available_mm: f64, depletion: f64) -> f64 {
    depletion * total_available_mm
}

/// Water to be given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Soak {
    /// By the middle of the table's range, mm or litres on a square metre.
    pub mm: f64,
    /// For a soil that holds least of its class.
    pub mm_low: f64,
    /// For a soil that holds most of its class.
    pub mm_high: f64,
}

impl Soak {
    /// Cans on a square metre.
    pub fn cans_m2(&self) -> f64 {
        self.mm / CAN_L
    }

    /// Litres on a piece of ground.
    pub fn litres(&self, area_m2: f64) -> f64 {
        self.mm * area_m2
    }

    /// Cans on a piece of ground.
    pub fn cans(&self, area_m2: f64) -> f64 {
        self.litres(area_m2) / CAN_L
    }

    /// Litres on a rectangle of `area_mm2`.
    pub fn litres_on_mm2(&self, area_mm2: i64) -> f64 {
        self.litres(area_mm2 as f64 / 1e6)
    }
}

impl SoilWater {
    /// The middle of what is available, m³ per m³.
    pub fn available_mid(&self) -> f64 {
        f64::midpoint(self.available.0, self.available.1)
    }

    /// The water that fills a depth of soil in mm to field capacity when the share `dry` of its available water is gone: 0 at
    /// field capacity, 1 at the wilting point, limited to that range. A depth that is no number or is below 0 counts as 0.
    pub fn soak(&self, depth_mm: f64, dry: f64) -> Soak {
        let depth_m = depth_mm.max(0.0) / 1_000.0;
        let dry = if dry.is_nan() { 0.0 } else { dry.clamp(0.0, 1.0) };
        let mm = |available: f64| total_available_mm(available, depth_m) * dry;
        Soak { mm: mm(self.available_mid()), mm_low: mm(self.available.0), mm_high: mm(self.available.1) }
    }

    /// The soak for planting into this soil when it is dry.
    pub fn soak_before_planting(&self) -> Soak {
        self.soak(f64::from(SOAK_DEPTH.0), DRY)
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]

    use super::*;
    use crate::crops::CropBook;

    const TEXTURES: [SoilTexture; 7] = [
        SoilTexture::Sand,
        SoilTexture::LoamySand,
        SoilTexture::SandyLoam,
        SoilTexture::Loam,
        SoilTexture::SiltLoam,
        SoilTexture::Silt,
        SoilTexture::Clay,
    ];

    #[test]
    fn every_class_of_the_garden_file_has_its_row_and_it_holds_together() {
        let rows: Vec<SoilWater> = ron::from_str(SOILS).unwrap();
        assert_eq!(rows.iter().map(|row| row.texture).collect::<Vec<_>>(), TEXTURES);
        for row in &rows {
            let (capacity, wilting, available) = (row.field_capacity, row.wilting_point, row.available);
            assert!([capacity, wilting, available].iter().all(|(low, high)| 0.0 < *low && low < high), "{}", row.name);
            assert!(wilting.0 < capacity.0 && wilting.1 < capacity.1, "{}", row.name);
            // What is printed cannot be more than the widest difference of the range ends.
            assert!(available.1 <= capacity.1 - wilting.0 + 1e-9, "{}", row.name);
            assert!(!row.source.trim().is_empty(), "{}", row.name);
        }
    }

    #[test]
    fn every_row_of_roots_holds_together_and_is_found_by_the_crops_that_name_it() {
        let rows: Vec<Roots> = ron::from_str(ROOTS).unwrap();
        let mut seen = std::collections::HashSet::new();
        for row in &rows {
            assert!(0.0 < row.depth_m.0 && row.depth_m.0 < row.depth_m.1 && row.depth_m.1 < 2.0, "{}", row.name);
            assert!((0.1..=0.8).contains(&row.depletion) && !row.source.is_empty(), "{}", row.name);
            assert!(seen.insert(row.row), "{}", row.name);
        }
        let book = CropBook::embedded().unwrap();
        for crop in book.crops() {
            assert_eq!(crop.roots.is_some(), roots_of(crop).is_some(), "{}", crop.id);
        }
        assert_eq!(roots_of(book.crop("potato-maincrop").unwrap()).unwrap().name, "potato");
        assert!(roots_of(book.crop("leek").unwrap()).is_none());
    }

    #[test]
    fn a_soak_worked_by_hand() {
        // Loam holds 0.13 to 0.18, in the middle 0.155: 20 cm of it hold 1000 × 0.155 × 0.2 = 31 mm, half of which are gone.
        let loam = soil_of(SoilTexture::Loam).unwrap();
        let soak = loam.soak(200.0, 0.5);
        assert!(
            (soak.mm - 15.5).abs() < 1e-9 && (soak.mm_low - 13.0).abs() < 1e-9 && (soak.mm_high - 18.0).abs() < 1e-9
        );
        let dry = loam.soak_before_planting();
        assert!((dry.mm - 31.0).abs() < 1e-9 && (dry.cans_m2() - 3.1).abs() < 1e-9);
        // A strip of 1.2 × 2.4 m: 2.88 m² × 31 litres = 89.28 litres, 8.9 cans.
        assert!((dry.litres_on_mm2(1_200 * 2_400) - 89.28).abs() < 1e-9 && (dry.cans(2.88) - 8.928).abs() < 1e-9);
    }

    #[test]
    fn wet_soil_wants_nothing_and_nonsense_is_held_within_bounds() {
        let clay = soil_of(SoilTexture::Clay).unwrap();
        for (depth_mm, dry) in
            [(200.0, 0.0), (200.0, -1.0), (0.0, 1.0), (-50.0, 1.0), (200.0, f64::NAN), (f64::NAN, 1.0)]
        {
            assert!(clay.soak(depth_mm, dry).mm.abs() < 1e-12, "{depth_mm} {dry}");
        }
        assert_eq!(clay.soak(200.0, 7.0), clay.soak(200.0, 1.0));
    }
}
