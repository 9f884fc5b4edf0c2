//! Puts the book together: what the embedded files say, checked, and a garden's own crops over it.
//!
//! Follows the files in `assets/`, which name the source of every group of figures. The book knows nothing of
//! varieties, sites or years: its months are those of the maritime north-west of Europe.

use std::collections::{BTreeMap, HashMap};

use serde::Deserialize;
use serde::de::DeserializeOwned;

use super::check;
use super::names::Words;
use super::{Advice, BookError, Crop, CropBook, Family, FollowRule, Hazard, KnownPlant, RuleSide, Strength};

const CROPS: (&str, &str) = ("crops.ron", include_str!("../../assets/crops.ron"));
const FAMILIES: (&str, &str) = ("families.ron", include_str!("../../assets/families.ron"));
const HAZARDS: (&str, &str) = ("hazards.ron", include_str!("../../assets/hazards.ron"));
const FOLLOW_RULES: (&str, &str) = ("follow_rules.ron", include_str!("../../assets/follow_rules.ron"));
const PLANTS: (&str, &str) = ("plants.ron", include_str!("../../assets/plants.ron"));
const NAMES: (&str, &str) = ("names.ron", include_str!("../../assets/names.ron"));
const SOURCES: (&str, &str) = ("sources.ron", include_str!("../../assets/sources.ron"));

/// Where a garden's own crops are said to stand in an error.
const OWN_CROPS: &str = "the garden's own crops";

/// One name on one side of a rule, as the file writes it.
#[derive(Debug, Clone, Deserialize)]
enum Side {
    Crop(String),
    Family(String),
    Group(String),
    Practice(String),
}

impl Side {
    fn kind_and_name(&self) -> (RuleSide, &str) {
        match self {
            Self::Crop(name) => (RuleSide::Crop, name),
            Self::Family(name) => (RuleSide::Family, name),
            Self::Group(name) => (RuleSide::Group, name),
            Self::Practice(name) => (RuleSide::Practice, name),
        }
    }
}

/// One rule as the file writes it: any number of names on either side.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct RuleEntry {
    id: String,
    advice: Advice,
    strength: Strength,
    within_years: f64,
    before: Vec<Side>,
    after: Vec<Side>,
    reason: String,
    #[serde(default)]
    is_binding: bool,
    #[serde(default)]
    needs_seen: Vec<String>,
    #[serde(default)]
    is_of_family: bool,
    conflicts_with: Vec<String>,
    source: String,
}

impl RuleEntry {
    /// One rule for every pair of before and after, all under this id.
    fn pairs(&self) -> impl Iterator<Item = FollowRule> + '_ {
        self.before.iter().flat_map(move |before| {
            let (before_kind, before) = before.kind_and_name();
            self.after.iter().map(move |after| {
                let (after_kind, after) = after.kind_and_name();
                FollowRule {
                    id: self.id.clone(),
                    before: before.to_owned(),
                    before_kind,
                    after: after.to_owned(),
                    after_kind,
                    advice: self.advice,
                    strength: self.strength,
                    within_years: self.within_years,
                    reason: self.reason.clone(),
                    is_binding: self.is_binding,
                    needs_seen: self.needs_seen.clone(),
                    is_of_family: self.is_of_family,
                    conflicts_with: self.conflicts_with.clone(),
                    source: self.source.clone(),
                }
            })
        })
    }
}

fn parse<T: DeserializeOwned>((file, text): (&str, &str)) -> Result<T, BookError> {
    ron::from_str(text).map_err(|error| BookError {
        file: file.to_owned(),
        entry: format!("line {}, column {}", error.span.start.line, error.span.start.col),
        field: "text".to_owned(),
        what: error.code.to_string(),
    })
}

/// What the files say, before it is checked.
struct Texts {
    crops: Vec<Crop>,
    families: Vec<Family>,
    hazards: Vec<Hazard>,
    rules: Vec<RuleEntry>,
    plants: Vec<KnownPlant>,
    sources: BTreeMap<String, String>,
    words: Words,
}

impl Texts {
    /// Reads the crops, which are half of all the text, beside the other files: start-up waits for the book.
    fn embedded() -> Result<Self, BookError> {
        std::thread::scope(|scope| {
            let crops = scope.spawn(|| parse(CROPS));
            let (families, hazards, rules) = (parse(FAMILIES), parse(HAZARDS), parse(FOLLOW_RULES));
            let (plants, sources, words) = (parse(PLANTS), parse(SOURCES), parse(NAMES));
            let crops = crops.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic));
            Ok(Self {
                crops: crops?,
                families: families?,
                hazards: hazards?,
                rules: rules?,
                plants: plants?,
                sources: sources?,
                words: words?,
            })
        })
    }

    fn into_book(self) -> Result<CropBook, BookError> {
        let mut book = CropBook {
            crops: self.crops,
            families: self.families,
            hazards: self.hazards,
            plants: self.plants,
            sources: self.sources,
            words: self.words,
            ..CropBook::default()
        };
        check::families(FAMILIES.0, &book.families)?;
        book.family_idx_by_id = index_by_id(book.families.iter().map(|family| &family.id));
        check::crops(CROPS.0, &book.crops, &book.family_idx_by_id)?;
        book.crop_idx_by_id = index_by_id(book.crops.iter().map(|crop| &crop.id));
        check::plants(PLANTS.0, &book.plants, &book.family_idx_by_id, &book.crop_idx_by_id)?;
        check::hazards(HAZARDS.0, &book.hazards, &book.families)?;
        check::sources(SOURCES.0, &book.sources)?;
        check::words_of_book(NAMES.0, &book.words, &book)?;
        let mut seen = std::collections::HashSet::new();
        for entry in &self.rules {
            check::rule_id(FOLLOW_RULES.0, &entry.id, seen.insert(entry.id.as_str()))?;
            book.follow_rules.extend(entry.pairs());
        }
        check::follow_rules(FOLLOW_RULES.0, &book.follow_rules, &book.families, &book.hazards)?;
        Ok(book)
    }
}

fn index_by_id<'a>(ids: impl Iterator<Item = &'a String>) -> HashMap<String, usize> {
    ids.enumerate().map(|(idx, id)| (id.clone(), idx)).collect()
}

impl CropBook {
    /// The book embedded in the program.
    ///
    /// # Errors
    /// An entry does not hold together (a test sees to it that none does).
    pub fn embedded() -> Result<Self, BookError> {
        Texts::embedded()?.into_book()
    }

    /// This book with a garden's own crops laid over it: the same id replaces, another is added. A
    /// replacement that does not say how it comes up takes that from the crop it replaces.
    ///
    /// # Errors
    /// An own crop does not hold together, or two share an id.
    pub fn with_own_crops(&self, own: &[Crop]) -> Result<Self, BookError> {
        check::crops(OWN_CROPS, own, &self.family_idx_by_id)?;
        let mut book = self.clone();
        book.names = std::sync::OnceLock::new();
        for crop in own {
            if let Some(place) = self.crop_idx(&crop.id).and_then(|idx| book.crops.get_mut(idx)) {
                let emergence = crop.emergence.clone().or_else(|| place.emergence.take());
                *place = Crop { emergence, ..crop.clone() };
            } else {
                book.crop_idx_by_id.insert(crop.id.clone(), book.crops.len());
                book.crops.push(crop.clone());
            }
        }
        Ok(book)
    }
}
