//! Text measured in cells and cut by grapheme, always after it was made safe to show: what is measured is what is painted.

use unicode_segmentation::UnicodeSegmentation;
use unicode_width::UnicodeWidthStr;

use crate::units::text::shown;
use crate::words::decimal;

/// Cells a text takes once it is [`shown`].
pub fn width(text: &str) -> usize {
    cells_of(&shown(text))
}

/// Cells of a text that is already safe to show.
fn cells_of(text: &str) -> usize {
    UnicodeWidthStr::width(text)
}

/// The text cut to a number of cells, ending in `ellipsis` if something was cut.
pub fn cut(text: &str, cells: usize, ellipsis: &str) -> String {
    let text = shown(text);
    if cells_of(&text) <= cells {
        return text.into_owned();
    }
    let room = cells.saturating_sub(width(ellipsis));
    let mut out = String::new();
    let mut used = 0;
    for grapheme in text.graphemes(true) {
        let w = cells_of(grapheme);
        if used + w > room {
            break;
        }
        out.push_str(grapheme);
        used += w;
    }
    if cells >= width(ellipsis) {
        out.push_str(ellipsis);
    }
    out
}

/// The text cut or padded to exactly this many cells.
pub fn fill(text: &str, cells: usize, ellipsis: &str) -> String {
    let mut out = cut(text, cells, ellipsis);
    let used = width(&out);
    out.extend(std::iter::repeat_n(' ', cells.saturating_sub(used)));
    out
}

/// Units that stay on the same line as their number.
const UNITS: [&str; 9] = ["%", "°C", "cm", "mm", "m", "m²", "h", "kg", "g"];

/// The words of a text; a number and its unit count as one word if both fit.
fn words_of(text: &str, cells: usize) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let word = &*shown(word);
        let is_unit = UNITS.contains(&word.trim_end_matches([',', ';', '.', ':', ')']));
        match words.last_mut() {
            Some(number)
                if is_unit
                    && number.ends_with(|c: char| c.is_ascii_digit())
                    && width(number) + 1 + width(word) <= cells =>
            {
                number.push(' ');
                number.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// The text wrapped to this many cells, at spaces if possible.
pub fn wrap(text: &str, cells: usize) -> Vec<String> {
    let cells = cells.max(1);
    let mut lines = Vec::new();
    let mut line = String::new();
    for mut word in words_of(text, cells) {
        while width(&word) > cells {
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            let head = cut(&word, cells, "");
            if head.is_empty() {
                break;
            }
            word = word[head.len()..].to_owned();
            lines.push(head);
        }
        if line.is_empty() {
            line = word;
        } else if width(&line) + 1 + width(&word) <= cells {
            line.push(' ');
            line.push_str(&word);
        } else {
            lines.push(std::mem::replace(&mut line, word));
        }
    }
    if !line.is_empty() {
        lines.push(line);
    }
    lines
}

/// `5 Apr`.
pub fn day(date: chrono::NaiveDate) -> String {
    date.format("%-d %b").to_string()
}

/// `5 Apr`; `31 Mar 28` where that is not the year looked at.
pub fn day_seen_from(date: chrono::NaiveDate, year: i32) -> String {
    let is_same = chrono::Datelike::year(&date) == year;
    date.format(if is_same { "%-d %b" } else { "%-d %b %y" }).to_string()
}

/// The same with the ISO week.
pub fn day_and_week_seen_from(date: chrono::NaiveDate, year: i32) -> String {
    format!("{} W{:02}", day_seen_from(date, year), crate::units::Week::of(date).number())
}

/// `1.2 × 4.8 m`.
pub fn size_m(width: crate::units::Mm, length: crate::units::Mm, times: &str) -> String {
    let metres = |mm: crate::units::Mm| decimal(mm.as_f64() / 1000.0);
    format!("{} {times} {} m", metres(width), metres(length))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_cut_by_cells_and_never_within_a_grapheme() {
        assert_eq!(cut("Leek", 4, "…"), "Leek");
        assert_eq!(cut("Leeks", 4, "…"), "Lee…");
        assert_eq!(cut("日本語", 4, "…"), "日…");
        assert_eq!(cut("e\u{301}e\u{301}e\u{301}", 2, "…"), "e\u{301}…");
        assert_eq!(cut("Leeks", 0, "…"), "");
        assert_eq!(fill("ab", 4, "…"), "ab  ");
    }

    #[test]
    fn what_is_measured_and_cut_is_what_is_shown() {
        assert_eq!(width("a\u{200b}\u{1b}[2J"), 6);
        assert_eq!(cut("a\u{1b}[2Jbc", 4, "…"), "a␛[…");
        assert_eq!(fill("a\u{202e}", 4, "…"), "a\u{fffd}  ");
        assert_eq!(wrap("one\u{7}\ntwo\u{9b}", 5), ["one␇", "two\u{fffd}"]);
    }

    #[test]
    fn long_words_are_broken_and_short_ones_wrapped() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("abcdefghij k", 4), ["abcd", "efgh", "ij k"]);
        assert!(wrap("", 5).is_empty());
        assert_eq!(wrap("frost 4 %, dry", 8), ["frost", "4 %, dry"]);
        assert_eq!(wrap("4 %", 2), ["4", "%"]);
    }
}
