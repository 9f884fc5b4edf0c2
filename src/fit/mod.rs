//! Whether two crops share the ground, and until which week.

use crate::crops::Crop;
use crate::growth::Stages;
use crate::units::{Point, Week};

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
    /// Put the joining crop in so many weeks earlier (negative) or later.
    ShiftWeeks(i64),
    /// Set the host at this spacing, in mm.
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
    /// Least distance between stations of the two less the sum of radii, in mm; negative where discs meet.
    pub clearance_mm: f64,
}

/// What sharing comes to.
#[derive(Debug, Clone, PartialEq)]
pub struct FitReport {
    /// The worst week's verdict.
    pub verdict: Verdict,
    /// Greatest share lost over all weeks.
    pub share_lost_max: f64,
    /// Which crop suffers most, if any does.
    pub sufferer: Option<Which>,
    /// Week by week while both stand.
    pub weeks: Vec<WeekFit>,
    /// First week that is not `Fits`.
    pub first_bad_week: Option<Week>,
    /// Stations that lose more than a tenth in the worst week.
    pub n_affected: usize,
    /// Last week in which the quick crop may stand: the week before the first bad one if that is after the start,
    /// or the last week it stands anyway.
    pub out_by_week: Option<Week>,
    /// The nearest change that fits.
    pub nearest_change: Option<Change>,
}

/// Judges two plantings that share ground.
pub fn judge(stands: &Sharer<'_>, joins: &Sharer<'_>) -> FitReport {
    let _ = (stands, joins);
    unimplemented!()
}

/// The land equivalent ratio: Σ yield together ÷ yield alone (Willey 1979).
pub fn land_equivalent_ratio(pairs: &[(f64, f64)]) -> f64 {
    pairs.iter().map(|(together, alone)| together / alone).sum()
}
