//! Fields of a form: text, lengths, counts, dates, choices.

use chrono::{Duration, NaiveDate};
use ratatui::Frame;
use ratatui::layout::Rect;

use super::line::{DAY_CHARS, Line, NUMBER_CHARS, Pasted, Typed};
use super::{paint, text};
use crate::garden::MonthDay;
use crate::tui::keys::{Act, Front, Key, act_for};
use crate::tui::signs::Signs;
use crate::tui::theme::Theme;
use crate::units::Mm;

/// What a field takes.
#[derive(Debug, Clone)]
pub enum Kind {
    /// Any text of at most this many characters.
    Text(usize),
    /// Centimetres; + and - step by the given millimetres.
    Cm {
        /// Step of + and -.
        step_mm: i32,
    },
    /// A whole number; + and - step by one.
    Count,
    /// A decimal number.
    Decimal,
    /// A decimal number that may be below zero.
    Signed,
    /// A day of the year, such as `22 May`; [ ] step a week, { } four weeks, + and - a day.
    DayOfYear,
    /// A day; [ ] step a week, { } four weeks, + and - a day. Empty is "work it out".
    Date,
    /// One of several, by Left and Right or its first letter.
    Choice(Vec<String>),
}

impl Kind {
    /// Most characters.
    fn most_chars(&self) -> usize {
        match self {
            Self::Text(most) => *most,
            Self::Date => DAY_CHARS,
            Self::Cm { .. } | Self::Count | Self::Decimal | Self::Signed | Self::DayOfYear => NUMBER_CHARS,
            Self::Choice(_) => usize::MAX,
        }
    }

    fn takes(&self, c: char) -> bool {
        match self {
            Self::Text(_) => !c.is_control(),
            Self::Cm { .. } | Self::Decimal => c.is_ascii_digit() || c == '.' || c == ',',
            Self::Count => c.is_ascii_digit(),
            Self::Date => c.is_ascii_digit() || c == '-',
            Self::Signed => c.is_ascii_digit() || matches!(c, '.' | ',' | '-'),
            Self::DayOfYear => c.is_ascii_alphanumeric() || matches!(c, ' ' | '.'),
            Self::Choice(_) => false,
        }
    }
}

/// One field.
#[derive(Debug, Clone)]
pub struct Field {
    /// The name by which the form refers to it.
    pub name: &'static str,
    /// Label on screen.
    pub label: &'static str,
    /// What it takes.
    pub kind: Kind,
    /// What has been typed; for a choice, the chosen word.
    pub line: Line,
    /// What is shown there while it is empty.
    pub when_empty: String,
    /// Shown only if set (a grid has no rows).
    pub is_shown: bool,
}

/// The fields of a form, one focused.
#[derive(Debug, Clone, Default)]
pub struct Fields {
    /// In order.
    pub fields: Vec<Field>,
    /// The focused one.
    pub focus: usize,
    /// The focus has just come to it: typing replaces a number or date.
    is_fresh: bool,
    /// What is to be said about input that was not taken.
    said: Option<String>,
}

/// What a key did to the fields.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Touched {
    /// The value of the named field changed.
    Value(&'static str),
    /// Only focus or cursor moved.
    Moved,
    /// The focused field takes no more characters.
    Full,
    /// The fields have no use for the key.
    Pass,
}

impl Fields {
    /// Adds a field.
    pub fn add(&mut self, name: &'static str, label: &'static str, kind: Kind, value: &str, when_empty: &str) {
        let line = Line::new(value, kind.most_chars());
        self.fields.push(Field { name, label, kind, line, when_empty: when_empty.to_owned(), is_shown: true });
    }

    /// The value of a field.
    pub fn value(&self, name: &str) -> &str {
        self.fields.iter().find(|field| field.name == name).map_or("", |field| field.line.value())
    }

    /// Puts a value into a field.
    pub fn set(&mut self, name: &str, value: &str) {
        if let Some(field) = self.fields.iter_mut().find(|field| field.name == name) {
            field.line.set(value);
        }
    }

    /// Shows or hides a field.
    pub fn show(&mut self, name: &str, is_shown: bool) {
        if let Some(field) = self.fields.iter_mut().find(|field| field.name == name) {
            field.is_shown = is_shown;
        }
        self.settle();
    }

    /// Focuses a field.
    pub fn focus_on(&mut self, name: &str) {
        if let Some(idx) = self.fields.iter().position(|field| field.name == name && field.is_shown) {
            self.focus = idx;
            self.is_fresh = true;
        }
    }

    /// Name of the focused field.
    pub fn focused(&self) -> &'static str {
        self.fields.get(self.focus).map_or("", |field| field.name)
    }

    fn settle(&mut self) {
        if !self.fields.get(self.focus).is_some_and(|field| field.is_shown) {
            self.focus = self.fields.iter().position(|field| field.is_shown).unwrap_or(0);
        }
    }

    fn step_focus(&mut self, forward: bool) {
        let n = self.fields.len();
        for k in 1..=n {
            let idx = if forward { (self.focus + k) % n } else { (self.focus + n - k) % n };
            if self.fields[idx].is_shown {
                self.focus = idx;
                self.is_fresh = true;
                return;
            }
        }
    }

    /// Handles a key: Up, Down and Tab move the focus; the rest edits the focused field. Enter and Esc are not used.
    pub fn key(&mut self, key: Key) -> Touched {
        if let Some(act @ (Act::Up | Act::Down)) = act_for(key, &[Front::Fields]) {
            self.step_focus(act == Act::Down);
            return Touched::Moved;
        }
        let Some(field) = self.fields.get_mut(self.focus) else { return Touched::Pass };
        let touched = field.key(key, self.is_fresh);
        if touched == Touched::Full {
            self.said = Some(format!("{}: {}", field.label, field.line.when_full()));
            return touched;
        }
        // Stepping leaves a whole value, which the next digit still replaces.
        let is_stepped = field.step(key).is_some() && matches!(touched, Touched::Value(_));
        if touched != Touched::Pass && !(self.is_fresh && is_stepped) {
            self.is_fresh = false;
        }
        touched
    }

    /// The fronts open to a key.
    pub fn fronts(&self) -> &'static [Front] {
        match self.fields.get(self.focus).map(|field| &field.kind) {
            Some(Kind::Choice(_)) => &[Front::Fields, Front::Choice],
            Some(Kind::Cm { .. } | Kind::Count) => &[Front::Fields, Front::Figure, Front::Line],
            Some(Kind::Date | Kind::DayOfYear) => &[Front::Fields, Front::Day, Front::Line],
            Some(Kind::Text(_) | Kind::Decimal | Kind::Signed) | None => &[Front::Fields, Front::Line],
        }
    }

    /// Whether the focused field is the last of those shown.
    pub fn is_at_end(&self) -> bool {
        self.fields.iter().rposition(|field| field.is_shown) == Some(self.focus)
    }

    /// Whether the focused field is the first of those shown.
    pub fn is_at_start(&self) -> bool {
        self.fields.iter().position(|field| field.is_shown) == Some(self.focus)
    }

    /// Pastes what the focused field can take; line breaks become spaces.
    pub fn paste(&mut self, pasted: &str) -> Touched {
        let Some(field) = self.fields.get_mut(self.focus) else { return Touched::Pass };
        if self.is_fresh && field.is_number() && pasted.chars().any(|c| field.kind.takes(c)) {
            field.line.set("");
        }
        let Field { kind, line, .. } = field;
        let pasted = line.paste(pasted, |c| kind.takes(c));
        if pasted == Pasted::Nothing {
            return Touched::Pass;
        }
        self.is_fresh = false;
        if pasted == Pasted::Cut {
            self.said = Some(format!("{}: {}", field.label, field.line.when_cut()));
        }
        Touched::Value(field.name)
    }

    /// What is to be said about keys or pasted text that the field did not take; returned once.
    pub fn said(&mut self) -> Option<String> {
        self.said.take()
    }

    /// Draws labels and values line by line and places the cursor; returns the lines used.
    pub fn draw(&self, frame: &mut Frame, area: Rect, label_cells: u16, theme: Theme, signs: &Signs) -> u16 {
        let shown: Vec<(usize, &Field)> = self.fields.iter().enumerate().filter(|(_, field)| field.is_shown).collect();
        let selected = shown.iter().position(|(idx, _)| *idx == self.focus).unwrap_or(0);
        let top = paint::scroll_top(selected, shown.len(), usize::from(area.height));
        let mut y = area.y;
        for (idx, field) in shown.into_iter().skip(top).take(usize::from(area.height)) {
            let is_focused = idx == self.focus;
            let pointer = if is_focused { signs.pointer } else { " " };
            let buf = frame.buffer_mut();
            paint::put(buf, area, area.x, y, pointer, theme.key());
            paint::put_filled(
                buf,
                paint::cells_of(area, area.x + 2, y, label_cells.saturating_sub(2)),
                field.label,
                theme.plain(),
                signs,
            );
            let x = area.x + label_cells;
            let room = area.width.saturating_sub(label_cells);
            let value = field.line.value();
            if let Kind::Choice(_) = field.kind {
                let words = if is_focused { format!("< {value} >") } else { format!("  {value}") };
                let style = if is_focused { theme.heading() } else { theme.plain() };
                paint::put(buf, area, x, y, &text::cut(&words, usize::from(room), signs.ellipsis), style);
            } else if value.is_empty() && !is_focused {
                let words = text::cut(&format!("  {}", field.when_empty), usize::from(room), signs.ellipsis);
                paint::put(buf, area, x, y, &words, theme.faint());
            } else {
                let (visible, cursor) = field.line.visible(usize::from(room.saturating_sub(2)));
                // Marks a value that the next digit will replace.
                let is_replaced = is_focused && self.is_fresh && field.is_number();
                paint::put(buf, area, x + 2, y, &visible, theme.field(is_replaced));
                if is_focused {
                    if value.is_empty() {
                        paint::put(buf, area, x + 3, y, &field.when_empty, theme.faint());
                    }
                    paint::put(buf, area, x, y, "[", theme.key());
                    let place = (x + 2 + cursor, y);
                    if area.contains(place.into()) {
                        frame.set_cursor_position(place);
                    }
                }
            }
            y += 1;
        }
        y - area.y
    }
}

impl Field {
    /// Whether typing replaces the old value.
    fn is_number(&self) -> bool {
        !matches!(self.kind, Kind::Text(_) | Kind::Choice(_))
    }

    /// The step that a key asks for here.
    fn step(&self, key: Key) -> Option<Act> {
        match self.kind {
            Kind::Cm { .. } | Kind::Count => act_for(key, &[Front::Figure]),
            Kind::Date | Kind::DayOfYear => act_for(key, &[Front::Day]),
            _ => None,
        }
    }

    fn key(&mut self, key: Key, is_fresh: bool) -> Touched {
        let name = self.name;
        if let Kind::Choice(words) = &self.kind {
            let at = words.iter().position(|word| word == self.line.value()).unwrap_or(0);
            let n = words.len().max(1);
            let next = match (act_for(key, &[Front::Choice]), key) {
                (Some(Act::Left), _) => (at + n - 1) % n,
                (Some(Act::Right), _) => (at + 1) % n,
                (None, Key::Char(c)) => {
                    // There may be nothing to choose from.
                    let starts = |idx: &usize| {
                        words.get(*idx).is_some_and(|word| word.to_lowercase().starts_with(c.to_ascii_lowercase()))
                    };
                    match (1..=n).map(|k| (at + k) % n).find(starts) {
                        Some(idx) => idx,
                        None => return Touched::Pass,
                    }
                }
                _ => return Touched::Pass,
            };
            if let Some(word) = words.get(next) {
                self.line.set(word);
            }
            return Touched::Value(name);
        }
        if let Some(value) = self.stepped(key) {
            self.line.set(&value);
            return Touched::Value(name);
        }
        if matches!(key, Key::Char(c) if !self.kind.takes(c)) {
            return Touched::Pass;
        }
        if is_fresh && self.is_number() && matches!(key, Key::Char(_)) {
            self.line.set("");
        }
        match self.line.key(key) {
            Typed::Value => Touched::Value(name),
            Typed::Moved => Touched::Moved,
            Typed::Full => Touched::Full,
            Typed::Pass => Touched::Pass,
        }
    }

    /// The value after a stepping key.
    fn stepped(&self, key: Key) -> Option<String> {
        let value = self.line.value();
        let step = self.step(key)?;
        match &self.kind {
            Kind::Cm { step_mm } => {
                let mm = Mm::parse_cm(value).ok()?;
                let by = if step == Act::Less { -*step_mm } else { *step_mm };
                Some(Mm((mm.0 + by).max(0)).to_string())
            }
            Kind::Count => {
                let n: i64 = value.parse().ok()?;
                Some((n + if step == Act::Less { -1 } else { 1 }).max(1).to_string())
            }
            Kind::Date => {
                let day: NaiveDate =
                    if value.is_empty() { self.when_empty.parse().ok()? } else { value.parse().ok()? };
                moved(day, step).map(|day| day.to_string())
            }
            Kind::DayOfYear => {
                let words = if value.is_empty() { self.when_empty.as_str() } else { value };
                let day = parse_day_of_year(words)?;
                let day = NaiveDate::from_ymd_opt(COMMON_YEAR, day.month, day.day)?;
                moved(day, step).map(|day| day.format("%-d %b").to_string())
            }
            _ => None,
        }
    }
}

/// Any common year, to step days without a year.
const COMMON_YEAR: i32 = 2023;

/// A day moved by a step.
fn moved(day: NaiveDate, step: Act) -> Option<NaiveDate> {
    let days: i64 = match step {
        Act::WeekOn => 7,
        Act::WeekBack => -7,
        Act::FourWeeksOn => 28,
        Act::FourWeeksBack => -28,
        Act::More => 1,
        Act::Less => -1,
        _ => return None,
    };
    day.checked_add_signed(Duration::days(days))
}

/// `22 May`, `May 22` or `22.5.`; months by three letters or more.
pub fn parse_day_of_year(words: &str) -> Option<MonthDay> {
    let parts: Vec<&str> = words.split([' ', '.']).filter(|part| !part.is_empty()).collect();
    let [one, other] = parts.as_slice() else { return None };
    let month_of = |word: &str| {
        let lower = word.to_lowercase();
        MONTHS
            .iter()
            .position(|month| lower.len() >= 3 && month.starts_with(&lower))
            .and_then(|at| u32::try_from(at + 1).ok())
    };
    let (day, month) = match (month_of(one), month_of(other)) {
        (None, Some(month)) => (one, month),
        (Some(month), None) => (other, month),
        _ => (one, other.parse().ok()?),
    };
    let day = day.parse().ok()?;
    NaiveDate::from_ymd_opt(COMMON_YEAR, month, day).map(|_| MonthDay { month, day })
}

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn days_of_the_year_are_read_as_people_write_them() {
        let day = |month, day| Some(MonthDay { month, day });
        assert_eq!(parse_day_of_year("22 May"), day(5, 22));
        assert_eq!(parse_day_of_year("oct 2"), day(10, 2));
        assert_eq!(parse_day_of_year("22.5."), day(5, 22));
        assert_eq!(parse_day_of_year(" 1  september"), day(9, 1));
        for none in ["", "22", "31 Feb", "May", "22 m", "1 2 3"] {
            assert_eq!(parse_day_of_year(none), None, "{none}");
        }
        let mut fields = one(Kind::DayOfYear, "22 May");
        fields.key(Key::Char(']'));
        fields.key(Key::Char('-'));
        assert_eq!(fields.value("x"), "28 May");
    }

    #[test]
    fn a_number_just_come_to_is_replaced_by_typing_and_kept_by_walking() {
        let mut fields = one(Kind::Cm { step_mm: 50 }, "240");
        fields.add("y", "Y", Kind::Date, "2027-03-01", "");
        fields.focus_on("x");
        fields.key(Key::Char('1'));
        fields.key(Key::Char('2'));
        assert_eq!(fields.value("x"), "12");
        fields.key(Key::Down);
        fields.key(Key::Char(']'));
        fields.key(Key::Up);
        assert_eq!((fields.value("x"), fields.value("y")), ("12", "2027-03-08"));
        // Once the cursor was moved, typing adds.
        fields.key(Key::End);
        fields.key(Key::Char('5'));
        assert_eq!(fields.value("x"), "125");
        fields.key(Key::Ctrl('u'));
        assert_eq!(fields.value("x"), "");
        // Text is not replaced.
        fields.add("z", "Z", Kind::Text(20), "oak", "");
        fields.focus_on("z");
        fields.key(Key::Char('s'));
        assert_eq!(fields.value("z"), "oaks");
        // A number below zero.
        fields.add("n", "N", Kind::Signed, "54", "");
        fields.focus_on("n");
        fields.key(Key::Char('-'));
        fields.key(Key::Char('4'));
        assert_eq!(fields.value("n"), "-4");
    }

    fn one(kind: Kind, value: &str) -> Fields {
        let mut fields = Fields::default();
        fields.add("x", "X", kind, value, "");
        fields
    }

    #[test]
    fn a_length_takes_digits_and_steps() {
        let mut fields = one(Kind::Cm { step_mm: 50 }, "30");
        assert_eq!(fields.key(Key::Char('+')), Touched::Value("x"));
        assert_eq!(fields.value("x"), "35");
        assert_eq!(fields.key(Key::Char('q')), Touched::Pass);
        fields.key(Key::Backspace);
        assert_eq!(fields.value("x"), "3");
        fields.key(Key::Char('-'));
        assert_eq!(fields.value("x"), "0");
    }

    #[test]
    fn a_date_steps_by_weeks() {
        let mut fields = one(Kind::Date, "2027-03-01");
        fields.key(Key::Char(']'));
        fields.key(Key::Char('}'));
        assert_eq!(fields.value("x"), "2027-04-05");
    }

    #[test]
    fn a_choice_goes_round_and_by_letter() {
        let mut fields = one(Kind::Choice(vec!["grid".into(), "offset".into(), "rows".into()]), "grid");
        fields.key(Key::Left);
        assert_eq!(fields.value("x"), "rows");
        fields.key(Key::Char('o'));
        assert_eq!(fields.value("x"), "offset");
    }

    #[test]
    fn a_pasted_line_end_does_not_submit() {
        let mut fields = one(Kind::Text(20), "");
        assert_eq!(fields.paste("a\nb"), Touched::Value("x"));
        assert_eq!(fields.value("x"), "a b");
    }

    #[test]
    fn of_pasted_text_a_field_takes_what_could_be_typed_into_it() {
        let mut day = one(Kind::Date, "");
        assert_eq!(day.paste(" 2027-03-01\n"), Touched::Value("x"));
        assert_eq!(day.value("x"), "2027-03-01");
        let mut length = one(Kind::Cm { step_mm: 50 }, "");
        length.paste("12,5 cm");
        assert_eq!(length.value("x"), "12,5");
        assert_eq!(length.paste("cm"), Touched::Pass);
        let mut choice = one(Kind::Choice(vec!["grid".into(), "rows".into()]), "grid");
        assert_eq!(choice.paste("rows"), Touched::Pass);
        assert_eq!(choice.value("x"), "grid");
    }

    #[test]
    fn a_choice_goes_by_first_letter_and_a_choice_of_nothing_stays() {
        let mut fields = Fields::default();
        fields.add("host", "host", Kind::Choice(Vec::new()), "none", "");
        fields.add("side", "side", Kind::Choice(vec!["whole".to_owned(), "left".to_owned()]), "whole", "");
        for key in [Key::Char('a'), Key::Char(' '), Key::Left, Key::Right] {
            fields.key(key);
            assert_eq!(fields.value("host"), "none", "{key:?}");
        }
        fields.focus_on("side");
        fields.key(Key::Char('l'));
        assert_eq!(fields.value("side"), "left");
    }
}
