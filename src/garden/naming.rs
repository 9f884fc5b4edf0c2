//! How things are called in the title of an edit and in a line about what two gardens differ in.

use super::{Planting, PlantingId};
use crate::units::text::cut;

/// How things are called in a title or a line.
#[derive(Clone, Copy)]
pub struct Words<'a> {
    /// The plantings that are called by crop and bed, in order of their numbers; others are called by their numbers.
    pub(super) plantings: &'a [Planting],
    /// The names a book has for crops.
    pub(super) name_of: &'a dyn Fn(&str) -> Option<String>,
}

impl Words<'_> {
    /// A crop by the book's name; where the book has none, by its id.
    pub fn crop(&self, id: &str) -> String {
        (self.name_of)(id).map_or_else(|| self.spelt_out(id), |known| name(&known))
    }

    /// An id as words: `salad-onion` is "salad onion".
    pub fn spelt_out(&self, id: &str) -> String {
        name(&id.replace(['-', '_'], " "))
    }

    /// A name, harmless and short.
    pub fn name(&self, text: &str) -> String {
        name(text)
    }

    /// What stands where: "leek in A1".
    pub fn planting(&self, id: PlantingId) -> String {
        let at = self.plantings.binary_search_by_key(&id, |planting| planting.id).ok();
        match at.and_then(|at| self.plantings.get(at)) {
            Some(planting) => format!("{} in {}", self.crop(&planting.crop), name(&planting.bed)),
            None => format!("planting {id}"),
        }
    }
}

/// A name, harmless and short enough for a title.
pub(super) fn name(text: &str) -> String {
    const N_CHARS: usize = 30;
    cut(text, N_CHARS)
}
