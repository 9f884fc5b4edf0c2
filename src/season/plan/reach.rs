//! What an edit reaches: the beds and the look-up tables that are to be worked out anew after it.
//!
//! This is the one place that says so. It is read off the edit and the garden before and after it: whatever the edit names by a number,
//! a key or an id belongs to a bed in the one, in the other, or in both. What lies between, while an edit of several is made,
//! leaves no trace and need not be looked at.

use std::collections::BTreeSet;

use crate::garden::{Edit, Garden, Key, PlantingId, Reaches};
use crate::season::bounds;

/// What is to be worked out anew.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(in crate::season) struct Reach {
    /// Beds whose results depend on what was changed, by the ids they had before or have after.
    pub bed_ids: BTreeSet<String>,
    /// Plantings put in, taken out or changed: each is filed anew under the bed it is in.
    pub plantings: BTreeSet<PlantingId>,
    /// Plantings that rows speak of: what happened to them is read anew.
    pub told: BTreeSet<PlantingId>,
    /// Results of every bed.
    pub is_every_bed: bool,
    /// Which place of the walk each bed has, and where it lies.
    pub is_walk: bool,
    /// Which past crops, hazards, amendments and acceptances belong to what.
    pub is_records: bool,
    /// What households want and what it is worth.
    pub is_worth: bool,
    /// How long families stay away.
    pub is_policy: bool,
    /// The sun, the climate and the days that follow from it.
    pub is_site: bool,
    /// The book with the garden's own crops, and all that was found in it.
    pub is_book: bool,
}

impl Reach {
    /// Looks at the garden that an edit is about to change.
    pub fn before(edit: &Edit, garden: &Garden) -> Self {
        let mut reach = Self::default();
        reach.read(edit, garden);
        reach
    }

    /// Looks at the garden it has changed, which had `n_beds_before`.
    pub fn and_after(mut self, edit: &Edit, garden: &Garden, n_beds_before: usize) -> Self {
        self.read(edit, garden);
        self.is_every_bed |= self.is_policy || self.is_site || self.is_book;
        // How closely a bed is looked at depends on how many there are.
        self.is_every_bed |= !bounds::is_shared_out_alike(n_beds_before, garden.beds.len());
        self
    }

    fn read(&mut self, edit: &Edit, garden: &Garden) {
        match edit {
            Edit::AddPlanting(planting) | Edit::ChangePlanting(planting) => self.read_planting(planting.id, garden),
            Edit::RemovePlanting(id) => self.read_planting(*id, garden),
            // Only the id it has from now on: under the one it had there is nothing, or another bed, which was named itself.
            Edit::AddBed { bed, .. } | Edit::ChangeBed { bed, .. } => {
                self.is_walk = true;
                self.bed_ids.insert(bed.id.clone());
            }
            // Nothing was in it.
            Edit::RemoveBed(_) => self.is_walk = true,
            Edit::Put(entry) | Edit::Change(entry) => self.read_row(&entry.key(), garden),
            Edit::Take(key) => self.read_row(key, garden),
            Edit::SetSite(_) => self.is_site = true,
            Edit::Rename(_) => {}
            Edit::Several { edits, .. } => edits.iter().for_each(|edit| self.read(edit, garden)),
        }
    }

    fn read_planting(&mut self, id: PlantingId, garden: &Garden) {
        self.plantings.insert(id);
        self.read_bed_of(id, garden);
    }

    fn read_bed_of(&mut self, id: PlantingId, garden: &Garden) {
        self.bed_ids.extend(garden.planting(id).map(|planting| planting.bed.clone()));
    }

    /// A row of a list, as the table of lists has it.
    fn read_row(&mut self, key: &Key, garden: &Garden) {
        match key.list().about().reaches {
            Reaches::Named => {
                self.is_records = true;
                if let Some(row) = key.find(garden) {
                    self.bed_ids.extend(row.bed().map(str::to_owned));
                    if let Some(id) = row.planting() {
                        self.told.insert(id);
                        self.read_bed_of(id, garden);
                    }
                }
            }
            Reaches::Wants => self.is_worth = true,
            Reaches::Everything => self.is_policy = true,
            Reaches::Book => self.is_book = true,
            Reaches::Nothing => {}
        }
    }
}
