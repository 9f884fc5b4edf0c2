//! Lists whose rows name a bed: past crops, hazards seen, the soil log.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Deed, EntryId, Tells};
use crate::garden::fields::{check_date, check_limit, check_name, check_notes};
use crate::garden::naming::Words;
use crate::garden::planting::is_default;
use crate::garden::problem::{Place, Problem, problem};
use crate::garden::{Side, limits};
use crate::units::Mm;

/// A past crop of which only the year is known.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PastCrop {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The bed's id.
    pub bed: String,
    /// The year it was grown for.
    pub year: i32,
    /// A crop's id, a known plant's id, or a family's id.
    pub what: String,
    /// Its strip along the bed, if only part of it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub strip_mm: Option<(Mm, Mm)>,
    /// Which part of the width.
    #[serde(default, skip_serializing_if = "is_default")]
    pub side: Side,
}

impl Tells for PastCrop {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "what", &self.what, out);
        check_limit(place, "year", &limits::YEAR, self.year, "give the year with four digits", out);
        // The bed may have been longer then, so only the strip's own order is asked for.
        if let Some((from, to)) = self.strip_mm
            && (from < Mm::ZERO || from >= to || to > limits::BED_SIDE.greatest)
        {
            let message = format!("{from} cm to {to} cm is not a strip");
            out.push(problem(place.clone(), "strip_mm", message, "give its start, 0 or more, and then its end"));
        }
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let (crop, year, bed) = (words.crop(&self.what), self.year, words.name(&self.bed));
        match deed {
            Deed::Put => format!("add {crop} {year} to the history of {bed}"),
            Deed::Take => format!("take {crop} {year} out of the history of {bed}"),
            Deed::Change => format!("change {crop} {year} in the history of {bed}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("past crop {} {}", words.crop(&self.what), self.year)
    }
}

/// A hazard seen in a bed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HazardSeen {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The bed's id.
    pub bed: String,
    /// The hazard's id.
    pub hazard: String,
    /// When.
    pub date: NaiveDate,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

impl Tells for HazardSeen {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "hazard", &self.hazard, out);
        check_date(place, "date", self.date, out);
        check_notes(place, "notes", &self.notes, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let (hazard, bed) = (words.spelt_out(&self.hazard), words.name(&self.bed));
        match deed {
            Deed::Put => format!("note {hazard} in {bed}"),
            Deed::Take => format!("take back {hazard} in {bed}"),
            Deed::Change => format!("change what is noted of {hazard} in {bed}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("{} seen on {}", words.name(&self.hazard), self.date)
    }
}

/// What was given to the soil to improve it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum Amendment {
    /// Ripe garden compost.
    Compost,
    /// Rotted manure.
    Manure,
    /// Fresh manure.
    FreshManure,
    /// Lime.
    Lime,
    /// Leaf mould or mulch.
    Mulch,
}

impl Amendment {
    fn words(self) -> &'static str {
        match self {
            Self::Compost => "compost",
            Self::Manure => "manure",
            Self::FreshManure => "fresh manure",
            Self::Lime => "lime",
            Self::Mulch => "mulch",
        }
    }
}

/// One entry of the soil log.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SoilEntry {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The bed's id.
    pub bed: String,
    /// When.
    pub date: NaiveDate,
    /// What; the file says `gift`.
    #[serde(rename = "gift")]
    pub amendment: Amendment,
    /// How deep it was spread.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub depth_mm: Option<Mm>,
    /// How much, by weight.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub weight_g: Option<u32>,
}

impl Tells for SoilEntry {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_date(place, "date", self.date, out);
        if let Some(depth) = self.depth_mm {
            check_limit(place, "depth_mm", &limits::SPREAD_DEPTH, depth, "give how deep it was spread", out);
        }
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let (amendment, bed) = (self.amendment.words(), words.name(&self.bed));
        match deed {
            Deed::Put => format!("give {amendment} to {bed}"),
            Deed::Take => format!("take back {amendment} given to {bed}"),
            Deed::Change => format!("change {amendment} given to {bed}"),
        }
    }

    fn what(&self, _: &Words<'_>) -> String {
        format!("{} given on {}", self.amendment.words(), self.date)
    }
}
