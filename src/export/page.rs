//! Plain text of a fixed width: lines that are cut, paragraphs that are wrapped, tables that are aligned.
//!
//! Widths are those of the terminal's cells; text is cut by grapheme, never within one. Words that come
//! from a file lose their control characters here, so that nothing reaches a terminal raw.

use std::borrow::Cow;

use unicode_segmentation::UnicodeSegmentation as _;
use unicode_width::UnicodeWidthStr as _;

/// Text of a fixed width, written from the top.
#[derive(Debug, Clone)]
pub struct Page {
    width: usize,
    is_ascii: bool,
    text: String,
}

/// One column of a table.
#[derive(Debug, Clone, Copy)]
pub struct Column {
    /// Its heading.
    pub title: &'static str,
    /// Numbers stand to the right.
    pub is_right: bool,
    /// Gives way when the table is wider than the page.
    pub gives_way: bool,
}

impl Column {
    /// Words, never cut unless nothing else helps.
    pub const fn words(title: &'static str) -> Self {
        Self { title, is_right: false, gives_way: false }
    }

    /// Words that may be cut.
    pub const fn long(title: &'static str) -> Self {
        Self { title, is_right: false, gives_way: true }
    }

    /// Numbers.
    pub const fn number(title: &'static str) -> Self {
        Self { title, is_right: true, gives_way: false }
    }
}

/// Cells between two columns.
const GAP: usize = 2;

/// Least width to which a column that gives way is squeezed.
const LEAST_COLUMN: usize = 6;

impl Page {
    /// An empty page.
    pub const fn new(width: usize, is_ascii: bool) -> Self {
        Self { width, is_ascii, text: String::new() }
    }

    /// The finished text.
    pub fn into_text(self) -> String {
        self.text
    }

    /// A line; what does not fit is cut, and the cut is marked.
    pub fn line(&mut self, text: &str) {
        let plain = self.plain(text);
        let line = self.cut(&plain, self.width).into_owned();
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// Pieces with a space between them, on as many lines as they need. None is broken or cut: one that is wider than the page, such as a
    /// long path, runs over, so that it can be copied and what stands behind it is read.
    pub fn pieces(&mut self, pieces: &[&str]) {
        let mut line_cells = 0;
        for piece in pieces {
            let piece = self.plain(piece).into_owned();
            let needed = cells(&piece);
            if line_cells > 0 {
                let is_room = line_cells + 1 + needed <= self.width;
                self.text.push(if is_room { ' ' } else { '\n' });
                line_cells = if is_room { line_cells + 1 } else { 0 };
            }
            self.text.push_str(&piece);
            line_cells += needed;
        }
        self.text.push('\n');
    }

    /// An empty line.
    pub fn blank(&mut self) {
        self.text.push('\n');
    }

    /// A paragraph, wrapped: `first` stands before its first line, `rest` before the others.
    pub fn paragraph(&mut self, first: &str, rest: &str, text: &str) {
        let (first, rest, text) = (self.plain(first), self.plain(rest), self.plain(text));
        let mut line = first.to_string();
        let (mut start_cells, rest_cells) = (cells(&first), cells(&rest));
        let mut line_cells = start_cells;
        let mut is_empty = true;
        for word in text.split_whitespace() {
            let room = self.width.saturating_sub(line_cells);
            let needed = cells(word) + usize::from(!is_empty);
            if needed > room && !is_empty {
                self.text.push_str(line.trim_end());
                self.text.push('\n');
                line.clear();
                line.push_str(&rest);
                (start_cells, line_cells) = (rest_cells, rest_cells);
                is_empty = true;
            }
            if !is_empty {
                line.push(' ');
                line_cells += 1;
            }
            let word = self.cut(word, self.width.saturating_sub(start_cells));
            line.push_str(&word);
            line_cells += cells(&word);
            is_empty = false;
        }
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A table with a heading; columns that give way are cut until it fits the page.
    pub fn table(&mut self, indent: usize, columns: &[Column], rows: &[Vec<String>]) {
        let rows: Vec<Vec<String>> =
            rows.iter().map(|row| row.iter().map(|cell| self.plain(cell).into_owned()).collect()).collect();
        let mut widths: Vec<usize> = columns
            .iter()
            .enumerate()
            .map(|(idx, column)| {
                let cells = rows.iter().filter_map(|row| row.get(idx)).map(|cell| cell.width());
                cells.chain([column.title.width()]).max().unwrap_or(0)
            })
            .collect();
        self.squeeze(indent, columns, &mut widths);
        let titles: Vec<String> = columns.iter().map(|column| column.title.to_owned()).collect();
        for row in std::iter::once(&titles).chain(&rows) {
            let mut line = " ".repeat(indent);
            for ((cell, column), &width) in row.iter().zip(columns).zip(&widths) {
                let cell = self.cut(cell, width);
                let pad = " ".repeat(width.saturating_sub(cell.width()));
                let (before, after) = if column.is_right { (pad.as_str(), "") } else { ("", pad.as_str()) };
                line.push_str(before);
                line.push_str(&cell);
                line.push_str(after);
                line.push_str("  ");
            }
            let line = self.cut(line.trim_end(), self.width).into_owned();
            self.text.push_str(&line);
            self.text.push('\n');
        }
    }

    /// Narrows the widest column that gives way, cell by cell, until the table fits or nothing gives way any more.
    fn squeeze(&self, indent: usize, columns: &[Column], widths: &mut [usize]) {
        loop {
            let total = indent + widths.iter().sum::<usize>() + GAP * widths.len().saturating_sub(1);
            if total <= self.width {
                return;
            }
            let widest = widths
                .iter_mut()
                .zip(columns)
                .filter(|(width, column)| column.gives_way && **width > LEAST_COLUMN)
                .max_by_key(|(width, _)| **width);
            match widest {
                Some((width, _)) => *width -= 1,
                None => return,
            }
        }
    }

    /// The text in the signs of this page, without control characters.
    fn plain<'t>(&self, text: &'t str) -> Cow<'t, str> {
        let shown = crate::units::text::shown(text);
        if self.is_ascii && !shown.is_ascii() { to_ascii(&shown).into() } else { shown }
    }

    /// The text cut to so many cells, the cut marked.
    fn cut<'t>(&self, text: &'t str, width: usize) -> Cow<'t, str> {
        if cells(text) <= width {
            return text.into();
        }
        let mark = if self.is_ascii { "~" } else { "…" };
        let room = width.saturating_sub(mark.width());
        let mut kept = String::new();
        let mut cells = 0;
        for grapheme in text.graphemes(true) {
            if cells + grapheme.width() > room {
                break;
            }
            cells += grapheme.width();
            kept.push_str(grapheme);
        }
        if width >= mark.width() {
            kept.push_str(mark);
        }
        kept.into()
    }
}

/// Cells that a text without control characters takes. Most is ASCII, where that need not be looked up.
fn cells(text: &str) -> usize {
    if text.is_ascii() { text.len() } else { text.width() }
}

/// The text in ASCII signs only: `–` becomes `-`, `×` becomes `x`, `é` becomes `e`; what has no likeness becomes `?`.
pub fn to_ascii(text: &str) -> String {
    let mut ascii = String::with_capacity(text.len());
    for sign in text.chars() {
        if sign.is_ascii() {
            ascii.push(sign);
        } else {
            ascii.push_str(ascii_likeness(sign));
        }
    }
    ascii
}

fn ascii_likeness(sign: char) -> &'static str {
    match sign {
        '–' | '—' | '‐' | '‑' | '−' | '─' | '━' => "-",
        '×' | '✕' => "x",
        '·' | '•' | '∙' => "*",
        '…' => "...",
        '‘' | '’' | '′' | '‚' => "'",
        '“' | '”' | '„' | '″' | '«' | '»' => "\"",
        '°' => " deg",
        '²' => "2",
        '³' => "3",
        '½' => "1/2",
        '¼' => "1/4",
        '¾' => "3/4",
        '≤' => "<=",
        '≥' => ">=",
        '≈' | '~' => "~",
        '→' => "->",
        '←' => "<-",
        '√' => "sqrt ",
        '£' => "GBP ",
        '€' => "EUR ",
        'À' | 'Á' | 'Â' | 'Ã' | 'Å' | 'Ā' | 'Ă' | 'Ą' => "A",
        'Ä' | 'Æ' => "Ae",
        'à' | 'á' | 'â' | 'ã' | 'å' | 'ā' | 'ă' | 'ą' => "a",
        'ä' | 'æ' => "ae",
        'Ç' | 'Ć' | 'Č' => "C",
        'ç' | 'ć' | 'č' => "c",
        'Ď' | 'Đ' | 'Ð' => "D",
        'ď' | 'đ' | 'ð' => "d",
        'È' | 'É' | 'Ê' | 'Ë' | 'Ē' | 'Ė' | 'Ę' | 'Ě' => "E",
        'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ė' | 'ę' | 'ě' => "e",
        'Ğ' | 'Ģ' => "G",
        'ğ' | 'ģ' => "g",
        'Ì' | 'Í' | 'Î' | 'Ï' | 'Ī' | 'Į' | 'İ' => "I",
        'ì' | 'í' | 'î' | 'ï' | 'ī' | 'į' | 'ı' => "i",
        'Ķ' => "K",
        'ķ' => "k",
        'Ĺ' | 'Ļ' | 'Ľ' | 'Ł' => "L",
        'ĺ' | 'ļ' | 'ľ' | 'ł' => "l",
        'Ñ' | 'Ń' | 'Ņ' | 'Ň' => "N",
        'ñ' | 'ń' | 'ņ' | 'ň' => "n",
        'Ò' | 'Ó' | 'Ô' | 'Õ' | 'Ø' | 'Ō' => "O",
        'Ö' | 'Œ' | 'Ő' => "Oe",
        'ò' | 'ó' | 'ô' | 'õ' | 'ø' | 'ō' => "o",
        'ö' | 'œ' | 'ő' => "oe",
        'Ŕ' | 'Ř' => "R",
        'ŕ' | 'ř' => "r",
        'Ś' | 'Š' | 'Ş' | 'Ș' => "S",
        'ś' | 'š' | 'ş' | 'ș' => "s",
        'ß' => "ss",
        'Ť' | 'Ţ' | 'Ț' => "T",
        'ť' | 'ţ' | 'ț' => "t",
        'Þ' => "Th",
        'þ' => "th",
        'Ù' | 'Ú' | 'Û' | 'Ū' | 'Ů' | 'Ų' => "U",
        'Ü' | 'Ű' => "Ue",
        'ù' | 'ú' | 'û' | 'ū' | 'ů' | 'ų' => "u",
        'ü' | 'ű' => "ue",
        'Ŵ' => "W",
        'ŵ' => "w",
        'Ý' | 'Ŷ' | 'Ÿ' => "Y",
        'ý' | 'ŷ' | 'ÿ' => "y",
        'Ź' | 'Ż' | 'Ž' => "Z",
        'ź' | 'ż' | 'ž' => "z",
        '\u{a0}' | '\u{2009}' | '\u{202f}' => " ",
        // Combining accents belong to the letter before them.
        '\u{300}'..='\u{36f}' | '\u{200b}'..='\u{200d}' | '\u{feff}' => "",
        _ => "?",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn page_of(width: usize, is_ascii: bool, write: impl Fn(&mut Page)) -> String {
        let mut page = Page::new(width, is_ascii);
        write(&mut page);
        page.into_text()
    }

    #[test]
    fn a_line_is_cut_by_cells_and_between_graphemes() {
        assert_eq!(page_of(6, false, |page| page.line("leek and onion")), "leek …\n");
        // Each of these signs takes two cells: two of them and the mark make five.
        assert_eq!(page_of(6, false, |page| page.line("韭葱韭葱")), "韭葱…\n");
        // A letter with its combining accent is one cell and stays whole.
        assert_eq!(page_of(3, false, |page| page.line("ae\u{301}io")), "ae\u{301}…\n");
        assert_eq!(page_of(0, false, |page| page.line("leek")), "\n");
    }

    #[test]
    fn a_paragraph_wraps_under_its_indent_and_cuts_a_word_without_end() {
        let text = page_of(12, false, |page| page.paragraph("A1 ", "   ", "leek then onion abcdefghijkl"));
        assert_eq!(text, "A1 leek then\n   onion\n   abcdefgh…\n");
    }

    #[test]
    fn pieces_are_neither_broken_nor_cut_whatever_their_length() {
        let pieces = |page: &mut Page| page.pieces(&["wrote", "a b/walled.ron", "with 1 bed;", "open it"]);
        assert_eq!(page_of(80, false, pieces), "wrote a b/walled.ron with 1 bed; open it\n");
        assert_eq!(page_of(20, false, pieces), "wrote a b/walled.ron\nwith 1 bed; open it\n");
        assert_eq!(page_of(5, false, pieces), "wrote\na b/walled.ron\nwith 1 bed;\nopen it\n");
        assert_eq!(page_of(80, true, |page| page.pieces(&["wrote", "bärs.ron"])), "wrote baers.ron\n");
    }

    #[test]
    fn a_table_gives_way_in_its_long_column_only() {
        let columns = [Column::words("bed"), Column::long("crop"), Column::number("n")];
        let rows = [vec!["A1".into(), "a very long name of a crop".into(), "7".into()]];
        assert_eq!(
            page_of(20, false, |page| page.table(0, &columns, &rows)),
            "bed  crop          n\nA1   a very long…  7\n"
        );
    }

    #[test]
    fn every_sign_of_an_ascii_page_is_ascii() {
        assert_eq!(to_ascii("Crème brûlée – 32 × 4 … “Ŵ” 葱"), "Creme brulee - 32 x 4 ... \"W\" ?");
        let text = page_of(8, true, |page| page.line("é–×…‘’ and the rest"));
        assert!(text.is_ascii() && text.trim_end().len() <= 8, "{text}");
    }

    #[test]
    fn control_characters_never_reach_the_page_raw() {
        let text = page_of(40, false, |page| page.line("leek\u{1b}[31m\u{7}\ttab"));
        assert!(text.trim_end_matches('\n').chars().all(|sign| !sign.is_control()), "{text:?}");
    }
}
