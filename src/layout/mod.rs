//! How many stations a layout sets out in a strip, and where.
//!
//! Distances are whole millimetres, so that a 1200 mm bed holds exactly four stations 300 mm apart. Along an extent
//! `L`, with setback `s` from both ends and distance `d`, stand `floor((L - 2s) / d) + 1` stations, none if
//! `L < 2s`; they are centred. The setback is half the distance unless one is given, and the count is then `floor(L / d)`:
//! each plant has its own square. Staggered lines lie √3/2 of the spacing apart, which makes every neighbour equally
//! far; a large bed then holds 2/√3 = 1.155 times the square count (elementary geometry; books print 1.15).
//!
//! [`count`] answers how many without storing a position; [`set_out`] also says where. Both go through the same
//! description, a [`Pattern`].
//!
//! Where the model stops being true: beds are rectangles; paths, posts and corners rounded off are not known.

mod arrange;
mod by_book;
mod lattice;
mod sowing;
#[cfg(test)]
mod tests;

pub use arrange::{Counted, Pattern, count};
pub use by_book::{ByBook, by_book};
pub use lattice::{Lattice, Spread};
pub use sowing::{MODULES_PER_TRAY, SPARE_SHARE, SowingNeed, sowing_density_per_m2, sowing_need};

use crate::garden::{Layout, Run, Side};
use crate::units::{Mm, Point, Rect};

/// Most stations [`set_out`] keeps in memory for one planting. [`count`] has no such limit.
pub const STATIONS_MAX: u64 = 200_000;

/// What a layout gives in one strip.
#[derive(Debug, Clone, PartialEq)]
pub struct SetOut {
    /// Station centres in the bed. For broadcast crops an even lattice of that density stands for the scatter.
    pub stations: Vec<Point>,
    /// Stations; for drills and broadcast sowings the plants.
    pub n_stations: u64,
    /// Stations × clump.
    pub n_plants: u64,
    /// Lines of stations (0 for broadcast).
    pub n_lines: u64,
    /// Plants per m² of the strip.
    pub per_m2: f64,
    /// Which way the lines run (the better of both for grid and offset).
    pub run: Run,
    /// Distance between neighbouring stations, where the layout has one.
    pub spacing_mm: Option<Mm>,
    /// The lattice whose cell centres a `between` layout takes; only grid, offset and rows have one.
    pub cells: Option<Lattice>,
}

/// Why a layout cannot be set out.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum LayoutError {
    /// A distance, density or count outside its range.
    #[error("{what} is {value}; give {least} to {greatest}")]
    OutOfRange {
        /// The quantity.
        what: &'static str,
        /// What it is.
        value: String,
        /// Least allowed.
        least: String,
        /// Greatest allowed.
        greatest: String,
    },
    /// `between` without a host whose stations make cells.
    #[error("between needs a host set out as grid, offset or rows")]
    NoCells,
}

/// Sets out a layout in a strip. `host` is the set-out of the planting a `between` layout names.
///
/// Cost: the number of stations, at most [`STATIONS_MAX`].
///
/// # Errors
/// Distances, densities or counts out of range; a `between` without cells; more than [`STATIONS_MAX`] stations.
pub fn set_out(
    layout: &Layout,
    strip: Rect,
    setback: Option<Mm>,
    clump: u32,
    host: Option<&SetOut>,
) -> Result<SetOut, LayoutError> {
    set_out_in_cells(layout, strip, setback, clump, host.and_then(|host| host.cells))
}

/// The same where only the lattice is known whose cell centres a `between` layout takes, see [`Counted::cells`]: its host need
/// not be set out for it.
///
/// # Errors
/// As [`set_out`].
pub fn set_out_in_cells(
    layout: &Layout,
    strip: Rect,
    setback: Option<Mm>,
    clump: u32,
    cells: Option<Lattice>,
) -> Result<SetOut, LayoutError> {
    let counted = arrange::arrange(layout, strip, setback, clump, cells)?;
    if counted.n_stations > STATIONS_MAX {
        return Err(LayoutError::OutOfRange {
            what: "number of stations in one planting",
            value: counted.n_stations.to_string(),
            least: "0".to_owned(),
            greatest: STATIONS_MAX.to_string(),
        });
    }
    Ok(SetOut {
        stations: counted.stations(),
        n_stations: counted.n_stations,
        n_plants: counted.n_plants,
        n_lines: counted.n_lines,
        per_m2: counted.per_m2,
        run: counted.run,
        spacing_mm: counted.spacing_mm,
        cells: counted.cells(),
    })
}

/// Whether a layout with that setback is set out just as it would be with none given. Without one given, a lattice or a line
/// keeps half its distances from the edges; a broadcast sowing, or a planting in a host's cells, goes right up to them. A drill
/// keeps half a row from the sides and nothing from its ends, so that no single setback is its usual one.
pub fn is_usual_setback(layout: &Layout, setback: Mm) -> bool {
    let is_half_of = |distance: Mm| setback.0.checked_mul(2) == Some(distance.0);
    match *layout {
        Layout::Grid { spacing_mm } | Layout::Offset { spacing_mm } | Layout::Edge { spacing_mm, .. } => {
            is_half_of(spacing_mm)
        }
        Layout::Rows { row_mm, in_row_mm, .. } => is_half_of(row_mm) && is_half_of(in_row_mm),
        Layout::Drill { .. } => false,
        Layout::Between { .. } | Layout::Broadcast { .. } => setback == Mm::ZERO,
    }
}

/// Plants per m² of a wide field: `clump` plants at every `row` × `in_row` rectangle, edges not counted.
///
/// Books print this figure; a bed holds fewer or more according to its edges. Distances in mm, need not be whole.
pub fn field_density_per_m2(row_mm: f64, in_row_mm: f64, clump: u32) -> f64 {
    f64::from(clump) * 1e6 / (row_mm * in_row_mm)
}

/// The ground a layout claims within its strip, for occupancy and rotation: the whole strip; for an edge layout, a band one
/// spacing wide along each chosen edge.
pub fn claimed_ground(layout: &Layout, strip: Rect) -> Vec<Rect> {
    let Layout::Edge { spacing_mm, along } = layout else {
        return vec![strip];
    };
    let band = Mm(spacing_mm.0.max(0));
    let left = Rect { y1: strip.y1.min(strip.y0 + band), ..strip };
    let right = Rect { y0: strip.y0.max(strip.y1 - band), ..strip };
    match along {
        Side::Left => vec![left],
        Side::Right => vec![right],
        Side::Whole if left.y1 >= right.y0 => vec![strip],
        Side::Whole => vec![left, right],
    }
}
