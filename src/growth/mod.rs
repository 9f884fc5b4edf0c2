//! When a planting is sown, planted, picked and cleared, and how much ground it covers.
//!
//! Dates come from the book's calendar; the interface is made so that weather can take its place.

use chrono::NaiveDate;

use crate::crops::{Crop, Raised};
use crate::garden::{PlannedDates, RealDates, Site};

/// The days of one planting's life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stages {
    /// Sown, in place or in modules; `None` for sets, tubers, crowns, slips and cuttings.
    pub sow: Option<NaiveDate>,
    /// Goes into the bed: sown in place or set out.
    pub enters: NaiveDate,
    /// First picked.
    pub first_pick: NaiveDate,
    /// Last picked.
    pub last_pick: NaiveDate,
    /// First day on which its ground is free again; it stands on `enters..clear`.
    pub clear: NaiveDate,
}

/// Why no dates can be worked out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StagesError {
    /// Neither a planned nor a real date to start from.
    #[error("no date to start from: give the day it is sown, planted or first picked")]
    NoDate,
    /// Dates run backwards.
    #[error("{later} on {later_on} is before {earlier} on {earlier_on}")]
    Reversed {
        /// What must come first.
        earlier: &'static str,
        /// Its day.
        earlier_on: NaiveDate,
        /// What must come after.
        later: &'static str,
        /// Its day.
        later_on: NaiveDate,
    },
}

/// Works out dates at one site.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// Months shifted for the southern half of the world.
    pub is_southern: bool,
}

impl Almanac {
    /// The almanac of a site.
    pub fn of_site(site: &Site) -> Self {
        Self { is_southern: site.latitude_deg < 0.0 }
    }

    /// The days of a planting: real before planned before worked out.
    ///
    /// # Errors
    /// No date to start from, or dates that run backwards.
    pub fn stages(
        &self,
        crop: &Crop,
        raised: Raised,
        planned: &PlannedDates,
        real: &RealDates,
    ) -> Result<Stages, StagesError> {
        let _ = (crop, raised, planned, real);
        unimplemented!()
    }

    /// The first day on or after `from` on which books put this crop into the ground, raised that way.
    pub fn next_entry(&self, crop: &Crop, raised: Raised, from: NaiveDate) -> Option<NaiveDate> {
        let _ = (crop, raised, from);
        unimplemented!()
    }

    /// Whether books put this crop into the ground on that day, raised that way.
    pub fn is_in_season(&self, crop: &Crop, raised: Raised, day: NaiveDate) -> bool {
        let _ = (crop, raised, day);
        unimplemented!()
    }
}

/// Share of its ground a planting covers on a day, 0 to 1 (0 outside `enters..clear`).
pub fn cover_on(crop: &Crop, stages: &Stages, day: NaiveDate) -> f64 {
    let _ = (crop, stages, day);
    unimplemented!()
}

/// Radius of a grown plant or clump: half the equidistant spacing the book gives for the crop alone, in mm.
pub fn mature_radius_mm(crop: &Crop) -> f64 {
    let _ = crop;
    unimplemented!()
}

/// Radius on a day: mature radius × √cover, in mm.
pub fn radius_on_mm(crop: &Crop, stages: &Stages, day: NaiveDate) -> f64 {
    mature_radius_mm(crop) * cover_on(crop, stages, day).sqrt()
}
