//! Whether two crops share the ground, and until which week.
//!
//! Every plant is a disc about its station. Its radius is half the equidistant spacing that the book gives for the crop alone,
//! times the root of its ground cover that day ([`crate::growth`]). In each ISO week in which both crops stand, on the last day
//! of it on which they do, each station loses the share of its own disc that lies in discs of the other crop, overlaps counted
//! once. The areas are exact (circle geometry), except that in dense scatters only an even selection of stations is weighed, and
//! that among very many neighbours a raster of each disc is counted. A loss of up to a tenth fits, up to a quarter is tight, more
//! crowds: starting values, after the habit of growers who let plants touch but not lean on one another.
//!
//! Where the model stops being true: light and water are not weighed, roots are taken to reach as far as leaves, and a tall crop
//! shades beyond its disc. Plants of one crop that are set closer than the book advises crowd each other; that is not judged
//! here.

mod discs;
mod judge;
mod neighbours;
mod share;
#[cfg(test)]
mod tests;

pub use discs::lens_area;
pub use judge::{HostGround, judge, judge_on_ground, judge_weeks, judge_with_change, least_work};
pub use share::{estimate_land_equivalent_ratio, land_equivalent_ratio};

use crate::crops::Crop;
use crate::growth::Stages;
use crate::units::{Point, Week};

/// Greatest share of its disc a station may lose and still fit (starting value).
pub const FITS_MAX: f64 = 0.10;

/// Greatest share of its disc a station may lose before it is crowded (starting value).
pub const TIGHT_MAX: f64 = 0.25;

/// The three verdicts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Verdict {
    /// No station loses more than a tenth of its disc.
    Fits,
    /// Up to a quarter.
    Tight,
    /// More.
    Crowds,
}

impl Verdict {
    /// The verdict on the greatest share lost.
    pub fn of_share(share_lost_max: f64) -> Self {
        if share_lost_max <= FITS_MAX {
            Self::Fits
        } else if share_lost_max <= TIGHT_MAX {
            Self::Tight
        } else {
            Self::Crowds
        }
    }
}

/// One of the plantings that share ground.
#[derive(Debug, Clone, Copy)]
pub struct Sharer<'a> {
    /// The crop.
    pub crop: &'a Crop,
    /// Its stations in the bed.
    pub stations: &'a [Point],
    /// Its days.
    pub stages: Stages,
}

/// Which of the two.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Which {
    /// The one that stands.
    Stands,
    /// The one that joins.
    Joins,
}

/// The nearest change that would make it fit.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// Clear the quick crop by the end of that week.
    OutBy(Which, Week),
    /// Put the joining crop in this many weeks earlier (negative) or later.
    ShiftWeeks(i64),
    /// Set the host at this spacing, in mm (its rows at this distance, if it stands in rows).
    WidenHost(i32),
}

/// One week of sharing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeekFit {
    /// The week.
    pub week: Week,
    /// The verdict of that week.
    pub verdict: Verdict,
    /// Greatest share of its disc that a station of either crop loses.
    pub share_lost_max: f64,
    /// Stations of both that lose more than a tenth.
    pub n_affected: usize,
    /// Least distance between stations of the two, less the sum of their radii, in mm; negative where discs meet.
    pub clearance_mm: f64,
}

/// What sharing comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct FitReport {
    /// The worst week's verdict.
    pub verdict: Verdict,
    /// Greatest share lost over all weeks.
    pub share_lost_max: f64,
    /// Which crop suffers most, if a station of either loses more than a tenth.
    pub sufferer: Option<Which>,
    /// Week by week while both stand; empty if they never stand together or one has no stations.
    pub weeks: Vec<WeekFit>,
    /// First week that is not `Fits`.
    pub first_bad_week: Option<Week>,
    /// First week of the greatest share lost; `None` if no station ever loses any.
    pub worst_week: Option<Week>,
    /// Stations that lose more than a tenth in the worst week.
    pub n_affected: usize,
    /// Last week in which the quick crop (the one cleared first) may stand: the week before the first bad one, if both stand then
    /// and the quick crop has had at least half its days to first pick by then; if no week is bad, the last week it stands.
    /// `None` if it is bad too early for that, or if the two never meet.
    pub out_by_week: Option<Week>,
    /// The nearest change that fits; `None` if it fits already or no change within reach does.
    pub nearest_change: Option<Change>,
}
