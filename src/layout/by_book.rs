//! The distances and densities to start from under each layout, from the book's spacing of a crop.

use super::sowing_density_per_m2;
use crate::crops::Crop;
use crate::units::Mm;

/// Distance where the book gives none at all (starting value).
const SPACING_UNKNOWN: Mm = Mm(300);
/// Plants per m² of a broadcast sowing where the book gives no weight of seed (starting value).
const PER_M2_UNKNOWN: f64 = 200.0;

/// What each layout starts from for one crop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByBook {
    /// Grid and offset: between stations.
    pub spacing_mm: Mm,
    /// Grid, offset and between: plants at a station.
    pub clump: u32,
    /// Rows and drill: between rows.
    pub row_mm: Mm,
    /// Rows and edge: in the row.
    pub in_row_mm: Mm,
    /// Rows and edge: plants at a station.
    pub row_clump: u32,
    /// Drill: plants in a metre of line.
    pub plants_per_m: f64,
    /// Broadcast: plants per m².
    pub plants_per_m2: f64,
}

/// What each layout starts from. If the book has only square or only row spacing, the other is chosen to give each station the
/// same ground: a square of the area `row` × `in_row`, or rows as far apart as the stations in them.
pub fn by_book(crop: &Crop) -> ByBook {
    let spacing = &crop.spacing;
    let rows = spacing.row_mm.zip(spacing.in_row_mm);
    let same_ground = |(row, in_row): (Mm, Mm)| Mm((row.as_f64() * in_row.as_f64()).sqrt().round() as i32);
    let spacing_mm = spacing.equidistant_mm.or_else(|| rows.map(same_ground)).unwrap_or(SPACING_UNKNOWN);
    let (row_mm, in_row_mm) = rows.unwrap_or((spacing_mm, spacing_mm));
    let row_clump = if rows.is_some() { spacing.row_clump.max(1) } else { spacing.clump.max(1) };
    let clump = if spacing.equidistant_mm.is_some() { spacing.clump.max(1) } else { row_clump };
    let plants_per_m = 1000.0 / in_row_mm.as_f64().max(1.0) * f64::from(row_clump);
    ByBook {
        spacing_mm,
        clump,
        row_mm,
        in_row_mm,
        row_clump,
        plants_per_m,
        plants_per_m2: sowing_density_per_m2(crop).map_or(PER_M2_UNKNOWN, f64::round).max(1.0),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::CropBook;

    #[test]
    fn the_other_way_of_spacing_has_the_same_ground_where_the_book_has_one() {
        let mut crop = CropBook::embedded().unwrap().crop("leek").unwrap().clone();
        crop.spacing.row_mm = Some(Mm(400));
        crop.spacing.in_row_mm = Some(Mm(100));
        crop.spacing.row_clump = 1;
        crop.spacing.equidistant_mm = None;
        // √(400 × 100) = 200 mm; 1000 / 100 = 10 plants in a metre.
        let start = by_book(&crop);
        assert_eq!((start.spacing_mm, start.clump), (Mm(200), 1));
        assert!((start.plants_per_m - 10.0).abs() < 1e-9);
        crop.spacing.equidistant_mm = Some(Mm(300));
        crop.spacing.clump = 4;
        crop.spacing.row_mm = None;
        let start = by_book(&crop);
        assert_eq!((start.row_mm, start.in_row_mm, start.row_clump), (Mm(300), Mm(300), 4));
    }
}
