//! Seeds, modules and trays for a number of stations.

use crate::crops::{Crop, Raised, Seed};

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

/// Modules in a tray (starting value: a common size of tray).
pub const MODULES_PER_TRAY: u64 = 40;

/// Spares sown beyond the plants wanted, as a share of them (starting value).
pub const SPARE_SHARE: f64 = 0.10;

/// Tolerance for rounding errors before a need is rounded up to whole seeds.
const WHOLE_SLACK: f64 = 1e-9;

/// Seeds and modules for a number of stations of `clump` plants.
///
/// Sown crops: plants and their spares ([`SPARE_SHARE`]), divided by germination. In modules the spares are whole modules, each
/// sown for its clump. Sets, tubers, crowns, slips and cuttings: plants divided by the share that establishes, which is the only
/// allowance for losses they get.
pub fn sowing_need(n_stations: u64, clump: u32, seed: &Seed, raised: Raised) -> SowingNeed {
    let share_up = (seed.germination_pct / 100.0).clamp(0.01, 1.0);
    let plants_each = f64::from(clump);
    let with_spares = n_stations as f64 * (1.0 + SPARE_SHARE);
    let (n_modules, n_seeds) = match raised {
        Raised::InPlace => (0, whole_up(with_spares * plants_each / share_up)),
        Raised::Module => {
            let n_modules = whole_up(with_spares);
            (n_modules, whole_up(n_modules as f64 * plants_each / share_up))
        }
        Raised::Set | Raised::Tuber | Raised::Crown | Raised::Slip | Raised::Cutting => {
            (0, whole_up(n_stations as f64 * plants_each / share_up))
        }
    };
    let is_sown = matches!(raised, Raised::InPlace | Raised::Module);
    let seed_g = seed.per_g.filter(|per_g| is_sown && *per_g > 0.0).map(|per_g| n_seeds as f64 / per_g);
    SowingNeed { n_seeds, seed_g, n_modules, n_trays: n_modules.div_ceil(MODULES_PER_TRAY) }
}

/// Plants per m² of a broadcast sowing at the book's weight of seed, such that [`sowing_need`] gives that weight back. `None` if
/// the book has no weight per m² or no seeds per gram.
pub fn sowing_density_per_m2(crop: &Crop) -> Option<f64> {
    let seeds_per_m2 = crop.spacing.sow_g_per_m2? * crop.seed.per_g?;
    let share_up = (crop.seed.germination_pct / 100.0).clamp(0.01, 1.0);
    Some(seeds_per_m2 * share_up / (1.0 + SPARE_SHARE))
}

fn whole_up(n: f64) -> u64 {
    (n * (1.0 - WHOLE_SLACK)).ceil() as u64
}
