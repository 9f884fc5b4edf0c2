//! What goes into the engine, and what comes out.

use std::collections::BTreeMap;

use chrono::{Datelike, Days, NaiveDate};

use super::years::{AUTUMN_FROM, DAYS_PER_YEAR};
use crate::crops::{CropBook, LimeEffect, PlantRef};
use crate::garden::{Amendment, EntryId, PlantingId, Severity};
use crate::units::{Rect, days_between};

/// Which stand is meant.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum StandKey {
    /// A planting of the garden.
    Planting(PlantingId),
    /// A past crop of the garden.
    Past(EntryId),
    /// An item of a sequence, by its place.
    Item(usize),
    /// A planting that is only proposed.
    Proposed,
}

/// The taxon that stands: a crop or plant of the book, or only a family.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Taxon {
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
    pub taxon: Taxon,
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
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Seen {
    /// Place of the hazard in the book.
    pub hazard_idx: usize,
    /// Rotation year in which it was seen.
    pub year: i32,
}

/// An amendment given to the soil of the bed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Given {
    /// What.
    pub amendment: Amendment,
    /// When.
    pub date: NaiveDate,
}

/// Return intervals asked for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Policy {
    /// By family id, or by botanical family (`Solanaceae`), which then counts as one family; 0 leaves it out.
    pub by_family: BTreeMap<String, u32>,
    /// For every family that is not named, in place of the book's usual interval. Families that share a botanical family then
    /// count as one.
    pub for_all: Option<u32>,
}

impl Policy {
    /// Asks `years` of whatever the grower names: a family id, a botanical family, a family's common name, or a crop (which means
    /// its family). Returns whether the book knows the name.
    pub fn ask(&mut self, book: &CropBook, name: &str, years: u32) -> bool {
        let wanted = name.trim();
        if let Some(family) = book.families().iter().find(|family| family.id.eq_ignore_ascii_case(wanted)) {
            // A botanical family with one entry in the book has the same word as id and as name; both spellings mean it.
            self.by_family.insert(family.id.clone(), years);
            return true;
        }
        let botanical = book
            .families()
            .iter()
            .map(|family| super::terms::first_word(&family.botanical))
            .find(|botanical| botanical.eq_ignore_ascii_case(wanted));
        if let Some(botanical) = botanical {
            self.by_family.insert(botanical.to_owned(), years);
            return true;
        }
        if let Some(plant) = book.find(wanted) {
            let (_, _, family) = book.plant_names(plant);
            self.by_family.insert(family.to_owned(), years);
            return true;
        }
        let families = book.find_families(wanted);
        for family in families.iter().filter_map(|&idx| book.families().get(idx)) {
            self.by_family.insert(family.id.clone(), years);
        }
        !families.is_empty()
    }
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

impl Rule {
    /// Whether it recommends an order of crops, or only says that a family is left out.
    pub fn is_praise(self) -> bool {
        matches!(self, Self::GoodAfter | Self::Exempt)
    }

    /// The rule's name for files and scripts: `family-return`.
    pub fn id(self) -> &'static str {
        match self {
            Self::FamilyReturn => "family-return",
            Self::SameYear => "same-year",
            Self::HazardHost => "hazard-host",
            Self::AvoidAfter => "avoid-after",
            Self::GoodAfter => "good-after",
            Self::SoilOrder => "soil-order",
            Self::Exempt => "exempt",
        }
    }
}

/// Which case of a rule it is; words are made from it later.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Because {
    /// The same family of the book.
    SameFamily,
    /// Another family of the book of the same botanical family.
    SameBotanical,
    /// One crop and nothing else, three years running.
    NoOtherCrop,
    /// A permanent bed kept longer than advised.
    BedTooOld,
    /// The family commonly goes anywhere.
    CommonlyExempt,
    /// The garden leaves the family out.
    LeftOut,
    /// The source names it as a host.
    Host,
    /// A family some of whose plants are hosts.
    PartHost,
    /// Its family has hosts, but the source does not name it.
    HostRelative,
    /// A follow rule.
    Follow,
    /// A follow rule about what is done to the ground, or feeding order.
    Soil(SoilCase),
}

/// Cases of manure, lime and feeding order.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoilCase {
    /// Roots soon after manure or compost.
    RootsAfterManure,
    /// Raw manure too near to the harvest.
    RawManureNearHarvest,
    /// Soon after lime, which has this effect on the crop.
    AfterLime(LimeEffect),
    /// One heavy feeder after another, and nothing given to the soil between.
    HeavyAfterHeavy,
}

/// What the engine has to say, as fields.
#[derive(Debug, Clone, PartialEq)]
pub struct RotationFinding {
    /// Severity.
    pub severity: Severity,
    /// Which rule.
    pub rule: Rule,
    /// Which case of it.
    pub because: Because,
    /// The stand it is about.
    pub about: StandKey,
    /// The taxon that stands there.
    pub about_taxon: Taxon,
    /// The earlier stand, if one is to blame.
    pub earlier: Option<StandKey>,
    /// The taxon that stood there.
    pub earlier_taxon: Option<Taxon>,
    /// Rotation year in which `about` begins.
    pub year: i32,
    /// Last rotation year of the earlier stand, or the year the hazard was seen.
    pub earlier_year: Option<i32>,
    /// Years asked for, where the rule counts years.
    pub asked_years: Option<u32>,
    /// First rotation year in which the rule would no longer object; `None` if there is none, or if the rule sets no year.
    pub clear_year: Option<i32>,
    /// For a hazard that is a breach: the first rotation year in which it would be only a caution.
    pub caution_year: Option<i32>,
    /// The day `about` goes in, where known: a crop set in autumn counts for a later year.
    pub about_from: Option<NaiveDate>,
    /// The day the earlier stand's ground was free again, where known.
    pub earlier_until: Option<NaiveDate>,
    /// The ground that both share; all the ground of `about` if no earlier stand is to blame.
    pub shared: Vec<Rect>,
    /// How much of the ground of `about` that is, in per cent.
    pub shared_pct: u8,
    /// Hazard, where one is to blame.
    pub hazard_idx: Option<usize>,
    /// Follow rule, where one speaks.
    pub follow_idx: Option<usize>,
    /// Follow rule that says the contrary of the same two crops, and no more firmly.
    pub contrary_idx: Option<usize>,
    /// The amendment, if one is to blame.
    pub amendment: Option<Given>,
}

impl RotationFinding {
    /// Days from the clearing of the earlier stand to the day `about` goes in, where both are known.
    pub fn days_between(&self) -> Option<i64> {
        self.earlier_until.zip(self.about_from).map(|(until, from)| days_between(until, from))
    }

    /// The last day by which the earlier stand would have to be cleared for advice of some weeks to be kept.
    pub fn earlier_by(&self, within_years: f64) -> Option<NaiveDate> {
        let n_days = (within_years * DAYS_PER_YEAR).floor() as u64 + 1;
        self.about_from?.checked_sub_days(Days::new(n_days))
    }

    /// The earliest day from which on a crop would count for the year in which the rule has nothing more to say, where this one counts for
    /// a later year than it goes in.
    pub fn clear_from_autumn(&self) -> Option<NaiveDate> {
        let _ = self.set_in_autumn()?;
        let (month, day) = AUTUMN_FROM;
        NaiveDate::from_ymd_opt(self.clear_year? - 1, month, day)
    }

    /// The day it goes in, if that lies in an earlier year than the one it counts for.
    pub fn set_in_autumn(&self) -> Option<NaiveDate> {
        self.about_from.filter(|from| from.year() < self.year)
    }
}
