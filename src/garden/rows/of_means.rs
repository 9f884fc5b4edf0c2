//! Lists of what the garden works with: expenses, the seed tin. Own crops are in `own_crop`.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Deed, EntryId, Tells};
use crate::garden::fields::{check_date, check_limit, check_line, check_name, check_notes};
use crate::garden::limits;
use crate::garden::naming::Words;
use crate::garden::problem::{Place, Problem};

/// Money spent.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Expense {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// When.
    pub date: NaiveDate,
    /// Kind, in the grower's words: seed, compost, netting.
    pub kind: String,
    /// Minor currency units.
    pub minor: u32,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

impl Tells for Expense {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_date(place, "date", self.date, out);
        check_line(place, "kind", &self.kind, out);
        check_notes(place, "notes", &self.notes, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let (kind, date) = (words.name(&self.kind), self.date);
        match deed {
            Deed::Put => format!("note an expense for {kind} on {date}"),
            Deed::Take => format!("take back the expense for {kind} on {date}"),
            Deed::Change => format!("change the expense for {kind} on {date}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("expense for {} on {}", words.name(&self.kind), self.date)
    }
}

/// Seed in the tin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SeedLot {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The crop's id.
    pub crop: String,
    /// Variety.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub variety: String,
    /// Seeds, sets or tubers.
    pub n_seeds: u32,
    /// Year the packet was filled.
    pub packed_year: i32,
}

impl Tells for SeedLot {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "crop", &self.crop, out);
        check_line(place, "variety", &self.variety, out);
        check_limit(place, "packed_year", &limits::YEAR, self.packed_year, "give the year with four digits", out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let crop = words.crop(&self.crop);
        match deed {
            Deed::Put => format!("put seed of {crop} into the tin"),
            Deed::Take => format!("take seed of {crop} out of the tin"),
            Deed::Change => format!("change the seed of {crop} in the tin"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("seed of {}", words.crop(&self.crop))
    }
}
