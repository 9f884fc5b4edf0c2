//! Dots of discs on a grid of character cells: two dots across and four down in each cell, so that dots are square
//! where cells are twice as high as wide.
//!
//! ```text
//! one cell   · ·      a disc of     ..oo..
//!            · ·      radius 5      o....o
//!            · ·                    o....o
//!            · ·                    ..oo..
//! ```

use crate::tui::widgets::cover::{DOTS_ACROSS, DOTS_DOWN};

/// Most dots set for the outlines of one planting; beyond it only centres are set.
const OUTLINE_DOTS_MAX: f64 = 60_000.0;

/// The dots.
#[derive(Debug, Clone)]
pub struct Raster {
    columns: i32,
    rows: i32,
    masks: Vec<u8>,
    owners: Vec<u16>,
}

impl Raster {
    /// An empty grid of that many cells.
    pub fn new(columns: u16, rows: u16) -> Self {
        let n_cells = usize::from(columns) * usize::from(rows);
        Self { columns: i32::from(columns), rows: i32::from(rows), masks: vec![0; n_cells], owners: vec![0; n_cells] }
    }

    /// Sets a dot for an owner; outside the grid nothing happens.
    pub fn dot(&mut self, x: i32, y: i32, owner: u16) {
        if x < 0 || y < 0 {
            return;
        }
        let (column, row) = (x / DOTS_ACROSS, y / DOTS_DOWN);
        if column >= self.columns || row >= self.rows {
            return;
        }
        let idx = (row * self.columns + column) as usize;
        // Braille patterns number the upper six dots column by column, then the two of the last row.
        let bit = match (x % DOTS_ACROSS, y % DOTS_DOWN) {
            (0, 3) => 0x40,
            (_, 3) => 0x80,
            (0, down) => 1 << down,
            (_, down) => 8 << down,
        };
        if let (Some(mask), Some(cell_owner)) = (self.masks.get_mut(idx), self.owners.get_mut(idx)) {
            *mask |= bit;
            *cell_owner = owner;
        }
    }

    /// Sets the outlines of discs of one radius, in dots; centres alone where a disc is smaller than a dot.
    pub fn discs(&mut self, centres: impl ExactSizeIterator<Item = (f64, f64)>, radius: f64, owner: u16) {
        let n_steps = (radius * 8.0).ceil().clamp(8.0, 720.0);
        if radius < 1.0 || n_steps * centres.len() as f64 > OUTLINE_DOTS_MAX {
            for (x, y) in centres {
                self.dot(x.floor() as i32, y.floor() as i32, owner);
            }
            return;
        }
        let outline: Vec<(f64, f64)> = (0..n_steps as u32)
            .map(|step| f64::from(step) / n_steps * std::f64::consts::TAU)
            .map(|angle| (radius * angle.cos(), radius * angle.sin()))
            .collect();
        for (x, y) in centres {
            for (across, down) in &outline {
                self.dot((x + across).floor() as i32, (y + down).floor() as i32, owner);
            }
        }
    }

    /// The sign of a cell and the owner of its last dot; `None` where no dot is set.
    pub fn cell(&self, column: u16, row: u16, is_ascii: bool) -> Option<(char, u16)> {
        let idx = usize::from(row) * usize::try_from(self.columns).unwrap_or(0) + usize::from(column);
        let mask = *self.masks.get(idx)?;
        if mask == 0 {
            return None;
        }
        let sign = match mask.count_ones() {
            _ if !is_ascii => char::from_u32(0x2800 + u32::from(mask)).unwrap_or('.'),
            1 | 2 => '.',
            _ => 'o',
        };
        Some((sign, *self.owners.get(idx)?))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lines(raster: &Raster, columns: u16, rows: u16, is_ascii: bool) -> Vec<String> {
        (0..rows)
            .map(|row| {
                (0..columns).map(|column| raster.cell(column, row, is_ascii).map_or(' ', |cell| cell.0)).collect()
            })
            .collect()
    }

    #[test]
    fn dots_take_their_place_in_the_braille_pattern() {
        // Unicode chart U+2800: dot 1 is 0x01, dot 4 is 0x08, dot 7 is 0x40, dot 8 is 0x80.
        for (x, y, sign) in [(0, 0, '\u{2801}'), (1, 0, '\u{2808}'), (0, 3, '\u{2840}'), (1, 3, '\u{2880}')] {
            let mut raster = Raster::new(1, 1);
            raster.dot(x, y, 3);
            assert_eq!(raster.cell(0, 0, false), Some((sign, 3)));
        }
    }

    #[test]
    fn a_disc_is_as_wide_as_it_is_high() {
        let mut raster = Raster::new(8, 4);
        raster.discs([(8.0, 8.0)].into_iter(), 7.5, 1);
        let dots: Vec<(i32, i32)> = (0..16)
            .flat_map(|x| (0..16).map(move |y| (x, y)))
            .filter(|(x, y)| {
                let mut one = Raster::new(8, 4);
                one.dot(*x, *y, 1);
                let at = ((y / 4) * 8 + x / 2) as usize;
                raster.masks[at] & one.masks[at] != 0
            })
            .collect();
        let span = |values: Vec<i32>| values.iter().max().unwrap() - values.iter().min().unwrap();
        assert_eq!(span(dots.iter().map(|dot| dot.0).collect()), span(dots.iter().map(|dot| dot.1).collect()));
        assert_eq!(span(dots.iter().map(|dot| dot.0).collect()), 15);
    }

    #[test]
    fn small_discs_are_single_dots_and_dots_outside_are_dropped() {
        let mut raster = Raster::new(2, 1);
        raster.discs([(0.5, 0.5), (-9.0, 2.0), (3.0, 1e9)].into_iter(), 0.4, 1);
        assert_eq!(lines(&raster, 2, 1, false), ["\u{2801} "]);
        assert_eq!(lines(&raster, 2, 1, true), [". "]);
    }
}
