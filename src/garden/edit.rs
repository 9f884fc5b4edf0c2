//! Everything that changes a garden is an [`Edit`] with an exact inverse.

use serde::{Deserialize, Serialize};

use super::{Bed, Entry, EntryId, Garden, Key, Planting, PlantingId, Row, Site};

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
    /// Puts a row into its list; refused if one of its key is there.
    Put(Box<Entry>),
    /// Takes a row out of its list.
    Take(Key),
    /// Puts a row in the place of the one with its key.
    Change(Box<Entry>),
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

impl Edit {
    /// The edit that puts a row into its list under the next free number.
    pub fn adding<R: Row<Key = EntryId>>(mut row: R, garden: &Garden) -> Self {
        *row.key_mut() = garden.next_entry_id::<R>();
        Self::put(row)
    }

    /// The edit that puts a row into its list.
    pub fn put(row: impl Into<Entry>) -> Self {
        Self::Put(Box::new(row.into()))
    }

    /// The edit that puts a row in the place of the one with its key.
    pub fn change(row: impl Into<Entry>) -> Self {
        Self::Change(Box::new(row.into()))
    }
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
