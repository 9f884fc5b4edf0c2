//! Lists of what is eaten: households, kinds of box, prices.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Deed, EntryId, Tells};
use crate::garden::fields::{check_limit, check_name};
use crate::garden::limits::{self, N_NAMED};
use crate::garden::naming::Words;
use crate::garden::problem::{Place, Problem, problem};
use crate::units::list::at_most_named;

/// A household that is fed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Household {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// Name.
    pub name: String,
    /// People who eat.
    pub n_people: u32,
    /// Crops it wants, in grams a week.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty", deserialize_with = "at_most_named::<N_NAMED, _, _>")]
    pub wants_g_per_week: BTreeMap<String, u32>,
}

impl Tells for Household {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "name", &self.name, out);
        check_limit(place, "n_people", &limits::PEOPLE, self.n_people, "give the people who eat", out);
        let n_wants = self.wants_g_per_week.len();
        if n_wants > N_NAMED {
            let message = format!("it wants {n_wants} crops; {N_NAMED} are the most");
            out.push(problem(place.clone(), "wants_g_per_week", message, "divide it into two households"));
        }
        for crop in self.wants_g_per_week.keys() {
            check_name(place, "wants_g_per_week", crop, out);
        }
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let name = words.name(&self.name);
        match deed {
            Deed::Put => format!("add household {name}"),
            Deed::Take => format!("take household {name} out"),
            Deed::Change => format!("change household {name}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("household {}", words.name(&self.name))
    }
}

/// A kind of box.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BoxKind {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// Name.
    pub name: String,
    /// Least number of different crops.
    pub n_crops: u32,
    /// Weight it should hold.
    pub weight_g: u32,
}

impl Tells for BoxKind {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "name", &self.name, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let name = words.name(&self.name);
        match deed {
            Deed::Put => format!("add box {name}"),
            Deed::Take => format!("take box {name} out"),
            Deed::Change => format!("change box {name}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("box {}", words.name(&self.name))
    }
}

/// What a crop is worth.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Price {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The crop's id.
    pub crop: String,
    /// Minor currency units (pence, cents) a kilogram.
    pub minor_per_kg: u32,
}

impl Tells for Price {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "crop", &self.crop, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let crop = words.crop(&self.crop);
        match deed {
            Deed::Put => format!("set the price of {crop}"),
            Deed::Take => format!("take the price of {crop} out"),
            Deed::Change => format!("change the price of {crop}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("price of {}", words.crop(&self.crop))
    }
}
