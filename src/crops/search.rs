//! Which crops do a few letters mean?
//!
//! The name, the other names and the Latin name of every crop are looked at: first for whole words (singular or
//! plural) and beginnings of words, then for pieces of words, and where none has even those for the letters in
//! order with gaps (nucleo-matcher). Case and accents do not matter. This is for choosing from a list, not for deciding what a name
//! means: for that see [`CropBook::find`].

use std::cmp::Reverse;

use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

use super::names::{folded, singulars_of_word};
use super::{Crop, CropBook};

/// More letters than this are no search.
const LETTERS_MAX: usize = 100;
/// Shorter than this what is left of a plural says nothing ("is" is no plural of "i").
const SINGULAR_LETTERS_MIN: usize = 3;

/// How well a name holds the letters, best first; the order of the search's results.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Hold {
    /// Each word is a whole word of the name, singular or plural, and the name begins with the first.
    WordsFromStart,
    /// Each word is a whole word of the name, singular or plural.
    Words,
    /// Each word begins a word of the name, and the first its first.
    BeginningsFromStart,
    /// Each word begins a word of the name.
    Beginnings,
    /// Each word is somewhere in the name in one piece.
    Pieces,
}

/// What was typed into a search, as words.
#[derive(Debug, Clone)]
pub struct SearchWords {
    /// Each word with what it may be the plural of, the word itself first.
    words: Vec<Vec<String>>,
}

impl SearchWords {
    /// The words of what was typed, in any case, with or without accents.
    pub fn of(letters: &str) -> Self {
        let letters: String = letters.chars().take(LETTERS_MAX).collect();
        let forms_of = |word: &str| {
            let mut forms = vec![word.to_owned()];
            forms.extend(singulars_of_word(word).into_iter().filter(|one| one.chars().count() >= SINGULAR_LETTERS_MIN));
            forms
        };
        Self { words: folded(&letters).split_whitespace().map(forms_of).collect() }
    }

    /// How well one name, or several parted by spaces, holds the words; `None` where only scattered letters could.
    pub fn hold_of(&self, name: &str) -> Option<Hold> {
        let name = folded(name);
        let words: Vec<&str> = name.split_whitespace().collect();
        let is_same = |asked: &[String], word: &str| {
            asked.iter().any(|form| form == word)
                || singulars_of_word(word).iter().any(|one| asked.first() == Some(one))
        };
        let holds = |test: &dyn Fn(&[String]) -> bool| self.words.iter().all(|asked| test(asked));
        let first = self.words.first().zip(words.first());
        if holds(&|asked| words.iter().any(|word| is_same(asked, word))) {
            let is_start = first.is_some_and(|(asked, word)| is_same(asked, word));
            return Some(if is_start { Hold::WordsFromStart } else { Hold::Words });
        }
        let begins = |asked: &[String], word: &str| asked.iter().any(|form| word.starts_with(form.as_str()));
        if holds(&|asked| words.iter().any(|word| begins(asked, word))) {
            return Some(if first.is_some_and(|(asked, word)| begins(asked, word)) {
                Hold::BeginningsFromStart
            } else {
                Hold::Beginnings
            });
        }
        holds(&|asked| asked.iter().any(|form| name.contains(form.as_str()))).then_some(Hold::Pieces)
    }
}

impl CropBook {
    /// Places in [`Self::crops`] of the crops that a few letters may mean, best first; no letters: all by name.
    ///
    /// Names that hold the letters as words, or as beginnings of words, keep all others out; failing those, names
    /// that hold them in one piece; letters scattered over a name count only where nothing else does.
    pub fn search(&self, letters: &str) -> Vec<usize> {
        if letters.trim().is_empty() {
            let mut all: Vec<(&str, usize)> =
                self.crops.iter().enumerate().map(|(idx, crop)| (crop.name.as_str(), idx)).collect();
            all.sort_unstable();
            return all.into_iter().map(|(_, idx)| idx).collect();
        }
        let held = self.search_held(&SearchWords::of(letters));
        if held.is_empty() { self.search_scattered(letters) } else { held }
    }

    fn search_held(&self, words: &SearchWords) -> Vec<usize> {
        // A crop's own name goes before its other names, those before the Latin one.
        let best_of = |crop: &Crop| {
            let own = words.hold_of(&crop.name).map(|hold| (hold, 0_u8));
            let others = crop.other_names.iter().filter_map(|name| words.hold_of(name)).min().map(|hold| (hold, 1));
            let latin = words.hold_of(&crop.latin).map(|hold| (hold, 2));
            [own, others, latin]
                .into_iter()
                .flatten()
                .min_by_key(|&(hold, whose)| (hold > Hold::Beginnings, whose, hold))
        };
        let mut ranked: Vec<(bool, u8, Hold, &str, usize)> = self
            .crops
            .iter()
            .enumerate()
            .filter_map(|(idx, crop)| {
                let (hold, whose) = best_of(crop)?;
                Some((hold > Hold::Beginnings, whose, hold, crop.name.as_str(), idx))
            })
            .collect();
        ranked.sort_unstable();
        let is_in_pieces = ranked.first().is_some_and(|first| first.0);
        ranked.retain(|one| one.0 == is_in_pieces);
        ranked.into_iter().map(|(.., idx)| idx).collect()
    }

    fn search_scattered(&self, letters: &str) -> Vec<usize> {
        let letters: String = letters.chars().take(LETTERS_MAX).collect();
        let mut config = Config::DEFAULT;
        config.prefer_prefix = true;
        let mut search = Search {
            matcher: Matcher::new(config),
            pattern: Pattern::parse(&letters.replace(['-', '_'], " "), CaseMatching::Ignore, Normalization::Smart),
            buffer: Vec::new(),
        };
        let mut ranked: Vec<(Reverse<u32>, &str, usize)> = self
            .crops
            .iter()
            .enumerate()
            .filter_map(|(idx, crop)| search.score_of_crop(crop).map(|score| (Reverse(score), crop.name.as_str(), idx)))
            .collect();
        ranked.sort_unstable();
        ranked.into_iter().map(|(_, _, idx)| idx).collect()
    }
}

/// One search under way.
struct Search {
    matcher: Matcher,
    pattern: Pattern,
    buffer: Vec<char>,
}

impl Search {
    /// The best score among a crop's names; at equal match its own name goes before other names, those before Latin.
    fn score_of_crop(&mut self, crop: &Crop) -> Option<u32> {
        let own = self.score(&crop.name).map(|score| score * 4 + 2);
        let others = crop.other_names.iter().filter_map(|name| self.score(name)).max().map(|score| score * 4 + 1);
        let latin = self.score(&crop.latin).map(|score| score * 4);
        own.max(others).max(latin)
    }

    fn score(&mut self, name: &str) -> Option<u32> {
        self.pattern.score(Utf32Str::new(name, &mut self.buffer), &mut self.matcher)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn found(letters: &str) -> Vec<String> {
        let book = CropBook::embedded().unwrap();
        book.search(letters).into_iter().map(|idx| book.crops()[idx].id.clone()).collect()
    }

    #[test]
    fn a_few_letters_find_the_crop_best_first() {
        for (letters, id) in [
            ("leek", "leek"),
            ("lee", "leek"),
            ("zucch", "courgette"),
            ("psb", "purple-sprouting-broccoli"),
            ("mache", "lambs-lettuce"),
            ("pastinaca", "parsnip"),
            ("garl", "garlic"),
            ("salad-onion", "salad-onion"),
            ("POTATO main", "potato-maincrop"),
            ("aut rasp", "raspberry-autumn"),
        ] {
            let found = found(letters);
            assert_eq!(found.first().map(String::as_str), Some(id), "{letters}: {found:?}");
        }
    }

    #[test]
    fn no_letters_list_every_crop_by_name_and_nonsense_lists_none() {
        let all = found("  ");
        assert_eq!(all.len(), 96);
        assert_eq!(all.first().map(String::as_str), Some("asparagus"));
        assert!(found("qqqxzz").is_empty());
        assert!(found(&"leek".repeat(5000)).is_empty());
    }

    #[test]
    fn a_word_lists_the_crops_that_have_it_and_nothing_scattered() {
        let beans = [
            "broad-bean-autumn",
            "broad-bean-spring",
            "field-bean",
            "french-bean-climbing",
            "french-bean-dwarf",
            "runner-bean",
        ];
        for letters in ["beans", "bean", "Bean ", "BEANS"] {
            let found = found(letters);
            let mut first: Vec<&str> = found.iter().take(beans.len()).map(String::as_str).collect();
            first.sort_unstable();
            assert_eq!(first, beans, "{letters}");
            assert!(found.iter().all(|id| id != "kohlrabi" && id != "chard"), "{letters}: {found:?}");
        }
        assert_eq!(found("leeks"), found("leek"));
        for (letters, word) in
            [("leek", "leek"), ("onions", "onion"), ("onion", "onion"), ("garlic", "garlic"), ("garl", "garl")]
        {
            let book = CropBook::embedded().unwrap();
            let found = book.search(letters);
            assert!(!found.is_empty(), "{letters}");
            for idx in found {
                let crop = &book.crops()[idx];
                let mut names = crop.other_names.iter().chain([&crop.name, &crop.latin]);
                assert!(names.any(|name| name.to_lowercase().contains(word)), "{letters}: {}", crop.id);
            }
        }
        let onions = found("onion");
        assert!(onions[..3].iter().all(|id| id.starts_with("onion-")) && onions[3] == "salad-onion", "{onions:?}");
    }

    #[test]
    fn a_piece_of_a_word_counts_where_no_word_begins_so() {
        let berries = found("berry");
        assert!(berries.iter().any(|id| id == "raspberry-autumn") && berries.iter().any(|id| id == "strawberry"));
        assert!(berries.iter().all(|id| id != "beetroot"), "{berries:?}");
        let words = SearchWords::of("pea");
        assert_eq!(words.hold_of("Peas"), Some(Hold::WordsFromStart));
        assert_eq!(words.hold_of("Garden pea"), Some(Hold::Words));
        assert_eq!(words.hold_of("Pear"), Some(Hold::BeginningsFromStart));
        assert_eq!(words.hold_of("Chickpea"), Some(Hold::Pieces));
        assert_eq!(words.hold_of("Parsley, early"), None);
    }
}
