//! What the names in hazards and follow rules mean: plants, a family, a group.

use crate::crops::{CropBook, FollowRule, PlantRef, RuleSide, SAME_FAMILY};

/// What a name means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning<'a> {
    /// Plants, by their place in the list of kin; more than one bear one name (`onion`).
    Plants(Vec<usize>),
    /// The plants of a group.
    Group(Vec<usize>),
    /// A botanical family by its first word.
    Botanical(&'a str),
    /// One family of the book, by place.
    Family(usize),
}

/// A group that means every food crop that is no legume. Advice about it speaks of no crop in particular: taken as an
/// edge it would put a word against nearly every order of crops, so it gives none.
const MOST_CROPS: &str = "most crops";

/// The first word of a text: `Boraginaceae` of `Boraginaceae (APG IV includes …)`.
pub(super) fn first_word(text: &str) -> &str {
    text.split([' ', '(', ';', ',']).find(|word| !word.is_empty()).unwrap_or("")
}

/// Lower case, blanks for `_` and `-`.
pub(super) fn plain(text: &str) -> String {
    let words = text.split(|letter: char| letter.is_whitespace() || letter == '_' || letter == '-');
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ").to_lowercase()
}

/// Place of a plant in the list of kin: crops, then known plants.
pub(super) fn place(book: &CropBook, plant: PlantRef) -> usize {
    match plant {
        PlantRef::Crop(idx) => idx,
        PlantRef::Known(idx) => book.crops().len() + idx,
    }
}

/// All plants of the book, in order of kin.
pub(super) fn plants(book: &CropBook) -> impl Iterator<Item = PlantRef> + use<> {
    let (n_crops, n_known) = (book.crops().len(), book.plants().len());
    (0..n_crops).map(PlantRef::Crop).chain((0..n_known).map(PlantRef::Known))
}

fn places(book: &CropBook, is_meant: impl Fn(PlantRef) -> bool) -> Vec<usize> {
    plants(book).filter(|&plant| is_meant(plant)).map(|plant| place(book, plant)).collect()
}

/// Plants of that id, or that rules know by it; else the one that any of its names fits.
pub(super) fn plants_named(book: &CropBook, name: &str) -> Vec<usize> {
    let found = places(book, |plant| {
        let id = match plant {
            PlantRef::Crop(idx) => book.crops().get(idx).map(|crop| crop.id.as_str()),
            PlantRef::Known(idx) => book.plants().get(idx).map(|plant| plant.id.as_str()),
        };
        id == Some(name) || book.rotation_id(plant) == name
    });
    if found.is_empty() { book.find(name).map(|plant| place(book, plant)).into_iter().collect() } else { found }
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

/// What one side of a follow rule means; `None` where it speaks of no crop in particular or of something done to the
/// ground.
pub(super) fn side<'a>(book: &'a CropBook, kind: RuleSide, name: &str) -> Option<Meaning<'a>> {
    let meaning = match kind {
        RuleSide::Crop => Meaning::Plants(plants_named(book, name)),
        RuleSide::Family if name == SAME_FAMILY => return None,
        RuleSide::Family => family_named(book, name)?,
        RuleSide::Group if name == MOST_CROPS => return None,
        RuleSide::Group => Meaning::Group(places(book, |plant| book.is_in_group(plant, name))),
        RuleSide::Practice => return None,
    };
    let is_nobody = matches!(&meaning, Meaning::Plants(plants) | Meaning::Group(plants) if plants.is_empty());
    (!is_nobody).then_some(meaning)
}

/// Whether advice that names the same crops on both sides means each after itself: `raspberry; currants` not replanted
/// with `raspberry; currants`. Such advice comes as pairs that share an id.
pub(super) fn is_each_after_itself(rules: &[FollowRule], id: &str) -> bool {
    let own = || rules.iter().filter(|rule| rule.id == id && rule.before_kind == RuleSide::Crop);
    own().count() > 1
        && own()
            .all(|rule| own().any(|other| other.after == rule.before) && own().any(|other| other.before == rule.after))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_brought_to_one_plain_form() {
        assert_eq!(plain("  French_bean-dwarf "), "french bean dwarf");
        assert_eq!(first_word("Boraginaceae (APG IV includes more)"), "Boraginaceae");
    }
}
