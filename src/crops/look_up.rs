//! What a name means in the book, which crops a few letters may mean, and what comes near a name that is not known.

use std::collections::HashSet;

use strsim::osa_distance;

use super::names::{NAME_MAX_BYTES, NameIndex};
use super::search::retain_best;
use super::spelling::{folded, singulars, without_brackets};
use super::{Crop, CropBook, Hold, Miss, PlantRef, SearchWords};

impl CropBook {
    fn name_index(&self) -> &NameIndex {
        self.names.get_or_init(|| NameIndex::of(&self.crops, &self.plants, &self.families, &self.words))
    }

    /// The crop or plant a name means: id, common name, plural, case, underscore or hyphen.
    pub fn find(&self, name: &str) -> Option<PlantRef> {
        let index = self.name_index();
        index.plant(name).or_else(|| {
            // "Courgettes and marrows": two names of one family stand for the first.
            let (left, right) = [" and ", " or ", " / ", "/", ";"].iter().find_map(|gap| name.split_once(gap))?;
            let (left, right) = (index.plant(left)?, index.plant(right)?);
            (self.plant_names(left).2 == self.plant_names(right).2).then_some(left)
        })
    }

    /// The names that a name which is not known may be a slip of (see `slips`), best first; one name for each plant. None where
    /// none is near: then the plant is missing.
    pub fn nearest_names(&self, name: &str, n: usize) -> Vec<String> {
        let words = SearchWords::of(name);
        let crops =
            self.crops.iter().enumerate().map(|(idx, crop)| (PlantRef::Crop(idx), &crop.name, &crop.other_names));
        let plants =
            self.plants.iter().enumerate().map(|(idx, plant)| (PlantRef::Known(idx), &plant.name, &plant.other_names));
        let mut missed: Vec<(Miss, (&str, PlantRef))> = crops
            .chain(plants)
            .flat_map(|(whose, name, others)| std::iter::once(name).chain(others).map(move |name| (name, whose)))
            .filter_map(|(name, whose)| words.miss_of(name).map(|miss| (miss, (without_brackets(name), whose))))
            .collect();
        retain_best(&mut missed);
        missed.sort_by(|(a, (name_a, _)), (b, (name_b, _))| a.cmp(b).then_with(|| name_a.cmp(name_b)));
        let (mut texts, mut plants) = (HashSet::new(), HashSet::new());
        missed
            .into_iter()
            .filter(|&(_, (shown, whose))| texts.insert(shown) && plants.insert(whose))
            .take(n)
            .map(|(_, (shown, _))| shown.to_owned())
            .collect()
    }

    /// The names of families nearest to one that is not known, best first; one name for each family.
    pub fn nearest_family_names(&self, name: &str, n: usize) -> Vec<String> {
        let asked: String = folded(name).chars().take(NAME_MAX_BYTES).collect();
        let bare = asked.trim_end_matches(" family");
        let edits_to = |known: &str| {
            let whole = osa_distance(&asked, known);
            let word = known.strip_suffix(" family");
            word.map_or(whole, |word| whole.min(osa_distance(bare, word)))
        };
        let by_name = &self.name_index().families_by_name;
        let mut ranked: Vec<(usize, &str, &Vec<usize>)> =
            by_name.iter().map(|(known, families)| (edits_to(known), known.as_str(), families)).collect();
        ranked.sort_unstable();
        let mut told = HashSet::new();
        ranked
            .into_iter()
            .filter(|&(_, _, families)| told.insert(families))
            .take(n)
            .map(|(_, known, _)| known.to_owned())
            .collect()
    }

    /// Whether a history says by this word that nothing grew.
    pub fn is_fallow(&self, word: &str) -> bool {
        word.len() <= NAME_MAX_BYTES && self.words.fallow.words.contains(&folded(word))
    }

    /// Families a name means: an id, a botanical family (all that share it) or a common name.
    pub fn find_families(&self, name: &str) -> Vec<usize> {
        if name.len() > NAME_MAX_BYTES {
            return Vec::new();
        }
        let folded = folded(name);
        let folded = folded.strip_prefix("the ").unwrap_or(&folded);
        let by_name = &self.name_index().families_by_name;
        by_name
            .get(folded)
            .or_else(|| folded.strip_suffix(" family").and_then(|word| by_name.get(word)))
            .or_else(|| singulars(folded).iter().find_map(|one| by_name.get(one)))
            .cloned()
            .unwrap_or_default()
    }

    /// Places in [`Self::crops`] of the crops that a few letters may mean, best first; no letters: all by name.
    ///
    /// Names that hold the letters as words, or as beginnings of words, keep all others out; failing those, names
    /// that hold them in one piece; slips count only where nothing else does.
    pub fn search(&self, letters: &str) -> Vec<usize> {
        if letters.trim().is_empty() {
            let mut all: Vec<(&str, usize)> =
                self.crops.iter().enumerate().map(|(idx, crop)| (crop.name.as_str(), idx)).collect();
            all.sort_unstable();
            return all.into_iter().map(|(_, idx)| idx).collect();
        }
        let words = SearchWords::of(letters);
        // Another plant by its right name is no by-name, no piece and no slip of a crop's: bananas are no shallots, pears no
        // asparagus spears.
        let is_another = matches!(self.find(letters), Some(PlantRef::Known(_)));
        let held = self.search_held(&words, is_another);
        if held.is_empty() && !is_another { self.search_slips(&words) } else { held }
    }

    /// The crops whose names hold the words; `in_own_names`: only those whose own names do, and as words.
    fn search_held(&self, words: &SearchWords, in_own_names: bool) -> Vec<usize> {
        // A crop's own name goes before its other names, those before the Latin one.
        let best_of = |crop: &Crop| {
            let own = words.hold_of(&crop.name).map(|hold| (hold, 0_u8));
            let others = crop.other_names.iter().filter_map(|name| words.hold_of(name)).min().map(|hold| (hold, 1));
            let latin = words.hold_of(&crop.latin).map(|hold| (hold, 2));
            [own, others, latin]
                .into_iter()
                .flatten()
                .min_by_key(|&(hold, whose)| (hold > Hold::Beginnings, whose, hold))
        };
        let mut ranked: Vec<(bool, u8, Hold, &str, usize)> = self
            .crops
            .iter()
            .enumerate()
            .filter_map(|(idx, crop)| {
                let (hold, whose) = best_of(crop)?;
                let counts = !in_own_names || (whose == 0 && hold <= Hold::Beginnings);
                counts.then_some((hold > Hold::Beginnings, whose, hold, crop.name.as_str(), idx))
            })
            .collect();
        ranked.sort_unstable();
        let is_in_pieces = ranked.first().is_some_and(|first| first.0);
        ranked.retain(|one| one.0 == is_in_pieces);
        ranked.into_iter().map(|(.., idx)| idx).collect()
    }

    fn search_slips(&self, words: &SearchWords) -> Vec<usize> {
        let mut ranked: Vec<(Miss, (u8, &str, usize))> = Vec::new();
        for (idx, crop) in self.crops.iter().enumerate() {
            let own = words.miss_of(&crop.name).map(|miss| (miss, 0));
            let others = crop.other_names.iter().filter_map(|name| words.miss_of(name)).min().map(|miss| (miss, 1));
            let latin = words.miss_of(&crop.latin).map(|miss| (miss, 2));
            let best = own.into_iter().chain(others).chain(latin).min();
            ranked.extend(best.map(|(miss, whose)| (miss, (whose, crop.name.as_str(), idx))));
        }
        retain_best(&mut ranked);
        ranked.sort_unstable();
        ranked.into_iter().map(|(_, (.., idx))| idx).collect()
    }
}

#[cfg(test)]
#[path = "names_tests.rs"]
mod tests;
