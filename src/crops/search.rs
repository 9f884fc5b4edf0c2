//! Which crops do a few letters mean?
//!
//! Letters are matched in order with gaps (nucleo-matcher) against the name, the other names and the Latin name
//! of every crop. Case and accents do not matter. This is for choosing from a list, not for deciding what a name
//! means: for that see [`CropBook::find`].

use std::cmp::Reverse;

use nucleo_matcher::pattern::{CaseMatching, Normalization, Pattern};
use nucleo_matcher::{Config, Matcher, Utf32Str};

use super::{Crop, CropBook};

/// More letters than this are no search.
const LETTERS_MAX: usize = 100;

impl CropBook {
    /// Places in [`Self::crops`] of the crops that a few letters may mean, best first; no letters: all by name.
    pub fn search(&self, letters: &str) -> Vec<usize> {
        let mut ranked: Vec<(Reverse<u32>, &str, usize)> = if letters.trim().is_empty() {
            self.crops.iter().enumerate().map(|(idx, crop)| (Reverse(0), crop.name.as_str(), idx)).collect()
        } else {
            let letters: String = letters.chars().take(LETTERS_MAX).collect();
            let mut config = Config::DEFAULT;
            config.prefer_prefix = true;
            let mut search = Search {
                matcher: Matcher::new(config),
                pattern: Pattern::parse(&letters.replace(['-', '_'], " "), CaseMatching::Ignore, Normalization::Smart),
                buffer: Vec::new(),
            };
            self.crops
                .iter()
                .enumerate()
                .filter_map(|(idx, crop)| {
                    search.score_of_crop(crop).map(|score| (Reverse(score), crop.name.as_str(), idx))
                })
                .collect()
        };
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
}
