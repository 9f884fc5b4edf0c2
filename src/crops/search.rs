//! Which crops do a few letters mean?
//!
//! The name, the other names and the Latin name of every crop are looked at: first for whole words (singular or
//! plural) and beginnings of words, then for pieces of words, and where none has even those for words that are a slip away
//! (`slips`). What is no slip of any name is missing, and nothing stands in for it. Case and accents do not matter. This is for choosing
//! from a list, not for deciding what a name means: for that see [`CropBook::find`].

use super::spelling::{folded, singulars_of_word, slips, without_brackets};

/// Letters beyond these are not searched for.
const LETTERS_MAX: usize = 100;
/// A word shorter than this is not compared with the beginnings of others.
const BEGINNING_LETTERS_MIN: usize = 6;
/// A singular shorter than this is not tried ("is" is no plural of "i").
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

    /// How well one name, or several parted by spaces, holds the words; `None` where it does not.
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

    /// How far the words are from one name, or several parted by spaces; `None` where they are no slip of it.
    pub fn miss_of(&self, name: &str) -> Option<Miss> {
        let asked: Vec<&str> = self.words.iter().filter_map(|forms| forms.first()).map(String::as_str).collect();
        let whole = slips(&asked.join(" "), &folded(without_brackets(name)));
        whole.map(Miss::Name).or_else(|| self.slips_in_words(&folded(name)).map(Miss::Words))
    }

    /// Slips between each word and the nearest word of a folded name, added up. A longer word is compared with beginnings too, for it
    /// may not be typed to its end.
    fn slips_in_words(&self, name: &str) -> Option<usize> {
        let miss = |asked: &str, word: &str| {
            let n_asked = asked.chars().count();
            let may_begin = n_asked >= BEGINNING_LETTERS_MIN;
            let lengths = if may_begin { n_asked - 1..word.chars().count().min(n_asked + 2) } else { 0..0 };
            let beginnings = lengths.map(|n| word.chars().take(n).collect::<String>());
            beginnings.filter_map(|beginning| slips(asked, &beginning)).chain(slips(asked, word)).min()
        };
        let nearest_of = |forms: &Vec<String>| {
            let pairs = forms.iter().flat_map(|form| name.split_whitespace().map(move |word| (form, word)));
            pairs.filter_map(|(form, word)| miss(form, word)).min()
        };
        let n_slips: Option<usize> = self.words.iter().map(nearest_of).sum();
        n_slips.filter(|_| !self.words.is_empty())
    }
}

/// How many slips words are away from a name, the nearest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Miss {
    /// From the name itself, without its part in brackets.
    Name(usize),
    /// Each from some word of it, added up.
    Words(usize),
}

/// Keeps those that are near in the same way as the nearest: by their names, or else by words of them.
pub(crate) fn retain_best<T>(missed: &mut Vec<(Miss, T)>) {
    let is_of_name = |miss: Miss| matches!(miss, Miss::Name(_));
    let has_name = missed.iter().any(|(miss, _)| is_of_name(*miss));
    missed.retain(|(miss, _)| is_of_name(*miss) == has_name);
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::crops::CropBook;

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
        assert_eq!(all.len(), 172);
        assert_eq!(all.first().map(String::as_str), Some("agretti"));
        assert!(found("qqqxzz").is_empty());
        assert!(found(&"leek".repeat(5000)).is_empty());
    }

    #[test]
    fn a_word_lists_the_crops_that_have_it_and_nothing_scattered() {
        let beans = [
            "broad-bean-autumn",
            "broad-bean-spring",
            "drying-bean-climbing",
            "drying-bean-dwarf",
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
        // Names that begin with the word, then those that hold it, then what has it in a by-name (onion squash).
        assert!(onions[..3].iter().all(|id| id.starts_with("onion-")), "{onions:?}");
        assert!(onions[3..].iter().any(|id| id == "salad-onion"), "{onions:?}");
        assert_eq!(onions.last().map(String::as_str), Some("winter-squash"), "{onions:?}");
    }

    #[test]
    fn a_piece_of_a_word_counts_where_no_word_begins_so() {
        let roots = found("nip");
        assert!(roots.iter().any(|id| id == "parsnip") && roots.iter().any(|id| id == "turnip"));
        assert!(roots.iter().all(|id| id != "beetroot"), "{roots:?}");
        let words = SearchWords::of("pea");
        assert_eq!(words.hold_of("Peas"), Some(Hold::WordsFromStart));
        assert_eq!(words.hold_of("Garden pea"), Some(Hold::Words));
        assert_eq!(words.hold_of("Pear"), Some(Hold::BeginningsFromStart));
        assert_eq!(words.hold_of("Chickpea"), Some(Hold::Pieces));
        assert_eq!(words.hold_of("Parsley, early"), None);
    }
}
