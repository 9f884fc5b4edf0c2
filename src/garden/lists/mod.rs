//! The lists of a garden: past crops, soil log, households and the like.
//!
//! Every row has a key of its own that stays: a number, or the name it goes by. A list is kept in the order of its keys, so a
//! row's place follows from its key, and whatever is taken out and put back stands where it stood.
//!
//! A list is one entry of the table below and one implementation of [`Tells`] for its row (see `rows`). Everything else asks these:
//! what an edit does and its inverse, what a bed's new id is carried to, what a file may hold, what two gardens differ in, titles, and
//! what is worked out anew.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `table` | makes [`List`], [`Key`] and [`Entry`] of the table |
//! | `row` | what is done with rows of any one list |

mod row;
mod table;

use serde::{Deserialize, Serialize};

pub(super) use row::Compared;
pub use row::{About, Names, Reaches, Row, RowKey};

use super::limits::{N_HAPPENED, N_HOUSEHOLDS, N_NAMED, N_OWN_CROPS, N_PLANTINGS};
use super::{
    Accepted, BoxKind, EditError, EntryId, Expense, FamilyReturn, Garden, Happened, HazardSeen, Household, PastCrop,
    PlantingId, Price, Problem, Quiet, SeedLot, SoilEntry, Tells,
};
use crate::crops::Crop;

// Which row, in which field of the garden, by which key; what a row names and what depends on it; how many, and what they are called.
table::lists! {
    /// Return intervals of families.
    Return(FamilyReturn in return_years by family: String) {
        names: Nothing, reaches: Everything, most: N_NAMED, one: "return interval", many: "return intervals",
    }
    /// What happened to plantings.
    Happened(Happened in happened by id: EntryId) {
        names: Planting, reaches: Named, most: N_HAPPENED, one: "entry of what happened", many: "entries of what happened",
    }
    /// Past crops of which only the year is known.
    Past(PastCrop in past by id: EntryId) {
        names: Bed, reaches: Named, most: N_PLANTINGS, one: "past crop", many: "past crops",
    }
    /// Hazards seen.
    Hazard(HazardSeen in hazards_seen by id: EntryId) {
        names: Bed, reaches: Named, most: N_PLANTINGS, one: "hazard", many: "hazards",
    }
    /// Soil log.
    Soil(SoilEntry in soil_log by id: EntryId) {
        names: Bed, reaches: Named, most: N_PLANTINGS, one: "entry of the soil log", many: "entries of the soil log",
    }
    /// Findings accepted.
    Accepted(Accepted in accepted by id: EntryId) {
        names: Planting, reaches: Named, most: N_PLANTINGS, one: "accepted finding", many: "accepted findings",
    }
    /// Kinds of finding kept quiet.
    Quiet(Quiet in kept_quiet by id: EntryId) {
        names: BedOrNone, reaches: Everything, most: N_NAMED, one: "kind kept quiet", many: "kinds kept quiet",
    }
    /// Households.
    Household(Household in households by id: EntryId) {
        names: Nothing, reaches: Wants, most: N_HOUSEHOLDS, one: "household", many: "households",
    }
    /// Kinds of box.
    BoxKind(BoxKind in box_kinds by id: EntryId) {
        names: Nothing, reaches: Nothing, most: N_PLANTINGS, one: "kind of box", many: "kinds of box",
    }
    /// Prices.
    Price(Price in prices by id: EntryId) {
        names: Nothing, reaches: Wants, most: N_PLANTINGS, one: "price", many: "prices",
    }
    /// Expenses.
    Expense(Expense in expenses by id: EntryId) {
        names: Nothing, reaches: Nothing, most: N_PLANTINGS, one: "expense", many: "expenses",
    }
    /// Seed tin.
    Seed(SeedLot in seed_tin by id: EntryId) {
        names: Nothing, reaches: Nothing, most: N_PLANTINGS, one: "seed lot", many: "seed lots",
    }
    /// Own crops, and book crops changed.
    OwnCrop(Crop in own_crops by id: String) {
        names: Nothing, reaches: Book, most: N_OWN_CROPS, one: "own crop", many: "own crops",
    }
}
