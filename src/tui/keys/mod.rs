//! The tables of commands: keys, where they apply, title, sentence, and what a command needs. Handling, bottom line, help, finder
//! and the README's tables of keys come from them.

mod layers;
mod needs;
mod screens;

pub use layers::{Act, Front, LAYER_KEYS, LayerRow, act_for, hints, layer_row_for, layer_table_markdown, rows_of};
pub use needs::{Need, hindrance};
pub use screens::COMMANDS;

use super::session::Session;
use super::view::{Screen, View};

/// A key as commands see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// A character as received, so a capital is a key of its own.
    Char(char),
    /// A character with Ctrl.
    Ctrl(char),
    /// Arrow.
    Up,
    /// Arrow.
    Down,
    /// Arrow.
    Left,
    /// Arrow.
    Right,
    /// Enter.
    Enter,
    /// Escape.
    Esc,
    /// Tab.
    Tab,
    /// Shift and Tab.
    BackTab,
    /// Page up.
    PageUp,
    /// Page down.
    PageDown,
    /// Home.
    Home,
    /// End.
    End,
    /// Delete.
    Delete,
    /// Backspace.
    Backspace,
}

impl Key {
    /// The key, if holding it down repeats it: only keys that move or step do (holding `x` must not clear a bed).
    pub fn when_repeated(self) -> Option<Self> {
        self.is_repeatable().then_some(self)
    }

    fn is_repeatable(self) -> bool {
        match self {
            Self::Char(c) => "hjkl[]{},.+-".contains(c),
            Self::Ctrl(_) | Self::Enter | Self::Esc => false,
            _ => true,
        }
    }

    /// The key as help writes it.
    pub fn words(self, is_ascii: bool) -> String {
        match self {
            Self::Char(' ') => "Space".to_owned(),
            Self::Char(c) => c.to_string(),
            Self::Ctrl(c) => format!("Ctrl-{c}"),
            Self::Up => if is_ascii { "Up" } else { "↑" }.to_owned(),
            Self::Down => if is_ascii { "Down" } else { "↓" }.to_owned(),
            Self::Left => if is_ascii { "Left" } else { "←" }.to_owned(),
            Self::Right => if is_ascii { "Right" } else { "→" }.to_owned(),
            Self::Enter => "Enter".to_owned(),
            Self::Esc => "Esc".to_owned(),
            Self::Tab => "Tab".to_owned(),
            Self::BackTab => "Shift-Tab".to_owned(),
            Self::PageUp => "PgUp".to_owned(),
            Self::PageDown => "PgDn".to_owned(),
            Self::Home => "Home".to_owned(),
            Self::End => "End".to_owned(),
            Self::Delete => "Del".to_owned(),
            Self::Backspace => "Backspace".to_owned(),
        }
    }
}

/// Every command that has a key on a screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // Each is described by its row of COMMANDS.
pub enum Command {
    Show(Screen),
    MoveUp,
    MoveDown,
    MoveLeft,
    MoveRight,
    First,
    Last,
    Open,
    Back,
    NextPlanting,
    PreviousPlanting,
    WeekBack,
    WeekOn,
    FourWeeksBack,
    FourWeeksOn,
    Today,
    Place,
    Interplant,
    Change,
    Move,
    Lengthen,
    Shorten,
    Duplicate,
    Remove,
    Undo,
    Redo,
    WhatCouldFollow,
    Why,
    Accept,
    KeepQuiet,
    ShowAll,
    NextLayer,
    NewBed,
    EditBed,
    RemoveBed,
    AddPast,
    AddHazard,
    ReturnYears,
    EditSite,
    GoToBed,
    Search,
    Save,
    SaveAs,
    Versions,
    TakeOver,
    WriteList,
    Help,
    Finder,
    Mouse,
    Suspend,
    Quit,
}

/// Heading under which help lists a command. The order here is the order on screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Group {
    /// Which screen.
    Screens,
    /// Moving and time.
    Walk,
    /// Plantings.
    Plantings,
    /// Beds and their past.
    Beds,
    /// Findings.
    Findings,
    /// The file and the program.
    Garden,
}

impl Group {
    /// Heading.
    pub fn title(self) -> &'static str {
        match self {
            Self::Screens => "Screens",
            Self::Walk => "Walk and time",
            Self::Plantings => "Plantings",
            Self::Beds => "Beds and their past",
            Self::Findings => "Findings",
            Self::Garden => "Garden",
        }
    }
}

/// One row of the table.
#[derive(Debug, Clone, Copy)]
pub struct Row {
    /// The command.
    pub command: Command,
    /// Its keys, the one to show first.
    pub keys: &'static [Key],
    /// Screens it works on; empty is all.
    pub screens: &'static [Screen],
    /// A word or two for the bottom line.
    pub title: &'static str,
    /// A sentence for help.
    pub sentence: &'static str,
    /// Heading in help.
    pub group: Group,
    /// Place on the bottom line, 1 first; 0 is not shown there.
    pub bottom: u8,
    /// What it needs.
    pub needs: &'static [Need],
}

/// The row of a key on a screen.
pub fn row_for(key: Key, screen: Screen) -> Option<&'static Row> {
    COMMANDS.iter().find(|row| row.works_on(screen) && row.keys.contains(&key))
}

impl Row {
    /// Whether it works on a screen.
    pub fn works_on(&self, screen: Screen) -> bool {
        self.screens.is_empty() || self.screens.contains(&screen)
    }

    /// Why it cannot be done now; `None` if it can.
    pub fn hindrance<'a>(&self, session: &'a Session, view: &View) -> Option<&'a str> {
        hindrance(self.needs, session, view)
    }

    /// Its keys as help writes them.
    pub fn keys_words(&self, is_ascii: bool) -> String {
        self.keys.iter().map(|key| key.words(is_ascii)).collect::<Vec<_>>().join(" ")
    }
}

/// The README's key table.
pub fn key_table_markdown() -> String {
    let mut text = String::from("| key | what it does | where |\n| --- | --- | --- |\n");
    for row in COMMANDS {
        let screens = if row.screens.is_empty() {
            "every screen".to_owned()
        } else {
            row.screens.iter().map(|screen| screen.title()).collect::<Vec<_>>().join(", ")
        };
        let keys = row.keys.iter().map(|key| format!("`{}`", key.words(false))).collect::<Vec<_>>().join(" ");
        text.push_str(&format!("| {keys} | {} | {screens} |\n", row.sentence));
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_key_means_two_things_on_one_screen() {
        for &screen in Screen::ALL {
            let mut seen = std::collections::HashMap::new();
            for row in COMMANDS.iter().filter(|row| row.works_on(screen)) {
                for key in row.keys {
                    if let Some(other) = seen.insert(*key, row.command) {
                        panic!("{key:?} on {screen:?} means both {other:?} and {:?}", row.command);
                    }
                }
            }
        }
    }

    #[test]
    fn every_command_has_one_row_on_a_screen_and_a_sentence() {
        for row in COMMANDS {
            for &screen in Screen::ALL.iter().filter(|screen| row.works_on(**screen)) {
                let alike = COMMANDS.iter().filter(|other| other.command == row.command && other.works_on(screen));
                assert_eq!(alike.count(), 1, "{:?} on {screen:?}", row.command);
            }
            assert!(row.sentence.ends_with('.') && !row.title.is_empty(), "{:?}", row.command);
        }
    }

    #[test]
    fn groups_stand_together_and_in_order() {
        let groups: Vec<Group> = COMMANDS.iter().map(|row| row.group).collect();
        assert!(groups.is_sorted());
    }

    #[test]
    fn a_held_key_moves_but_does_not_remove() {
        assert_eq!(Key::Char('x').when_repeated(), None);
        assert_eq!(Key::Char(']').when_repeated(), Some(Key::Char(']')));
        assert_eq!(Key::Enter.when_repeated(), None);
    }
}
