//! Everything that changes a garden is an [`Edit`] with an exact inverse.

use serde::{Deserialize, Serialize};

use super::{Accepted, Bed, HazardSeen, PastCrop, Planting, PlantingId, Site, SoilEntry};

/// One change to a garden.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Edit {
    /// Puts a planting in, at the place its number gives it.
    AddPlanting(Box<Planting>),
    /// Takes a planting out.
    RemovePlanting(PlantingId),
    /// Puts a planting of the same number in the place of what it was.
    ChangePlanting(Box<Planting>),
    /// Puts a bed in at a place of the walk.
    AddBed {
        /// Place in the walk.
        at: usize,
        /// The bed.
        bed: Bed,
    },
    /// Takes a bed out; refused while anything names it.
    RemoveBed(String),
    /// Puts a bed in the place of one; another id is carried to everything that names it.
    ChangeBed {
        /// The id it had.
        id: String,
        /// What it becomes.
        bed: Bed,
    },
    /// Puts a past crop in.
    AddPast {
        /// Place in the list.
        at: usize,
        /// The past crop.
        past: PastCrop,
    },
    /// Takes a past crop out.
    RemovePast {
        /// Place in the list.
        at: usize,
    },
    /// Puts a hazard in.
    AddHazard {
        /// Place in the list.
        at: usize,
        /// The hazard.
        seen: HazardSeen,
    },
    /// Takes a hazard out.
    RemoveHazard {
        /// Place in the list.
        at: usize,
    },
    /// Puts an entry into the soil log.
    AddSoil {
        /// Place in the list.
        at: usize,
        /// The entry.
        entry: SoilEntry,
    },
    /// Takes an entry out of the soil log.
    RemoveSoil {
        /// Place in the list.
        at: usize,
    },
    /// Accepts a finding.
    Accept {
        /// Place in the list.
        at: usize,
        /// What is accepted, and why.
        accepted: Accepted,
    },
    /// Takes an acceptance back.
    Unaccept {
        /// Place in the list.
        at: usize,
    },
    /// Sets the return interval of a family; `None` is the book's usual one.
    SetReturn {
        /// The family's id.
        family: String,
        /// Years from one crop of the family to the next; 0 leaves it out of rotation.
        years: Option<u32>,
    },
    /// Changes the site.
    SetSite(Site),
    /// Renames the garden.
    Rename(String),
    /// Several edits, done and undone as one.
    Several {
        /// What the whole is, for undo: "move leek to B2".
        title: String,
        /// In order.
        edits: Vec<Edit>,
    },
}

/// Why an edit does not apply.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum EditError {
    /// No planting of that number.
    #[error("there is no planting {0}")]
    NoPlanting(PlantingId),
    /// A planting of that number is there already.
    #[error("there is a planting {0} already")]
    PlantingThere(PlantingId),
    /// No bed of that id.
    #[error("there is no bed `{0}`")]
    NoBed(String),
    /// A bed of that id is there already.
    #[error("there is a bed `{0}` already")]
    BedThere(String),
    /// The bed is still named by plantings or history.
    #[error("bed `{bed}` is still named by {by}; take these out first")]
    BedInUse {
        /// The bed.
        bed: String,
        /// What names it.
        by: String,
    },
    /// A place outside its list.
    #[error("there is no {list} number {at}")]
    NoPlace {
        /// The list.
        list: &'static str,
        /// The place.
        at: usize,
    },
    /// The garden would not be valid after it.
    #[error("{0}")]
    Invalid(String),
}
