//! One line of text being typed or pasted, limited in length.

use tui_input::{Input, InputRequest};

use super::text;
use crate::tui::keys::{Act, Front, Key, act_for};

/// Most characters of a path: the bytes that Linux allows (`PATH_MAX` of linux/limits.h, from memory).
pub const PATH_CHARS: usize = 4_096;

/// Most characters of a number or a day of the year: enough for any number within its limit, and `22 September` (starting value).
pub const NUMBER_CHARS: usize = 16;

/// Characters of a day in ISO 8601.
pub const DAY_CHARS: usize = 10;

/// What a key did to a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Typed {
    /// Its value changed.
    Value,
    /// At most the cursor moved.
    Moved,
    /// It takes no more characters.
    Full,
    /// It has no use for the key.
    Pass,
}

/// What became of pasted text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pasted {
    /// All that the line can hold was taken.
    Whole,
    /// The beginning was taken; there was no room for more.
    Cut,
    /// None of it can be in the line.
    Nothing,
}

/// The line, with its cursor.
#[derive(Debug, Clone)]
pub struct Line {
    input: Input,
    n_chars: usize,
    most: usize,
}

impl Line {
    /// A line of at most this many characters. An initial value that is longer stays.
    pub fn new(value: &str, most: usize) -> Self {
        let mut line = Self { input: Input::default(), n_chars: 0, most };
        line.set(value);
        line
    }

    /// Its value.
    pub fn value(&self) -> &str {
        self.input.value()
    }

    /// Sets the value, with the cursor at its end.
    pub fn set(&mut self, value: &str) {
        self.input = Input::new(value.to_owned());
        self.n_chars = value.chars().count();
    }

    /// Types or edits.
    pub fn key(&mut self, key: Key) -> Typed {
        let request = match (key, act_for(key, &[Front::Line])) {
            (Key::Char(c), _) if c.is_control() => return Typed::Pass,
            // Checked first: at a full line, a long run of keys must not be counted again at every key.
            (Key::Char(_), _) if self.n_chars >= self.most => return Typed::Full,
            (Key::Char(c), _) => InputRequest::InsertChar(c),
            (_, Some(Act::RubOut)) => InputRequest::DeletePrevChar,
            (_, Some(Act::RubOutNext)) => InputRequest::DeleteNextChar,
            (_, Some(Act::Left)) => InputRequest::GoToPrevChar,
            (_, Some(Act::Right)) => InputRequest::GoToNextChar,
            (_, Some(Act::First)) => InputRequest::GoToStart,
            (_, Some(Act::Last)) => InputRequest::GoToEnd,
            (_, Some(Act::Clear)) => InputRequest::DeleteLine,
            (_, Some(Act::RubOutWord)) => InputRequest::DeletePrevWord,
            _ => return Typed::Pass,
        };
        match self.input.handle(request) {
            Some(change) if change.value => {
                self.n_chars = self.value().chars().count();
                Typed::Value
            }
            _ => Typed::Moved,
        }
    }

    /// Pastes the characters that the line takes, as far as there is room. Line breaks at the end are dropped, others become spaces.
    pub fn paste(&mut self, pasted: &str, takes: impl Fn(char) -> bool) -> Pasted {
        let pasted = pasted.trim_end_matches(['\r', '\n']);
        let mut taken = pasted.chars().map(|c| if c.is_control() { ' ' } else { c }).filter(|c| takes(*c));
        let room = self.most.saturating_sub(self.n_chars);
        let fits: String = taken.by_ref().take(room).collect();
        let is_cut = taken.next().is_some();
        if !fits.is_empty() {
            let cursor = self.input.cursor();
            let value = self.value();
            let at = value.char_indices().nth(cursor).map_or(value.len(), |(at, _)| at);
            let n_fits = fits.chars().count();
            let value = [&value[..at], &fits, &value[at..]].concat();
            self.input = Input::new(value).with_cursor(cursor + n_fits);
            self.n_chars += n_fits;
        }
        match (is_cut, fits.is_empty()) {
            (true, _) => Pasted::Cut,
            (false, true) => Pasted::Nothing,
            (false, false) => Pasted::Whole,
        }
    }

    /// What is said when the line takes no more.
    pub fn when_full(&self) -> String {
        format!("no more than {} characters", self.most)
    }

    /// What is said when only the beginning of pasted text was taken.
    pub fn when_cut(&self) -> String {
        format!("cut to {} characters", self.most)
    }

    /// The part visible in this many cells, and the cursor's cell within it.
    pub fn visible(&self, cells: usize) -> (String, u16) {
        let scroll = self.input.visual_scroll(cells.saturating_sub(1));
        let cursor = u16::try_from(self.input.visual_cursor().saturating_sub(scroll)).unwrap_or(0);
        (part(self.value(), scroll, cells), cursor)
    }
}

/// This many cells of a text, after skipping some.
fn part(value: &str, scroll: usize, cells: usize) -> String {
    let (mut n_before, mut n_in) = (0, 0);
    let mut out = String::new();
    for c in value.chars() {
        let width = text::width(c.encode_utf8(&mut [0; 4]));
        if n_before < scroll {
            n_before += width;
        } else if n_in + width <= cells {
            n_in += width;
            out.push(c);
        } else {
            break;
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    fn typed(line: &mut Line, words: &str) {
        words.chars().for_each(|c| _ = line.key(Key::Char(c)));
    }

    #[test]
    fn a_line_takes_what_its_limit_allows_by_keys_and_by_pasting() {
        let mut line = Line::new("", 5);
        typed(&mut line, "leeks!");
        assert_eq!((line.key(Key::Char('x')), line.value()), (Typed::Full, "leeks"));
        assert_eq!(line.key(Key::Backspace), Typed::Value);
        assert_eq!(line.key(Key::Char('k')), Typed::Value);
        line.set("äö");
        line.key(Key::Left);
        assert_eq!(line.paste("123456", |_| true), Pasted::Cut);
        assert_eq!(line.value(), "ä123ö");
        assert_eq!(line.paste("7", |_| true), Pasted::Cut);
        // The cursor stands behind what was pasted.
        line.key(Key::Delete);
        typed(&mut line, "x");
        assert_eq!(line.value(), "ä123x");
        assert_eq!(line.when_cut(), "cut to 5 characters");
    }

    #[test]
    fn pasted_line_ends_are_spaces_or_nothing_and_what_cannot_stand_there_is_left_out() {
        let mut line = Line::new("", 20);
        assert_eq!(line.paste("two\nlines\r\n", |_| true), Pasted::Whole);
        assert_eq!(line.value(), "two lines");
        assert_eq!(line.paste("cm", |c| c.is_ascii_digit()), Pasted::Nothing);
        assert_eq!(line.key(Key::Char('\u{9b}')), Typed::Pass);
    }

    #[test]
    fn what_is_longer_from_the_beginning_stays_and_can_be_shortened() {
        let mut line = Line::new("long before", 4);
        assert_eq!((line.key(Key::Char('x')), line.value()), (Typed::Full, "long before"));
        assert_eq!(line.paste("x", |_| true), Pasted::Cut);
        line.key(Key::Backspace);
        assert_eq!(line.value(), "long befor");
        line.key(Key::Ctrl('u'));
        typed(&mut line, "abcde");
        assert_eq!(line.value(), "abcd");
    }

    #[test]
    fn the_cursor_is_in_sight() {
        let mut line = Line::new("0123456789", 20);
        assert_eq!(line.visible(20), ("0123456789".to_owned(), 10));
        let (text, cursor) = line.visible(5);
        assert!(text.ends_with('9') && cursor == 4, "{text} {cursor}");
        line.key(Key::Home);
        assert_eq!(line.visible(5), ("01234".to_owned(), 0));
        assert_eq!(Line::new("漢字", 9).visible(3).0, "字");
    }
}
