//! One crop's page in the book.

use serde::{Deserialize, Serialize};

use super::groups;
use crate::units::Mm;
use crate::units::list::at_most;

/// Other names, and groups, that one crop may have.
pub const N_NAMES_MOST: usize = 100;

/// Where a group of figures comes from: keys of the book's table of sources, or plain words.
pub type SourceText = String;

/// How long a plant lives if it is let.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Life {
    /// Seed to seed in a year.
    Annual,
    /// Flowers in its second year.
    Biennial,
    /// Lives on.
    Perennial,
}

/// How a crop is raised.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Raised {
    /// Sown where it grows.
    InPlace,
    /// Sown in modules and planted out.
    Module,
    /// Planted as sets or cloves.
    Set,
    /// Planted as tubers.
    Tuber,
    /// Planted as crowns or runners.
    Crown,
    /// Planted as slips.
    Slip,
    /// Planted as rooted cuttings or canes.
    Cutting,
}

/// How the harvest comes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum HarvestHabit {
    /// All at once, soon over.
    Once,
    /// Stands in the ground until it is wanted.
    Standing,
    /// Picked over again and again.
    PickedOver,
    /// Cut and come again.
    CutAndComeAgain,
    /// Lifted once and stored.
    Storage,
}

/// How much a crop asks of the soil.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub enum Feeding {
    /// Asks little.
    Light,
    /// Asks a middling share.
    Medium,
    /// Asks much.
    Heavy,
}

/// Stations and spacing. Two ways, each with its own station size: do not mix them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Spacing {
    /// Distance between stations on a square grid, for `clump` plants a station.
    pub equidistant_mm: Option<Mm>,
    /// Plants at each station of the square grid.
    pub clump: u32,
    /// Distance between rows.
    pub row_mm: Option<Mm>,
    /// Distance between stations in the row, for `row_clump` plants a station.
    pub in_row_mm: Option<Mm>,
    /// Plants at each station of a row.
    pub row_clump: u32,
    /// Seed sown broadcast, for crops sown that way.
    pub sow_g_per_m2: Option<f64>,
    /// Source.
    pub source: SourceText,
}

/// Seed and raising.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Seed {
    /// Ways of raising, the usual one first.
    pub raised: Vec<Raised>,
    /// Sowing depth, or planting depth of sets, tubers and crowns.
    pub depth_mm: Mm,
    /// Seeds in a gram.
    pub per_g: Option<f64>,
    /// Seeds that come up, per cent (of sets and the like: that establish).
    pub germination_pct: f64,
    /// Weeks from sowing in modules to planting out.
    pub weeks_in_module: Option<u32>,
    /// Source.
    pub source: SourceText,
}

/// How a sowing comes up.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ComesUp {
    /// The crop of the printed table that it comes up like: itself or its nearest relative.
    pub row: EmergenceRow,
    /// Source.
    pub source: SourceText,
}

/// The rows of the table of emergence (`assets/emergence.ron`), by the crop that is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum EmergenceRow {
    /// Asparagus.
    Asparagus,
    /// Lima bean.
    BeanLima,
    /// Snap bean.
    BeanSnap,
    /// Beet.
    Beet,
    /// Cabbage.
    Cabbage,
    /// Carrot.
    Carrot,
    /// Cauliflower.
    Cauliflower,
    /// Celery.
    Celery,
    /// Sweet corn.
    CornSweet,
    /// Cucumber.
    Cucumber,
    /// Eggplant.
    Eggplant,
    /// Lettuce.
    Lettuce,
    /// Muskmelon.
    Muskmelon,
    /// Okra.
    Okra,
    /// Onion.
    Onion,
    /// Parsley.
    Parsley,
    /// Parsnip.
    Parsnip,
    /// Pea.
    Pea,
    /// Pepper.
    Pepper,
    /// Radish.
    Radish,
    /// Spinach.
    Spinach,
    /// Tomato.
    Tomato,
    /// Turnip.
    Turnip,
    /// Watermelon.
    Watermelon,
}

/// The rows of the table of roots (`assets/roots.ron`), by the crop that is printed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum RootsRow {
    /// Broccoli.
    Broccoli,
    /// Brussels sprouts.
    BrusselsSprouts,
    /// Cabbage.
    Cabbage,
    /// Carrot.
    Carrot,
    /// Cauliflower.
    Cauliflower,
    /// Celery.
    Celery,
    /// Onion (dry).
    OnionDry,
    /// Onion (green).
    OnionGreen,
    /// Onion (seed).
    OnionSeed,
    /// Spinach.
    Spinach,
    /// Sweet pepper (bell).
    SweetPepperBell,
    /// Tomato.
    Tomato,
    /// Cucumber (fresh market).
    CucumberFreshMarket,
    /// Cucumber (machine harvest).
    CucumberMachineHarvest,
    /// Pumpkin, winter squash.
    PumpkinWinterSquash,
    /// Squash, zucchini.
    SquashZucchini,
    /// Watermelon.
    Watermelon,
    /// Parsnip.
    Parsnip,
    /// Potato.
    Potato,
    /// Sweet potato.
    SweetPotato,
    /// Turnip (and rutabaga).
    TurnipAndRutabaga,
    /// Bean (green).
    BeanGreen,
    /// Lima bean, large vines.
    LimaBeanLargeVines,
    /// Chick pea.
    ChickPea,
    /// Faba (broad) bean, dry seed.
    FabaBroadBeanDrySeed,
    /// Green gram, cowpea.
    GreenGramCowpea,
    /// Lentil.
    Lentil,
    /// Pea, dry seed.
    PeaDrySeed,
    /// Soybean.
    Soybean,
    /// Asparagus.
    Asparagus,
    /// Mint.
    Mint,
    /// Strawberry.
    Strawberry,
    /// Maize, sweet.
    MaizeSweet,
    /// Berries (bushes).
    BerriesBushes,
}

/// A window of whole months, 1 to 12; it may wrap (9 to 4 is September to April). UK type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Months {
    /// First month of the window.
    pub from: u32,
    /// Last month of the window.
    pub to: u32,
}

impl Months {
    /// Whether `month` (1 to 12) lies in the window.
    pub fn holds(self, month: u32) -> bool {
        if self.from <= self.to {
            (self.from..=self.to).contains(&month)
        } else {
            month >= self.from || month <= self.to
        }
    }
}

/// When books sow, plant and pick.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calendar {
    /// Sown under cover.
    pub sow_indoor: Option<Months>,
    /// Sown outdoors.
    pub sow_outdoor: Option<Months>,
    /// Planted out.
    pub plant_out: Option<Months>,
    /// Picked.
    pub harvest: Months,
    /// Days from sowing in place to first pick.
    pub days_from_sow: Option<u32>,
    /// Days from planting out to first pick.
    pub days_from_planting: Option<u32>,
    /// The months of going in for which the days hold, where they are not all of its months: garlic set in spring is no measure of
    /// that of autumn.
    #[serde(default, skip_serializing_if = "is_default")]
    pub days_hold: Option<Months>,
    /// Weeks from first to last pick.
    pub harvest_weeks: f64,
    /// How the harvest comes.
    pub habit: HarvestHabit,
    /// Day length and bolting, in words.
    pub bolting_note: String,
    /// Source.
    pub source: SourceText,
}

/// Lengths of the four crop stages (FAO-56 Table 11), in days.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct StageLengths {
    /// Planting to about a tenth of the ground covered.
    pub initial_days: f64,
    /// To full cover.
    pub development_days: f64,
    /// Full cover to the first yellowing.
    pub mid_days: f64,
    /// To harvest or leaf drop.
    pub late_days: f64,
    /// Source.
    pub source: SourceText,
}

/// Temperatures, in °C.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Temperature {
    /// Growing-degree base.
    pub base_c: f64,
    /// Middle of the optimum range.
    pub optimum_c: f64,
    /// Optimum range.
    pub optimum_low_c: f64,
    /// Optimum range.
    pub optimum_high_c: f64,
    /// Least for growth.
    pub growth_min_c: Option<f64>,
    /// Greatest for growth.
    pub growth_max_c: Option<f64>,
    /// About where an established plant in the open is killed; moves by 3 °C or more.
    pub hardiness_c: f64,
    /// Source.
    pub source: SourceText,
}

/// Size of a grown plant.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Size {
    /// Height.
    pub height_mm: Mm,
    /// Root depth.
    pub root_mm: Mm,
    /// Source.
    pub source: SourceText,
}

/// What a square metre gives per cropping, in kg. Judgement, not measurement.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Yield {
    /// Poor.
    pub low_kg_per_m2: f64,
    /// Usual.
    pub typical_kg_per_m2: f64,
    /// Good.
    pub high_kg_per_m2: f64,
    /// Source.
    pub source: SourceText,
}

/// How long the crop keeps.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Keeping {
    /// Life in the stated conditions.
    pub weeks: Option<f64>,
    /// Temperature and humidity, in words.
    pub conditions: String,
    /// Source.
    pub source: SourceText,
}

/// How long a bed of a permanent crop is kept.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct BedYears {
    /// Years it is kept at most; it is cleared then unless dates say otherwise.
    pub most: u8,
    /// Source.
    pub source: SourceText,
}

/// What a first pick waits for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum RipensBy {
    /// A stage of its life: fruits, seeds and pods, which must flower, set and ripen.
    Stage,
    /// Its size: leaves, heads, roots and bulbs.
    Size,
}

/// How fast a crop comes on, by the temperature through the day: not at all at the base, fastest from the optimum to the ceiling, not at
/// all at the maximum, in straight lines between them.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Development {
    /// Temperature at which its stages stand still, °C.
    pub base_c: f64,
    /// Temperature from which it is fastest, °C.
    pub optimum_c: f64,
    /// Temperature up to which it is fastest, °C.
    pub ceiling_c: f64,
    /// Temperature at which it stands still for heat, °C.
    pub maximum_c: f64,
    /// What its first pick waits for.
    pub ripens_by: RipensBy,
    /// Source.
    pub source: SourceText,
}

/// How growth answered to warmth and light in files of earlier versions: still read and written with an own crop, and no longer asked. See
/// [`Development`].
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Response {
    /// As that of most crops: the product of both.
    #[default]
    Product,
    /// Held back by whichever of the two is short.
    Shortest {
        /// Rate at which the response to warmth saturates from base to optimum.
        warmth_rate: f64,
        /// Rate at which the response to light saturates from darkness to a midsummer day.
        light_rate: f64,
        /// Weight of want of light against want of warmth.
        light_weight: f64,
        /// Source.
        source: SourceText,
    },
}

/// What the season does to a crop's dates, beside growth. Most crops have nothing here.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields, default)]
pub struct Timing {
    /// The book's months and days are those under a tunnel or glass, where its climate is too cool for the crop.
    #[serde(skip_serializing_if = "is_default")]
    pub under_cover: bool,
    /// What sets the day of the first pick, where growth does not.
    #[serde(skip_serializing_if = "is_default")]
    pub anchor: Option<Anchor>,
    /// What makes it run to flower before it is picked.
    #[serde(skip_serializing_if = "is_default")]
    pub bolting: Vec<Bolting>,
    /// Source.
    #[serde(skip_serializing_if = "is_default")]
    pub source: SourceText,
}

/// An event of the year from which a crop ripens, whenever it was planted.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Anchor {
    /// The day in spring on which the day grows as long as this: bulbs swell from then on.
    LongDays {
        /// Sunrise to sunset.
        hours: f64,
    },
    /// The middle of winter, whose cold the crop needs.
    AfterWinter,
}

/// What makes a crop run to flower too early.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub enum Bolting {
    /// Too many long, warm days before the first pick.
    LongDays {
        /// Days at least so long count.
        hours: f64,
        /// If their maximum is at least this, °C.
        warm_c: f64,
        /// So many of them are too many.
        n_days: u32,
    },
    /// Too many cool days while it is young.
    Cold {
        /// Days whose mean is below this count, °C.
        below_c: f64,
        /// So many of them are too many.
        n_days: u32,
    },
    /// Grown too far before winter.
    TooForward {
        /// Growth days from planting to the day on which the day falls below ten hours.
        growth_days: f64,
    },
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

/// One crop.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Crop {
    /// Stable id, such as `salad-onion`.
    pub id: String,
    /// Name as a grower says it.
    pub name: String,
    /// Short name for narrow places, at most 14 cells.
    pub short_name: String,
    /// Other names it is asked for by (plural forms are understood without an entry).
    #[serde(deserialize_with = "at_most::<N_NAMES_MOST, _, _>")]
    pub other_names: Vec<String>,
    /// Latin name.
    pub latin: String,
    /// Family id, see [`super::Family`].
    pub family: String,
    /// Groups that orders of crops speak of: `root crop`, `heavy feeder`, `green manure` and so on.
    #[serde(deserialize_with = "at_most::<N_NAMES_MOST, _, _>")]
    pub groups: Vec<String>,
    /// Id under which hazards and follow rules know it, if it differs (`onion` for every bulb onion).
    pub known_as: Option<String>,
    /// How long it lives.
    pub life: Life,
    /// Keeps its bed for years.
    pub is_permanent: bool,
    /// How long its bed is kept, where a published rule limits that.
    #[serde(default, skip_serializing_if = "is_default")]
    pub bed_years: Option<BedYears>,
    /// Stations and spacing.
    pub spacing: Spacing,
    /// Seed and raising.
    pub seed: Seed,
    /// How a sowing comes up, where the table of emergence has the crop or a relative.
    #[serde(default, skip_serializing_if = "is_default")]
    pub emergence: Option<ComesUp>,
    /// How deep it roots, where the table of roots has the crop.
    #[serde(default, skip_serializing_if = "is_default")]
    pub roots: Option<RootsRow>,
    /// Months and days.
    pub calendar: Calendar,
    /// Stage lengths, where FAO-56 has them.
    pub stages: Option<StageLengths>,
    /// Temperatures.
    pub temperature: Temperature,
    /// How fast it comes on, by temperature; where it is missing, by the temperatures it grows best at.
    #[serde(default, skip_serializing_if = "is_default")]
    pub development: Option<Development>,
    /// How its growth answered to warmth and light in files of earlier versions.
    #[serde(default, skip_serializing_if = "is_default")]
    pub response: Response,
    /// Height and root depth.
    pub size: Size,
    /// Yield.
    pub yields: Yield,
    /// Keeping.
    pub keeping: Keeping,
    /// What it asks of the soil.
    pub feeding: Feeding,
    /// Source of the feeding need.
    pub feeding_source: SourceText,
    /// A caution to show wherever the crop is, if it can hurt (rhubarb leaves and the like).
    pub caution: Option<String>,
    /// Source of the caution, which is told with it.
    #[serde(default, skip_serializing_if = "is_default")]
    pub caution_source: SourceText,
    /// What the season does to its dates.
    #[serde(default, skip_serializing_if = "is_default")]
    pub timing: Timing,
}

impl Crop {
    /// Whether it is grown to be dug in.
    pub fn is_green_manure(&self) -> bool {
        self.groups.iter().any(|group| group == groups::COVER_CROP || group == groups::GREEN_MANURE)
    }
}
