//! What is looked at: screen, week, bed, planting. Nothing of the garden itself.

use crate::garden::PlantingId;
use crate::units::Week;

use super::session::Session;

/// Makes [`Screen`] of its table: a variant, its name, and its name for narrow places.
macro_rules! screens {
    ($($(#[$doc:meta])* $variant:ident $title:literal $short:literal,)+) => {
        /// The screens.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Screen {
            $($(#[$doc])* $variant,)+
        }

        impl Screen {
            /// Every screen, in the order of their keys.
            pub const ALL: &'static [Self] = &[$(Self::$variant),+];

            /// Its name.
            pub const fn title(self) -> &'static str {
                match self {
                    $(Self::$variant => $title,)+
                }
            }

            /// Its name where space is short.
            pub const fn short_title(self) -> &'static str {
                match self {
                    $(Self::$variant => $short,)+
                }
            }
        }
    };
}

screens! {
    /// All beds.
    Ground "Ground" "Ground",
    /// One bed, to scale.
    Bed "Bed" "Bed",
    /// Beds by weeks.
    Year "Year" "Year",
    /// What is known of crops.
    Book "Crop book" "Book",
    /// What is wrong or worth knowing.
    Findings "Findings" "Findings",
}

/// How to draw.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Options {
    /// Only ASCII signs.
    pub is_ascii: bool,
    /// Colour besides sign and word.
    pub has_colour: bool,
    /// The mouse is listened to.
    pub has_mouse: bool,
}

/// How grave a line at the bottom is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Tone {
    /// Something was done.
    Done,
    /// Something could not be done.
    Trouble,
}

/// A line at the bottom until the next key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Notice {
    /// How grave.
    pub tone: Tone,
    /// In words.
    pub text: String,
}

/// Which plantings the Bed screen shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Shown {
    /// Everything that stands.
    #[default]
    All,
    /// Only the selected planting.
    Selected,
}

/// Least useful size, columns and rows; below it only the size needed is shown.
pub const LEAST: (u16, u16) = (40, 12);

/// What is looked at.
#[derive(Debug, Clone)]
pub struct View {
    /// The screen.
    pub screen: Screen,
    /// Screens to go back to.
    pub came_from: Vec<Screen>,
    /// The week.
    pub week: Week,
    /// The bed, by its place in the garden.
    pub bed_idx: usize,
    /// The planting, if one is selected.
    pub planting: Option<PlantingId>,
    /// Which plantings the Bed screen shows.
    pub shown: Shown,
    /// Letters that narrow the crop book.
    pub book_letters: String,
    /// Selected line of the crop book.
    pub book_row: usize,
    /// First line of the crop's page that is drawn.
    pub page_row: usize,
    /// Letters that narrow the findings.
    pub finding_letters: String,
    /// Selected line of the findings.
    pub finding_row: usize,
    /// The line at the bottom until the next key.
    pub notice: Option<Notice>,
    /// How to draw.
    pub options: Options,
    /// Size of the whole screen (columns, rows) at the last draw or resize: for moving by pages and rows, and for the mouse.
    pub size: (u16, u16),
}

impl View {
    /// Whether the screen is large enough to show anything; see [`LEAST`].
    pub fn is_in_sight(&self) -> bool {
        self.size.0 >= LEAST.0 && self.size.1 >= LEAST.1
    }

    /// A fresh look at a garden in a week.
    pub fn new(week: Week, options: Options) -> Self {
        Self {
            screen: Screen::Ground,
            came_from: Vec::new(),
            week,
            bed_idx: 0,
            planting: None,
            shown: Shown::All,
            book_letters: String::new(),
            book_row: 0,
            page_row: 0,
            finding_letters: String::new(),
            finding_row: 0,
            notice: None,
            options,
            size: (80, 24),
        }
    }

    /// Says that something was done.
    pub fn say(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice { tone: Tone::Done, text: text.into() });
    }

    /// Says that something could not be done.
    pub fn complain(&mut self, text: impl Into<String>) {
        self.notice = Some(Notice { tone: Tone::Trouble, text: text.into() });
    }

    /// Goes to a screen, remembering the way back.
    pub fn show(&mut self, screen: Screen) {
        if self.screen != screen {
            self.came_from.push(self.screen);
            if self.came_from.len() > 32 {
                self.came_from.remove(0);
            }
            self.screen = screen;
        }
    }

    /// Steps the week looked at, within the years 1900 to 2200.
    pub fn step_weeks(&mut self, n: i64) {
        let next = self.week.plus(n);
        if (1900..=2200).contains(&next.iso_year()) {
            self.week = next;
        }
    }

    /// Selects a planting and its bed.
    pub fn select(&mut self, session: &Session, id: PlantingId, bed_id: &str) {
        if let Some(idx) = session.plan().bed_idx(bed_id) {
            self.bed_idx = idx;
        }
        self.planting = Some(id);
    }

    /// Unless a planting of this bed is selected, selects one that stands in the week looked at, else the next to come, else the
    /// last.
    pub fn select_standing(&mut self, session: &Session) {
        let Some(bed) = session.plan().beds().get(self.bed_idx) else { return };
        if self.planting.is_some_and(|id| bed.standing.iter().any(|standing| standing.id == id)) {
            return;
        }
        let (monday, sunday) = (self.week.monday(), self.week.sunday());
        self.planting = bed
            .standing
            .iter()
            .find(|standing| standing.stages.enters <= sunday && standing.stages.clear > monday)
            .or_else(|| bed.standing.iter().find(|standing| standing.stages.enters > sunday))
            .or_else(|| bed.standing.last())
            .map(|standing| standing.id);
    }
}
