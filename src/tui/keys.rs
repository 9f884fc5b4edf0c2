//! The one table of commands: keys, screens, title, sentence, group, and whether it can be done now.

use super::session::Session;
use super::view::{Screen, View};

/// A key as commands see it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Key {
    /// A character as received, so shifted letters are their own.
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
    /// What a key that is held down does again and again: only to move and to type (a held-down `x` must not clear a bed).
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

/// Everything that can be asked of the program by a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs)] // Each is described by its row of COMMANDS.
pub enum Command {
    ShowGround,
    ShowBed,
    ShowYear,
    ShowBook,
    ShowFindings,
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
    /// Walking and time.
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
}

const fn row(
    command: Command,
    keys: &'static [Key],
    screens: &'static [Screen],
    title: &'static str,
    sentence: &'static str,
    group: Group,
    bottom: u8,
) -> Row {
    Row { command, keys, screens, title, sentence, group, bottom }
}

use Command as C;
use Key::{Char, Ctrl};

const PLOTS: &[Screen] = &[Screen::Ground, Screen::Bed, Screen::Year];
const WITH_PLANTING: &[Screen] = &[Screen::Bed, Screen::Year];
const WITH_FINDINGS: &[Screen] = &[Screen::Ground, Screen::Bed, Screen::Year, Screen::Findings];

/// Every command, in the order of help.
pub const COMMANDS: &[Row] = &[
    row(C::ShowGround, &[Char('1')], &[], "Ground", "Show all beds.", Group::Screens, 0),
    row(C::ShowBed, &[Char('2')], &[], "Bed", "Show one bed to scale.", Group::Screens, 0),
    row(C::ShowYear, &[Char('3')], &[], "Year", "Show beds by weeks.", Group::Screens, 0),
    row(C::ShowBook, &[Char('4')], &[], "Crop book", "Show what is known of crops.", Group::Screens, 0),
    row(C::ShowFindings, &[Char('5')], &[], "Findings", "List what the engines have to say.", Group::Screens, 0),
    row(C::MoveUp, &[Key::Up, Char('k')], &[], "up", "Walk up.", Group::Walk, 0),
    row(C::MoveDown, &[Key::Down, Char('j')], &[], "down", "Walk down.", Group::Walk, 0),
    row(C::MoveLeft, &[Key::Left, Char('h')], &[], "left", "Walk left.", Group::Walk, 0),
    row(C::MoveRight, &[Key::Right, Char('l')], &[], "right", "Walk right.", Group::Walk, 0),
    row(C::First, &[Key::Home], &[], "first", "Go to the first.", Group::Walk, 0),
    row(C::Last, &[Key::End], &[], "last", "Go to the last.", Group::Walk, 0),
    row(
        C::Open,
        &[Key::Enter],
        &[],
        "open",
        "Open what is selected: a bed, planting, crop or finding.",
        Group::Walk,
        1,
    ),
    row(C::Back, &[Key::Esc], &[], "back", "Go back one step.", Group::Walk, 0),
    row(
        C::NextPlanting,
        &[Key::Tab],
        WITH_PLANTING,
        "next planting",
        "Select the bed's next planting.",
        Group::Walk,
        9,
    ),
    row(
        C::PreviousPlanting,
        &[Key::BackTab],
        WITH_PLANTING,
        "previous planting",
        "Select the bed's previous planting.",
        Group::Walk,
        0,
    ),
    row(C::WeekBack, &[Char('['), Char(',')], &[], "week back", "Step one week back.", Group::Walk, 0),
    row(C::WeekOn, &[Char(']'), Char('.')], &[], "week on", "Step one week on.", Group::Walk, 5),
    row(C::FourWeeksBack, &[Char('{'), Key::PageUp], &[], "4 weeks back", "Step four weeks back.", Group::Walk, 0),
    row(C::FourWeeksOn, &[Char('}'), Key::PageDown], &[], "4 weeks on", "Step four weeks on.", Group::Walk, 0),
    row(C::Today, &[Char('t')], &[], "today", "Go to this week.", Group::Walk, 10),
    row(
        C::GoToBed,
        &[Char('g')],
        WITH_FINDINGS,
        "go to bed",
        "Go to a bed by its id, or to its first finding.",
        Group::Walk,
        0,
    ),
    row(
        C::Search,
        &[Char('/')],
        &[Screen::Book, Screen::Findings],
        "search",
        "Narrow the list by a few letters.",
        Group::Walk,
        2,
    ),
    row(C::Place, &[Char('a')], PLOTS, "place crop", "Place a crop in this bed.", Group::Plantings, 2),
    row(
        C::Interplant,
        &[Char('i')],
        WITH_PLANTING,
        "interplant",
        "Place a crop at the centres between the selected planting's stations.",
        Group::Plantings,
        3,
    ),
    row(
        C::WhatCouldFollow,
        &[Char('n')],
        PLOTS,
        "what next",
        "List what could follow in this bed, best first, with reasons.",
        Group::Plantings,
        4,
    ),
    row(
        C::Change,
        &[Char('e')],
        WITH_PLANTING,
        "change",
        "Change the selected planting in its form.",
        Group::Plantings,
        0,
    ),
    row(
        C::Move,
        &[Char('m')],
        WITH_PLANTING,
        "move",
        "Move the selected planting: arrows for place and bed, [ ] for weeks, + - for length.",
        Group::Plantings,
        7,
    ),
    row(
        C::Lengthen,
        &[Char('+'), Char('=')],
        WITH_PLANTING,
        "lengthen",
        "Make its strip 10 cm longer.",
        Group::Plantings,
        0,
    ),
    row(C::Shorten, &[Char('-')], WITH_PLANTING, "shorten", "Make its strip 10 cm shorter.", Group::Plantings, 0),
    row(
        C::Duplicate,
        &[Char('c')],
        WITH_PLANTING,
        "duplicate",
        "Repeat the selected planting in the next free slot.",
        Group::Plantings,
        0,
    ),
    row(
        C::Remove,
        &[Char('x'), Key::Delete],
        WITH_PLANTING,
        "remove",
        "Take the selected planting out.",
        Group::Plantings,
        8,
    ),
    row(
        C::NextLayer,
        &[Char('v')],
        &[Screen::Bed],
        "layers",
        "Show all plantings, or one after the other.",
        Group::Plantings,
        0,
    ),
    row(C::NewBed, &[Char('N')], PLOTS, "new bed", "Lay out a new bed.", Group::Beds, 0),
    row(C::EditBed, &[Char('b')], PLOTS, "edit bed", "Change this bed's size, kind, cover or place.", Group::Beds, 0),
    row(C::RemoveBed, &[Char('X')], PLOTS, "remove bed", "Take an empty bed out.", Group::Beds, 0),
    row(C::AddPast, &[Char('y')], PLOTS, "past crops", "Add a crop of a past year to this bed.", Group::Beds, 0),
    row(
        C::AddHazard,
        &[Char('z')],
        PLOTS,
        "hazard",
        "Note a soil-borne disease or pest seen in this bed.",
        Group::Beds,
        0,
    ),
    row(
        C::ReturnYears,
        &[Char('R')],
        &[],
        "return years",
        "Set how many years a family stays away from a bed.",
        Group::Beds,
        0,
    ),
    row(
        C::Why,
        &[Char('w')],
        WITH_FINDINGS,
        "why",
        "Say why: the earlier planting, the rule, its source, what would help.",
        Group::Findings,
        3,
    ),
    row(
        C::Accept,
        &[Char('A')],
        &[Screen::Findings],
        "accept",
        "Accept the finding with a reason, or take that back.",
        Group::Findings,
        4,
    ),
    row(
        C::EditSite,
        &[Char('L')],
        &[],
        "place and climate",
        "Set the place: latitude, height, frosts, currency, climate.",
        Group::Garden,
        0,
    ),
    row(C::Undo, &[Char('u')], &[], "undo", "Take the last edit back.", Group::Garden, 11),
    row(C::Redo, &[Ctrl('r')], &[], "redo", "Make the undone edit again.", Group::Garden, 0),
    row(
        C::Save,
        &[Char('s'), Ctrl('s')],
        &[],
        "save",
        "Save now (edits are also saved by themselves).",
        Group::Garden,
        0,
    ),
    row(C::SaveAs, &[Char('S')], &[], "save as", "Save under another name.", Group::Garden, 0),
    row(
        C::Versions,
        &[Char('V')],
        &[],
        "earlier versions",
        "List earlier versions of the garden, what has changed since, and go back to one.",
        Group::Garden,
        0,
    ),
    row(
        C::TakeOver,
        &[Char('O')],
        &[],
        "take over",
        "Take the garden over when the program that had it open has gone.",
        Group::Garden,
        0,
    ),
    row(C::WriteList, &[Char('p')], &[], "planting list", "Write the planting list to a file.", Group::Garden, 0),
    row(C::Help, &[Char('?')], &[], "help", "List the keys of this screen.", Group::Garden, 12),
    row(C::Finder, &[Char(':')], &[], "commands", "Find any command by a few letters.", Group::Garden, 13),
    row(
        C::Mouse,
        &[Char('M')],
        &[],
        "mouse",
        "Switch the mouse on or off (off, text can be selected).",
        Group::Garden,
        0,
    ),
    row(C::Suspend, &[Ctrl('z')], &[], "suspend", "Go back to the shell for a while.", Group::Garden, 0),
    row(C::Quit, &[Char('q'), Ctrl('c')], &[], "quit", "Save and leave.", Group::Garden, 14),
];

/// The row of a command.
pub fn row_of(command: Command) -> Option<&'static Row> {
    COMMANDS.iter().find(|row| row.command == command)
}

/// The command a key means on a screen.
pub fn command_for(key: Key, screen: Screen) -> Option<Command> {
    COMMANDS.iter().find(|row| row.works_on(screen) && row.keys.contains(&key)).map(|row| row.command)
}

impl Row {
    /// Whether it works on a screen.
    pub fn works_on(&self, screen: Screen) -> bool {
        self.screens.is_empty() || self.screens.contains(&screen)
    }

    /// Its title on a screen: what Enter opens has its own word where it does more than show.
    pub fn title_on(&self, screen: Screen) -> &'static str {
        match (self.command, screen) {
            (C::Open, Screen::Bed | Screen::Year) => "change",
            (C::Open, Screen::Book) => "place",
            (C::Open, Screen::Findings) => "go there",
            _ => self.title,
        }
    }

    /// Its keys as help writes them.
    pub fn keys_words(&self, is_ascii: bool) -> String {
        self.keys.iter().map(|key| key.words(is_ascii)).collect::<Vec<_>>().join(" ")
    }
}

/// Whether a command changes the garden or its file, or opens a form that does.
fn is_edit(command: Command, screen: Screen) -> bool {
    match command {
        C::Place
        | C::Interplant
        | C::Change
        | C::Move
        | C::Lengthen
        | C::Shorten
        | C::Duplicate
        | C::Remove
        | C::NewBed
        | C::EditBed
        | C::RemoveBed
        | C::AddPast
        | C::AddHazard
        | C::ReturnYears
        | C::Accept
        | C::Undo
        | C::Redo
        | C::Save => true,
        C::Open => matches!(screen, Screen::Bed | Screen::Year | Screen::Book),
        _ => false,
    }
}

/// Why a command cannot be done now; `None` if it can.
pub fn hindrance<'a>(command: Command, session: &'a Session, view: &View) -> Option<&'a str> {
    if let Some(why) = session.read_only_because().filter(|_| is_edit(command, view.screen)) {
        return Some(why);
    }
    let has_beds = !session.plan.garden().beds.is_empty();
    let has_planting = view.planting.is_some_and(|id| session.plan.garden().planting(id).is_some());
    let bed = session.plan.beds().get(view.bed_idx);
    let has_finding = if view.screen == Screen::Findings {
        session.plan.beds().iter().any(|bed| !bed.findings.is_empty())
    } else {
        bed.is_some_and(|bed| !bed.findings.is_empty())
    };
    match command {
        C::Place | C::WhatCouldFollow | C::EditBed | C::RemoveBed | C::AddPast | C::AddHazard | C::GoToBed
            if !has_beds =>
        {
            Some("there is no bed yet; N lays out a new one")
        }
        C::Interplant | C::Change | C::Move | C::Lengthen | C::Shorten | C::Duplicate | C::Remove if !has_planting => {
            Some("no planting is selected; Tab selects the bed's next one")
        }
        C::Open
            if matches!(view.screen, Screen::Bed | Screen::Year)
                && !has_planting
                && bed.is_none_or(|bed| bed.standing.is_empty()) =>
        {
            Some("nothing is planted in this bed; a places a crop")
        }
        C::Open if view.screen == Screen::Book && !has_beds => Some("there is no bed yet; N lays out a new one"),
        C::Why if !has_finding => Some("there is no finding here"),
        C::Undo if session.plan.undo_title().is_none() => Some("nothing to undo"),
        C::Redo if session.plan.redo_title().is_none() => Some("nothing to redo"),
        C::Versions if session.path.is_none() => Some("this garden has no file yet; S gives it one"),
        C::TakeOver if session.keeping.held_by.is_none() && session.keeping.barred.is_none() => {
            Some("no other program has this garden open")
        }
        C::Accept if session.plan.beds().iter().all(|bed| bed.findings.is_empty()) => Some("there is no finding"),
        _ => None,
    }
}

/// The README's key table.
pub fn key_table_markdown() -> String {
    let mut text = String::from("| key | what it does | where |\n| --- | --- | --- |\n");
    for row in COMMANDS {
        let screens = if row.screens.is_empty() {
            "everywhere".to_owned()
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
        for screen in Screen::ALL {
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
    fn every_command_has_one_row_and_a_sentence() {
        for row in COMMANDS {
            assert_eq!(COMMANDS.iter().filter(|other| other.command == row.command).count(), 1, "{:?}", row.command);
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
