//! What a bed is worked out from, and which plantings and records belong to which bed.

use std::collections::HashMap;
use std::sync::Arc;

use crate::crops::CropBook;
use crate::garden::{Bed, Garden, Planting, PlantingId, RealDates};
use crate::growth::Almanac;
use crate::rotation::{CropGraph, Policy, Taxon};

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
        self.garden.plantings_of(ids).collect()
    }

    /// What really happened to a planting.
    pub fn real(self, id: PlantingId) -> RealDates {
        self.index.real.get(&id).copied().unwrap_or_default()
    }

    /// What a past crop's name means, none for fallow, several where families share a name; `None` if the book does not
    /// know it.
    pub fn past_taxon(self, what: &str) -> Option<Vec<Taxon>> {
        // Names put in since the garden was read through are few: they are looked up as they come.
        self.index.past_taxon.get(what).cloned().unwrap_or_else(|| taxon_named(self.book, what))
    }
}

/// What a name in a history means. A family's name that several of the book's families share means each of them:
/// `Solanaceae` may have been potatoes or tomatoes.
fn taxon_named(book: &CropBook, what: &str) -> Option<Vec<Taxon>> {
    if book.is_fallow(what) {
        return Some(Vec::new());
    }
    if let Some(plant) = book.find(what) {
        return Some(vec![Taxon::Plant(plant)]);
    }
    let families = book.find_families(what);
    (!families.is_empty()).then(|| families.into_iter().map(Taxon::Family).collect())
}

/// The records that name one bed.
#[derive(Debug, Clone, Default, PartialEq)]
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

/// Look-up tables of a garden. Copies share each table until one of them changes it.
#[derive(Debug, Clone, Default)]
pub(super) struct Index {
    /// A bed's place in the walk by its id.
    pub bed_idx_by_id: Arc<HashMap<String, usize>>,
    /// By the bed's place.
    pub beds: Vec<Arc<BedRecords>>,
    /// Places in the list of acceptances, by the planting they are about.
    pub accepted: Arc<HashMap<PlantingId, Vec<usize>>>,
    /// What really happened, by planting.
    real: Arc<HashMap<PlantingId, RealDates>>,
    /// What the names of past crops mean.
    past_taxon: Arc<HashMap<String, Option<Vec<Taxon>>>>,
    pub worth: Arc<Worth>,
}

/// What there is to gain by a crop, by its place in the book.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Worth {
    /// What all households together want.
    pub wanted_g_per_week: HashMap<usize, u64>,
    /// The first price, in minor units.
    pub minor_per_kg: HashMap<usize, u32>,
}

/// Only what two gardens alike have in common: names of past crops are looked up as they come.
impl PartialEq for Index {
    fn eq(&self, other: &Self) -> bool {
        self.bed_idx_by_id == other.bed_idx_by_id
            && self.beds == other.beds
            && self.accepted == other.accepted
            && self.worth == other.worth
    }
}

impl Index {
    /// Reads a garden through once.
    pub fn of_garden(garden: &Garden, book: &CropBook) -> Self {
        let mut index = Self::default();
        index.reread_beds(garden);
        index.reread_records(garden);
        index.real = Arc::new(garden.real_dates_by_planting());
        let mut past_taxon = HashMap::new();
        for past in &garden.past {
            if !past_taxon.contains_key(&past.what) {
                past_taxon.insert(past.what.clone(), taxon_named(book, &past.what));
            }
        }
        index.past_taxon = Arc::new(past_taxon);
        index.reread_worth(garden, book);
        index
    }

    /// Reads what households want and what crops are worth anew.
    pub fn reread_worth(&mut self, garden: &Garden, book: &CropBook) {
        let mut worth = Worth::default();
        for (crop, g_per_week) in garden.households.iter().flat_map(|household| &household.wants_g_per_week) {
            if let Some(crop_idx) = book.crop_idx(crop) {
                *worth.wanted_g_per_week.entry(crop_idx).or_default() += u64::from(*g_per_week);
            }
        }
        for price in &garden.prices {
            if let Some(crop_idx) = book.crop_idx(&price.crop) {
                worth.minor_per_kg.entry(crop_idx).or_insert(price.minor_per_kg);
            }
        }
        self.worth = Arc::new(worth);
    }

    /// Reads beds and their plantings anew; their records are to be read after it.
    pub fn reread_beds(&mut self, garden: &Garden) {
        let places: HashMap<String, usize> =
            garden.beds.iter().enumerate().map(|(idx, bed)| (bed.id.clone(), idx)).collect();
        let mut beds = vec![BedRecords::default(); garden.beds.len()];
        for planting in &garden.plantings {
            if let Some(records) = places.get(&planting.bed).and_then(|&bed_idx| beds.get_mut(bed_idx)) {
                records.plantings.push(planting.id);
            }
        }
        self.bed_idx_by_id = Arc::new(places);
        self.beds = beds.into_iter().map(Arc::new).collect();
    }

    /// Reads past crops, hazards, soil log and acceptances anew.
    pub fn reread_records(&mut self, garden: &Garden) {
        for records in &mut self.beds {
            if !(records.past.is_empty() && records.seen.is_empty() && records.soil.is_empty()) {
                let records = Arc::make_mut(records);
                records.past.clear();
                records.seen.clear();
                records.soil.clear();
            }
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
        let mut accepted: HashMap<PlantingId, Vec<usize>> = HashMap::new();
        for (idx, entry) in garden.accepted.iter().enumerate() {
            accepted.entry(entry.planting).or_default().push(idx);
        }
        self.accepted = Arc::new(accepted);
    }

    /// Reads anew what happened to these plantings, given in order of their numbers.
    pub fn reread_real(&mut self, garden: &Garden, ids: &[PlantingId]) {
        if ids.is_empty() {
            return;
        }
        let real = Arc::make_mut(&mut self.real);
        for id in ids {
            real.remove(id);
        }
        real.extend(garden.real_dates_of(ids));
    }

    /// Files one planting under the bed it is in now (or under none), and no longer under any of those it may have been in.
    pub fn refile(&mut self, id: PlantingId, was_in: &[usize], is_in: Option<usize>) {
        for &bed_idx in was_in.iter().filter(|&&bed_idx| Some(bed_idx) != is_in) {
            if let Some(records) = self.beds.get_mut(bed_idx)
                && let Ok(place) = records.plantings.binary_search(&id)
            {
                Arc::make_mut(records).plantings.remove(place);
            }
        }
        if let Some(records) = is_in.and_then(|bed_idx| self.beds.get_mut(bed_idx))
            && let Err(place) = records.plantings.binary_search(&id)
        {
            Arc::make_mut(records).plantings.insert(place, id);
        }
    }

    fn records_mut(&mut self, bed_id: &str) -> Option<&mut BedRecords> {
        let bed_idx = *self.bed_idx_by_id.get(bed_id)?;
        self.beds.get_mut(bed_idx).map(Arc::make_mut)
    }
}
