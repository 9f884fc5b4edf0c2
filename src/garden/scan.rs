//! Where in a garden file's text something stands.
//!
//! The parser gives values without places. When a value does not hold together its place is looked for
//! here, by walking the text: brackets, commas, strings and comments are all that must be known for it. Only called
//! once there is an error to show, for the format number before anything else is read, and to bring an older format up.

use std::ops::Range;

/// One step into a value.
#[derive(Debug, Clone, Copy)]
pub(super) enum Step<'a> {
    /// Into a field of a struct.
    Field(&'a str),
    /// Into an item of a list, from 0.
    Item(usize),
    /// Into the last item of a list whose field has the value, as it is written.
    ItemWith {
        /// The field.
        field: &'a str,
        /// Its value in the text.
        value: &'a str,
    },
}

/// Bytes of the value that the steps lead to.
pub(super) fn find(text: &str, steps: &[Step<'_>]) -> Option<Range<usize>> {
    let mut scan = Scan { text, at: head_end(text) };
    scan.skip_space();
    let start = scan.at;
    scan.skip_value();
    steps.iter().try_fold(start..scan.at, |within, step| find_step(text, within, *step))
}

fn find_step(text: &str, within: Range<usize>, step: Step<'_>) -> Option<Range<usize>> {
    let mut scan = Scan { text: text.get(..within.end)?, at: within.start };
    scan.enter()?;
    let mut n_items = 0;
    let mut found = None;
    loop {
        scan.skip_space();
        let start = scan.at;
        if matches!(scan.peek()?, b')' | b']' | b'}') {
            return found;
        }
        let mut value = start;
        if matches!(step, Step::Field(_)) {
            let name = scan.word();
            scan.skip_space();
            if scan.peek()? == b':' {
                scan.at += 1;
                scan.skip_space();
                value = scan.at;
            }
            scan.skip_value();
            if matches!(step, Step::Field(field) if field == name) {
                return Some(value..scan.at);
            }
        } else {
            scan.skip_value();
            let item = start..scan.at;
            match step {
                Step::Item(wanted) if wanted == n_items => return Some(item),
                Step::ItemWith { field, value } => {
                    let there = find_step(text, item.clone(), Step::Field(field)).and_then(|at| text.get(at));
                    if there == Some(value) {
                        found = Some(item);
                    }
                }
                _ => {}
            }
            n_items += 1;
        }
        scan.skip_space();
        if scan.peek() == Some(b',') {
            scan.at += 1;
        } else if scan.at == start {
            return found;
        }
    }
}

/// A field of a struct or an item of a list.
#[derive(Debug, Clone)]
pub(super) struct Part<'a> {
    /// The field's name; empty for an item.
    pub name: &'a str,
    /// Where it begins.
    pub start: usize,
    /// Bytes of its value.
    pub value: Range<usize>,
}

/// What the brackets of a value hold, in order; nothing if it has none. Where the text is torn the walk ends.
pub(super) fn parts(text: &str, within: Range<usize>) -> Parts<'_> {
    let mut scan = Scan { text: text.get(..within.end).unwrap_or_default(), at: within.start };
    let is_over = scan.enter().is_none();
    Parts { scan, is_over }
}

/// See [`parts`].
pub(super) struct Parts<'a> {
    scan: Scan<'a>,
    is_over: bool,
}

impl<'a> Iterator for Parts<'a> {
    type Item = Part<'a>;

    fn next(&mut self) -> Option<Part<'a>> {
        let scan = &mut self.scan;
        scan.skip_space();
        let start = scan.at;
        if self.is_over || scan.peek().is_none_or(|byte| matches!(byte, b')' | b']' | b'}')) {
            self.is_over = true;
            return None;
        }
        let word = scan.word();
        scan.skip_space();
        let name = if scan.peek() == Some(b':') {
            scan.at += 1;
            scan.skip_space();
            word.strip_prefix("r#").unwrap_or(word)
        } else {
            scan.at = start;
            ""
        };
        let value = scan.at;
        scan.skip_value();
        let value = value..scan.at;
        scan.skip_space();
        if scan.peek() == Some(b',') {
            scan.at += 1;
        } else if scan.at == start {
            self.is_over = true;
        }
        Some(Part { name, start, value })
    }
}

/// The comments within a piece of the text, in order.
pub(super) fn comments(text: &str, within: Range<usize>) -> Vec<&str> {
    let mut found = Vec::new();
    let Some(held) = text.get(..within.end) else { return found };
    let mut scan = Scan { text: held, at: within.start };
    while let Some(byte) = scan.peek() {
        match byte {
            b'"' => scan.skip_string(),
            b'\'' => scan.skip_char(),
            b'r' => scan.at += scan.raw_string_len().unwrap_or(1),
            b'/' if scan.rest().starts_with("//") || scan.rest().starts_with("/*") => {
                let start = scan.at;
                scan.skip_space();
                found.extend(held.get(start..scan.at).map(str::trim_end));
            }
            _ => scan.at += 1,
        }
    }
    found
}

/// The name before the brackets of a value, or the value itself if it is a plain name: `Picked` of `Picked(g: 900)`.
pub(super) fn name_of(text: &str, value: Range<usize>) -> &str {
    let word = Scan { text: text.get(..value.end).unwrap_or_default(), at: value.start }.word();
    word.strip_prefix("r#").unwrap_or(word)
}

/// The number of the `format` field, found without reading anything else of the file; one beyond all counting is the greatest.
pub(super) fn format_number(text: &str) -> Option<u64> {
    whole_number(text.get(format_value(text)?)?)
}

/// A whole number as RON writes it: `12`, `1_2`, `0xc`, `0o14`, `0b1100`.
fn whole_number(word: &str) -> Option<u64> {
    let word = word.trim().replace('_', "");
    let (digits, radix) = match word.get(..2) {
        Some("0x") => (word.get(2..)?, 16),
        Some("0o") => (word.get(2..)?, 8),
        Some("0b") => (word.get(2..)?, 2),
        _ => (word.as_str(), 10),
    };
    if digits.is_empty() || !digits.chars().all(|digit| digit.is_digit(radix)) {
        return None;
    }
    Some(u64::from_str_radix(digits, radix).unwrap_or(u64::MAX))
}

/// Bytes of the value of the `format` field.
pub(super) fn format_value(text: &str) -> Option<Range<usize>> {
    let mut scan = Scan { text, at: head_end(text) };
    scan.enter()?;
    loop {
        scan.skip_space();
        let start = scan.at;
        let word = scan.word();
        let is_format = word == "format" || word == "r#format";
        scan.skip_space();
        if scan.peek() != Some(b':') {
            return None;
        }
        scan.at += 1;
        scan.skip_space();
        let value = scan.at;
        scan.skip_value();
        if is_format {
            return Some(value..scan.at);
        }
        scan.skip_space();
        if scan.peek() != Some(b',') || scan.at == start {
            return None;
        }
        scan.at += 1;
    }
}

/// The comments before anything else, without the white space around them.
pub(super) fn head_comment(text: &str) -> &str {
    let mut scan = Scan { text, at: 0 };
    scan.skip_space();
    text.get(..scan.at).unwrap_or_default().trim()
}

/// The first byte from `at` on that is neither comment nor white space.
pub(super) fn after_space(text: &str, at: usize) -> usize {
    let mut scan = Scan { text, at };
    scan.skip_space();
    scan.at
}

/// Whether a text holds nothing but comments and white space.
pub(super) fn is_comment(text: &str) -> bool {
    let mut scan = Scan { text, at: 0 };
    scan.skip_space();
    scan.peek().is_none()
}

/// Where comments and `#![enable(…)]` end and the value begins.
fn head_end(text: &str) -> usize {
    let mut scan = Scan { text, at: 0 };
    loop {
        scan.skip_space();
        if scan.peek() != Some(b'#') {
            return scan.at;
        }
        match scan.rest().find(']') {
            Some(end) => scan.at += end + 1,
            None => return scan.at,
        }
    }
}

struct Scan<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Scan<'a> {
    fn peek(&self) -> Option<u8> {
        self.text.as_bytes().get(self.at).copied()
    }

    fn rest(&self) -> &'a str {
        self.text.get(self.at..).unwrap_or_default()
    }

    /// Past white space and comments; block comments nest.
    fn skip_space(&mut self) {
        loop {
            let rest = self.rest();
            let trimmed = rest.trim_start();
            self.at += rest.len() - trimmed.len();
            if trimmed.starts_with("//") {
                self.at += trimmed.find('\n').unwrap_or(trimmed.len());
            } else if trimmed.starts_with("/*") {
                self.at += block_comment_len(trimmed);
            } else {
                return;
            }
        }
    }

    /// An identifier or a quoted key, without the quotes.
    fn word(&mut self) -> &'a str {
        let start = self.at;
        if self.peek() == Some(b'"') {
            self.skip_string();
            return self.text.get(start + 1..self.at.saturating_sub(1)).unwrap_or_default();
        }
        while self.peek().is_some_and(|b| b.is_ascii_alphanumeric() || b == b'_' || b == b'#' || b >= 0x80) {
            self.at += 1;
        }
        self.text.get(start..self.at).unwrap_or_default()
    }

    /// Into a bracket, past the name of the struct or variant before it.
    fn enter(&mut self) -> Option<()> {
        self.skip_space();
        self.word();
        self.skip_space();
        matches!(self.peek()?, b'(' | b'[' | b'{').then(|| self.at += 1)
    }

    /// To the comma or closing bracket after a value, or the end of the text; white space before it is left out.
    fn skip_value(&mut self) {
        let mut depth = 0_usize;
        let mut end = self.at;
        while let Some(byte) = self.peek() {
            match byte {
                b',' | b')' | b']' | b'}' if depth == 0 => break,
                b'(' | b'[' | b'{' => depth += 1,
                b')' | b']' | b'}' => depth -= 1,
                b'"' => {
                    self.skip_string();
                    end = self.at;
                    continue;
                }
                b'\'' => {
                    self.skip_char();
                    end = self.at;
                    continue;
                }
                b'r' if self.raw_string_len().is_some() => {
                    self.at += self.raw_string_len().unwrap_or(1);
                    end = self.at;
                    continue;
                }
                b'/' if self.rest().starts_with("//") || self.rest().starts_with("/*") => {
                    self.skip_space();
                    continue;
                }
                _ => {}
            }
            self.at += 1;
            if !byte.is_ascii_whitespace() {
                end = self.at;
            }
        }
        self.at = end;
    }

    fn skip_string(&mut self) {
        self.at += 1;
        while let Some(byte) = self.peek() {
            self.at += if byte == b'\\' { 2 } else { 1 };
            if byte == b'"' {
                break;
            }
        }
        self.at = self.at.min(self.text.len());
    }

    fn skip_char(&mut self) {
        let rest = self.rest();
        let quoted = if rest.starts_with("'\\") { rest.get(3..) } else { rest.get(2..) };
        let end = quoted.and_then(|quoted| quoted.find('\'')).filter(|end| *end <= 8);
        self.at += match end {
            Some(end) => rest.len() - quoted.map_or(0, str::len) + end + 1,
            None => 1,
        };
    }

    /// Length of a raw string that starts here: `r"…"`, `r#"…"#`.
    fn raw_string_len(&self) -> Option<usize> {
        let rest = self.rest().strip_prefix('r')?;
        let n_hashes = rest.len() - rest.trim_start_matches('#').len();
        let body = rest.get(n_hashes..)?.strip_prefix('"')?;
        let close = format!("\"{}", "#".repeat(n_hashes));
        let end = body.find(&close).map_or(body.len(), |end| end + close.len());
        Some(1 + n_hashes + 1 + end)
    }
}

fn block_comment_len(text: &str) -> usize {
    let mut depth = 0_usize;
    let mut at = 0;
    while let Some(rest) = text.get(at..).filter(|rest| !rest.is_empty()) {
        if rest.starts_with("/*") {
            depth += 1;
            at += 2;
        } else if rest.starts_with("*/") {
            depth -= 1;
            at += 2;
            if depth == 0 {
                return at;
            }
        } else {
            at += rest.chars().next().map_or(1, char::len_utf8);
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = r##"// head, (with a bracket
/* and /* a nested */ one */
#![enable(implicit_some)]
Garden(
    format: 1, // comma, and "quote
    name: "a ) \" ] b",
    raw: r#"x", )"#, ch: '(',
    beds: [(id: "A1", width_mm: 5), (id: "B2", /* w */ width_mm: 7 )],
    plantings: [(id: 1, layout: Grid(spacing_mm: 300)), (id: 12, layout: Edge(along: Left)), (id: 12)],
)
"##;

    fn found<'a>(steps: &[Step<'_>]) -> Option<&'a str> {
        find(TEXT, steps).and_then(|range| TEXT.get(range))
    }

    #[test]
    fn fields_and_items_are_found_past_strings_brackets_and_comments() {
        use Step::{Field, Item, ItemWith};
        assert_eq!(found(&[Field("format")]), Some("1"));
        assert_eq!(found(&[Field("ch")]), Some("'('"));
        assert_eq!(found(&[Field("beds"), Item(1), Field("width_mm")]), Some("7"));
        assert_eq!(found(&[Field("beds"), Item(2)]), None);
        let with = |value| ItemWith { field: "id", value };
        assert_eq!(found(&[Field("plantings"), with("1"), Field("layout"), Field("spacing_mm")]), Some("300"));
        assert_eq!(found(&[Field("plantings"), with("12")]), Some("(id: 12)"), "the last of two");
        assert_eq!(found(&[Field("nothing")]), None);
    }

    #[test]
    fn what_brackets_hold_is_told_part_by_part() {
        use Step::{Field, Item};
        let parts_of = |steps: &[Step<'_>]| -> Vec<(&str, &str)> {
            let held = parts(TEXT, find(TEXT, steps).unwrap());
            held.map(|part| (part.name, &TEXT[part.value])).collect()
        };
        let names: Vec<_> = parts_of(&[]).into_iter().map(|(name, _)| name).collect();
        assert_eq!(names, ["format", "name", "raw", "ch", "beds", "plantings"]);
        assert_eq!(parts_of(&[Field("beds"), Item(1)]), [("id", "\"B2\""), ("width_mm", "7")]);
        assert_eq!(parts_of(&[Field("plantings"), Item(0), Field("layout")]), [("spacing_mm", "300")]);
        assert_eq!(parts_of(&[Field("plantings")]).len(), 3);
        assert_eq!(parts_of(&[Field("format")]), []);
        let head = find(TEXT, &[Field("beds"), Item(1)]).unwrap();
        assert_eq!(comments(TEXT, head), ["/* w */"]);
        let said = "(a: \"// b\", // c\n d: '/' /* e */)";
        assert_eq!(comments(said, 0..said.len()), ["// c", "/* e */"]);
        let texts = "[r#\"a \" ]\"#, /* b */ Module , r#InPlace]";
        let items: Vec<_> = parts(texts, 0..texts.len()).map(|part| &texts[part.value]).collect();
        assert_eq!(items, ["r#\"a \" ]\"#", "Module", "r#InPlace"]);
        assert_eq!(name_of(texts, texts.len() - 10..texts.len()), "InPlace");
        let layout = find(TEXT, &[Field("plantings"), Item(1), Field("layout")]).unwrap();
        assert_eq!(name_of(TEXT, layout), "Edge");
    }

    #[test]
    fn the_format_is_read_even_if_nothing_else_can_be() {
        assert_eq!(format_number(TEXT), Some(1));
        assert_eq!(format_number("(name: \"x\", format: 7, what: is?this"), Some(7));
        assert_eq!(format_number("(format: 2"), Some(2));
        for (text, number) in
            [("0x2", 2), ("0b10", 2), ("1_0", 10), ("0o17", 15), ("99999999999999999999999", u64::MAX)]
        {
            assert_eq!(format_number(&format!("(name: \"x\", r#format: {text} /* so */)")), Some(number), "{text}");
        }
        for text in ["", "(", "(format", "(format:", "[1, 2]", "(name: \"x\")", "(,,,)", "(format: -1)", "\"", "/*"] {
            assert_eq!(format_number(text), None, "{text}");
        }
    }

    #[test]
    fn only_comments_before_the_value_are_its_head() {
        assert_eq!(head_comment("// a\n// b\n(x: 1) // c"), "// a\n// b");
        assert_eq!(head_comment("(x: 1)"), "");
        assert!(is_comment(" // a\n/* b */\n"));
        assert!(!is_comment("// a\nb"));
    }

    proptest::proptest! {
        #[test]
        fn no_text_whatever_upsets_the_walk(text in "[(){}\\[\\],:'\"/*#r\\\\a1 \n\u{e9}]{0,60}") {
            find(&text, &[Step::Field("a"), Step::Item(1), Step::Field("a")]);
            find(&text, &[Step::ItemWith { field: "a", value: "1" }]);
            format_number(&text);
            head_comment(&text);
            comments(&text, 0..text.len());
            for part in parts(&text, 0..text.len()) {
                name_of(&text, part.value.clone());
                parts(&text, part.value).for_each(drop);
            }
        }
    }
}
