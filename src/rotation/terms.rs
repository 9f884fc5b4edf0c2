//! What the names in hazards and follow rules mean: plants, a family, a group.

use std::collections::HashMap;

use crate::crops::{CropBook, FollowRule, PlantRef, RuleSide, SAME_FAMILY, groups};

/// What a name means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning<'a> {
    /// Plants, by their places in the list of taxa; several if they share the name (`onion`).
    Plants(Vec<usize>),
    /// The plants of a group.
    Group(Vec<usize>),
    /// A botanical family by its first word.
    Botanical(&'a str),
    /// One family of the book, by place.
    Family(usize),
}

/// The first word of a text: `Boraginaceae` of `Boraginaceae (APG IV includes …)`.
pub(super) fn first_word(text: &str) -> &str {
    text.split([' ', '(', ';', ',']).find(|word| !word.is_empty()).unwrap_or("")
}

/// All plants of the book, in the order of the taxa.
pub(super) fn plants(book: &CropBook) -> impl Iterator<Item = PlantRef> + use<> {
    let (n_crops, n_known) = (book.crops().len(), book.plants().len());
    (0..n_crops).map(PlantRef::Crop).chain((0..n_known).map(PlantRef::Known))
}

/// Plants by the names under which rules and hazards know them; made once for a book.
#[derive(Debug)]
pub(super) struct Names<'a> {
    book: &'a CropBook,
    by_id: HashMap<&'a str, Vec<usize>>,
    by_group: HashMap<&'a str, Vec<usize>>,
}

impl<'a> Names<'a> {
    pub(super) fn of_book(book: &'a CropBook) -> Self {
        let mut by_id: HashMap<&str, Vec<usize>> = HashMap::new();
        let mut by_group: HashMap<&str, Vec<usize>> = HashMap::new();
        for (place, plant) in plants(book).enumerate() {
            let id = match plant {
                PlantRef::Crop(idx) => book.crops().get(idx).map_or("", |crop| &crop.id),
                PlantRef::Known(idx) => book.plants().get(idx).map_or("", |plant| &plant.id),
            };
            by_id.entry(id).or_default().push(place);
            let known_as = book.rotation_id(plant);
            if known_as != id {
                by_id.entry(known_as).or_default().push(place);
            }
            for group in book.groups_of(plant) {
                by_group.entry(group).or_default().push(place);
            }
        }
        Self { book, by_id, by_group }
    }

    /// Plants of that id, or that rules know by it.
    pub(super) fn plants(&self, name: &str) -> Vec<usize> {
        self.by_id.get(name).cloned().unwrap_or_default()
    }

    fn group(&self, name: &str) -> Vec<usize> {
        if name == groups::ANY_CROP {
            return (0..plants(self.book).count()).collect();
        }
        self.by_group.get(name).cloned().unwrap_or_default()
    }

    /// What one side of a follow rule means; `None` where it speaks of no crop in particular or of something done to
    /// the ground.
    pub(super) fn side(&self, kind: RuleSide, name: &str) -> Option<Meaning<'a>> {
        let meaning = match kind {
            RuleSide::Crop => Meaning::Plants(self.plants(name)),
            RuleSide::Family if name == SAME_FAMILY => return None,
            RuleSide::Family => family_named(self.book, name)?,
            // As an edge it would put a word against nearly every order of crops.
            RuleSide::Group if name == groups::MOST_CROPS => return None,
            RuleSide::Group => Meaning::Group(self.group(name)),
            RuleSide::Practice => return None,
        };
        let is_nobody = matches!(&meaning, Meaning::Plants(plants) | Meaning::Group(plants) if plants.is_empty());
        (!is_nobody).then_some(meaning)
    }
}

/// A botanical family, or a family of the book by its id.
pub(super) fn family_named<'a>(book: &'a CropBook, name: &str) -> Option<Meaning<'a>> {
    let botanical = |idx: usize| book.families().get(idx).map(|family| first_word(&family.botanical));
    let by_botanical = (0..book.families().len()).find(|&idx| botanical(idx) == Some(name));
    match by_botanical.and_then(botanical) {
        Some(botanical) => Some(Meaning::Botanical(botanical)),
        None => book.families().iter().position(|family| family.id == name).map(Meaning::Family),
    }
}

/// Whether advice that names the same crops on both sides means each crop after itself: `raspberry; currants` not replanted with
/// `raspberry; currants`. Such advice comes as pairs that share an id; `pairs` are those of one id.
pub(super) fn is_each_after_itself(pairs: &[FollowRule]) -> bool {
    let is_of_crops = |rule: &FollowRule| rule.before_kind == RuleSide::Crop && rule.after_kind == RuleSide::Crop;
    pairs.len() > 1
        && pairs.iter().all(|rule| {
            is_of_crops(rule)
                && pairs.iter().any(|other| other.after == rule.before)
                && pairs.iter().any(|other| other.before == rule.after)
        })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_family_goes_by_its_first_word() {
        assert_eq!(first_word("Boraginaceae (APG IV includes more)"), "Boraginaceae");
    }
}
