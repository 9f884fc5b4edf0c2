//! Text from files made harmless for a screen, cut to a length, and compared with known names.
//!
//! A name in a garden file may hold anything. A control character could move the cursor or change the
//! terminal's modes, and a bidirectional override could make a line read as something else, so no text
//! from a file is shown except through [`shown`].

use std::borrow::Cow;

/// The text with every control character and bidirectional override replaced by a visible symbol.
///
/// Each character is replaced by one character, so positions counted in characters stay true.
///
/// ```
/// assert_eq!(bedfellow::units::text::shown("a\u{1b}[2J\n"), "a␛[2J␊");
/// ```
pub fn shown(text: &str) -> Cow<'_, str> {
    if text.chars().any(is_unshowable) { text.chars().map(shown_char).collect::<String>().into() } else { text.into() }
}

/// The visible symbol for one character; the character itself if it is harmless.
///
/// Unicode has pictures for the first 32 control characters and for delete (chart U+2400); there are none for
/// the rest, which become U+FFFD.
pub fn shown_char(character: char) -> char {
    match character {
        '\u{0}'..='\u{1f}' => char::from_u32(0x2400 + u32::from(character)).unwrap_or('\u{fffd}'),
        '\u{7f}' => '\u{2421}',
        _ if is_unshowable(character) => '\u{fffd}',
        _ => character,
    }
}

/// Whether a character would do something to a terminal or to the order of a line rather than be seen.
///
/// Control characters (general category Cc), line and paragraph separators, and the bidirectional
/// embeddings, overrides and isolates of Unicode Standard Annex 9.
pub fn is_unshowable(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// The text made harmless and, if it has more than `n_chars` characters, cut there and ended with `…`.
pub fn cut(text: &str, n_chars: usize) -> String {
    let mut out: String = text.chars().take(n_chars).map(shown_char).collect();
    if text.chars().nth(n_chars).is_some() {
        out.push('…');
    }
    out
}

/// The known name nearest to a word, if it is near enough that the word may be a slip for it.
///
/// Near enough is one slip for up to four letters, one more for every three beyond, four at most, and fewer slips than
/// letters; case, `-`, `_` and spaces count for nothing. Of equally near names the first is taken.
pub fn nearest<'a>(word: &str, names: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    const MOST_SLIPS: usize = 4;
    let word = plain_letters(word);
    let n_allowed = (1 + word.len().saturating_sub(2) / 3).min(MOST_SLIPS).min(word.len().saturating_sub(1));
    names
        .into_iter()
        .map(|name| (n_slips(&word, &plain_letters(name)), name))
        .filter(|(slips, _)| *slips <= n_allowed)
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, name)| name)
}

/// How many letters must be put in, left out, changed or swapped with their neighbour to make one word
/// of the other (optimal string alignment distance). Cost grows with the product of the lengths; words are cut at 64 letters.
fn n_slips(from: &[char], to: &[char]) -> usize {
    const LONGEST: usize = 64;
    let (from, to) = (from.get(..LONGEST).unwrap_or(from), to.get(..LONGEST).unwrap_or(to));
    let at = |row: &[usize], idx: usize| row.get(idx).copied().unwrap_or(usize::MAX / 2);
    let mut before_last: Vec<usize> = Vec::new();
    let mut last: Vec<usize> = (0..=to.len()).collect();
    for (i, a) in from.iter().enumerate() {
        let mut row = vec![i + 1];
        for (j, b) in to.iter().enumerate() {
            let changed = at(&last, j) + usize::from(a != b);
            let mut best = changed.min(at(&last, j + 1) + 1).min(at(&row, j) + 1);
            let is_swap = i > 0 && j > 0 && from.get(i - 1) == Some(b) && to.get(j - 1) == Some(a);
            if is_swap {
                best = best.min(at(&before_last, j - 1) + 1);
            }
            row.push(best);
        }
        before_last = std::mem::replace(&mut last, row);
    }
    at(&last, to.len())
}

/// Letters and digits in lower case, nothing else.
fn plain_letters(text: &str) -> Vec<char> {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn harmless_text_is_shown_as_it_is_without_a_copy() {
        assert!(matches!(shown("Bærendal £3 – ½ m²"), Cow::Borrowed(_)));
    }

    #[test]
    fn nothing_shown_can_steer_a_terminal_or_turn_a_line_round() {
        let nasty = "\u{1b}]0;x\u{7}\r\n\t\u{7f}\u{9b}31m\u{202e}abc\u{2066}\u{2028}";
        let safe = shown(nasty);
        assert_eq!(safe, "␛]0;x␇␍␊␉␡\u{fffd}31m\u{fffd}abc\u{fffd}\u{fffd}");
        assert_eq!(safe.chars().count(), nasty.chars().count());
        assert!(!safe.chars().any(is_unshowable));
    }

    #[test]
    fn long_text_is_cut_by_characters_and_says_so() {
        assert_eq!(cut("ääää", 4), "ääää");
        assert_eq!(cut("äääää", 4), "ääää…");
        assert_eq!(cut("a\nb", 9), "a␊b");
    }

    #[test]
    fn slips_are_counted_as_a_typist_makes_them() {
        let slips = |a: &str, b: &str| n_slips(&plain_letters(a), &plain_letters(b));
        assert_eq!(slips("leek", "leek"), 0);
        assert_eq!(slips("lekk", "leek"), 1);
        assert_eq!(slips("elek", "leek"), 1, "neighbours swapped");
        assert_eq!(slips("lek", "leek"), 1);
        assert_eq!(slips("kitten", "sitting"), 3);
        assert_eq!(slips("", "leek"), 4);
    }

    #[test]
    fn the_nearest_name_is_offered_only_for_a_likely_slip() {
        let names = ["width_mm", "length_mm", "notes", "name"];
        assert_eq!(nearest("witdh_mm", names), Some("width_mm"));
        assert_eq!(nearest("widthmm", names), Some("width_mm"));
        assert_eq!(nearest("note", names), Some("notes"));
        assert_eq!(nearest("colour", names), None);
        assert_eq!(nearest("", names), None);
        assert_eq!(nearest("x", ["y"]), None);
        assert_eq!(nearest(&"x".repeat(10_000), names), None);
    }
}
