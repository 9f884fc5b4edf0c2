//! What a bed is worked out from, and which plantings and records belong to which bed.

use std::collections::HashMap;

use crate::crops::CropBook;
use crate::garden::{Bed, Edit, Garden, List, Planting, PlantingId, Reaches};
use crate::growth::Almanac;
use crate::rotation::{CropGraph, Kin, Policy};

/// Everything that is only read while beds are worked out.
#[derive(Clone, Copy)]
pub(super) struct Inputs<'a> {
    pub garden: &'a Garden,
    pub book: &'a CropBook,
    pub graph: &'a CropGraph,
    pub almanac: &'a Almanac,
    pub policy: &'a Policy,
    pub index: &'a Index,
}

impl<'a> Inputs<'a> {
    /// A bed by its place in the walk.
    pub fn bed(self, bed_idx: usize) -> Option<&'a Bed> {
        self.garden.beds.get(bed_idx)
    }

    /// The plantings of a bed, by number.
    pub fn plantings(self, bed_idx: usize) -> Vec<&'a Planting> {
        let ids = self.index.beds.get(bed_idx).map_or(&[][..], |records| &records.plantings);
        ids.iter().filter_map(|&id| self.garden.planting(id)).collect()
    }

    /// What a past crop's name means, none for fallow, several where families share a name; `None` if the book does not
    /// know it.
    pub fn past_kin(self, what: &str) -> Option<Vec<Kin>> {
        // Names put in since the garden was read through are few: they are looked up as they come.
        self.index.past_kin.get(what).cloned().unwrap_or_else(|| kin_named(self.book, what))
    }
}

/// What a name in a history means. A family's name that several of the book's families share means each of them:
/// `Solanaceae` may have been potatoes or tomatoes.
fn kin_named(book: &CropBook, what: &str) -> Option<Vec<Kin>> {
    if ["fallow", "bare", "bare fallow", "bare-fallow"].contains(&what.trim().to_lowercase().as_str()) {
        return Some(Vec::new());
    }
    if let Some(plant) = book.find(what) {
        return Some(vec![Kin::Plant(plant)]);
    }
    let families = book.find_families(what);
    (!families.is_empty()).then(|| families.into_iter().map(Kin::Family).collect())
}

/// The records that name one bed.
#[derive(Debug, Clone, Default)]
pub(super) struct BedRecords {
    /// Plantings, ascending.
    pub plantings: Vec<PlantingId>,
    /// Places in the list of past crops.
    pub past: Vec<usize>,
    /// Places in the list of hazards seen.
    pub seen: Vec<usize>,
    /// Places in the soil log.
    pub soil: Vec<usize>,
}

/// Look-up tables of a garden.
#[derive(Debug, Clone, Default)]
pub(super) struct Index {
    /// A bed's place in the walk by its id.
    pub bed_idx_by_id: HashMap<String, usize>,
    /// By the bed's place.
    pub beds: Vec<BedRecords>,
    /// Places in the list of acceptances, by the planting they are about.
    pub accepted: HashMap<PlantingId, Vec<usize>>,
    /// What the names of past crops mean.
    past_kin: HashMap<String, Option<Vec<Kin>>>,
    /// What all households together want of a crop of the book.
    pub wanted_g_per_week: HashMap<usize, u64>,
    /// The first price of a crop of the book, in minor units.
    pub minor_per_kg: HashMap<usize, u32>,
}

impl Index {
    /// Reads a garden through once.
    pub fn of_garden(garden: &Garden, book: &CropBook) -> Self {
        let mut index = Self::default();
        index.reread_beds(garden);
        index.reread_records(garden);
        for past in &garden.past {
            if !index.past_kin.contains_key(&past.what) {
                index.past_kin.insert(past.what.clone(), kin_named(book, &past.what));
            }
        }
        index.reread_worth(garden, book);
        index
    }

    /// Reads what households want and what crops are worth anew.
    pub fn reread_worth(&mut self, garden: &Garden, book: &CropBook) {
        (self.wanted_g_per_week, self.minor_per_kg) = Default::default();
        for (crop, g_per_week) in garden.households.iter().flat_map(|household| &household.wants_g_per_week) {
            if let Some(crop_idx) = book.crop_idx(crop) {
                *self.wanted_g_per_week.entry(crop_idx).or_default() += u64::from(*g_per_week);
            }
        }
        for price in &garden.prices {
            if let Some(crop_idx) = book.crop_idx(&price.crop) {
                self.minor_per_kg.entry(crop_idx).or_insert(price.minor_per_kg);
            }
        }
    }

    /// Reads beds and their plantings anew.
    pub fn reread_beds(&mut self, garden: &Garden) {
        self.bed_idx_by_id = garden.beds.iter().enumerate().map(|(idx, bed)| (bed.id.clone(), idx)).collect();
        self.beds = vec![BedRecords::default(); garden.beds.len()];
        for planting in &garden.plantings {
            if let Some(records) = self.records_mut(&planting.bed) {
                records.plantings.push(planting.id);
            }
        }
    }

    /// Reads past crops, hazards, soil log and acceptances anew.
    pub fn reread_records(&mut self, garden: &Garden) {
        for records in &mut self.beds {
            records.past.clear();
            records.seen.clear();
            records.soil.clear();
        }
        for (idx, past) in garden.past.iter().enumerate() {
            if let Some(records) = self.records_mut(&past.bed) {
                records.past.push(idx);
            }
        }
        for (idx, seen) in garden.hazards_seen.iter().enumerate() {
            if let Some(records) = self.records_mut(&seen.bed) {
                records.seen.push(idx);
            }
        }
        for (idx, entry) in garden.soil_log.iter().enumerate() {
            if let Some(records) = self.records_mut(&entry.bed) {
                records.soil.push(idx);
            }
        }
        self.accepted.clear();
        for (idx, accepted) in garden.accepted.iter().enumerate() {
            self.accepted.entry(accepted.planting).or_default().push(idx);
        }
    }

    /// Files one planting under the bed it is in now (or under none).
    pub fn refile(&mut self, id: PlantingId, was_in: Option<usize>, is_in: Option<usize>) {
        if let Some(records) = was_in.and_then(|bed_idx| self.beds.get_mut(bed_idx))
            && let Ok(place) = records.plantings.binary_search(&id)
        {
            records.plantings.remove(place);
        }
        if let Some(records) = is_in.and_then(|bed_idx| self.beds.get_mut(bed_idx))
            && let Err(place) = records.plantings.binary_search(&id)
        {
            records.plantings.insert(place, id);
        }
    }

    fn records_mut(&mut self, bed_id: &str) -> Option<&mut BedRecords> {
        let bed_idx = *self.bed_idx_by_id.get(bed_id)?;
        self.beds.get_mut(bed_idx)
    }
}

/// What an edit means for the look-up tables and for results that stay.
#[derive(Debug, Clone, Default)]
pub(super) struct Reach {
    /// Plantings put in, taken out or changed, and those that acceptances speak of.
    pub plantings: Vec<PlantingId>,
    /// Beds it names.
    pub bed_ids: Vec<String>,
    /// Beds are put in, taken out or renamed.
    pub is_walk_changed: bool,
    /// Rows that name a bed or a planting change.
    pub is_record_changed: bool,
    /// What households want or what it is worth changes.
    pub is_worth_changed: bool,
    /// The garden's own crops change, and so the book.
    pub is_book_changed: bool,
    /// Every bed depends on it.
    pub is_all: bool,
}

impl Reach {
    /// Reads an edit.
    pub fn of_edit(edit: &Edit) -> Self {
        let mut reach = Self::default();
        reach.read(edit);
        reach
    }

    /// Adds what the inverse names: the beds and plantings of rows taken out, those that a row named before.
    pub fn add_names_of(&mut self, inverse: &Edit) {
        let inverse = Self::of_edit(inverse);
        self.plantings.extend(inverse.plantings);
        self.bed_ids.extend(inverse.bed_ids);
        self.plantings.sort_unstable();
        self.plantings.dedup();
        self.bed_ids.sort_unstable();
        self.bed_ids.dedup();
    }

    fn read(&mut self, edit: &Edit) {
        self.is_walk_changed |= matches!(edit, Edit::AddBed { .. } | Edit::RemoveBed(_) | Edit::ChangeBed { .. });
        match edit {
            Edit::AddPlanting(planting) | Edit::ChangePlanting(planting) => self.plantings.push(planting.id),
            Edit::RemovePlanting(id) => self.plantings.push(*id),
            Edit::AddBed { bed, .. } => self.bed_ids.push(bed.id.clone()),
            Edit::RemoveBed(id) => self.bed_ids.push(id.clone()),
            Edit::ChangeBed { id, bed } => self.bed_ids.extend([id.clone(), bed.id.clone()]),
            Edit::Put(entry) | Edit::Change(entry) => {
                self.read_list(entry.list());
                if entry.list().about().reaches == Reaches::Named {
                    self.bed_ids.extend(entry.bed().map(str::to_owned));
                    self.plantings.extend(entry.planting());
                }
            }
            // What the row named is in the inverse.
            Edit::Take(key) => self.read_list(key.list()),
            Edit::SetSite(_) => self.is_all = true,
            Edit::Rename(_) => {}
            Edit::Several { edits, .. } => edits.iter().for_each(|edit| self.read(edit)),
        }
    }

    fn read_list(&mut self, list: List) {
        match list.about().reaches {
            Reaches::Named => self.is_record_changed = true,
            Reaches::Wants => self.is_worth_changed = true,
            Reaches::Book => self.is_book_changed = true,
            Reaches::Everything => self.is_all = true,
            Reaches::Nothing => {}
        }
    }
}
