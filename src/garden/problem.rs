//! Something that does not hold together in a garden, and where.

use std::fmt;

use super::{PlantingId, limits};
use crate::units::text::cut;

/// Where in a garden something is wrong.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Place {
    /// In the garden's own fields.
    Garden,
    /// In a bed.
    Bed {
        /// Its place in the walk.
        at: usize,
        /// Its id.
        id: String,
    },
    /// In a planting.
    Planting(PlantingId),
    /// In an entry of another list.
    Entry {
        /// The field of the garden that holds the list.
        list: &'static str,
        /// Its place in the list, from 0.
        at: usize,
    },
}

/// A bed or planting by its name, an entry by its number from 1.
impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Garden => f.write_str("the garden"),
            Self::Bed { id, .. } => write!(f, "bed {}", cut(id, limits::BED_ID_CHARS)),
            Self::Planting(id) => write!(f, "planting {id}"),
            Self::Entry { list, at } => write!(f, "entry {} of {list}", at + 1),
        }
    }
}

/// Something that does not hold together.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where.
    pub place: Place,
    /// The field, as the file names it; a dot leads into a field's own fields (`planned.clear`); empty for the whole.
    pub field: &'static str,
    /// What is wrong: lower case, no full stop.
    pub message: String,
    /// What to do.
    pub hint: String,
}

impl Problem {
    /// Place, message and hint in one line.
    pub fn sentence(&self) -> String {
        format!("{}: {}; {}", self.place, self.message, self.hint)
    }
}

/// Problems after which a garden is looked at no further.
pub(super) const N_PROBLEMS_MOST: usize = 1_000;

pub(super) fn problem(place: Place, field: &'static str, message: String, hint: impl Into<String>) -> Problem {
    Problem { place, field, message, hint: hint.into() }
}

pub(super) fn no_bed(place: Place, bed: &str) -> Problem {
    let message = format!("there is no bed `{}`", quoted(bed));
    problem(place, "bed", message, "name a bed of this garden, or add that bed")
}

/// A piece of a text from a file, harmless and short, for a message.
pub(super) fn quoted(text: &str) -> String {
    const N_CHARS: usize = 40;
    cut(text, N_CHARS)
}
