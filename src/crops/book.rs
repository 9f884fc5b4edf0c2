//! The crop book with its look-up tables. `loading` puts it together, `look_up` says what a name means in it.

use std::collections::{BTreeMap, HashMap};
use std::sync::OnceLock;

use super::groups;
use super::names::{NameIndex, Words};
use super::{Crop, Family, FollowRule, Hazard, KnownPlant, PlantRef};

/// Everything the book holds, with its look-up tables.
#[derive(Debug, Clone, Default)]
pub struct CropBook {
    pub(super) crops: Vec<Crop>,
    pub(super) families: Vec<Family>,
    pub(super) hazards: Vec<Hazard>,
    pub(super) follow_rules: Vec<FollowRule>,
    pub(super) plants: Vec<KnownPlant>,
    pub(super) crop_idx_by_id: HashMap<String, usize>,
    pub(super) family_idx_by_id: HashMap<String, usize>,
    /// Long sources by key.
    pub(super) sources: BTreeMap<String, String>,
    /// Words that mean a crop or a family beside the names of these.
    pub(super) words: Words,
    /// What every name means; made when a name is first asked for.
    pub(super) names: OnceLock<NameIndex>,
}

impl CropBook {
    /// All crops, in the book's order.
    pub fn crops(&self) -> &[Crop] {
        &self.crops
    }
    /// All families.
    pub fn families(&self) -> &[Family] {
        &self.families
    }
    /// All hazards.
    pub fn hazards(&self) -> &[Hazard] {
        &self.hazards
    }
    /// All follow rules.
    pub fn follow_rules(&self) -> &[FollowRule] {
        &self.follow_rules
    }
    /// Plants known by name and family only.
    pub fn plants(&self) -> &[KnownPlant] {
        &self.plants
    }
    /// The crop of that exact id.
    pub fn crop(&self, id: &str) -> Option<&Crop> {
        self.crop_idx(id).and_then(|idx| self.crops.get(idx))
    }
    /// The place of the crop of that exact id in [`Self::crops`].
    pub fn crop_idx(&self, id: &str) -> Option<usize> {
        self.crop_idx_by_id.get(id).copied()
    }
    /// The family of that exact id.
    pub fn family(&self, id: &str) -> Option<&Family> {
        self.family_idx_by_id.get(id).and_then(|&idx| self.families.get(idx))
    }

    /// Name, latin name and family id of a plant; empty for a place that is not in this book.
    pub fn plant_names(&self, plant: PlantRef) -> (&str, &str, &str) {
        match plant {
            PlantRef::Crop(idx) => {
                self.crops.get(idx).map_or(("", "", ""), |crop| (&crop.name, &crop.latin, &crop.family))
            }
            PlantRef::Known(idx) => {
                self.plants.get(idx).map_or(("", "", ""), |plant| (&plant.name, &plant.latin, &plant.family))
            }
        }
    }

    /// The id of a plant.
    pub fn plant_id(&self, plant: PlantRef) -> &str {
        match plant {
            PlantRef::Crop(idx) => self.crops.get(idx).map_or("", |crop| &crop.id),
            PlantRef::Known(idx) => self.plants.get(idx).map_or("", |plant| &plant.id),
        }
    }

    /// The groups of a plant that orders of crops speak of.
    pub fn groups_of(&self, plant: PlantRef) -> &[String] {
        match plant {
            PlantRef::Crop(idx) => self.crops.get(idx).map_or(&[], |crop| &crop.groups),
            PlantRef::Known(idx) => self.plants.get(idx).map_or(&[], |plant| &plant.groups),
        }
    }

    /// Whether a plant belongs to a group, `most crops` (every food crop that is no legume) and
    /// `next crop` (anything) among them.
    pub fn is_in_group(&self, plant: PlantRef, group: &str) -> bool {
        let own = self.groups_of(plant);
        let has = |group: &str| own.iter().any(|one| one == group);
        match group {
            groups::ANY_CROP => true,
            groups::MOST_CROPS => has(groups::CASH_CROP) && !has(groups::LEGUME_CROP),
            group => has(group),
        }
    }

    /// The id under which hazards and follow rules know a plant.
    pub fn rotation_id(&self, plant: PlantRef) -> &str {
        match plant {
            PlantRef::Crop(idx) => {
                self.crops.get(idx).map_or("", |crop| crop.known_as.as_deref().unwrap_or(crop.id.as_str()))
            }
            PlantRef::Known(idx) => self.plants.get(idx).map_or("", |plant| &plant.id),
        }
    }

    /// The words of a source key, or the text itself if it is no key.
    pub fn source_words<'a>(&'a self, source: &'a str) -> &'a str {
        self.sources.get(source).map_or(source, String::as_str)
    }
}
