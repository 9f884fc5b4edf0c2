//! Is a sequence of crops a sound rotation? `potato, pea + onion, cabbage`, one item a year, once or again and again.
//!
//! `,` or `>` separates years, `+` crops in succession within a year. A family may stand for a crop; `fallow` is a year
//! with none. `gm:` marks a green manure, `ley:` a ley, `group:` a loose group and `any:` any crop outside the families
//! in question: marks that plans are written with; only `group:` and `any:` names may be unknown.
//!
//! A permanent crop named in consecutive years is one bed that stands on. But where the book has a rule against
//! replanting it at once (raspberries, currants, asparagus), naming it again is read as a new planting, since that is
//! what such plans are asked about. `on:` before the name says that it stands on, `new:` that it is planted afresh.
//!
//! All crops are taken to share all the ground. Years are 1, 2, 3, …; a hazard seen before year 1 was seen in year 0.

use std::collections::HashMap;

use serde::Serialize;
use strsim::osa_distance;

use crate::crops::{CropBook, PlantRef};
use crate::garden::Severity;
use crate::rotation::{CropGraph, Policy, RotationFinding, Rule, Seen, Stand, StandKey, Taxon};
use crate::units::{Mm, Rect};
use crate::words::rotation::{self, Telling};

/// Years a sequence may have.
const N_YEARS_MAX: usize = 100;
/// Crops a sequence may have in all.
const N_ITEMS_MAX: usize = 400;
/// Years to which a repeated sequence is run at least, so that every interval of the book shows (asparagus asks ten,
/// white rot fifteen host-free years; starting value).
const RUN_YEARS: usize = 20;

/// One finding of a sequence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SequenceFinding {
    /// How grave.
    pub severity: Severity,
    /// The rule's name.
    pub rule: &'static str,
    /// Year of the sequence, from 1.
    pub year: i32,
    /// The crop, as it was written.
    pub crop: String,
    /// The earlier crop, as it was written.
    pub earlier_crop: Option<String>,
    /// Its year in the sequence, from 1 (the round before, where it is not less than `year`), or 0 for a hazard seen
    /// before.
    pub earlier_year: Option<i32>,
    /// Why, in one sentence.
    pub why: String,
    /// Source.
    pub source: String,
}

/// What the engine says of a sequence.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SequenceReport {
    /// The gravest: `breach`, `caution`, `note` or `none`. Orders that go well do not count.
    pub worst: &'static str,
    /// Each finding once, by year.
    pub findings: Vec<SequenceFinding>,
}

/// Why a sequence cannot be reckoned.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum SequenceError {
    /// Nothing in it.
    #[error("the sequence names no year; write for example `potato, pea + onion, cabbage`")]
    Empty,
    /// A word that is no crop and no family.
    #[error("`{word}` is neither a crop nor a family of the book{}", nearest_in_words(nearest))]
    UnknownName {
        /// The word.
        word: String,
        /// The nearest names; none where none is near.
        nearest: Vec<String>,
    },
    /// A year or an item left empty.
    #[error("year {year} of the sequence has an empty place; write `fallow` for a year without a crop")]
    EmptyItem {
        /// Which year, from 1.
        year: usize,
    },
    /// A hazard the book does not know.
    #[error("`{word}` is no hazard of the book; nearest: {}", nearest.join(", "))]
    UnknownHazard {
        /// The word.
        word: String,
        /// The nearest names.
        nearest: Vec<String>,
    },
    /// Too many years or crops.
    #[error("the sequence is too long: at most {N_YEARS_MAX} years and {N_ITEMS_MAX} crops")]
    TooLong,
}

/// How a permanent crop goes on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Again {
    AsUsual,
    StandsOn,
    Afresh,
}

#[derive(Debug, Clone)]
struct Item {
    word: String,
    /// `None` is no crop.
    taxon: Option<Taxon>,
    again: Again,
}

/// Reckons a sequence.
///
/// # Errors
/// A word that names nothing in the book, an empty place, or far too many years.
pub fn reckon(
    book: &CropBook,
    graph: &CropGraph,
    text: &str,
    is_cycle: bool,
    policy: &Policy,
    hazard_name: Option<&str>,
) -> Result<SequenceReport, SequenceError> {
    let years = parse(book, text)?;
    let mut seen = Vec::new();
    if let Some(name) = hazard_name {
        seen.extend(hazards_named(book, name)?.into_iter().map(|hazard_idx| Seen { hazard_idx, year: 0 }));
    }
    let n_years = years.len();
    let n_rounds = if is_cycle { 1 + RUN_YEARS.div_ceil(n_years) } else { 1 };
    let (stands, words) = stands_of(book, graph, &years, n_rounds);
    let findings = graph.check(book, policy, &stands, &seen, &[]);
    Ok(report(book, &findings, &words, n_years, is_cycle))
}

fn parse(book: &CropBook, text: &str) -> Result<Vec<Vec<Item>>, SequenceError> {
    if text.trim().is_empty() {
        return Err(SequenceError::Empty);
    }
    let years: Vec<&str> = text.split([',', '>', '→', ';']).collect();
    let n_items = text.matches('+').count() + years.len();
    if years.len() > N_YEARS_MAX || n_items > N_ITEMS_MAX {
        return Err(SequenceError::TooLong);
    }
    let years = years.into_iter().enumerate().map(|(idx, year)| {
        year.split('+')
            .map(|word| match word.trim() {
                "" => Err(SequenceError::EmptyItem { year: idx + 1 }),
                word => item(book, word),
            })
            .collect()
    });
    years.collect()
}

fn item(book: &CropBook, text: &str) -> Result<Item, SequenceError> {
    let (mark, word) = match text.split_once(':') {
        Some((mark, word)) => (plain(mark), word.trim()),
        None => (String::new(), text),
    };
    let again = match mark.as_str() {
        "on" | "ley" => Again::StandsOn,
        "new" => Again::Afresh,
        _ => Again::AsUsual,
    };
    let is_known_mark = ["", "gm", "ley", "group", "any", "on", "new"].contains(&mark.as_str());
    let taxon = if is_known_mark { meaning(book, word) } else { Meaning::Unknown };
    let taxon = match taxon {
        _ if mark == "any" => None,
        Meaning::Taxon(taxon) => Some(taxon),
        Meaning::NoCrop => None,
        Meaning::Unknown if mark == "group" => None,
        Meaning::Unknown => {
            let asked = if is_known_mark { word } else { text };
            return Err(SequenceError::UnknownName { word: shown(asked), nearest: book.nearest_names(word, 3) });
        }
    };
    Ok(Item { word: word.to_owned(), taxon, again })
}

/// What follows the complaint of a name that is not known.
fn nearest_in_words(nearest: &[String]) -> String {
    if nearest.is_empty() {
        ", and none of its names is near".to_owned()
    } else {
        format!("; nearest: {}", nearest.join(", "))
    }
}

/// Lower case, blanks for `_` and `-`.
fn plain(text: &str) -> String {
    let words = text.split(|letter: char| letter.is_whitespace() || letter == '_' || letter == '-');
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join(" ").to_lowercase()
}

/// A word as an error repeats it: cut short and without control characters.
fn shown(word: &str) -> String {
    word.chars().filter(|letter| !letter.is_control()).take(40).collect()
}

/// What a word of a sequence stands for.
enum Meaning {
    Taxon(Taxon),
    NoCrop,
    Unknown,
}

fn meaning(book: &CropBook, word: &str) -> Meaning {
    let name = plain(word);
    if book.is_fallow(word) {
        return Meaning::NoCrop;
    }
    // `red clover ley`, `rye green manure`: the plant, if the whole is not a name of its own.
    let bare = name.strip_suffix(" ley").or_else(|| name.strip_suffix(" green manure"));
    if let Some(plant) = book.find(word).or_else(|| bare.and_then(|bare| book.find(bare))) {
        return Meaning::Taxon(Taxon::Plant(plant));
    }
    book.find_families(word).first().map_or(Meaning::Unknown, |&family| Meaning::Taxon(Taxon::Family(family)))
}

/// The stands of all rounds, and the word of each item.
fn stands_of(book: &CropBook, graph: &CropGraph, years: &[Vec<Item>], n_rounds: usize) -> (Vec<Stand>, Vec<String>) {
    let bed = Rect::of_size(Mm::from_cm(100), Mm::from_cm(100));
    let (mut stands, mut words): (Vec<Stand>, Vec<String>) = (Vec::new(), Vec::new());
    for (idx, items) in std::iter::repeat_n(years, n_rounds).flatten().enumerate() {
        let year = idx as i32 + 1;
        for item in items {
            if let Some(taxon) = item.taxon {
                if stands_on(book, graph, item.again, taxon) {
                    let standing =
                        stands.iter_mut().rev().find(|stand| stand.taxon == taxon && stand.last_year == year - 1);
                    if let Some(standing) = standing {
                        standing.last_year = year;
                        continue;
                    }
                }
                stands.push(Stand {
                    key: StandKey::Item(words.len()),
                    taxon,
                    first_year: year,
                    last_year: year,
                    from: None,
                    until: None,
                    ground: vec![bed],
                });
                words.push(item.word.clone());
            }
        }
    }
    (stands, words)
}

/// Whether a crop named again in the next year is the same bed standing on.
fn stands_on(book: &CropBook, graph: &CropGraph, again: Again, taxon: Taxon) -> bool {
    let Taxon::Plant(PlantRef::Crop(idx)) = taxon else { return again == Again::StandsOn };
    match again {
        Again::StandsOn => true,
        Again::Afresh => false,
        Again::AsUsual => {
            book.crops().get(idx).is_some_and(|crop| crop.is_permanent)
                && graph.taxon_idx(taxon).is_none_or(|taxon| graph.rules_between(taxon, taxon).is_empty())
        }
    }
}

/// Hazards a name means: the one of exactly that name, else all that its words fit.
fn hazards_named(book: &CropBook, name: &str) -> Result<Vec<usize>, SequenceError> {
    let wanted = plain(name);
    let hazards = book.hazards();
    let exact = hazards.iter().position(|hazard| plain(&hazard.id) == wanted || plain(&hazard.name) == wanted);
    if let Some(idx) = exact {
        return Ok(vec![idx]);
    }
    let words: Vec<&str> =
        wanted.split(' ').filter(|word| !word.is_empty() && !["found", "seen", "and"].contains(word)).collect();
    let fits = |idx: &usize| {
        let hazard = &hazards[*idx];
        let told = format!("{} {} {}", hazard.id, hazard.name, hazard.cause).to_lowercase();
        let told: Vec<&str> = told.split(|letter: char| !letter.is_alphanumeric()).collect();
        words.iter().all(|word| {
            let stem = word.strip_suffix('s').filter(|stem| stem.len() > 3).unwrap_or(word);
            told.iter().any(|own| own == word || (stem.len() > 3 && own.starts_with(stem)))
        })
    };
    let found: Vec<usize> = if words.is_empty() { Vec::new() } else { (0..hazards.len()).filter(fits).collect() };
    if found.is_empty() {
        // Long words are cut, since no name is that long.
        let asked: String = wanted.chars().take(60).collect();
        let mut nearest: Vec<(usize, &str)> = hazards
            .iter()
            .map(|hazard| {
                (
                    osa_distance(&asked, &plain(&hazard.name)).min(osa_distance(&asked, &plain(&hazard.id))),
                    &*hazard.name,
                )
            })
            .collect();
        nearest.sort_unstable();
        let nearest = nearest.into_iter().take(3).map(|(_, name)| name.to_owned()).collect();
        return Err(SequenceError::UnknownHazard { word: shown(name), nearest });
    }
    Ok(found)
}

/// What makes two findings of a repeated sequence the same: each is told once, at its gravest.
#[derive(PartialEq, Eq, Hash)]
struct Same {
    rule: Rule,
    year: i32,
    crop: String,
    earlier_crop: Option<String>,
    earlier_year: Option<i32>,
    hazard_idx: Option<usize>,
    follow_idx: Option<usize>,
}

/// What was seen before year 1 may be the very crop that stands in year 1, and nobody says how long ago it was: a host
/// there is a caution. From year 2 on the sighting counts as of the year before year 1.
fn severity_of(finding: &RotationFinding, year: i32) -> Severity {
    let rests_on_sighting = finding.rule == Rule::HazardHost && finding.earlier.is_none();
    if rests_on_sighting && year <= 1 { finding.severity.min(Severity::Caution) } else { finding.severity }
}

fn report(
    book: &CropBook,
    findings: &[RotationFinding],
    words: &[String],
    n_years: usize,
    is_cycle: bool,
) -> SequenceReport {
    let wrapped = |year: i32| {
        if is_cycle && year > 0 { (year - 1).rem_euclid(n_years as i32) + 1 } else { year }
    };
    let year_words = |year: i32| {
        if year <= 0 { "before year 1".to_owned() } else { format!("in year {}", wrapped(year)) }
    };
    let word = |key: StandKey| match key {
        StandKey::Item(idx) => words.get(idx).cloned().unwrap_or_default(),
        _ => String::new(),
    };
    let mut told: Vec<SequenceFinding> = Vec::new();
    let mut places: HashMap<Same, usize> = HashMap::new();
    for finding in findings {
        let same = Same {
            rule: finding.rule,
            year: wrapped(finding.year),
            crop: word(finding.about),
            earlier_crop: finding.earlier.map(word),
            earlier_year: finding.earlier_year.map(wrapped),
            hazard_idx: finding.hazard_idx,
            follow_idx: finding.follow_idx,
        };
        let severity = severity_of(finding, same.year);
        let place = places.get(&same).copied();
        if place.is_some_and(|place| told[place].severity >= severity) {
            continue;
        }
        let telling = Telling {
            about: same.crop.clone(),
            earlier: same.earlier_crop.clone().unwrap_or_default(),
            when: finding.earlier_year.map_or_else(String::new, year_words),
            since: format!("since year {}", same.year),
        };
        let entry = SequenceFinding {
            severity,
            rule: finding.rule.id(),
            year: same.year,
            crop: same.crop.clone(),
            earlier_crop: same.earlier_crop.clone(),
            earlier_year: same.earlier_year,
            why: rotation::why_as(book, finding, &telling),
            source: rotation::source(book, finding),
        };
        if let Some(place) = place {
            told[place] = entry;
        } else {
            places.insert(same, told.len());
            told.push(entry);
        }
    }
    told.sort_by_key(|finding| (finding.year, std::cmp::Reverse(finding.severity)));
    let counted = told.iter().filter(|finding| finding.rule != Rule::GoodAfter.id());
    let worst = match counted.map(|finding| finding.severity).max() {
        Some(Severity::Breach) => "breach",
        Some(Severity::Caution) => "caution",
        Some(Severity::Note) => "note",
        None => "none",
    };
    SequenceReport { worst, findings: told }
}

#[cfg(test)]
#[path = "sequence_tests.rs"]
mod tests;
