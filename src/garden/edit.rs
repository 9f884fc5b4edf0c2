//! Everything that changes a garden is an [`Edit`] with an exact inverse.

use serde::{Deserialize, Serialize};

use super::{Bed, Entry, EntryId, FamilyReturn, Garden, Key, Planting, PlantingId, Row, Site};

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

    /// The edit that sets the return interval of a family; `None` is the book's usual one. No edit if it is so already.
    pub fn return_after(family: &str, years: Option<u32>, garden: &Garden) -> Option<Self> {
        let row = |years| Box::new(Entry::from(FamilyReturn { family: family.to_owned(), years }));
        match (garden.return_years_of(family), years) {
            (was, is) if was == is => None,
            (_, None) => Some(Self::Take(Key::Return(family.to_owned()))),
            (None, Some(years)) => Some(Self::Put(row(years))),
            (Some(_), Some(years)) => Some(Self::Change(row(years))),
        }
    }
}
