//! What may follow what, and why not.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use crate::crops::{CropBook, PlantRef};
use crate::garden::{PlantingId, Severity, SoilGift};
use crate::units::Rect;

/// Which stand is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StandKey {
    /// A planting of the garden.
    Planting(PlantingId),
    /// A past crop, by its place in the garden's list.
    Past(usize),
    /// An item of a sequence, by its place.
    Item(usize),
    /// A planting that is only proposed.
    Proposed,
}

/// What stands: a crop or plant of the book, or only a family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kin {
    /// A crop or known plant.
    Plant(PlantRef),
    /// A family by its place in the book.
    Family(usize),
}

/// One occupation of ground, as rotation sees it.
#[derive(Debug, Clone, PartialEq)]
pub struct Stand {
    /// Which.
    pub key: StandKey,
    /// What.
    pub kin: Kin,
    /// First rotation year in which it counts.
    pub first_year: i32,
    /// Last rotation year in which it counts.
    pub last_year: i32,
    /// Goes in, where known.
    pub from: Option<NaiveDate>,
    /// Its ground is free again, where known.
    pub until: Option<NaiveDate>,
    /// The ground it takes.
    pub ground: Vec<Rect>,
}

/// A hazard seen in a bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Seen {
    /// Place of the hazard in the book.
    pub hazard_idx: usize,
    /// Rotation year in which it was seen.
    pub year: i32,
}

/// Something given to the soil of the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Gift {
    /// What.
    pub gift: SoilGift,
    /// When.
    pub date: NaiveDate,
}

/// Return intervals asked for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Policy {
    /// By family id; 0 leaves the family out.
    pub by_family: BTreeMap<String, u32>,
    /// For every family that is not named, instead of the book's usual one.
    pub for_all: Option<u32>,
}

/// The rules.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Rule {
    /// The family is back before its return interval.
    FamilyReturn,
    /// The same family again within one year.
    SameYear,
    /// A host of a hazard seen here.
    HazardHost,
    /// An order of crops better avoided.
    AvoidAfter,
    /// An order of crops that goes well.
    GoodAfter,
    /// Manure, lime and feeding order.
    SoilOrder,
    /// The family is commonly exempt, or left out by the garden.
    Exempt,
}

/// What the engine has to say.
#[derive(Debug, Clone, PartialEq)]
pub struct RotationFinding {
    /// How grave.
    pub severity: Severity,
    /// Which rule.
    pub rule: Rule,
    /// The stand it is about.
    pub about: StandKey,
    /// The earlier stand, if one is to blame.
    pub earlier: Option<StandKey>,
    /// Rotation year in which `about` begins.
    pub year: i32,
    /// Last rotation year of the earlier stand, or the year the hazard was seen.
    pub earlier_year: Option<i32>,
    /// Years asked for, where the rule counts years.
    pub asked_years: Option<u32>,
    /// First rotation year in which the rule would no longer object; `None` is never, or does not apply.
    pub clear_year: Option<i32>,
    /// The ground both share.
    pub shared: Vec<Rect>,
    /// Hazard, where one is to blame.
    pub hazard_idx: Option<usize>,
    /// Follow rule, where one speaks.
    pub follow_idx: Option<usize>,
    /// The path through the graph that joins the two, in words: `leek`, `is of`, `onion family`, …
    pub path: Vec<String>,
    /// Why, in one sentence.
    pub why: String,
    /// Source.
    pub source: String,
}

/// The graph of crops, families, hazards and follow rules.
#[derive(Debug)]
pub struct CropGraph {
    _graph: petgraph::graph::DiGraph<(), ()>,
}

impl CropGraph {
    /// Builds the graph of a book.
    pub fn of_book(book: &CropBook) -> Self {
        let _ = book;
        unimplemented!()
    }

    /// Every finding about the stands of one bed, in order of year.
    pub fn check(
        &self,
        book: &CropBook,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        gifts: &[Gift],
    ) -> Vec<RotationFinding> {
        let _ = (book, policy, stands, seen, gifts);
        unimplemented!()
    }

    /// The findings about one more stand in a bed with that history (those about the others are left out,
    /// except where the new stand is the earlier one).
    pub fn check_one(
        &self,
        book: &CropBook,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        gifts: &[Gift],
        candidate: &Stand,
    ) -> Vec<RotationFinding> {
        let _ = (book, policy, stands, seen, gifts, candidate);
        unimplemented!()
    }
}

/// The rotation years in which a planting counts (first, last).
///
/// A planting counts in each calendar year in which it stands; but one that goes in on or after
/// [`AUTUMN_FROM`] and stands into the next year belongs to that next year, as growers reckon winter crops.
pub fn rotation_years(enters: NaiveDate, clear: NaiveDate) -> (i32, i32) {
    let _ = (enters, clear);
    unimplemented!()
}

/// Month and day from which a planting that stands over the turn of the year counts for the next year.
/// Starting value: overwintering onions and spring cabbage go in from mid-August.
pub const AUTUMN_FROM: (u32, u32) = (8, 15);
