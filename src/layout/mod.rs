//! How many stations a layout sets out in a strip, and where.

use crate::crops::{Raised, Seed};
use crate::garden::Layout;
use crate::units::{Mm, Point, Rect};

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
    pub run: crate::garden::Run,
    /// Distance between neighbouring stations, where the layout has one.
    pub spacing_mm: Option<Mm>,
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
/// # Errors
/// Distances, densities or counts out of range; a `between` without cells.
pub fn set_out(
    layout: &Layout,
    strip: Rect,
    setback: Option<Mm>,
    clump: u32,
    host: Option<&SetOut>,
) -> Result<SetOut, LayoutError> {
    let _ = (layout, strip, setback, clump, host);
    unimplemented!()
}

/// The ground a layout claims within its strip, for occupancy and rotation: the strip, or for an
/// edge layout a band one spacing wide along each chosen edge.
pub fn claimed_ground(layout: &Layout, strip: Rect) -> Vec<Rect> {
    let _ = (layout, strip);
    unimplemented!()
}

/// What has to be sown or bought for a number of plants.
#[derive(Debug, Clone, PartialEq)]
pub struct SowingNeed {
    /// Seeds, sets, tubers or plants, spares included.
    pub n_seeds: u64,
    /// Weight of the seed, where the book counts seeds in a gram.
    pub seed_g: Option<f64>,
    /// Modules to fill, spares included (0 if not raised in modules).
    pub n_modules: u64,
    /// Trays of [`MODULES_PER_TRAY`].
    pub n_trays: u64,
}

/// Modules in a tray.
pub const MODULES_PER_TRAY: u64 = 40;

/// Seeds and modules for so many stations of `clump` plants.
pub fn sowing_need(n_stations: u64, clump: u32, seed: &Seed, raised: Raised) -> SowingNeed {
    let _ = (n_stations, clump, seed, raised);
    unimplemented!()
}
