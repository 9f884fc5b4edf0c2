//! The dates of one planting's life, and why there are none.

use chrono::NaiveDate;

use super::day::plus_days;

/// The days of one planting's life.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stages {
    /// Sown, in place or in modules; `None` for sets, tubers, crowns, slips and cuttings.
    pub sow: Option<NaiveDate>,
    /// Goes into the bed: sown in place or set out.
    pub enters: NaiveDate,
    /// First picked. A planting cleared before it is ripe has it on the day it is cleared: nothing is picked.
    pub first_pick: NaiveDate,
    /// Last picked.
    pub last_pick: NaiveDate,
    /// First day on which its ground is free again; it stands on `enters..clear`.
    pub clear: NaiveDate,
    /// How it comes to cover its ground, by its growth; `None` where only days are known (see [`CoverCurve`](super::CoverCurve)).
    pub cover: Option<CoverDays>,
}

impl Stages {
    /// The same life, moved by that many days (earlier if negative).
    #[must_use]
    pub fn shifted_days(&self, n_days: i64) -> Self {
        Self {
            sow: self.sow.map(|day| plus_days(day, n_days)),
            enters: plus_days(self.enters, n_days),
            first_pick: plus_days(self.first_pick, n_days),
            last_pick: plus_days(self.last_pick, n_days),
            clear: plus_days(self.clear, n_days),
            cover: self.cover.map(|cover| cover.shifted_days(n_days)),
        }
    }
}

/// The days between which the cover of one planting grows, by its growth at its site.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CoverDays {
    /// First day on which something shows: the day it enters, if plants are set out.
    pub shows: NaiveDate,
    /// End of the initial stage.
    pub after_initial: NaiveDate,
    /// Full cover.
    pub full: NaiveDate,
}

impl CoverDays {
    /// The same, moved by that many days (earlier if negative).
    #[must_use]
    pub fn shifted_days(&self, n_days: i64) -> Self {
        Self {
            shows: plus_days(self.shows, n_days),
            after_initial: plus_days(self.after_initial, n_days),
            full: plus_days(self.full, n_days),
        }
    }
}

/// Why no dates can be worked out.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum StagesError {
    /// Neither a planned nor a real date to start from.
    #[error("no date to start from: give the day it is sown, planted or first picked")]
    NoDate,
    /// Dates run backwards.
    #[error("{later} on {later_on} is before {earlier} on {earlier_on}")]
    Reversed {
        /// What must come first.
        earlier: &'static str,
        /// Its day.
        earlier_on: NaiveDate,
        /// What must come after.
        later: &'static str,
        /// Its day.
        later_on: NaiveDate,
    },
}
