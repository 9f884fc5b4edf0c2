//! The garden file's contents: site and beds. Plantings are in `planting`, the rows of its lists in `rows`.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::limits::{N_BEDS, N_HAPPENED, N_HOUSEHOLDS, N_MONTHS, N_NAMED, N_OWN_CROPS, N_PLANTINGS};
use super::planting::is_default;
use super::rows::{family_table, family_table_of};
use super::{
    Accepted, BoxKind, Expense, FamilyReturn, Happened, HazardSeen, Household, PastCrop, Planting, PlantingId, Price,
    Quiet, SeedLot, SoilEntry,
};
use crate::crops::Crop;
use crate::units::Mm;
use crate::units::list::{Shared, at_most, at_most_if_any, shared_at_most};

/// The format this program reads and writes.
pub const FORMAT: u32 = 2;

/// A day of the year without a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MonthDay {
    /// 1 to 12.
    pub month: u32,
    /// 1 to 31.
    pub day: u32,
}

/// The place.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Site {
    /// Degrees, south negative.
    pub latitude_deg: f64,
    /// Degrees, west negative; with it the nearest place of known climate is found by distance.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longitude_deg: Option<f64>,
    /// Metres above the sea.
    pub elevation_m: i32,
    /// Median last frost of spring.
    pub last_frost: MonthDay,
    /// Median first frost of autumn.
    pub first_frost: MonthDay,
    /// ISO 4217 code.
    pub currency: String,
    /// Where its temperatures come from.
    #[serde(default, skip_serializing_if = "is_default")]
    pub climate: ClimateChoice,
}

/// Where a site's temperatures come from.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum ClimateChoice {
    /// The months of the nearest place that the program knows, moved to the site's latitude and height.
    #[default]
    Nearest,
    /// A kind of climate of the program's own list by its name, such as `maritime-upland`.
    Book(String),
    /// The site's own months, January first: twelve values each.
    Normals {
        /// Means of the daily minima, °C.
        #[serde(deserialize_with = "at_most::<N_MONTHS, _, _>")]
        tmin_c: Vec<f64>,
        /// Means of the daily maxima, °C.
        #[serde(deserialize_with = "at_most::<N_MONTHS, _, _>")]
        tmax_c: Vec<f64>,
        /// Rain, mm.
        #[serde(
            default,
            skip_serializing_if = "Option::is_none",
            deserialize_with = "at_most_if_any::<N_MONTHS, _, _>"
        )]
        rain_mm: Option<Vec<f64>>,
        /// Standard deviation of a month's mean from year to year, °C.
        #[serde(default, skip_serializing_if = "Option::is_none")]
        spread_c: Option<f64>,
    },
    /// Daily records in a file beside the garden file.
    Weather {
        /// The file's name, such as `weather.csv`.
        file: String,
    },
}

/// What a bed is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum BedKind {
    /// A bed of annual crops.
    #[default]
    Bed,
    /// A pot, trough or bag.
    Container,
    /// A border along a wall or fence.
    Border,
    /// A bed of crops that stay for years.
    Permanent,
}

/// What covers it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum Cover {
    /// Open sky.
    #[default]
    Open,
    /// Fleece.
    Fleece,
    /// Insect mesh.
    Mesh,
    /// Cloche.
    Cloche,
    /// Unheated tunnel.
    UnheatedTunnel,
    /// Glass.
    Glass,
}

/// Soil texture classes of FAO-56 Table 19.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub enum SoilTexture {
    /// Sand.
    Sand,
    /// Loamy sand.
    LoamySand,
    /// Sandy loam.
    SandyLoam,
    /// Loam.
    #[default]
    Loam,
    /// Silt loam.
    SiltLoam,
    /// Silt.
    Silt,
    /// Clay.
    Clay,
}

/// One bed.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Bed {
    /// Short id, such as `A1`.
    pub id: String,
    /// Name.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Across.
    pub width_mm: Mm,
    /// Along.
    pub length_mm: Mm,
    /// Where its corner lies on the site, east of the site's corner.
    #[serde(default, skip_serializing_if = "is_default")]
    pub east_mm: Mm,
    /// Where its corner lies on the site, south of the site's corner.
    #[serde(default, skip_serializing_if = "is_default")]
    pub south_mm: Mm,
    /// Compass bearing of its length, 0 is north.
    #[serde(default, skip_serializing_if = "is_default")]
    pub bearing_deg: u32,
    /// What it is.
    #[serde(default, skip_serializing_if = "is_default")]
    pub kind: BedKind,
    /// What covers it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub cover: Cover,
    /// Soil texture.
    #[serde(default, skip_serializing_if = "is_default")]
    pub soil: SoilTexture,
    /// Filled anew with fresh compost each year, so that it stands outside the rotation of ground.
    #[serde(default, skip_serializing_if = "is_default")]
    pub renewed_yearly: bool,
    /// Notes.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub notes: String,
}

/// Everything one garden holds. Copies share all lists but that of the plantings until one of them changes a list.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Garden {
    /// Format of the file, [`FORMAT`].
    pub format: u32,
    /// Name.
    pub name: String,
    /// The place.
    pub site: Site,
    /// Return intervals of families where the garden asks for others than the book's usual ones.
    #[serde(
        default,
        skip_serializing_if = "Vec::is_empty",
        serialize_with = "family_table",
        deserialize_with = "family_table_of"
    )]
    pub return_years: Vec<FamilyReturn>,
    /// Beds, in the order in which they are walked.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_BEDS, _, _>")]
    pub beds: Shared<Bed>,
    /// Plantings, by number.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "at_most::<N_PLANTINGS, _, _>")]
    pub plantings: Vec<Planting>,
    /// What happened to plantings.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_HAPPENED, _, _>")]
    pub happened: Shared<Happened>,
    /// Past crops of which only the year is known.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub past: Shared<PastCrop>,
    /// Hazards seen.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub hazards_seen: Shared<HazardSeen>,
    /// Soil log.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub soil_log: Shared<SoilEntry>,
    /// Kinds of finding kept quiet.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_NAMED, _, _>")]
    pub kept_quiet: Shared<Quiet>,
    /// Findings accepted.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub accepted: Shared<Accepted>,
    /// Households.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_HOUSEHOLDS, _, _>")]
    pub households: Shared<Household>,
    /// Kinds of box.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub box_kinds: Shared<BoxKind>,
    /// Prices.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub prices: Shared<Price>,
    /// Expenses.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub expenses: Shared<Expense>,
    /// Seed tin.
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_PLANTINGS, _, _>")]
    pub seed_tin: Shared<SeedLot>,
    /// Own crops, and book crops changed (same id).
    #[serde(default, skip_serializing_if = "Vec::is_empty", deserialize_with = "shared_at_most::<N_OWN_CROPS, _, _>")]
    pub own_crops: Shared<Crop>,
    /// Comment lines at the head of the file, kept by a save; comments further down are not.
    #[serde(skip)]
    pub header_comment: String,
}

impl Garden {
    /// The bed of that id.
    pub fn bed(&self, id: &str) -> Option<&Bed> {
        self.beds.iter().find(|bed| bed.id == id)
    }

    /// The planting of that number. Plantings are kept in order of their numbers.
    pub fn planting(&self, id: PlantingId) -> Option<&Planting> {
        self.planting_idx(id).and_then(|idx| self.plantings.get(idx))
    }

    /// The place of the planting of that number.
    pub fn planting_idx(&self, id: PlantingId) -> Option<usize> {
        self.plantings.binary_search_by_key(&id, |planting| planting.id).ok()
    }

    /// The plantings of these numbers, which ascend; those that are not there are passed over.
    pub fn plantings_of<'a>(&'a self, ids: &'a [PlantingId]) -> impl Iterator<Item = &'a Planting> {
        // Each is looked for a little after the one before it: a garden may hold very many, of which a bed has few.
        let mut rest = &self.plantings[..];
        ids.iter().filter_map(move |&id| {
            let mut reach = 1;
            while rest.get(reach).is_some_and(|planting| planting.id < id) {
                reach *= 2;
            }
            let near = rest.get(..=reach).unwrap_or(rest);
            let place = near.binary_search_by_key(&id, |planting| planting.id);
            rest = rest.get(place.unwrap_or_else(|place| place)..).unwrap_or_default();
            place.ok().and(rest.first())
        })
    }

    /// The return interval that the garden asks of a family, years; `None` if it asks for the book's usual one.
    pub fn return_years_of(&self, family: &str) -> Option<u32> {
        let at = self.return_years.binary_search_by(|row| row.family.as_str().cmp(family)).ok()?;
        self.return_years.get(at).map(|row| row.years)
    }

    /// The return intervals that the garden asks for, years by family.
    pub fn return_years_by_family(&self) -> BTreeMap<String, u32> {
        self.return_years.iter().map(|row| (row.family.clone(), row.years)).collect()
    }

    /// A number that no planting has, nor any planting taken out that a row of a list still names.
    pub fn next_planting_id(&self) -> PlantingId {
        let planted = self.plantings.last().map_or(0, |planting| planting.id.0);
        let told_of = self.happened.iter().map(|row| row.planting);
        let spoken_of = self.accepted.iter().flat_map(Accepted::plantings).chain(told_of).map(|id| id.0);
        PlantingId(spoken_of.fold(planted, u32::max).saturating_add(1))
    }
}
