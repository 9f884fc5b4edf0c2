//! Text from files made harmless for a screen, cut to a length, and compared with known names.
//!
//! A name in a garden file may hold anything. A control character could move the cursor or change the
//! terminal's modes, a bidirectional override could make a line read as something else, and characters that nobody
//! sees could make two names look like one. So no text from a file, a file's name or a command line is shown
//! except through [`shown`].
//!
//! Which characters these are follows Unicode 16 (from memory): general categories Cc and Cf and the property
//! `Default_Ignorable_Code_Point` (Unicode Standard Annex 44), the bidirectional controls (Annex 9), the advice of
//! Technical Standard 39, Security Mechanisms. Where it stops: letters that look alike in different scripts stay as they are.

use std::borrow::Cow;
use std::fmt::Write as _;
use std::path::{Component, Path};

use unicode_segmentation::UnicodeSegmentation as _;
use unicode_width::UnicodeWidthStr as _;

/// The text with every character that would steer a terminal, turn a line round or not be seen replaced by a
/// visible symbol.
///
/// Each character is replaced by one character, so positions counted in characters stay true. Joiners and variation
/// selectors stay where writing needs them and nowhere else.
///
/// ```
/// assert_eq!(bedfellow::units::text::shown("a\u{1b}[2J\n"), "a␛[2J␊");
/// ```
pub fn shown(text: &str) -> Cow<'_, str> {
    if is_harmless(text) {
        return text.into();
    }
    let mut before = ' ';
    text.chars()
        .map(|c| {
            let out = if is_attached(c) && !attaches(c, before) { '\u{fffd}' } else { shown_char(c) };
            before = out;
            out
        })
        .collect::<String>()
        .into()
}

/// Whether every character may be shown as it is. Most text is plain ASCII, which is told apart many bytes at a time.
fn is_harmless(text: &str) -> bool {
    let is_plain = text.bytes().fold(true, |is_plain, byte| is_plain & matches!(byte, b' '..=b'~'));
    is_plain || !text.chars().any(|c| is_unshowable(c) || is_attached(c))
}

/// The path as it may be shown: file names come from outside as much as contents do.
pub fn shown_path(path: &Path) -> String {
    shown(&path.to_string_lossy()).into_owned()
}

/// Cells of a path that stands in a sentence on a screen of 80.
const SHORT_PATH_CELLS: usize = 40;

/// Cells of a file name there.
const SHORT_NAME_CELLS: usize = 30;

/// What stands for the part left out. Not one sign: a screen kept to ASCII draws one cell for one, and `/./` is a path.
const LEFT_OUT: &str = "...";

/// The path as it may be shown where a sentence goes on behind it: a long one is shortened in its middle, to its first folder and its
/// file name.
///
/// ```
/// use bedfellow::units::text::short_path;
/// let path = std::path::Path::new("/srv/allotments/2027/upper terrace/north/walled.ron");
/// assert_eq!(short_path(path), "/srv/.../walled.ron");
/// assert_eq!(short_path(std::path::Path::new("beds/walled.ron")), "beds/walled.ron");
/// ```
pub fn short_path(path: &Path) -> String {
    /// Of the first folder.
    const FIRST_CELLS: usize = 10;
    let whole = shown_path(path);
    if whole.width() <= SHORT_PATH_CELLS {
        return whole;
    }
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    let above = path.parent().unwrap_or(Path::new(""));
    let is_folder = |part: &Component| matches!(part, Component::Normal(_) | Component::ParentDir | Component::CurDir);
    let n_first = above.components().position(|part| is_folder(&part)).map_or(usize::MAX, |at| at + 1);
    let first: std::path::PathBuf = above.components().take(n_first).collect();
    let left_out = if above.components().nth(n_first).is_some() { LEFT_OUT } else { "" };
    let first = cut_in_middle(&shown_path(&first), FIRST_CELLS);
    // With a separator at its end.
    let before = Path::new(&first).join(left_out).join("");
    let room = SHORT_PATH_CELLS.saturating_sub(shown_path(&before).width());
    shown_path(&before.join(cut_in_middle(&shown(&name), room)))
}

/// The last name of a path, made harmless; a long one is shortened in its middle.
pub fn short_name(path: &Path) -> String {
    path.file_name().map_or_else(String::new, |name| cut_in_middle(&shown(&name.to_string_lossy()), SHORT_NAME_CELLS))
}

/// Harmless text of at most so many cells: as much of its beginning and its end.
fn cut_in_middle(text: &str, cells: usize) -> String {
    if text.width() <= cells {
        return text.to_owned();
    }
    let room = cells.saturating_sub(LEFT_OUT.len());
    let taken = |part: &mut dyn Iterator<Item = &str>, room: usize| -> usize {
        let mut used = 0;
        let fits = |piece: &&str| {
            used += piece.width();
            used <= room
        };
        part.take_while(fits).map(str::len).sum()
    };
    let head = taken(&mut text.graphemes(true), room.div_ceil(2));
    let tail = taken(&mut text.graphemes(true).rev(), room / 2);
    let (head, tail) = (text.get(..head), text.get(text.len() - tail..));
    format!("{}{LEFT_OUT}{}", head.unwrap_or_default(), tail.unwrap_or_default())
}

/// A file name as it is typed into a shell after a command and its options: in quotes if it holds more than letters, figures and
/// `-_./`, and after `--` if it begins with a hyphen.
///
/// ```
/// use bedfellow::units::text::as_argument;
/// assert_eq!(as_argument("beds/walled-2.ron"), "beds/walled-2.ron");
/// assert_eq!(as_argument("my garden.ron"), "'my garden.ron'");
/// assert_eq!(as_argument("Anna's.ron"), r"'Anna'\''s.ron'");
/// assert_eq!(as_argument("-x y.ron"), "-- '-x y.ron'");
/// ```
pub fn as_argument(file: &str) -> String {
    let file = shown(file);
    let is_plain = !file.is_empty() && file.chars().all(|c| c.is_alphanumeric() || "-_./".contains(c));
    let quoted = if is_plain { file.clone().into_owned() } else { format!("'{}'", file.replace('\'', r"'\''")) };
    if file.starts_with('-') { format!("-- {quoted}") } else { quoted }
}

/// JSON in which everything that [`shown`] may replace is written as `\uXXXX` instead, so that the text is the same to a
/// script and harmless on a terminal. Beyond the sixteen-bit plane that takes a surrogate pair (RFC 8259, section 7).
///
/// ```
/// let json = "{\"name\":\"a\u{9b}\u{e0041}\"}".to_owned();
/// assert_eq!(bedfellow::units::text::json_escaped(json), r#"{"name":"a\u009b\udb40\udc41"}"#);
/// ```
pub fn json_escaped(json: String) -> String {
    if is_harmless(&json) {
        return json;
    }
    let mut out = String::with_capacity(json.len() + 32);
    for c in json.chars() {
        if is_unshowable(c) || is_attached(c) {
            for unit in c.encode_utf16(&mut [0; 2]) {
                // Writing into a string does not fail.
                let _ = write!(out, "\\u{unit:04x}");
            }
        } else {
            out.push(c);
        }
    }
    out
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

/// Whether a character would do something to a terminal or to the order of a line: no text of a garden needs it, and
/// none may hold it.
///
/// Control characters (general category Cc), line and paragraph separators, and the bidirectional
/// embeddings, overrides and isolates of Unicode Standard Annex 9.
pub fn is_steering(character: char) -> bool {
    character.is_control()
        || matches!(character, '\u{2028}' | '\u{2029}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// Whether a character does something rather than being seen: those that steer, and those that are invisible, which may
/// stand in a file (they come along when text is copied) but are shown as a symbol.
pub fn is_unshowable(character: char) -> bool {
    // Most text is below, and wants no looking up.
    if character < '\u{a0}' {
        return character.is_control();
    }
    is_steering(character)
        || matches!(character,
            '\u{ad}' // soft hyphen
            | '\u{34f}' // combining grapheme joiner
            | '\u{61c}' | '\u{200e}' | '\u{200f}' // marks of direction
            | '\u{115f}' | '\u{1160}' | '\u{3164}' | '\u{ffa0}' // Hangul fillers
            | '\u{17b4}' | '\u{17b5}' // Khmer inherent vowels
            | '\u{180b}'..='\u{180f}' // Mongolian selectors and vowel separator
            | '\u{200b}' // zero width space
            | '\u{2060}'..='\u{206f}' // word joiner, invisible operators, isolates, deprecated controls
            | '\u{feff}' // zero width no-break space, byte order mark
            | '\u{fff0}'..='\u{fffb}' // unassigned ignorables, interlinear annotation
            | '\u{13430}'..='\u{1343f}' // hieroglyph format controls
            | '\u{1bca0}'..='\u{1bca3}' // shorthand format controls
            | '\u{1d173}'..='\u{1d17a}' // musical beams and slurs
            | '\u{e0000}'..='\u{e00ff}' | '\u{e01f0}'..='\u{e0fff}') // tags and unassigned ignorables
}

/// Signs that are not seen by themselves and change the look of what stands before them.
fn is_attached(character: char) -> bool {
    is_joiner(character) || matches!(character, '\u{fe00}'..='\u{fe0f}' | '\u{e0100}'..='\u{e01ef}')
}

/// Zero width non-joiner and joiner.
fn is_joiner(character: char) -> bool {
    matches!(character, '\u{200c}' | '\u{200d}')
}

/// Whether such a sign has its place after a character: a joiner in Indic, Arabic and other writing beyond Latin, Greek and
/// Cyrillic (The Unicode Standard, chapters 9 and 12) and in emoji (Technical Standard 51); a selector after anything that is seen.
/// Never two selectors nor two joiners in a row, which is how text is hidden in them.
fn attaches(sign: char, before: char) -> bool {
    /// The Hebrew block, with which writing begins that joins or runs to the left.
    const BEYOND_CYRILLIC: char = '\u{590}';
    if before.is_whitespace() || before == '\u{fffd}' || is_joiner(before) {
        return false;
    }
    if is_joiner(sign) { before >= BEYOND_CYRILLIC } else { !is_attached(before) }
}

/// The text made harmless and, if it has more than `n_chars` characters, cut there and ended with `…`.
pub fn cut(text: &str, n_chars: usize) -> String {
    // What stands before the cut does not depend on what stands behind it.
    let end = text.char_indices().nth(n_chars).map_or(text.len(), |(at, _)| at);
    let mut out = shown(text.get(..end).unwrap_or_default()).into_owned();
    if end < text.len() {
        out.push('…');
    }
    out
}

/// The known name nearest to a word, if it is near enough that the word may be a slip for it.
///
/// Near enough is one slip for up to four letters, one more for every three beyond, four at most, and fewer slips than
/// letters; case, `-`, `_` and spaces count for nothing. Of equally near names the first is taken.
pub fn nearest<T: AsRef<str>>(word: &str, names: impl IntoIterator<Item = T>) -> Option<T> {
    const MOST_SLIPS: usize = 4;
    let word = plain_letters(word);
    let n_letters = word.chars().count();
    let n_allowed = (1 + n_letters.saturating_sub(2) / 3).min(MOST_SLIPS).min(n_letters.saturating_sub(1));
    names
        .into_iter()
        .map(|name| (strsim::osa_distance(&word, &plain_letters(name.as_ref())), name))
        .filter(|(slips, _)| *slips <= n_allowed)
        .min_by_key(|(slips, _)| *slips)
        .map(|(_, name)| name)
}

/// Letters and digits in lower case, nothing else, and no more of them than a name may have: comparing costs the product of
/// the lengths.
fn plain_letters(text: &str) -> String {
    const LONGEST: usize = 64;
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).take(LONGEST).collect()
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
    fn what_nobody_sees_is_shown_as_a_symbol() {
        let unseen =
            "\u{ad}\u{61c}\u{200b}\u{200e}\u{200f}\u{2060}\u{2063}\u{feff}\u{fff9}\u{fffb}\u{3164}\u{e0001}\u{e0041}";
        assert_eq!(shown(unseen), "\u{fffd}".repeat(unseen.chars().count()));
        assert!(unseen.chars().all(|c| is_unshowable(c) && !is_steering(c)), "it may stand in a file");
    }

    #[test]
    fn joiners_stay_where_writing_needs_them() {
        // A family, a scarf in a colour, a flag of stripes; Persian and Devanagari words; a keycap; an ideograph's variant.
        let written =
            "👨\u{200d}👩\u{200d}👧 🧣🏽 🏳\u{fe0f}\u{200d}🌈 می\u{200c}خواهم क्\u{200d}ष 1\u{fe0f}\u{20e3} 葛\u{e0100}";
        assert_eq!(shown(written), written);
        // Between Latin letters, at the beginning, in a row they hide.
        assert_eq!(shown("le\u{200d}ek"), "le\u{fffd}ek");
        assert_eq!(shown("\u{200c}leek"), "\u{fffd}leek");
        assert_eq!(shown("क\u{200d}\u{200d}"), "क\u{200d}\u{fffd}");
        assert_eq!(shown("a\u{fe01}\u{fe02}"), "a\u{fe01}\u{fffd}");
        assert_eq!(shown("a \u{e0101}"), "a \u{fffd}");
    }

    #[test]
    fn arabic_and_hebrew_letters_and_marks_are_left_alone() {
        for text in ["גזר", "جزر ١٢٣", "e\u{301}", "\u{600}١"] {
            assert!(matches!(shown(text), Cow::Borrowed(_)), "{text}");
        }
    }

    #[test]
    fn json_says_the_same_and_shows_nothing_strange() {
        let text = "a\u{1b}\u{7f}\u{9b}\u{202e}\u{200d}\u{feff}\u{e0041}\u{10ffff} \"\\ ä";
        let escaped = json_escaped(serde_json::to_string(text).unwrap());
        assert!(!escaped.chars().any(|c| is_unshowable(c) || is_attached(c)), "{escaped}");
        assert_eq!(serde_json::from_str::<String>(&escaped).unwrap(), text);
    }

    #[test]
    fn long_text_is_cut_by_characters_and_says_so() {
        assert_eq!(cut("ääää", 4), "ääää");
        assert_eq!(cut("äääää", 4), "ääää…");
        assert_eq!(cut("a\nb", 9), "a␊b");
    }

    #[test]
    fn a_long_path_is_shortened_in_its_middle_and_keeps_first_folder_and_file_name() {
        let long = "very long folder name/".repeat(20);
        let short = |path: String| {
            let short = short_path(Path::new(&path));
            assert!(short.width() <= SHORT_PATH_CELLS, "{short}");
            short
        };
        assert_eq!(short(format!("/srv/{long}walled.ron")), "/srv/.../walled.ron");
        assert_eq!(short(format!("{long}walled.ron")), "very...ame/.../walled.ron");
        assert_eq!(short(format!("../{long}walled.ron")), "../.../walled.ron");
        assert_eq!(short(format!("/{}", "x".repeat(255))), format!("/{}...{}", "x".repeat(18), "x".repeat(18)));
        assert_eq!(
            short(format!("/srv/{}.ron", "x".repeat(251))),
            format!("/srv/{}...{}.ron", "x".repeat(16), "x".repeat(12))
        );
        assert_eq!(short(format!("/srv/{}", "日".repeat(85))), format!("/srv/{}...{}", "日".repeat(8), "日".repeat(8)));
        assert_eq!(short(format!("/srv/{long}a\u{1b}[2J")), "/srv/.../a␛[2J");
        let just = format!("/srv/{}", "x".repeat(SHORT_PATH_CELLS - 5));
        assert_eq!(short(just.clone()), just);
        assert_eq!(short_name(Path::new("/srv/walled.ron")), "walled.ron");
        assert_eq!(short_name(Path::new(&"x".repeat(255))).width(), SHORT_NAME_CELLS);
        assert_eq!(short_name(Path::new("/")), "");
    }

    #[test]
    fn slips_are_counted_as_a_typist_makes_them() {
        // Of two letters one may be wrong: neighbours swapped are one slip, where two changed letters would be two.
        assert_eq!(nearest("ab", ["ba"]), Some("ba"));
        assert_eq!(nearest("ab", ["cd"]), None);
        for (word, is_near) in [("lekk", true), ("lek", true), ("leeek", true), ("lkke", false), ("kitten", false)] {
            assert_eq!(nearest(word, ["leek"]).is_some(), is_near, "{word}");
        }
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
