//! A bed to scale on character cells, and the share of each cell's ground that plants cover.
//!
//! Where plants are too small on screen to outline, cells are shaded by that share:
//!
//! ```text
//! bare, up to a quarter, half, three quarters, nearly all:   · ░ ▒ ▓ █
//! ```

use crate::garden::Bed;
use crate::tui::signs::Signs;
use crate::units::{Point, Rect};

/// Dots across a cell.
pub const DOTS_ACROSS: i32 = 2;
/// Dots down a cell.
pub const DOTS_DOWN: i32 = 4;
/// Share of a cell below which it counts as bare.
const BARE: f64 = 0.04;
/// Dots of radius from which a disc is laid out dot by dot; smaller ones are counted into the cell of their centre.
const LEAST_RADIUS: f64 = 1.5;
/// Radius in dots below which each dot is sampled in nine places, so that small discs all look alike.
const FINE_RADIUS: f64 = 8.0;
/// Most dots sampled for one planting; above that, every disc is counted into the cell of its centre.
const DOTS_MAX: f64 = 200_000.0;

/// Cells of a bed drawn to scale, and dots to a millimetre.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Cells along.
    pub columns: u16,
    /// Cells across.
    pub rows: u16,
    /// Dots to a millimetre, both ways.
    pub dots_per_mm: f64,
}

impl Scale {
    /// The largest scale at which a bed fits into this many cells.
    pub fn within(bed: &Bed, columns_max: u16, rows_max: u16) -> Self {
        let (columns_max, rows_max) = (columns_max.max(1), rows_max.max(1));
        let (length, across) = (bed.length_mm.as_f64().max(1.0), bed.width_mm.as_f64().max(1.0));
        let dots_per_mm = (f64::from(i32::from(columns_max) * DOTS_ACROSS) / length)
            .min(f64::from(i32::from(rows_max) * DOTS_DOWN) / across);
        // A hair less, so that rounding cannot ask for one cell too many.
        let cells =
            |mm: f64, dots: i32, most: u16| ((mm * dots_per_mm / f64::from(dots) - 1e-6).ceil() as u16).clamp(1, most);
        Self { columns: cells(length, DOTS_ACROSS, columns_max), rows: cells(across, DOTS_DOWN, rows_max), dots_per_mm }
    }

    /// A point in dots.
    pub fn dots(self, point: Point) -> (f64, f64) {
        (point.x_mm * self.dots_per_mm, point.y_mm * self.dots_per_mm)
    }
}

/// Cells of a bed with the share of each that is covered, and the planting that covers most of it.
#[derive(Debug, Clone)]
pub struct CoverGrid {
    scale: Scale,
    /// Size of the bed in dots: the last cells may be only partly bed.
    size: (f64, f64),
    shares: Vec<f64>,
    most: Vec<(f64, u16)>,
}

impl CoverGrid {
    /// Bare ground.
    pub fn new(bed: &Bed, scale: Scale) -> Self {
        let n_cells = usize::from(scale.columns) * usize::from(scale.rows);
        let size = (bed.length_mm.as_f64() * scale.dots_per_mm, bed.width_mm.as_f64() * scale.dots_per_mm);
        Self { scale, size, shares: vec![0.0; n_cells], most: vec![(0.0, 0); n_cells] }
    }

    /// Dots of bed in a cell.
    fn ground(&self, column: i32, row: i32) -> f64 {
        let within = |at: i32, dots: i32, size: f64| (size - f64::from(at * dots)).clamp(0.0, f64::from(dots));
        within(column, DOTS_ACROSS, self.size.0) * within(row, DOTS_DOWN, self.size.1)
    }

    fn idx(&self, column: i32, row: i32) -> Option<usize> {
        let (columns, rows) = (i32::from(self.scale.columns), i32::from(self.scale.rows));
        ((0..columns).contains(&column) && (0..rows).contains(&row)).then(|| (row * columns + column) as usize)
    }

    /// Adds one planting: dots covered in each cell.
    fn add(&mut self, dots: &[f64], owner: u16) {
        for row in 0..i32::from(self.scale.rows) {
            for column in 0..i32::from(self.scale.columns) {
                let Some(idx) = self.idx(column, row) else { continue };
                let ground = self.ground(column, row);
                let Some(dots) = dots.get(idx).copied().filter(|dots| *dots > 0.0 && ground > 0.0) else { continue };
                let share = (dots / ground).min(1.0);
                if let (Some(sum), Some(most)) = (self.shares.get_mut(idx), self.most.get_mut(idx)) {
                    *sum = (*sum + share).min(1.0);
                    if share > most.0 {
                        *most = (share, owner);
                    }
                }
            }
        }
    }

    /// Adds the discs of one planting.
    pub fn discs(&mut self, stations: &[Point], radius_mm: f64, owner: u16) {
        let mut covered = vec![0.0; self.shares.len()];
        let radius = radius_mm * self.scale.dots_per_mm;
        let is_laid_out = radius >= LEAST_RADIUS && radius * radius * 4.0 * stations.len() as f64 <= DOTS_MAX;
        for point in stations {
            let (x, y) = self.scale.dots(*point);
            let mut count = |x: i32, y: i32, dots: f64| {
                let idx = self.idx(x.div_euclid(DOTS_ACROSS), y.div_euclid(DOTS_DOWN));
                if let Some(cell) = idx.and_then(|idx| covered.get_mut(idx)) {
                    *cell += dots;
                }
            };
            if !is_laid_out {
                count(x.floor() as i32, y.floor() as i32, std::f64::consts::PI * radius * radius);
                continue;
            }
            for dot_y in (y - radius).floor() as i32..=(y + radius).floor() as i32 {
                for dot_x in (x - radius).floor() as i32..=(x + radius).floor() as i32 {
                    count(dot_x, dot_y, part_within((f64::from(dot_x) - x, f64::from(dot_y) - y), radius));
                }
            }
        }
        self.add(&covered, owner);
    }

    /// Adds a planting that covers an even share of its ground.
    pub fn even(&mut self, ground: &[Rect], share: f64, owner: u16) {
        let mut covered = vec![0.0; self.shares.len()];
        let dots = |mm: crate::units::Mm| mm.as_f64() * self.scale.dots_per_mm;
        let overlap = |from: f64, to: f64, at: i32, dots: i32| {
            (to.min(f64::from((at + 1) * dots)) - from.max(f64::from(at * dots))).max(0.0)
        };
        for rect in ground {
            let (x0, x1, y0, y1) = (dots(rect.x0), dots(rect.x1), dots(rect.y0), dots(rect.y1));
            for row in 0..i32::from(self.scale.rows) {
                for column in 0..i32::from(self.scale.columns) {
                    let area = overlap(x0, x1, column, DOTS_ACROSS) * overlap(y0, y1, row, DOTS_DOWN);
                    if let Some(cell) = self.idx(column, row).and_then(|idx| covered.get_mut(idx)) {
                        *cell += area * share;
                    }
                }
            }
        }
        self.add(&covered, owner);
    }

    /// Share of a cell that is covered, and whose plants cover most of it; `None` where it is bare.
    pub fn cell(&self, column: u16, row: u16) -> Option<(f64, u16)> {
        let idx = self.idx(i32::from(column), i32::from(row))?;
        let (share, (_, owner)) = (*self.shares.get(idx)?, *self.most.get(idx)?);
        (share >= BARE).then_some((share, owner))
    }
}

/// Share of a dot that lies within a radius of the origin, by its upper left corner.
fn part_within(corner: (f64, f64), radius: f64) -> f64 {
    let n = if radius < FINE_RADIUS { 3 } else { 1 };
    let places = (0..n).flat_map(|down| (0..n).map(move |across| (across, down)));
    let middle = |at: i32| (f64::from(at) + 0.5) / f64::from(n);
    let is_within = |(across, down): (i32, i32)| {
        (corner.0 + middle(across)).powi(2) + (corner.1 + middle(down)).powi(2) <= radius * radius
    };
    places.filter(|place| is_within(*place)).count() as f64 / f64::from(n * n)
}

/// The sign for a cell with this share covered.
pub fn shade(share: f64, signs: &Signs) -> &'static str {
    pick(&signs.shades, share)
}

/// A bar of one cell for a share; blank for next to nothing.
pub fn gauge(share: f64, signs: &Signs) -> &'static str {
    if share < BARE { " " } else { pick(&signs.gauge, share) }
}

fn pick(signs: &[&'static str], share: f64) -> &'static str {
    let place = (share * signs.len() as f64).ceil() as usize;
    signs.get(place.clamp(1, signs.len()) - 1).copied().unwrap_or(" ")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::tui::fixture::bed;
    use crate::tui::signs::FULL;
    use crate::units::Mm;

    #[test]
    fn a_bed_is_drawn_to_scale_as_large_as_there_is_room() {
        // 480 × 120 cm in 22 cells: 44 dots along, 11 across: three rows, the last with three dots of bed.
        let scale = Scale::within(&bed("B1", 120, 480), 22, 9);
        assert_eq!((scale.columns, scale.rows), (22, 3));
        // Limited by height: 2 rows are 8 dots, 32 dots along are 16 columns.
        let scale = Scale::within(&bed("B1", 120, 480), 22, 2);
        assert_eq!((scale.columns, scale.rows), (16, 2));
    }

    #[test]
    fn an_even_cover_is_the_same_in_every_cell_of_its_ground() {
        let bed = bed("B1", 120, 480);
        let mut grid = CoverGrid::new(&bed, Scale::within(&bed, 22, 9));
        let left_half = Rect { x0: Mm(0), x1: Mm(2400), y0: Mm(0), y1: Mm(1200) };
        grid.even(&[left_half], 0.5, 3);
        for row in 0..3 {
            let (share, owner) = grid.cell(0, row).unwrap();
            assert!((share - 0.5).abs() < 1e-9 && owner == 3, "{share} in row {row}");
            assert!(grid.cell(10, row).is_some() && grid.cell(11, row).is_none(), "240 of 480 cm are 11 of 22 cells");
        }
    }

    #[test]
    fn discs_cover_their_area_and_the_larger_part_owns_the_cell() {
        // 100 × 100 cm in 40 × 20 cells: 80 dots both ways, so a radius of 250 mm is 20 dots.
        let bed = bed("B1", 100, 100);
        let mut grid = CoverGrid::new(&bed, Scale::within(&bed, 40, 20));
        let middle = [Point { x_mm: 500.0, y_mm: 500.0 }];
        grid.discs(&middle, 250.0, 1);
        let area: f64 = (0..20)
            .flat_map(|row| (0..40).map(move |column| (column, row)))
            .map(|(column, row)| grid.cell(column, row).map_or(0.0, |cell| cell.0 * 8.0))
            .sum();
        let by_hand = std::f64::consts::PI * 20.0 * 20.0;
        assert!((area / by_hand - 1.0).abs() < 0.02, "{area} of {by_hand}");
        // A seedling of a dot: its area in the cell of its centre.
        let mut grid = CoverGrid::new(&bed, Scale::within(&bed, 40, 20));
        grid.discs(&middle, 12.5, 1);
        let (share, _) = grid.cell(20, 10).unwrap();
        assert!((share - std::f64::consts::PI / 8.0).abs() < 1e-9, "{share}");
        grid.even(&[Rect { x0: Mm(0), x1: Mm(1000), y0: Mm(0), y1: Mm(1000) }], 0.9, 2);
        assert_eq!(grid.cell(20, 10).unwrap(), (1.0, 2));
    }

    #[test]
    fn signs_grow_with_the_share() {
        let shades: String = [0.05, 0.3, 0.6, 0.95].iter().map(|share| shade(*share, &FULL)).collect();
        assert_eq!(shades, "░▒▓█");
        let bars: String = [0.0, 0.05, 0.5, 1.0].iter().map(|share| gauge(*share, &FULL)).collect();
        assert_eq!(bars, " ▁▄█");
    }
}
