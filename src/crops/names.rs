//! What does a name mean?
//!
//! A crop or plant answers to its id, its name with or without the part in brackets, its other names and its
//! Latin name, in any case, with spaces, hyphens or underscores, with or without accents, in the singular or the
//! English plural. A word that several crops share means the usual one (`assets/names.ron`). Families answer to their id,
//! their botanical name, older botanical names and what growers call them. Other languages are not understood.

use std::collections::{BTreeMap, HashMap};

use serde::Deserialize;

use super::spelling::{folded, singular_of_last_word, singulars};
use super::{Crop, Family, KnownPlant, PlantRef, SourceText};

/// Words beside the names of crops and families, as `assets/names.ron` has them.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Words {
    /// What a bare word means that several entries share.
    pub(super) usual: Meanings,
    /// Botanical names that older books use.
    pub(super) old_families: Meanings,
    /// What growers call a whole botanical family.
    pub(super) common_families: CommonFamilies,
    /// What ground is called on which nothing grew.
    pub(super) fallow: Fallow,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Fallow {
    pub(super) source: SourceText,
    pub(super) words: Vec<String>,
}

/// Words with the id or botanical family they mean.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Meanings {
    pub(super) source: SourceText,
    pub(super) meanings: BTreeMap<String, String>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommonFamilies {
    pub(super) source: SourceText,
    pub(super) names: Vec<CommonFamily>,
}

/// A word for a botanical family.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommonFamily {
    pub(super) word: String,
    pub(super) family: String,
    /// It means the family without "family" behind it.
    #[serde(default)]
    pub(super) stands_alone: bool,
}

/// Every name of the book, folded, and what it means.
#[derive(Debug, Clone, Default)]
pub(crate) struct NameIndex {
    /// Whose a name is, and how well founded that is: the lower rank wins.
    plant_by_name: HashMap<String, (u8, PlantRef)>,
    pub(super) families_by_name: HashMap<String, Vec<usize>>,
}

/// A name longer than this, in bytes, means nothing and is not compared with anything.
pub(super) const NAME_MAX_BYTES: usize = 200;

impl NameIndex {
    pub(super) fn of(crops: &[Crop], plants: &[KnownPlant], families: &[Family], words: &Words) -> Self {
        let mut index = Self::default();
        index.add_plants(crops, plants, words);
        index.add_families(families, words);
        index
    }

    fn add_plants(&mut self, crops: &[Crop], plants: &[KnownPlant], words: &Words) {
        let crops = crops.iter().enumerate().map(|(idx, crop)| (PlantRef::Crop(idx), crop));
        let plants = plants.iter().enumerate().map(|(idx, plant)| (PlantRef::Known(idx), plant));
        // A garden's own crops stand last among their equals: of equal claims the last one holds.
        let mut claim = |rank: u8, text: &str, whose| {
            let held = self.plant_by_name.entry(folded(text)).or_insert((rank, whose));
            if rank <= held.0 {
                *held = (rank, whose);
            }
        };
        let mut id_of = HashMap::new();
        for (whose, crop) in crops {
            id_of.insert(crop.id.as_str(), whose);
            claim(0, &crop.id, whose);
            claim_name(&mut claim, &crop.name, whose);
            crop.other_names.iter().for_each(|name| claim(4, name, whose));
            claim(7, &crop.short_name, whose);
            claim(8, &crop.latin, whose);
            if let Some(known_as) = &crop.known_as {
                claim(6, known_as, whose);
            }
        }
        for (whose, plant) in plants {
            id_of.insert(plant.id.as_str(), whose);
            claim(1, &plant.id, whose);
            claim_name(&mut claim, &plant.name, whose);
            plant.other_names.iter().for_each(|name| claim(5, name, whose));
            claim(9, &plant.latin, whose);
        }
        for (word, id) in &words.usual.meanings {
            if let Some(&whose) = id_of.get(id.as_str()) {
                claim(3, word, whose);
            }
        }
    }

    fn add_families(&mut self, families: &[Family], words: &Words) {
        let mut add = |name: &str, idx: usize| {
            let families: &mut Vec<usize> = self.families_by_name.entry(name.to_owned()).or_default();
            if !families.contains(&idx) {
                families.push(idx);
            }
        };
        for (idx, family) in families.iter().enumerate() {
            add(&folded(&family.id), idx);
            add(&folded(&family.botanical), idx);
            for common in family.common.split([';', ',']).map(folded) {
                if let Some(word) = common.strip_suffix(" family") {
                    add(&format!("{word}s"), idx);
                } else {
                    add(&format!("{} family", singular_of_last_word(&common)), idx);
                }
                add(&common, idx);
            }
            for (old, botanical) in &words.old_families.meanings {
                if *botanical == family.botanical {
                    add(old, idx);
                }
            }
            let common = words.common_families.names.iter();
            for CommonFamily { word, stands_alone, .. } in common.filter(|name| name.family == family.botanical) {
                add(&format!("{word} family"), idx);
                if *stands_alone {
                    add(word, idx);
                    add(&format!("{word}s"), idx);
                }
            }
        }
    }

    pub(super) fn plant(&self, name: &str) -> Option<PlantRef> {
        if name.len() > NAME_MAX_BYTES {
            return None;
        }
        self.plant_in_one(name).or_else(|| {
            // "Carrot (early)", and the handbooks' "beans, snap": turned round, else without what follows.
            let (before, rest) = name.split_once(['(', ','])?;
            self.plant_in_one(&format!("{rest} {before}")).or_else(|| self.plant_in_one(before))
        })
    }

    fn plant_in_one(&self, name: &str) -> Option<PlantRef> {
        let folded = folded(name);
        if folded.is_empty() {
            return None;
        }
        let look_up = |name: &str| self.plant_by_name.get(name).map(|&(_, whose)| whose);
        look_up(&folded)
            .or_else(|| singulars(&folded).iter().find_map(|one| look_up(one)))
            .or_else(|| look_up(&format!("{folded}s")))
    }
}

/// Claims a name, its halves turned round ("Carrot (early)" is an early carrot) and the part before the bracket.
fn claim_name(claim: &mut impl FnMut(u8, &str, PlantRef), name: &str, whose: PlantRef) {
    claim(2, name, whose);
    if let Some((before, bracket)) = name.split_once('(') {
        let bracket = bracket.trim_end().trim_end_matches(')');
        claim(6, before, whose);
        claim(4, &format!("{bracket} {before}"), whose);
        for part in bracket.split(['/', ',']) {
            claim(6, &format!("{part} {before}"), whose);
        }
    } else if let Some((left, right)) = name.split_once('/') {
        claim(4, left, whose);
        claim(4, right, whose);
    }
}
