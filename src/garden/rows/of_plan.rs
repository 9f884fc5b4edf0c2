//! Lists of what the grower has decided: return intervals of families, findings accepted.

use serde::{Deserialize, Deserializer, Serialize, Serializer};

use super::{Deed, EntryId, Tells};
use crate::garden::PlantingId;
use crate::garden::fields::{check_limit, check_line, check_name, check_notes};
use crate::garden::limits::{self, N_NAMED};
use crate::garden::naming::Words;
use crate::garden::planting::is_default;
use crate::garden::problem::{Place, Problem};
use crate::units::list::at_most_named;

/// The return interval of a family where the garden asks for another than the book's usual one. The file holds them as a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct FamilyReturn {
    /// The family's id.
    pub family: String,
    /// Years from one crop of the family to the next; 0 leaves it out of rotation.
    pub years: u32,
}

impl Tells for FamilyReturn {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "", &self.family, out);
        let hint = "give whole years from one crop of the family to the next, 0 to leave it out of rotation";
        check_limit(place, "", &limits::RETURN_YEARS, self.years, hint, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let family = words.spelt_out(&self.family);
        match (deed, self.years) {
            (Deed::Take, _) => format!("bring {family} back after the book's usual years"),
            (_, 0) => format!("leave {family} out of rotation"),
            (_, 1) => format!("bring {family} back after 1 year"),
            (_, years) => format!("bring {family} back after {years} years"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("return interval of {}", words.name(&self.family))
    }
}

/// Reads the table of return intervals.
pub(in crate::garden) fn family_table_of<'de, D: Deserializer<'de>>(source: D) -> Result<Vec<FamilyReturn>, D::Error> {
    let table = at_most_named::<N_NAMED, _, u32>(source)?;
    Ok(table.into_iter().map(|(family, years)| FamilyReturn { family, years }).collect())
}

/// Writes the table of return intervals.
pub(in crate::garden) fn family_table<S: Serializer>(rows: &[FamilyReturn], into: S) -> Result<S::Ok, S::Error> {
    into.collect_map(rows.iter().map(|row| (&row.family, row.years)))
}

/// What an accepted finding stands against. Past crops, hazards and weeks are named so that it stays true whatever rows are put in or
/// taken out before them.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Against {
    /// Nothing: the finding is of the planting alone.
    #[default]
    Nothing,
    /// Another planting.
    Planting(PlantingId),
    /// A past crop of the planting's bed.
    Past {
        /// The year it was grown for.
        year: i32,
        /// What it was, as the list of past crops names it.
        what: String,
    },
    /// A hazard, by its id.
    Hazard(String),
    /// The empty weeks that begin in that year, after the planting.
    WeeksAfter(i32),
    /// The empty weeks that begin in that year, before the planting.
    WeeksBefore(i32),
}

/// A finding the grower has accepted, with the reason. It stays listed, as accepted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Accepted {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The rule's name.
    pub rule: String,
    /// The planting it is about; of an empty bed the planting beside it.
    pub planting: PlantingId,
    /// What it stands against.
    #[serde(default, skip_serializing_if = "is_default")]
    pub against: Against,
    /// Why it is accepted.
    pub reason: String,
}

/// Findings of one kind that the grower does not want to be told of, with the reason: those of a bed, of a crop, of a crop in a bed, or of
/// the whole garden. They stay counted, and can be shown again.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Quiet {
    /// Its number.
    #[serde(default)]
    pub id: EntryId,
    /// The rule's name.
    pub rule: String,
    /// Only in this bed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub bed: Option<String>,
    /// Only of this crop, by its id.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub crop: Option<String>,
    /// Why it is kept quiet.
    pub reason: String,
}

impl Tells for Quiet {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "rule", &self.rule, out);
        if let Some(crop) = &self.crop {
            check_name(place, "crop", crop, out);
        }
        check_notes(place, "reason", &self.reason, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let what = self.what(words);
        match deed {
            Deed::Put => format!("keep {what} quiet"),
            Deed::Take => format!("show {what} again"),
            Deed::Change => format!("change why {what} is kept quiet"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        let mut what = format!("every {} finding", words.name(&self.rule));
        if let Some(crop) = &self.crop {
            what.push_str(&format!(" of {}", words.crop(crop)));
        }
        if let Some(bed) = &self.bed {
            what.push_str(&format!(" in {}", words.name(bed)));
        }
        what
    }
}

impl Accepted {
    /// The plantings it speaks of.
    pub(in crate::garden) fn plantings(&self) -> impl Iterator<Item = PlantingId> + use<> {
        let against = if let Against::Planting(id) = self.against { Some(id) } else { None };
        [Some(self.planting), against].into_iter().flatten()
    }
}

impl Tells for Accepted {
    fn check(&self, place: &Place, out: &mut Vec<Problem>) {
        check_name(place, "rule", &self.rule, out);
        if let Against::Past { what: text, .. } | Against::Hazard(text) = &self.against {
            check_line(place, "against", text, out);
        }
        check_notes(place, "reason", &self.reason, out);
    }

    fn title(&self, deed: Deed, words: &Words<'_>) -> String {
        let planting = words.planting(self.planting);
        let what = match self.against {
            Against::WeeksAfter(_) => format!("the empty weeks after {planting}"),
            Against::WeeksBefore(_) => format!("the empty weeks before {planting}"),
            _ => format!("a finding on {planting}"),
        };
        match deed {
            Deed::Put => format!("accept {what}"),
            Deed::Take => format!("no longer accept {what}"),
            Deed::Change => format!("change why you accept {what}"),
        }
    }

    fn what(&self, words: &Words<'_>) -> String {
        format!("accepted finding {} on {}", words.name(&self.rule), self.planting)
    }
}
