//! What the names in hazards and follow rules mean: `crucifers`, `bean`, `squash`, `winter brassicas`.
//!
//! Sources name crops loosely. A name is one or several plants of the book, a family, or grass; what names nothing in
//! particular (`most crops`) gives no edge in the graph.

use crate::crops::{CropBook, Feeding, PlantRef};

/// What a loose name means.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Meaning {
    /// Plants, by their place in the list of kin.
    Plants(Vec<usize>),
    /// A botanical family by its first word.
    Botanical(String),
    /// One family of the book, by place.
    Family(usize),
    /// Grass, ley, meadow.
    Grass,
}

/// The first word of a text: `Boraginaceae` of `Boraginaceae (APG IV includes …)`.
pub(super) fn first_word(text: &str) -> &str {
    text.split([' ', '(', ';', ',']).find(|word| !word.is_empty()).unwrap_or("")
}

/// Lower case, spaces for `_` and `-`, no brackets, single blanks.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    let mut depth = 0_u32;
    for letter in text.chars() {
        match letter {
            '(' => depth += 1,
            ')' => depth = depth.saturating_sub(1),
            _ if depth > 0 => {}
            '_' | '-' | ' ' | '\t' => {
                if !out.is_empty() && !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            '’' => out.push('\''),
            _ => out.extend(letter.to_lowercase()),
        }
    }
    out.truncate(out.trim_end().len());
    out
}

/// The singular as English makes it, well enough for crop names: `berries`, `radishes`, `potatoes`, `leeks`.
pub(super) fn singular(word: &str) -> String {
    if let Some(stem) = word.strip_suffix("ies").filter(|stem| stem.len() > 1) {
        return format!("{stem}y");
    }
    for ending in ["oes", "shes", "ches", "xes"] {
        if word.ends_with(ending) {
            return word[..word.len() - 2].to_owned();
        }
    }
    match word.strip_suffix('s') {
        Some(stem) if !stem.ends_with('s') && !word.ends_with("us") && word != "oats" && word != "swiss" => {
            stem.to_owned()
        }
        _ => word.to_owned(),
    }
}

/// Loose names and the names of the book they stand for. Common usage, no published source.
const ALIASES: &[(&str, &[&str])] = &[
    ("autumn salad", &["lettuce", "endive", "mizuna", "lambs lettuce", "winter purslane", "rocket"]),
    ("bean", &["french bean", "runner bean", "broad bean"]),
    ("beet", &["beetroot", "chard"]),
    ("bramble", &["raspberry", "blackberry", "hybrid berry"]),
    ("cabbage", &["cabbage", "savoy cabbage"]),
    ("cereal", &["wheat", "barley", "oats", "grazing rye"]),
    ("clover", &["red clover", "white clover", "crimson clover"]),
    ("curly kale", &["kale"]),
    ("currant", &["blackcurrant", "redcurrant", "whitecurrant"]),
    ("fodder radish", &["fodder radish", "oil radish"]),
    ("mustard", &["white mustard", "brown mustard"]),
    ("onion", &["onion"]),
    ("overwintering onion", &["onion overwintered"]),
    ("pepper", &["sweet pepper", "chilli"]),
    ("pumpkin", &["winter squash", "pumpkin"]),
    ("radish green manure", &["fodder radish"]),
    ("red or white clover", &["red clover", "white clover", "crimson clover"]),
    ("rocket", &["salad rocket", "wild rocket", "rocket"]),
    ("rye", &["grazing rye"]),
    ("oat", &["oats"]),
    ("lupin", &["lupin"]),
    ("squash", &["courgette", "winter squash", "pumpkin"]),
    ("sprouting broccoli", &["purple sprouting broccoli"]),
    ("vetch", &["winter tares", "vetch"]),
];

/// Names of whole botanical families.
const FAMILY_WORDS: &[(&str, &str)] = &[
    ("all brassica", "Brassicaceae"),
    ("allium", "Amaryllidaceae"),
    ("any crucifer", "Brassicaceae"),
    ("brassica", "Brassicaceae"),
    ("crucifer", "Brassicaceae"),
    ("legume", "Fabaceae"),
    ("legume cover", "Fabaceae"),
    ("legume crop", "Fabaceae"),
    ("other brassica", "Brassicaceae"),
    ("winter brassica", "Brassicaceae"),
];

/// Words for grass as something the ground was under.
const GRASS_WORDS: &[&str] =
    &["grass", "grass ley", "grass strip", "lawn", "lawn newly dug", "ley", "meadow", "perennial grass", "sward"];

/// Names that stand for no crop in particular, or for a case the rules handle by themselves.
const NO_CROP: &[&str] = &["most crop", "next crop", "same family", "rotation count", "harvest"];

/// Looks up loose names in one book.
#[derive(Debug)]
pub(super) struct Terms<'a> {
    book: &'a CropBook,
    /// Every name of every plant, in order of kin: crops, then known plants.
    names: Vec<Vec<String>>,
    /// Groups of every plant.
    groups: Vec<Vec<String>>,
}

impl<'a> Terms<'a> {
    pub(super) fn of_book(book: &'a CropBook) -> Self {
        let crops = book.crops().iter().map(|crop| {
            let mut names = vec![singular(&plain(&crop.id)), singular(&plain(&crop.name))];
            names.extend(crop.known_as.iter().chain(&crop.other_names).map(|name| singular(&plain(name))));
            names
        });
        let plants = book.plants().iter().map(|plant| {
            let mut names = vec![singular(&plain(&plant.id)), singular(&plain(&plant.name))];
            names.extend(plant.other_names.iter().map(|name| singular(&plain(name))));
            names
        });
        let groups = book.crops().iter().map(|crop| &crop.groups);
        let groups = groups.chain(book.plants().iter().map(|plant| &plant.groups));
        Self {
            book,
            names: crops.chain(plants).collect(),
            groups: groups.map(|groups| groups.iter().map(|group| singular(&plain(group))).collect()).collect(),
        }
    }

    /// What one entry of a rule or hazard means: entries are set apart by `;`, `,` and `or`.
    pub(super) fn meanings(&self, text: &str) -> Vec<(String, Meaning)> {
        let mut found = Vec::new();
        // `a, then b` needs two predecessors: no edge between two crops says that.
        if text.contains(" then ") {
            return found;
        }
        for entry in text.split(';') {
            let whole = singular(&plain(entry));
            if let Some(meaning) = self.meaning(&whole) {
                found.push((whole, meaning));
                continue;
            }
            for part in entry.split([',', '(', ')']).flat_map(|part| part.split(" or ")) {
                let part = singular(&plain(part.trim()));
                if let Some(meaning) = self.meaning(&part) {
                    found.push((part, meaning));
                }
            }
        }
        found
    }

    /// What one name means; trims it of words that only say how or when it is grown.
    fn meaning(&self, name: &str) -> Option<Meaning> {
        const BEFORE: &[&str] = &["also ", "all ", "any ", "other ", "early ", "winter ", "spring ", "ploughed "];
        const AFTER: &[&str] = &[" green manure", " cover crop", " crop", " seedling", " ley", " prunings"];
        if name.is_empty() || NO_CROP.contains(&name) {
            return None;
        }
        if let Some(meaning) = self.exact(name) {
            return Some(meaning);
        }
        let trimmed = BEFORE.iter().find_map(|word| name.strip_prefix(word));
        let trimmed = trimmed.or_else(|| AFTER.iter().find_map(|word| name.strip_suffix(word)));
        trimmed.and_then(|rest| self.meaning(&singular(rest.trim())))
    }

    fn exact(&self, name: &str) -> Option<Meaning> {
        if GRASS_WORDS.contains(&name) {
            return Some(Meaning::Grass);
        }
        if let Some((_, botanical)) = FAMILY_WORDS.iter().find(|(word, _)| *word == name) {
            return Some(Meaning::Botanical((*botanical).to_owned()));
        }
        let families = self.book.families();
        if let Some(family) = families.iter().find(|family| first_word(&family.botanical).eq_ignore_ascii_case(name)) {
            return Some(Meaning::Botanical(first_word(&family.botanical).to_owned()));
        }
        if let Some(idx) = families.iter().position(|family| plain(&family.id) == name) {
            return Some(Meaning::Family(idx));
        }
        let plants = match ALIASES.iter().find(|(word, _)| *word == name) {
            Some((_, names)) => {
                let mut plants: Vec<usize> = names.iter().flat_map(|name| self.plants_named(name)).collect();
                plants.sort_unstable();
                plants.dedup();
                plants
            }
            None => self.plants_named(name),
        };
        if !plants.is_empty() {
            return Some(Meaning::Plants(plants));
        }
        let grouped = self.plants_in_group(name);
        (!grouped.is_empty()).then_some(Meaning::Plants(grouped))
    }

    /// Places of the plants that bear exactly that name, or are known to rules by it.
    pub(super) fn plants_named(&self, name: &str) -> Vec<usize> {
        let wanted = singular(&plain(name));
        let mut plants: Vec<usize> =
            (0..self.names.len()).filter(|&idx| self.names[idx].iter().any(|name| *name == wanted)).collect();
        if plants.is_empty() {
            plants.extend(self.book.find(name).map(|plant| self.place(plant)));
        }
        plants
    }

    /// Place of a plant in the list of kin.
    pub(super) fn place(&self, plant: PlantRef) -> usize {
        match plant {
            PlantRef::Crop(idx) => idx,
            PlantRef::Known(idx) => self.book.crops().len() + idx,
        }
    }

    /// Places of the plants in a group: as the book says, or as follows from its figures.
    fn plants_in_group(&self, group: &str) -> Vec<usize> {
        let wanted = match group {
            "root" => "root crop",
            "green manure" | "fresh residue" => "cover crop",
            "high nitrogen crop" => "heavy feeder",
            other => other,
        };
        let synonyms: &[&str] = match wanted {
            "cover crop" => &["cover crop", "green manure"],
            "root crop" => &["root crop", "root"],
            _ => std::slice::from_ref(&wanted),
        };
        let crops = self.book.crops();
        (0..self.names.len())
            .filter(|&idx| {
                let named = self.groups[idx].iter().any(|group| synonyms.contains(&group.as_str()));
                let derived = match (wanted, crops.get(idx)) {
                    ("heavy feeder", Some(crop)) => crop.feeding == Feeding::Heavy,
                    ("cash crop", Some(crop)) => !crop.groups.iter().any(|group| plain(group) == "green manure"),
                    _ => false,
                };
                named || derived
            })
            .collect()
    }

    /// Whether the plant at that place is in the group.
    pub(super) fn is_in_group(&self, kin_idx: usize, group: &str) -> bool {
        self.groups.get(kin_idx).is_some_and(|groups| groups.iter().any(|own| own == group))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_brought_to_one_plain_form() {
        assert_eq!(plain("  French_bean (dwarf) "), "french bean");
        for (many, one) in [
            ("strawberries", "strawberry"),
            ("potatoes", "potato"),
            ("radishes", "radish"),
            ("leeks", "leek"),
            ("cress", "cress"),
            ("asparagus", "asparagus"),
            ("oats", "oats"),
        ] {
            assert_eq!(singular(many), one);
        }
        assert_eq!(first_word("Boraginaceae (APG IV includes more)"), "Boraginaceae");
    }
}
