//! What keys mean in the layers in front of a screen, in the order of the README's table.
//!
//! A layer says which fronts hear a key, the nearest first: say the planting form, its fields, and the day being filled in. Where
//! there is text to type, a key without a row is typed.

use std::sync::LazyLock;

use rustc_hash::FxHashMap;

use super::Key::{Char, Ctrl};
use super::{Key, Need};

/// A place in front of a screen where keys have their own meanings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Front {
    /// The keys of a screen.
    Help,
    /// Why a finding.
    Why,
    /// Something to be read.
    Notices,
    /// Earlier versions.
    Versions,
    /// The command finder.
    Finder,
    /// One of a list.
    Picker,
    /// One line of text.
    Prompt,
    /// The file was changed from outside.
    Trouble,
    /// The first run.
    Welcome,
    /// Whether to leave although nothing can be saved.
    LeaveUnsaved,
    /// Whether to write over a file.
    WriteOver,
    /// Whether to place where there is no free slot.
    PlaceAnyway,
    /// Whether to go back to an earlier version.
    Restore,
    /// A planting moved by arrows.
    Adjust,
    /// The form of a new planting.
    NewPlanting,
    /// The form of a planting that is there.
    Planting,
    /// The form of a bed.
    BedForm,
    /// The form of the place.
    SiteForm,
    /// Past crops of a bed.
    PastForm,
    /// The name of a past crop, with suggestions.
    Naming,
    /// The grid of months.
    Months,
    /// Fields of a form.
    Fields,
    /// A field with one of several words.
    Choice,
    /// A field with a length or a count.
    Figure,
    /// A field with a day.
    Day,
    /// A line that is typed into.
    Line,
}

impl Front {
    /// Where it is, for the README.
    pub fn title(self) -> &'static str {
        match self {
            Self::Help => "help",
            Self::Why => "why",
            Self::Notices => "pages",
            Self::Versions => "earlier versions",
            Self::Finder => "command finder",
            Self::Picker => "lists",
            Self::Prompt => "questions",
            Self::Trouble => "trouble with the file",
            Self::Welcome => "first run",
            Self::LeaveUnsaved => "leave unsaved?",
            Self::WriteOver => "write over?",
            Self::PlaceAnyway => "place anyway?",
            Self::Restore => "restore?",
            Self::Adjust => "moving",
            Self::NewPlanting | Self::Planting => "planting form",
            Self::BedForm => "bed form",
            Self::SiteForm => "place and climate",
            Self::PastForm => "past crops",
            Self::Naming => "name of a past crop",
            Self::Months => "months",
            Self::Fields => "forms",
            Self::Choice => "choices",
            Self::Figure => "lengths and counts",
            Self::Day => "days",
            Self::Line => "text",
        }
    }
}

/// What a key of a layer asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // Each is described by its rows.
pub enum Act {
    Take,
    Yes,
    Back,
    Up,
    Down,
    Left,
    Right,
    Next,
    Previous,
    First,
    Last,
    PageUp,
    PageDown,
    More,
    Less,
    WeekBack,
    WeekOn,
    FourWeeksBack,
    FourWeeksOn,
    Side,
    TakeOut,
    RubOut,
    RubOutNext,
    RubOutWord,
    Clear,
    OpenDemo,
    NewGarden,
    Leave,
    Screens,
    Help,
    Type,
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct LayerRow {
    /// What is asked for.
    pub act: Act,
    /// Its keys, the one to show first. Empty means any key without a row of its own there.
    pub keys: &'static [Key],
    /// Where.
    pub fronts: &'static [Front],
    /// A word or two for the bottom line. Adjacent rows with the same words are shown as one.
    pub title: &'static str,
    /// A sentence for help and README.
    pub sentence: &'static str,
    /// Place on the bottom line, 1 first; 0 is not shown there.
    pub bottom: u8,
    /// What it needs.
    pub needs: &'static [Need],
}

const fn row(
    act: Act,
    keys: &'static [Key],
    fronts: &'static [Front],
    title: &'static str,
    sentence: &'static str,
) -> LayerRow {
    LayerRow { act, keys, fronts, title, sentence, bottom: 0, needs: &[] }
}

impl LayerRow {
    /// With a place on the bottom line.
    const fn bottom(self, bottom: u8) -> Self {
        Self { bottom, ..self }
    }

    /// Done only if all of these are met.
    const fn needs(self, needs: &'static [Need]) -> Self {
        Self { needs, ..self }
    }

    /// Its keys in words.
    pub fn keys_words(&self, is_ascii: bool) -> String {
        if self.keys.is_empty() {
            return if self.act == Act::Type { "type" } else { "any other key" }.to_owned();
        }
        self.keys.iter().map(|key| key.words(is_ascii)).collect::<Vec<_>>().join(" ")
    }
}

use Act as A;
use Front as F;

/// What is read from top to bottom.
const READ: &[Front] = &[F::Help, F::Why, F::Notices];
/// Lists to walk through, with nothing to type.
const WALKED: &[Front] = &[F::Versions, F::Trouble];
/// Lists narrowed by typing letters.
const NARROWED: &[Front] = &[F::Finder, F::Picker];
/// Questions whose yes is a different key from the one that raised them.
const SURE: &[Front] = &[F::LeaveUnsaved, F::WriteOver, F::PlaceAnyway, F::Restore];

/// Place on the bottom line of what closes a layer: it is always shown.
const LAST: u8 = 12;

/// What keys mean in layers.
pub const LAYER_KEYS: &[LayerRow] = &[
    // Pages.
    row(A::Up, &[Key::Up, Char('k')], READ, "scroll", "Scroll up.").bottom(1),
    row(A::Down, &[Key::Down, Char('j')], READ, "scroll", "Scroll down.").bottom(1),
    row(A::PageUp, &[Key::PageUp, Char('{')], &[F::Help, F::Notices], "page up", "Scroll a page up."),
    row(
        A::PageDown,
        &[Key::PageDown, Char('}'), Char(' ')],
        &[F::Help, F::Notices],
        "page down",
        "Scroll a page down.",
    ),
    row(A::First, &[Key::Home], &[F::Help, F::Notices], "top", "Go to the top."),
    row(A::Take, &[Key::Enter], &[F::Why], "go there", "Go to the bed and the planting of the finding.").bottom(2),
    row(
        A::Screens,
        &[Char('1'), Char('2'), Char('3'), Char('4'), Char('5')],
        &[F::Why],
        "screens",
        "Close it and show that screen.",
    ),
    row(A::Back, &[Key::Enter, Key::Esc], &[F::Notices], "go on", "Close it.").bottom(LAST),
    row(A::Back, &[], &[F::Help, F::Why], "closes", "Close it.").bottom(LAST),
    // Lists.
    row(A::Up, &[Key::Up, Char('k'), Key::BackTab], WALKED, "choose", "Go to the one before.").bottom(1),
    row(A::Down, &[Key::Down, Char('j'), Key::Tab], WALKED, "choose", "Go to the next.").bottom(1),
    row(A::Type, &[], NARROWED, "to narrow", "Narrow the list by the letters typed.").bottom(1),
    row(A::Up, &[Key::Up, Key::BackTab], NARROWED, "choose", "Go to the one before.").bottom(1),
    row(A::Down, &[Key::Down, Key::Tab], NARROWED, "choose", "Go to the next.").bottom(1),
    row(A::PageUp, &[Key::PageUp], &[F::Picker], "choose", "Go ten back.").bottom(1),
    row(A::PageDown, &[Key::PageDown], &[F::Picker], "choose", "Go ten on.").bottom(1),
    row(A::PageUp, &[Key::PageUp], &[F::Versions], "what differs", "Scroll what differs up.").bottom(2),
    row(A::PageDown, &[Key::PageDown], &[F::Versions], "what differs", "Scroll what differs down.").bottom(2),
    row(A::First, &[Key::Home], &[F::Versions, F::Trouble, F::Picker], "first", "Go to the first."),
    row(A::Last, &[Key::End], &[F::Versions, F::Trouble, F::Picker], "last", "Go to the last."),
    row(A::Take, &[Key::Enter], &[F::Versions], "restore", "Go back to the selected one, once it is confirmed.")
        .bottom(3)
        .needs(&[Need::Editable]),
    row(A::Take, &[Key::Enter], &[F::Trouble], "do it", "Do what is selected.").bottom(3),
    row(A::Take, &[Key::Enter], &[F::Finder], "do it", "Do the selected command.").bottom(3),
    row(A::Take, &[Key::Enter], &[F::Picker], "choose", "Choose the selected one.").bottom(3),
    row(A::Back, &[Key::Esc], &[F::Trouble], "later", "Go on, and write nothing to the file for now.").bottom(LAST),
    row(A::Back, &[Key::Esc], &[F::Versions, F::Finder, F::Picker], "back", "Go back.").bottom(LAST),
    // Questions.
    row(A::Take, &[Key::Enter], &[F::Prompt], "done", "Take what is typed.").bottom(1),
    row(A::Back, &[Key::Esc], &[F::Prompt], "back", "Go back.").bottom(LAST),
    row(A::Yes, &[Char('L')], &[F::LeaveUnsaved], "yes", "Leave; what is not saved is lost.").bottom(1),
    row(A::Yes, &[Char('O')], &[F::WriteOver], "yes", "Write over the file that is there.").bottom(1),
    row(A::Yes, &[Char('P')], &[F::PlaceAnyway], "yes", "Place it although there is no free slot.").bottom(1),
    row(A::Yes, &[Char('R')], &[F::Restore], "yes", "Go back to that one.").bottom(1),
    row(A::Back, &[], SURE, "no", "Leave all as it is.").bottom(LAST),
    row(A::OpenDemo, &[Char('d'), Char('D'), Key::Enter], &[F::Welcome], "demo", "Open a fresh copy of the demo.")
        .bottom(1),
    row(A::NewGarden, &[Char('n'), Char('N')], &[F::Welcome], "new garden", "Begin a new garden.").bottom(2),
    row(A::Leave, &[Char('q'), Key::Esc], &[F::Welcome], "leave", "Leave.").bottom(LAST),
    // Moving a planting.
    row(A::Left, &[Key::Left, Char('h')], &[F::Adjust], "10 cm", "Move it 10 cm towards the bed's start.").bottom(1),
    row(A::Right, &[Key::Right, Char('l')], &[F::Adjust], "10 cm", "Move it 10 cm towards the bed's end.").bottom(1),
    row(A::Up, &[Key::Up, Char('k')], &[F::Adjust], "bed", "Move it to the bed before.").bottom(2),
    row(A::Down, &[Key::Down, Char('j')], &[F::Adjust], "bed", "Move it to the next bed.").bottom(2),
    row(A::More, &[Char('+'), Char('=')], &[F::Adjust], "length", "Make its strip 10 cm longer.").bottom(3),
    row(A::Less, &[Char('-')], &[F::Adjust], "length", "Make its strip 10 cm shorter.").bottom(3),
    row(A::Side, &[Char('s')], &[F::Adjust], "side", "Whole width, left half, right half by turns.").bottom(4),
    row(A::WeekBack, &[Char('['), Char(',')], &[F::Adjust], "weeks", "Move its planned days a week back.").bottom(5),
    row(A::WeekOn, &[Char(']'), Char('.')], &[F::Adjust], "weeks", "Move its planned days a week on.").bottom(5),
    row(A::FourWeeksBack, &[Char('{'), Key::PageUp], &[F::Adjust], "4 weeks", "Move its planned days four weeks back."),
    row(A::FourWeeksOn, &[Char('}'), Key::PageDown], &[F::Adjust], "4 weeks", "Move its planned days four weeks on."),
    row(A::Take, &[Key::Enter], &[F::Adjust], "move", "Leave it where it now is.").bottom(LAST),
    row(A::Back, &[Key::Esc], &[F::Adjust], "back", "Leave it where it was.").bottom(LAST + 1),
    row(
        A::Help,
        &[Char('?')],
        &[F::Adjust, F::Versions, F::Trouble, F::Notices],
        "help",
        "List the keys that work here.",
    ),
    // Forms.
    row(A::Take, &[Key::Enter], &[F::NewPlanting], "place", "Place the crop.").bottom(1),
    row(A::Take, &[Key::Enter], &[F::Planting], "change", "Change the planting.").bottom(1),
    row(A::Take, &[Key::Enter], &[F::BedForm], "lay out", "Lay the bed out as the fields say.").bottom(1),
    row(A::Take, &[Key::Enter], &[F::SiteForm], "set", "Set the place.").bottom(1),
    row(A::Take, &[Key::Enter], &[F::Naming], "add it", "Add the crop pointed at.").bottom(1),
    row(A::Take, &[Key::Enter], &[F::PastForm], "add", "Add the crop to the bed's past years.").bottom(1),
    row(A::Up, &[Key::Up], &[F::Naming], "choose", "Point at the name before.").bottom(2),
    row(A::Down, &[Key::Down], &[F::Naming], "choose", "Point at the next name.").bottom(2),
    row(A::Next, &[Key::Tab], &[F::Naming], "take it and go on", "Take the name pointed at, and go to the next field.")
        .bottom(3),
    row(A::PageUp, &[Key::PageUp], &[F::PastForm], "point", "Point at the past crop before.").bottom(5),
    row(A::PageDown, &[Key::PageDown], &[F::PastForm], "point", "Point at the next past crop.").bottom(5),
    row(A::TakeOut, &[Ctrl('d')], &[F::PastForm], "take out", "Take the past crop pointed at out.").bottom(6),
    row(A::Up, &[Key::Up, Key::BackTab], &[F::Fields], "field", "Go to the field before.").bottom(2),
    row(A::Down, &[Key::Down, Key::Tab], &[F::Fields], "field", "Go to the next field.").bottom(2),
    row(A::Left, &[Key::Left], &[F::Choice], "choose", "Take the word before.").bottom(4),
    row(
        A::Right,
        &[Key::Right, Char(' ')],
        &[F::Choice],
        "choose",
        "Take the next word; a letter takes the next word that begins with it.",
    )
    .bottom(4),
    row(A::More, &[Char('+'), Char('=')], &[F::Figure], "step", "One step more.").bottom(4),
    row(A::Less, &[Char('-')], &[F::Figure], "step", "One step less.").bottom(4),
    row(A::WeekBack, &[Char('[')], &[F::Day], "a week", "A week earlier.").bottom(4),
    row(A::WeekOn, &[Char(']')], &[F::Day], "a week", "A week later.").bottom(4),
    row(A::FourWeeksBack, &[Char('{')], &[F::Day], "four", "Four weeks earlier.").bottom(5),
    row(A::FourWeeksOn, &[Char('}')], &[F::Day], "four", "Four weeks later.").bottom(5),
    row(A::More, &[Char('+'), Char('=')], &[F::Day], "a day", "A day later; a day that is left empty is worked out.")
        .bottom(6),
    row(A::Less, &[Char('-')], &[F::Day], "a day", "A day earlier.").bottom(6),
    row(A::Up, &[Key::Up], &[F::Months], "rows", "Go to the row above, or out of the grid.").bottom(2),
    row(A::Down, &[Key::Down], &[F::Months], "rows", "Go to the row below, or out of the grid.").bottom(2),
    row(A::Left, &[Key::Left], &[F::Months], "months", "Go to the month before.").bottom(3),
    row(A::Right, &[Key::Right], &[F::Months], "months", "Go to the next month.").bottom(3),
    row(A::Next, &[Key::Tab], &[F::Months], "next", "Go to the next figure."),
    row(A::Previous, &[Key::BackTab], &[F::Months], "previous", "Go to the figure before."),
    row(A::First, &[Key::Home], &[F::Months], "first", "Go to January."),
    row(A::Last, &[Key::End], &[F::Months], "last", "Go to December."),
    row(A::Clear, &[Key::Delete, Ctrl('u')], &[F::Months], "clear", "Clear the figure."),
    row(A::Back, &[Key::Esc], &[F::Naming], "clear", "Clear the name.").bottom(LAST),
    row(A::Back, &[Key::Esc], &[F::PastForm], "done", "Close the form.").bottom(LAST),
    row(
        A::Back,
        &[Key::Esc],
        &[F::NewPlanting, F::Planting, F::BedForm, F::SiteForm],
        "back",
        "Close the form and change nothing.",
    )
    .bottom(LAST),
    // Text.
    row(A::RubOut, &[Key::Backspace], &[F::Months, F::Line], "rub out", "Rub out the character before the cursor."),
    row(A::RubOutNext, &[Key::Delete], &[F::Line], "rub out", "Rub out the character at the cursor."),
    row(A::RubOutWord, &[Ctrl('w')], &[F::Line], "rub out a word", "Rub out the word before the cursor."),
    row(A::Clear, &[Ctrl('u')], &[F::Line], "clear", "Clear the line."),
    row(A::Left, &[Key::Left], &[F::Line], "left", "Move the cursor left."),
    row(A::Right, &[Key::Right], &[F::Line], "right", "Move the cursor right."),
    row(A::First, &[Key::Home], &[F::Line], "start", "Move the cursor to the start."),
    row(A::Last, &[Key::End], &[F::Line], "end", "Move the cursor to the end."),
];

/// Rows of a front, in the order of the table.
pub fn rows_of(front: Front) -> impl Iterator<Item = &'static LayerRow> {
    LAYER_KEYS.iter().filter(move |row| row.fronts.contains(&front))
}

/// Rows by front and key; those for any other key by front alone. Every typed letter is looked up in several fronts, and a paste
/// that arrives as keys may be a hundred thousand letters.
struct Lookup {
    by_key: FxHashMap<(Front, Key), &'static LayerRow>,
    otherwise: FxHashMap<Front, &'static LayerRow>,
}

static LOOKUP: LazyLock<Lookup> = LazyLock::new(|| {
    let mut lookup = Lookup { by_key: FxHashMap::default(), otherwise: FxHashMap::default() };
    for row in LAYER_KEYS {
        for front in row.fronts {
            lookup.by_key.extend(row.keys.iter().map(|key| ((*front, *key), row)));
            if row.keys.is_empty() {
                lookup.otherwise.insert(*front, row);
            }
        }
    }
    lookup
});

/// The row of a key in the first front that has one; rows for any other key come last.
pub fn layer_row_for(key: Key, fronts: &[Front]) -> Option<&'static LayerRow> {
    let Lookup { by_key, otherwise } = &*LOOKUP;
    let exact = fronts.iter().find_map(|front| by_key.get(&(*front, key)));
    exact.or_else(|| fronts.iter().find_map(|front| otherwise.get(front))).copied()
}

/// What a key asks for in these fronts.
pub fn act_for(key: Key, fronts: &[Front]) -> Option<Act> {
    layer_row_for(key, fronts).map(|row| row.act)
}

/// The rows shown on the bottom line for these fronts, with their keys. A row whose key belongs to a nearer front is left out,
/// and adjacent rows with the same words are merged.
pub fn hints(fronts: &[Front], is_ascii: bool) -> Vec<(&'static LayerRow, String)> {
    let mut shown: Vec<&'static LayerRow> = Vec::new();
    for (n, front) in fronts.iter().enumerate() {
        let is_taken = |row: &LayerRow| {
            let before = fronts.get(..n).unwrap_or_default();
            row.keys
                .first()
                .is_some_and(|key| before.iter().any(|front| rows_of(*front).any(|row| row.keys.contains(key))))
        };
        shown.extend(rows_of(*front).filter(|row| row.bottom > 0 && !is_taken(row)));
    }
    shown.sort_by_key(|row| row.bottom);
    let mut hints: Vec<(&'static LayerRow, String)> = Vec::new();
    for row in shown {
        let key = row.keys.first().map_or_else(|| row.keys_words(is_ascii), |key| key.words(is_ascii));
        match hints.last_mut() {
            Some((last, keys)) if (last.title, last.bottom) == (row.title, row.bottom) => {
                keys.push(' ');
                keys.push_str(&key);
            }
            _ => hints.push((row, key)),
        }
    }
    hints
}

/// The README's table of what keys mean in layers.
pub fn layer_table_markdown() -> String {
    let mut text = String::from("| key | what it does | where |\n| --- | --- | --- |\n");
    for row in LAYER_KEYS {
        let mut titles: Vec<&str> = row.fronts.iter().map(|front| front.title()).collect();
        titles.dedup();
        let keys = if row.keys.is_empty() {
            row.keys_words(false)
        } else {
            row.keys.iter().map(|key| format!("`{}`", key.words(false))).collect::<Vec<_>>().join(" ")
        };
        text.push_str(&format!("| {keys} | {} | {} |\n", row.sentence, titles.join(", ")));
    }
    text
}

#[cfg(test)]
mod tests {
    use std::collections::{HashMap, HashSet};

    use super::*;

    #[test]
    fn no_key_means_two_things_in_one_front_and_every_row_has_its_sentence() {
        let mut seen = HashMap::new();
        for row in LAYER_KEYS {
            assert!(row.sentence.ends_with('.') && !row.title.is_empty() && !row.fronts.is_empty(), "{row:?}");
            for front in row.fronts {
                for key in row.keys {
                    assert_eq!(seen.insert((*front, *key), row.act), None, "{key:?} in {front:?}");
                }
            }
        }
    }

    #[test]
    fn the_nearest_front_hears_a_key_first_and_any_other_key_comes_last() {
        assert_eq!(act_for(Char('-'), &[F::BedForm, F::Fields, F::Figure]), Some(A::Less));
        assert_eq!(act_for(Char('-'), &[F::BedForm, F::Fields, F::Line]), None, "it is typed");
        assert_eq!(act_for(Key::Down, &[F::Naming, F::PastForm, F::Fields]), Some(A::Down));
        assert_eq!(act_for(Char('x'), &[F::Help]), Some(A::Back));
        assert_eq!(act_for(Char('j'), &[F::Help]), Some(A::Down));
        assert_eq!(
            (act_for(Char('L'), &[F::LeaveUnsaved]), act_for(Char('L'), &[F::Restore])),
            (Some(A::Yes), Some(A::Back))
        );
    }

    #[test]
    fn the_key_that_asked_is_no_yes() {
        // Q leaves, S and p write, c repeats, V lists versions; the keys for yes are none of the screens' keys for these.
        let asking: HashSet<Key> =
            [Char('q'), Ctrl('c'), Char('S'), Char('p'), Char('c'), Char('V'), Key::Enter].into();
        for row in LAYER_KEYS.iter().filter(|row| row.act == A::Yes) {
            assert!(row.keys.iter().all(|key| !asking.contains(key)), "{row:?}");
        }
    }

    #[test]
    fn hints_put_the_keys_of_one_word_together() {
        let words = |fronts: &[Front], is_ascii| {
            let hints = hints(fronts, is_ascii);
            hints.iter().map(|(row, keys)| format!("{keys} {}", row.title)).collect::<Vec<_>>().join("  ")
        };
        assert_eq!(words(&[F::Help], true), "Up Down scroll  any other key closes");
        assert_eq!(words(&[F::Planting, F::Fields, F::Figure], false), "Enter change  ↑ ↓ field  + - step  Esc back");
        assert_eq!(
            words(&[F::Naming, F::PastForm, F::Fields, F::Line], true),
            "Enter add it  Up Down choose  Tab take it and go on  PgUp PgDn point  Ctrl-d take out  Esc clear"
        );
    }
}
