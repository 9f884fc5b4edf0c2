//! How names are compared: without case, accents and endings of the plural, and by how many slips one misses another.

use std::borrow::Cow;

use strsim::osa_distance;

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
pub(super) fn singulars(name: &str) -> Vec<String> {
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

pub(super) fn singular_of_last_word(name: &str) -> String {
    name.strip_suffix('s').unwrap_or(name).to_owned()
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
