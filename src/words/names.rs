//! Whom a sentence is about: crops, families and plantings by name.

use std::borrow::Cow;

use super::text::date;
use crate::crops::{CropBook, Family, PlantRef, in_text};
use crate::garden::{Planting, PlantingId};
use crate::rotation::{Because, RotationFinding, StandKey, Taxon};
use crate::season::{Plan, Standing};
use crate::units::text::shown;

/// The usual name of a planting's crop; its id if neither the book nor the garden knows it.
pub fn crop_name(plan: &Plan, planting: &Planting) -> String {
    plan.book().crop(&planting.crop).map_or_else(|| shown(&planting.crop).into_owned(), |crop| crop.name.clone())
}

/// The same of a planting by its number.
pub fn crop_of(plan: &Plan, id: PlantingId) -> String {
    plan.garden().planting(id).map_or_else(|| id.to_string(), |planting| crop_name(plan, planting))
}

/// The name of what a past crop is called in the file: a crop, another known plant, or a family.
pub fn past_name(plan: &Plan, what: &str) -> String {
    let book = plan.book();
    let plant = book.find(what).map(|plant| book.plant_names(plant).0.to_owned());
    let family = || {
        let idx = book.find_families(what).first().copied()?;
        book.families().get(idx).map(|family| family.usual_name().to_owned())
    };
    plant.or_else(family).unwrap_or_else(|| shown(what).into_owned())
}

/// What a taxon is called.
pub(super) fn taxon_name(book: &CropBook, taxon: Taxon) -> String {
    match taxon {
        Taxon::Plant(PlantRef::Crop(idx)) => book.crops().get(idx).map_or_else(String::new, |crop| crop.name.clone()),
        Taxon::Plant(PlantRef::Known(idx)) => {
            book.plants().get(idx).map_or_else(String::new, |plant| plant.name.clone())
        }
        Taxon::Family(idx) => {
            book.families().get(idx).map_or_else(String::new, |family| family.usual_name().to_owned())
        }
    }
}

/// The name of a botanical family alone, without what the book adds to it.
pub(super) fn botanical_word(family: &Family) -> &str {
    family.botanical.split([' ', '(', ';', ',']).find(|word| !word.is_empty()).unwrap_or("")
}

/// The family of a taxon.
pub(super) fn family_of(book: &CropBook, taxon: Taxon) -> Option<&Family> {
    match taxon {
        Taxon::Plant(plant) => book.family(book.plant_names(plant).2),
        Taxon::Family(idx) => book.families().get(idx),
    }
}

/// Who is spoken of: plantings of the garden, and one that is only previewed.
#[derive(Clone, Copy)]
pub(super) struct Speaker<'a> {
    pub plan: &'a Plan,
    pub previewed: Option<&'a Planting>,
}

impl<'a> Speaker<'a> {
    pub fn planting(self, id: PlantingId) -> Option<&'a Planting> {
        self.previewed.filter(|planting| planting.id == id).or_else(|| self.plan.garden().planting(id))
    }

    /// Days of a planting of the garden.
    pub fn standing(self, id: PlantingId) -> Option<&'a Standing> {
        self.plan.standing(id)
    }

    pub fn crop_name(self, planting: &'a Planting) -> Cow<'a, str> {
        match self.plan.book().crop(&planting.crop) {
            Some(crop) => in_text(&crop.name),
            None => shown(&planting.crop),
        }
    }

    /// The crop of a planting: `leek`; its number if it is not there any more.
    pub fn name(self, id: PlantingId) -> String {
        self.planting(id).map_or_else(|| id.to_string(), |planting| self.crop_name(planting).into_owned())
    }

    /// `lettuce (leaf) in B3`.
    pub fn name_and_bed(self, id: PlantingId) -> String {
        let bed = self.planting(id).map(|planting| format!(" in {}", shown(&planting.bed)));
        format!("{}{}", self.name(id), bed.unwrap_or_default())
    }

    /// Where and when a planting stands: `leek (p7) stands in A1 from 3 May to 30 Nov 2027`.
    pub fn stay(self, id: PlantingId) -> Option<String> {
        let planting = self.planting(id)?;
        let standing = self.standing(id)?;
        let last = standing.stages.clear.pred_opt().unwrap_or(standing.stages.clear);
        let (from, to) = (date(standing.stages.enters), date(last));
        Some(format!("{} ({id}) stands in {} from {from} to {to}", self.crop_name(planting), shown(&planting.bed)))
    }

    /// Names of crops of the book, as they stand within a sentence.
    pub fn crop_names(self, crop_idxs: &[usize]) -> Vec<String> {
        let crops = crop_idxs.iter().filter_map(|&idx| self.plan.book().crops().get(idx));
        crops.map(|crop| in_text(&crop.name).into_owned()).collect()
    }

    fn taxon_name(self, taxon: Taxon) -> String {
        let book = self.plan.book();
        match taxon {
            Taxon::Plant(plant) => in_text(book.plant_names(plant).0).into_owned(),
            Taxon::Family(idx) => {
                book.families().get(idx).map_or_else(String::new, |family| family.usual_name().to_owned())
            }
        }
    }

    pub fn stand_name(self, key: StandKey, taxon: Option<Taxon>) -> String {
        match (key, taxon) {
            (StandKey::Planting(id), _) if self.planting(id).is_some() => self.name(id),
            (_, Some(taxon)) => self.taxon_name(taxon),
            _ => "an earlier crop".to_owned(),
        }
    }

    /// What growers call the family that is back; its Latin name where two of the book's families share it.
    pub fn family_name(self, finding: &RotationFinding) -> &'a str {
        match family_of(self.plan.book(), finding.about_taxon) {
            None => "its family",
            Some(family) if finding.because == Because::SameBotanical => botanical_word(family),
            Some(family) => family.usual_name(),
        }
    }
}
