//! Families, hazards, follow rules, and plants known by name only.

use serde::{Deserialize, Serialize};

use super::{Feeding, SourceText};

/// A crop family as rotation counts it. Several may share one botanical family.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Family {
    /// Stable id, such as `solanaceae_potato`.
    pub id: String,
    /// Botanical family, such as `Solanaceae`.
    pub botanical: String,
    /// What growers call it; several names are parted by `;`.
    pub common: String,
    /// What the first of these names is the name of.
    pub named: FamilyName,
    /// Years from one crop of the family to the next: least, usual and greatest advice. `None`: indefinite.
    pub return_min_years: u32,
    /// The usual advice, the default of a garden.
    pub return_usual_years: u32,
    /// The greatest advice; `None` is indefinite.
    pub return_max_years: Option<u32>,
    /// How far growers leave it out of strict rotation.
    pub exempt: Exempt,
    /// Why it is exempt; empty if it is not.
    pub exempt_basis: String,
    /// Of a family exempt in part, the crops that are, as rotation knows them.
    #[serde(default)]
    pub exempt_crops: Vec<String>,
    /// Crops that count as of another family too.
    #[serde(default)]
    pub counts_with: Option<CountsWith>,
    /// What lime given shortly before does to its crops, if anything.
    #[serde(default)]
    pub after_lime: Option<AfterLime>,
    /// Feeding class of the family, unless the crop says its own.
    pub feeding: Feeding,
    /// Remarks, in words.
    pub remarks: String,
    /// Source.
    pub source: SourceText,
}

/// Crops of one family that carry the pests of another, and so count as of that one too.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CountsWith {
    /// The other family's id.
    pub family: String,
    /// The crops, as rotation knows them.
    pub crops: Vec<String>,
    /// Source.
    pub source: SourceText,
}

/// How far growers leave a family out of strict rotation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Exempt {
    /// It keeps its turn.
    No,
    /// Some of its crops are left out; the family is kept in, since the others are what its interval is about.
    Partly,
    /// Its crops may go anywhere.
    Wholly,
}

/// What lime does to the crops of a family.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct AfterLime {
    /// What it does.
    pub effect: LimeEffect,
    /// For how many years after it was given.
    pub within_years: u32,
    /// Source.
    pub source: SourceText,
}

/// What lime does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum LimeEffect {
    /// Favours common scab.
    Scab,
    /// Takes away the acid soil that they want.
    Harm,
    /// Does them good.
    Welcome,
}

/// What the usual name of a family is the name of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum FamilyName {
    /// The family itself: `onion family`.
    Family,
    /// One crop of it: `potato`.
    Crop,
    /// Some crops of it: `peas and broad beans`.
    Crops,
}

impl Family {
    /// Whether growers commonly leave some or all of it out of strict rotation.
    pub fn is_commonly_exempt(&self) -> bool {
        self.exempt != Exempt::No
    }

    /// The first of the names growers call it by.
    pub fn usual_name(&self) -> &str {
        self.common.split(';').next().unwrap_or_default().trim()
    }
}

/// A soil-borne disease or pest that stays in the ground.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Hazard {
    /// Stable id, such as `clubroot`.
    pub id: String,
    /// Name.
    pub name: String,
    /// The name begins with that of a fungus and keeps its capital within a sentence.
    #[serde(default)]
    pub is_proper_name: bool,
    /// What causes it.
    pub cause: String,
    /// Botanical families with hosts.
    pub host_families: Vec<String>,
    /// Those of them of which the crops named below are but examples: all of the family are hosts.
    #[serde(default)]
    pub examples_of: Vec<String>,
    /// Host crops by name or id.
    pub host_crops: Vec<String>,
    /// Green manures that carry it.
    pub host_green_manures: Vec<String>,
    /// How long it stays viable without a host, in years: low, usual, high.
    pub persistence_years: (f64, f64, f64),
    /// Host-free years growers are told to leave: least, usual.
    pub break_years: (f64, f64),
    /// The break that is asked for has no end.
    pub is_indefinite: bool,
    /// What sources ask of a host.
    #[serde(default)]
    pub asks: Asks,
    /// What helps, in words.
    pub remedies: String,
    /// Remarks, in words.
    pub remarks: String,
    /// Source.
    pub source: SourceText,
}

/// What sources ask where a hazard was seen.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Asks {
    /// A break.
    #[default]
    Break,
    /// No break: they report a risk that falls with time, or say that rotation is secondary.
    LessRisk {
        /// Why.
        basis: String,
    },
}

/// What one side of a follow rule names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum RuleSide {
    /// A crop by id or the name hazards and rules know it by.
    Crop,
    /// A botanical family or a family id.
    Family,
    /// A group of crops.
    Group,
    /// Something done to the ground (manure, lime, ley).
    Practice,
}

/// The family side of the one rule that speaks of any family after itself.
pub const SAME_FAMILY: &str = "same family";

/// Whether to do it or not.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Advice {
    /// Goes well after.
    Good,
    /// Better not after.
    Avoid,
}

/// How firmly it is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Strength {
    /// Said in passing.
    Weak,
    /// Usual advice.
    Moderate,
    /// Firm advice.
    Strong,
}

/// Advice on an order of crops: one pair of before and after.
///
/// Published advice that names several crops on one side comes as several pairs that share its id.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FollowRule {
    /// Stable id, such as `F04`.
    pub id: String,
    /// What stood before.
    pub before: String,
    /// What kind of name that is.
    pub before_kind: RuleSide,
    /// What comes after.
    pub after: String,
    /// What kind of name that is.
    pub after_kind: RuleSide,
    /// Good or to avoid.
    pub advice: Advice,
    /// How firmly.
    pub strength: Strength,
    /// How long after the first the advice holds, in years.
    pub within_years: f64,
    /// Why.
    pub reason: String,
    /// A norm that growers bind themselves to, or advice against replanting at once.
    #[serde(default)]
    pub is_binding: bool,
    /// Ids of hazards of which one must have been seen for the advice to hold; empty: it always holds.
    #[serde(default)]
    pub needs_seen: Vec<String>,
    /// Says no more than that the crops are of one family.
    #[serde(default)]
    pub is_of_family: bool,
    /// Rules that say the contrary.
    pub conflicts_with: Vec<String>,
    /// Source.
    pub source: SourceText,
}

/// A plant known by name and family only, so that a history may name it (wheat, horseradish, lucerne).
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct KnownPlant {
    /// Stable id.
    pub id: String,
    /// Name.
    pub name: String,
    /// Other names.
    #[serde(default)]
    pub other_names: Vec<String>,
    /// Latin name.
    pub latin: String,
    /// Family id.
    pub family: String,
    /// Groups that orders of crops speak of.
    #[serde(default)]
    pub groups: Vec<String>,
    /// What is easily got wrong about it.
    #[serde(default)]
    pub trap_note: String,
    /// Source.
    pub source: SourceText,
}

/// Where a crop or plant stands in the book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum PlantRef {
    /// Index into [`crops`](crate::crops::CropBook::crops).
    Crop(usize),
    /// Index into [`plants`](crate::crops::CropBook::plants).
    Known(usize),
}

/// What is wrong with a book.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{file}: {entry}: {field}: {what}")]
pub struct BookError {
    /// The file.
    pub file: String,
    /// The crop, family, hazard or rule.
    pub entry: String,
    /// The field.
    pub field: String,
    /// What is wrong with it.
    pub what: String,
}
