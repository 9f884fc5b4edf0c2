//! The rows of a garden's lists: what each holds, what it must hold to by itself, and how it is spoken of.
//!
//! Nothing here knows the lists that the rows stand in: for those see `lists`.

mod of_beds;
mod of_food;
mod of_means;
mod of_plan;
mod of_plantings;
mod own_crop;

use std::fmt;

use serde::{Deserialize, Serialize};

pub use of_beds::*;
pub use of_food::*;
pub use of_means::*;
pub use of_plan::*;
pub(super) use of_plan::{family_table, family_table_of};
pub use of_plantings::*;

use super::naming::Words;
use super::problem::{Place, Problem};

/// A row's number. No two rows of a list have the same.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(transparent)]
pub struct EntryId(pub u32);

impl EntryId {
    /// None yet: that of a row written by hand without one, until [`Garden::number_rows`](super::Garden::number_rows).
    pub const NONE: Self = Self(0);

    /// The number after it.
    #[must_use]
    pub fn next(self) -> Self {
        Self(self.0.saturating_add(1))
    }
}

impl fmt::Display for EntryId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// What an edit does with a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Deed {
    /// It is put in.
    Put,
    /// It is taken out.
    Take,
    /// It is changed.
    Change,
}

/// What only a row itself knows: what it must hold to, and how it is spoken of.
pub trait Tells {
    /// What is wrong with it by itself.
    fn check(&self, place: &Place, out: &mut Vec<Problem>);

    /// What an edit does that puts it in, takes it out or makes it what it is: "give compost to A1".
    fn title(&self, deed: Deed, words: &Words<'_>) -> String;

    /// What it is, among what two gardens differ in: "compost given on 2027-03-01".
    fn what(&self, words: &Words<'_>) -> String;
}
