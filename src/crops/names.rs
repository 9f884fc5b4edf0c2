//! What does a name mean?
//!
//! A crop or plant answers to its id, its name with or without the part in brackets, its other names and its
//! Latin name, in any case, with spaces, hyphens or underscores, with or without accents, in the singular or the
//! English plural. A word that several crops share means the usual one (`assets/names.ron`). Families answer to their id,
//! their botanical name, older botanical names and what growers call them. Other languages are not understood.

use std::borrow::Cow;
use std::collections::{BTreeMap, HashMap, HashSet};

use serde::Deserialize;
use strsim::osa_distance;

use super::search::{Miss, retain_best};
use super::{CropBook, PlantRef, SearchWords, SourceText};

/// Words beside the names of crops and families, as `assets/names.ron` has them.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Words {
    /// What a bare word means that several entries share.
    pub(super) usual: Meanings,
    /// Botanical names that older books use.
    pub(super) old_families: Meanings,
    /// What growers call a whole botanical family.
    pub(super) common_families: CommonFamilies,
}

/// Words with the id or botanical family they mean.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Meanings {
    pub(super) source: SourceText,
    pub(super) meanings: BTreeMap<String, String>,
}

#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommonFamilies {
    pub(super) source: SourceText,
    pub(super) names: Vec<CommonFamily>,
}

/// A word for a botanical family.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CommonFamily {
    pub(super) word: String,
    pub(super) family: String,
    /// It means the family without "family" behind it.
    #[serde(default)]
    pub(super) stands_alone: bool,
}

/// A name longer than this, in bytes, means nothing and is not compared with anything.
const NAME_MAX_BYTES: usize = 200;

/// How many slips a name may have, by its letters: from so many letters on, so many. Tight on purpose: a plant that the book
/// does not have must be said to be missing rather than become another crop (starting values).
const SLIPS_BY_LETTERS: [(usize, usize); 4] = [(12, 3), (8, 2), (5, 1), (3, 1)];
/// Names of fewer letters than this miss a known one only as [`slips`] says of short names.
const SHORT_NAME_LETTERS: usize = 5;

/// How many slips (a letter missing, too many, wrong, or two changed round) a folded name is from a known one; `None` where they
/// are too many for it to be a slip of that name: one in three to seven letters, two in eight to eleven, three in twelve or more.
/// Short names differ by a letter from those of other plants (pear, pea; rue, rye): under five letters the first must be right
/// and none too many, and of three none wrong.
pub(super) fn slips(asked: &str, known: &str) -> Option<usize> {
    let n_of = |text: &str| text.chars().filter(|c| !c.is_whitespace()).count();
    let (n_asked, n_known) = (n_of(asked), n_of(known));
    let most = SLIPS_BY_LETTERS.iter().find(|(letters, _)| n_asked >= *letters).map_or(0, |(_, most)| *most);
    if n_asked.abs_diff(n_known) > most {
        return None;
    }
    let n_slips = osa_distance(asked, known);
    let is_right_if_short = n_asked >= SHORT_NAME_LETTERS
        || (asked.chars().next() == known.chars().next() && n_asked <= n_known && (n_asked > 3 || n_asked < n_known));
    (n_slips == 0 || (n_slips <= most && is_right_if_short)).then_some(n_slips)
}

/// Crop names begin with a capital in the book; in a sentence these first words keep it.
const PROPER_WORDS: [&str; 13] = [
    "Brussels",
    "Swiss",
    "French",
    "Italian",
    "Chinese",
    "New",
    "Jerusalem",
    "Florence",
    "Welsh",
    "Cape",
    "Hamburg",
    "Malabar",
    "Good",
];

/// A name of the book as it stands within a sentence.
pub fn in_text(name: &str) -> Cow<'_, str> {
    let first_word = name.split([' ', '-']).next().unwrap_or("");
    let mut letters = name.chars();
    match letters.next() {
        Some(first) if first.is_uppercase() && !PROPER_WORDS.contains(&first_word) => {
            Cow::Owned(first.to_lowercase().chain(letters).collect())
        }
        _ => Cow::Borrowed(name),
    }
}

/// Every name of the book, folded, and what it means.
#[derive(Debug, Clone, Default)]
pub(crate) struct NameIndex {
    /// Whose a name is, and how well founded that is: the lower rank wins.
    plant_by_name: HashMap<String, (u8, PlantRef)>,
    families_by_name: HashMap<String, Vec<usize>>,
}

impl NameIndex {
    fn of(book: &CropBook) -> Self {
        let mut index = Self::default();
        index.add_plants(book);
        index.add_families(book);
        index
    }

    fn add_plants(&mut self, book: &CropBook) {
        let crops = || book.crops.iter().enumerate().map(|(idx, crop)| (PlantRef::Crop(idx), crop));
        let plants = || book.plants.iter().enumerate().map(|(idx, plant)| (PlantRef::Known(idx), plant));
        // A garden's own crops stand last among their equals: of equal claims the last one holds.
        let mut claim = |rank: u8, text: &str, whose| {
            let held = self.plant_by_name.entry(folded(text)).or_insert((rank, whose));
            if rank <= held.0 {
                *held = (rank, whose);
            }
        };
        let mut id_of = HashMap::new();
        for (whose, crop) in crops() {
            id_of.insert(crop.id.as_str(), whose);
            claim(0, &crop.id, whose);
            claim_name(&mut claim, &crop.name, whose);
            crop.other_names.iter().for_each(|name| claim(4, name, whose));
            claim(7, &crop.short_name, whose);
            claim(8, &crop.latin, whose);
            if let Some(known_as) = &crop.known_as {
                claim(6, known_as, whose);
            }
        }
        for (whose, plant) in plants() {
            id_of.insert(plant.id.as_str(), whose);
            claim(1, &plant.id, whose);
            claim_name(&mut claim, &plant.name, whose);
            plant.other_names.iter().for_each(|name| claim(5, name, whose));
            claim(9, &plant.latin, whose);
        }
        for (word, id) in &book.words.usual.meanings {
            if let Some(&whose) = id_of.get(id.as_str()) {
                claim(3, word, whose);
            }
        }
    }

    fn add_families(&mut self, book: &CropBook) {
        let mut add = |name: &str, idx: usize| {
            let families: &mut Vec<usize> = self.families_by_name.entry(name.to_owned()).or_default();
            if !families.contains(&idx) {
                families.push(idx);
            }
        };
        for (idx, family) in book.families.iter().enumerate() {
            add(&folded(&family.id), idx);
            add(&folded(&family.botanical), idx);
            for common in family.common.split([';', ',']).map(folded) {
                if let Some(word) = common.strip_suffix(" family") {
                    add(&format!("{word}s"), idx);
                } else {
                    add(&format!("{} family", singular_of_last_word(&common)), idx);
                }
                add(&common, idx);
            }
            for (old, botanical) in &book.words.old_families.meanings {
                if *botanical == family.botanical {
                    add(old, idx);
                }
            }
            let common = book.words.common_families.names.iter();
            for CommonFamily { word, stands_alone, .. } in common.filter(|name| name.family == family.botanical) {
                add(&format!("{word} family"), idx);
                if *stands_alone {
                    add(word, idx);
                    add(&format!("{word}s"), idx);
                }
            }
        }
    }

    fn plant(&self, name: &str) -> Option<PlantRef> {
        if name.len() > NAME_MAX_BYTES {
            return None;
        }
        self.plant_in_one(name).or_else(|| {
            // "Carrot (early)", and the handbooks' "beans, snap": turned round, else without what follows.
            let (before, rest) = name.split_once(['(', ','])?;
            self.plant_in_one(&format!("{rest} {before}")).or_else(|| self.plant_in_one(before))
        })
    }

    fn plant_in_one(&self, name: &str) -> Option<PlantRef> {
        let folded = folded(name);
        if folded.is_empty() {
            return None;
        }
        let look_up = |name: &str| self.plant_by_name.get(name).map(|&(_, whose)| whose);
        look_up(&folded)
            .or_else(|| singulars(&folded).iter().find_map(|one| look_up(one)))
            .or_else(|| look_up(&format!("{folded}s")))
    }
}

/// Claims a name, its halves turned round ("Carrot (early)" is an early carrot) and the part before the bracket.
fn claim_name(claim: &mut impl FnMut(u8, &str, PlantRef), name: &str, whose: PlantRef) {
    claim(2, name, whose);
    if let Some((before, bracket)) = name.split_once('(') {
        let bracket = bracket.trim_end().trim_end_matches(')');
        claim(6, before, whose);
        claim(4, &format!("{bracket} {before}"), whose);
        for part in bracket.split(['/', ',']) {
            claim(6, &format!("{part} {before}"), whose);
        }
    } else if let Some((left, right)) = name.split_once('/') {
        claim(4, left, whose);
        claim(4, right, whose);
    }
}

/// The name without its part in brackets.
pub(super) fn without_brackets(name: &str) -> &str {
    name.split_once('(').map_or(name, |(before, _)| before).trim()
}

/// A name as it is compared: small letters without accents or apostrophes, single spaces for all that divides words.
pub(super) fn folded(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut is_gap = false;
    for c in text.chars().flat_map(char::to_lowercase) {
        if matches!(c, '\'' | '’' | '‘' | '`' | '´' | '.') || ('\u{300}'..='\u{36f}').contains(&c) {
            continue;
        }
        if !c.is_alphanumeric() && c != '×' && c != '&' {
            is_gap = true;
            continue;
        }
        if is_gap && !out.is_empty() {
            out.push(' ');
        }
        is_gap = false;
        match c {
            'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' => out.push('a'),
            'ç' | 'č' => out.push('c'),
            'è' | 'é' | 'ê' | 'ë' | 'ē' => out.push('e'),
            'ì' | 'í' | 'î' | 'ï' | 'ī' => out.push('i'),
            'ñ' => out.push('n'),
            'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' => out.push('o'),
            'ù' | 'ú' | 'û' | 'ü' | 'ū' => out.push('u'),
            'ý' | 'ÿ' => out.push('y'),
            'œ' => out.push_str("oe"),
            'æ' => out.push_str("ae"),
            'ß' => out.push_str("ss"),
            '×' => out.push('x'),
            '&' => out.push_str("and"),
            other => out.push(other),
        }
    }
    out
}

/// What one word may be the plural of, likeliest first.
pub(super) fn singulars_of_word(word: &str) -> Vec<String> {
    let mut out = Vec::new();
    if let Some(stem) = word.strip_suffix("ies") {
        out.push(format!("{stem}y"));
    }
    if let Some(stem) = word.strip_suffix("ves") {
        out.push(format!("{stem}f"));
        out.push(format!("{stem}fe"));
    }
    if let Some(stem) = word.strip_suffix('s').filter(|stem| !stem.is_empty()) {
        out.push(stem.to_owned());
    }
    if let Some(stem) = word.strip_suffix("es").filter(|stem| !stem.is_empty()) {
        out.push(stem.to_owned());
    }
    out
}

/// What a folded name may be the plural of: its last word, its first word, or every word made singular.
fn singulars(name: &str) -> Vec<String> {
    let words: Vec<&str> = name.split(' ').collect();
    let mut out = Vec::new();
    if let Some((last, before)) = words.split_last() {
        for one in singulars_of_word(last) {
            out.push(before.iter().copied().chain([one.as_str()]).collect::<Vec<_>>().join(" "));
        }
    }
    if let [first, rest @ ..] = words.as_slice()
        && !rest.is_empty()
    {
        for one in singulars_of_word(first) {
            out.push([one.as_str()].into_iter().chain(rest.iter().copied()).collect::<Vec<_>>().join(" "));
        }
        out.push(words.iter().map(|word| word.strip_suffix('s').unwrap_or(word)).collect::<Vec<_>>().join(" "));
    }
    out
}

fn singular_of_last_word(name: &str) -> String {
    name.strip_suffix('s').unwrap_or(name).to_owned()
}

impl CropBook {
    fn name_index(&self) -> &NameIndex {
        self.names.get_or_init(|| NameIndex::of(self))
    }

    /// The crop or plant a name means: id, common name, plural, case, underscore or hyphen.
    pub fn find(&self, name: &str) -> Option<PlantRef> {
        let index = self.name_index();
        index.plant(name).or_else(|| {
            // "Courgettes and marrows": two names of one family stand for the first.
            let (left, right) = [" and ", " or ", " / ", "/", ";"].iter().find_map(|gap| name.split_once(gap))?;
            let (left, right) = (index.plant(left)?, index.plant(right)?);
            (self.plant_names(left).2 == self.plant_names(right).2).then_some(left)
        })
    }

    /// The names that a name which is not known may be a slip of (see `slips`), best first; one name for each plant. None where
    /// none is near: then the plant is missing.
    pub fn nearest_names(&self, name: &str, n: usize) -> Vec<String> {
        let words = SearchWords::of(name);
        let crops =
            self.crops.iter().enumerate().map(|(idx, crop)| (PlantRef::Crop(idx), &crop.name, &crop.other_names));
        let plants =
            self.plants.iter().enumerate().map(|(idx, plant)| (PlantRef::Known(idx), &plant.name, &plant.other_names));
        let mut missed: Vec<(Miss, (&str, PlantRef))> = crops
            .chain(plants)
            .flat_map(|(whose, name, others)| std::iter::once(name).chain(others).map(move |name| (name, whose)))
            .filter_map(|(name, whose)| words.miss_of(name).map(|miss| (miss, (without_brackets(name), whose))))
            .collect();
        retain_best(&mut missed);
        missed.sort_by(|(a, (name_a, _)), (b, (name_b, _))| a.cmp(b).then_with(|| name_a.cmp(name_b)));
        let (mut texts, mut plants) = (HashSet::new(), HashSet::new());
        missed
            .into_iter()
            .filter(|&(_, (shown, whose))| texts.insert(shown) && plants.insert(whose))
            .take(n)
            .map(|(_, (shown, _))| shown.to_owned())
            .collect()
    }

    /// The names of families nearest to one that is not known, best first; one name for each family.
    pub fn nearest_family_names(&self, name: &str, n: usize) -> Vec<String> {
        let asked: String = folded(name).chars().take(NAME_MAX_BYTES).collect();
        let bare = asked.trim_end_matches(" family");
        let edits_to = |known: &str| {
            let whole = osa_distance(&asked, known);
            let word = known.strip_suffix(" family");
            word.map_or(whole, |word| whole.min(osa_distance(bare, word)))
        };
        let by_name = &self.name_index().families_by_name;
        let mut ranked: Vec<(usize, &str, &Vec<usize>)> =
            by_name.iter().map(|(known, families)| (edits_to(known), known.as_str(), families)).collect();
        ranked.sort_unstable();
        let mut told = HashSet::new();
        ranked
            .into_iter()
            .filter(|&(_, _, families)| told.insert(families))
            .take(n)
            .map(|(_, known, _)| known.to_owned())
            .collect()
    }

    /// Families a name means: an id, a botanical family (all that share it) or a common name.
    pub fn find_families(&self, name: &str) -> Vec<usize> {
        if name.len() > NAME_MAX_BYTES {
            return Vec::new();
        }
        let folded = folded(name);
        let folded = folded.strip_prefix("the ").unwrap_or(&folded);
        let by_name = &self.name_index().families_by_name;
        by_name
            .get(folded)
            .or_else(|| folded.strip_suffix(" family").and_then(|word| by_name.get(word)))
            .or_else(|| singulars(folded).iter().find_map(|one| by_name.get(one)))
            .cloned()
            .unwrap_or_default()
    }
}

#[cfg(test)]
#[path = "names_tests.rs"]
mod tests;
