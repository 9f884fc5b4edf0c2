//! The list of what happened to plantings: sown, come up, planted, picked, lost, ended.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Deed, EntryId, Tells};
use crate::garden::fields::{check_date, check_limit};
use crate::garden::naming::Words;
use crate::garden::planting::is_default;
use crate::garden::problem::{Place, Problem};
use crate::garden::{PlantingId, limits};

/// Why a planting ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Ending {
    /// Picked out.
    Harvested,
    /// Cleared early to make room.
    ClearedEarly,
    /// Ran to seed.
    Bolted,
    /// Killed by frost.
    Frost,
    /// Lost to a pest.
    Pest,
    /// Lost to disease.
    Disease,
    /// Never came up.
    Failed,
}

/// Why plants were lost.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Cause {
    /// They ran to seed.
    Bolted,
    /// Frost killed them.
    Frost,
    /// A pest.
    Pest,
    /// Disease.
    Disease,
    /// They never came up, or did not take.
    Failed,
}

/// What happened to a planting.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Happening {
    /// It was sown, in place or in modules.
    Sown,
    /// It came up.
    Emerged,
    /// It was set into the bed.
    Planted,
    /// It was picked. Without an amount only the day is known.
    Picked {
        /// Weight, g.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        g: Option<u32>,
        /// Heads, roots, bunches: whatever the crop is counted in.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        pieces: Option<u32>,
        /// The household it went to, by its number; that may be gone.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        household: Option<EntryId>,
        /// Nothing will be picked after it.
        #[serde(default, skip_serializing_if = "is_default")]
        is_last: bool,
    },
    /// Plants were lost, the others stand.
    Lost {
        /// How many.
        plants: u32,
        /// Why.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<Cause>,
    },
    /// Its ground was cleared: from that day on it is free again.
    Ended {
        /// Why.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        why: Option<Ending>,
    },
}

/// What happened to one planting on one day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Happened {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The planting, which may be gone.
    pub planting: PlantingId,
    /// When.
    pub date: NaiveDate,
    /// What.
    pub what: Happening,
}

impl Happened {
    /// The household it names.
    pub fn household(&self) -> Option<EntryId> {
        if let Happening::Picked { household, .. } = self.what { household } else { None }
    }

    /// `was picked`, said of the planting.
    fn deed_words(&self) -> String {
        match self.what {
            Happening::Sown => "was sown".to_owned(),
            Happening::Emerged => "came up".to_owned(),
            Happening::Planted => "was planted".to_owned(),
            Happening::Picked { .. } => "was picked".to_owned(),
            Happening::Lost { plants: 1, .. } => "lost 1 plant".to_owned(),
            Happening::Lost { plants, .. } => format!("lost {plants} plants"),
            Happening::Ended { .. } => "ended".to_owned(),
        }
    }
}

impl Tells for Happened {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        let hint = "give the number of a planting";
        check_limit(place, "planting", &limits::PLANTING_ID, self.planting.0, hint, out);
        check_date(place, "date", self.date, out);
        if let Some(household) = self.household() {
            let hint = "give the number of a household, or leave it out";
            check_limit(place, "what.household", &limits::ENTRY_ID, household.0, hint, out);
        }
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let (planting, happened, date) = (words.planting(self.planting), self.deed_words(), self.date);
        match deed {
            Deed::Put => format!("note that {planting} {happened} on {date}"),
            Deed::Take => format!("take back that {planting} {happened} on {date}"),
            Deed::Change => format!("change what is noted of {planting} on {date}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("{} {} on {}", words.planting(self.planting), self.deed_words(), self.date)
    }
}
