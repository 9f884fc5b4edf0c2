//! How much of its ground a planting covers on a day.
//!
//! The cover curve (see [`crate::growth::CoverCurve`]) is that of plants at the book's distance, which at their full size cover
//! all of their ground. Set wider, they leave ground bare between them: each station covers at most the square of the
//! book's equidistant spacing. Set closer, they cover no more than the ground they have.

use chrono::NaiveDate;

use super::{Plan, Standing};
use crate::growth::{cover_on, mature_radius_mm};

/// A planting's cover on a day.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct Covered {
    /// Share of the ground it claims that its plants cover, 0 to 1.
    pub share: f64,
    /// Radius of a plant or clump that day, mm.
    pub radius_mm: f64,
    /// Radius of a grown one, mm.
    pub mature_radius_mm: f64,
    /// Side of the square that each station has on the mean, mm.
    pub mean_spacing_mm: f64,
}

impl Standing {
    /// Ground it claims, mm².
    pub fn area_mm2(&self) -> f64 {
        self.ground.iter().map(|rect| (rect.x1 - rect.x0).as_f64() * (rect.y1 - rect.y0).as_f64()).sum()
    }
}

impl Plan {
    /// How much of its own ground a planting covers on a day; nothing while it does not stand.
    pub fn covered(&self, standing: &Standing, day: NaiveDate) -> Covered {
        let Some(crop) = self.book().crops().get(standing.crop_idx) else { return Covered::default() };
        let cover = cover_on(crop, &standing.stages, day);
        let mature_radius_mm = mature_radius_mm(crop);
        let area_mm2 = standing.area_mm2();
        let n_stations = standing.n_stations as f64;
        let book_mm2 = n_stations * (2.0 * mature_radius_mm).powi(2);
        Covered {
            share: if area_mm2 > 0.0 { cover * (book_mm2 / area_mm2).min(1.0) } else { 0.0 },
            radius_mm: mature_radius_mm * cover.sqrt(),
            mature_radius_mm,
            mean_spacing_mm: if n_stations > 0.0 { (area_mm2 / n_stations).sqrt() } else { 0.0 },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{day, garden, grid, on_strip, plan, planting};
    use crate::garden::PlantingId;

    #[test]
    fn kale_set_wide_leaves_ground_bare_and_lettuce_at_its_distance_does_not() {
        let mut garden = garden(&["A1", "A2"]);
        garden.plantings = vec![
            planting(1, "A1", "kale", grid(90), day(2027, 6, 1), day(2028, 3, 1)),
            on_strip(planting(2, "A2", "lettuce-head", grid(40), day(2027, 5, 1), day(2027, 8, 1)), 0, 150),
        ];
        let plan = plan(garden);
        let kale = plan.standing(PlantingId(1)).unwrap();
        // Three stations on 1.2 × 3.0 m; the book sets kale at 45 cm: 3 × 0.45² / 3.6 = 0.16875.
        let grown = plan.covered(kale, day(2027, 12, 1));
        assert!((grown.share - 0.16875).abs() < 1e-9, "{grown:?}");
        assert!((grown.radius_mm - 225.0).abs() < 1e-9);
        // √(3.6 m² / 3) = 1.0954 m.
        assert!((grown.mean_spacing_mm - 1095.4).abs() < 0.1);
        assert!(plan.covered(kale, day(2027, 5, 1)).share.abs() < 1e-12);
        // Lettuce at 40 cm, by the book at 30: 3 × 3 stations of 0.3² on 1.2 × 1.5 m are 0.45, half of that of the bed.
        let lettuce = plan.standing(PlantingId(2)).unwrap();
        let share = plan.covered(lettuce, day(2027, 7, 30)).share;
        assert_eq!(lettuce.n_stations, 9);
        assert!((share - 0.45).abs() < 1e-9, "{share}");
    }
}
