//! Why an edit does not apply.

use super::PlantingId;

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
    /// A place outside the walk.
    #[error("there is no place {at} in the walk of the beds")]
    NoPlace {
        /// The place.
        at: usize,
    },
    /// No row of that key.
    #[error("there is no {what} {key}")]
    NoRow {
        /// What a row of the list is called.
        what: &'static str,
        /// The key, in words.
        key: String,
    },
    /// A row of that key is there already.
    #[error("{} {what} {key} already", there_is(.what))]
    RowThere {
        /// What a row of the list is called.
        what: &'static str,
        /// The key, in words.
        key: String,
    },
    /// The garden would not be valid after it.
    #[error("{0}")]
    Invalid(String),
}

fn there_is(what: &str) -> &'static str {
    if what.starts_with(['a', 'e', 'i', 'o', 'u']) { "there is an" } else { "there is a" }
}
