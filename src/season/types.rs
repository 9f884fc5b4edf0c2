//! What is worked out of a plan.

use chrono::NaiveDate;

use crate::crops::LimeEffect;
use crate::fit::{FitReport, Verdict};
use crate::garden::{PlantingId, Severity, Side};
use crate::growth::{Limit, Stages, StagesError};
use crate::layout::LayoutError;
use crate::rotation::{Because, RotationFinding, Rule, SoilCase};
use crate::units::{Mm, Point, Rect, Week};

/// One planting worked out.
#[derive(Debug, Clone)]
pub struct Standing {
    /// Its number.
    pub id: PlantingId,
    /// Place of its crop in the book.
    pub crop_idx: usize,
    /// Its days.
    pub stages: Stages,
    /// The ground it claims.
    pub ground: Vec<Rect>,
    /// Stations.
    pub n_stations: u64,
    /// Plants.
    pub n_plants: u64,
    /// Lines.
    pub n_lines: u64,
}

impl Standing {
    /// Whether it stands in its ground on that day.
    pub fn stands_on(&self, day: NaiveDate) -> bool {
        self.stages.enters <= day && day < self.stages.clear
    }

    /// Whether it stands on some day of `from..until`.
    pub fn stands_within(&self, from: NaiveDate, until: NaiveDate) -> bool {
        self.stages.enters < until && from < self.stages.clear
    }

    /// Whether it claims some of that ground.
    pub fn claims(&self, ground: Rect) -> bool {
        self.ground.iter().any(|rect| rect.shared_with(ground).is_some())
    }
}

/// One bed worked out.
#[derive(Debug, Clone, Default)]
pub struct BedSeason {
    /// Its plantings, by the day they enter.
    pub standing: Vec<Standing>,
    /// Its findings, gravest first.
    pub findings: Vec<Finding>,
    /// Those that ask something of the grower, what says the same together.
    pub groups: Vec<Group>,
}

/// Findings of one bed that say the same of several plantings: the place of each among the bed's findings, and the day from which it is
/// past.
#[derive(Debug, Clone, Default)]
pub struct Group {
    pub(super) members: Vec<(u32, NaiveDate)>,
    /// The grower does not want to be told of it.
    pub(super) is_quiet: bool,
}

/// What a plan is looked at for.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Look {
    /// The day on which it is looked at, if one was given.
    pub today: Option<NaiveDate>,
    /// Whether what is past or kept quiet is listed too.
    pub shows_all: bool,
}

impl Look {
    /// Whether what is past from that day on is past.
    pub fn is_past(self, past_from: NaiveDate) -> bool {
        self.today.is_some_and(|today| past_from <= today)
    }
}

impl Group {
    /// Those that are listed: not what is past, nor what is kept quiet, unless all is to be shown.
    pub(super) fn shown(&self, look: Look) -> impl Iterator<Item = u32> {
        let is_shown = move |past_from: NaiveDate| look.shows_all || !self.is_quiet && !look.is_past(past_from);
        self.members.iter().filter(move |(_, past_from)| is_shown(*past_from)).map(|(place, _)| *place)
    }
}

/// What a finding says.
#[derive(Debug, Clone)]
pub enum Says {
    /// The rotation engine speaks.
    Rotation(Box<RotationFinding>),
    /// Two plantings claim the same ground at the same time and do not fit.
    Overlap {
        /// The other planting.
        other: PlantingId,
        /// First day both stand.
        from: NaiveDate,
        /// First day they no longer both stand.
        until: NaiveDate,
        /// The ground both claim.
        shared: Vec<Rect>,
        /// By how much one of the two would have to be shorter for them only to meet, if that is little.
        shorten_mm: Option<Mm>,
    },
    /// An interplanting is tight or crowds. The nearest change that fits is in [`Preview::fits`] of the planting.
    Crowding {
        /// The other planting.
        other: PlantingId,
        /// The verdict.
        verdict: Verdict,
        /// Greatest share of a disc lost.
        share_lost_max: f64,
        /// First bad week.
        first_bad_week: Option<Week>,
        /// First week of the greatest share.
        worst_week: Option<Week>,
        /// Last week by which the quick crop must be out; `None` if it would be of no use by then.
        out_by_week: Option<Week>,
        /// Stations affected.
        n_affected: usize,
    },
    /// Not set out: the layout gives no stations, or its host is gone.
    NoStations {
        /// Why.
        why: NotSetOut,
    },
    /// Its dates cannot be worked out.
    NoDates {
        /// Why.
        why: StagesError,
    },
    /// Goes in outside the usual months.
    OutOfSeason {
        /// The day it goes in.
        enters: NaiveDate,
    },
    /// The crop is in neither the book nor the garden.
    UnknownCrop {
        /// The id.
        crop: String,
    },
    /// A hazard seen in the bed is not in the book.
    UnknownHazard {
        /// The id.
        hazard: String,
    },
    /// Growth or weather forbids it.
    Growth(Limit),
    /// A tall crop takes sun from what stands in beds nearby.
    Shade(Shade),
    /// The bed stands empty for long within the growing season.
    Gap {
        /// First empty day.
        from: NaiveDate,
        /// First day it is no longer empty.
        until: NaiveDate,
        /// Whole weeks.
        n_weeks: i64,
    },
    /// So much is asked of the bed that some of it is left out.
    LeftOut(LeftOut),
}

/// Why a planting has no stations.
#[derive(Debug, Clone, PartialEq)]
pub enum NotSetOut {
    /// None has room in its strip.
    NoRoom,
    /// The planting between whose stations it is to stand is not in its bed.
    HostElsewhere {
        /// That planting.
        host: PlantingId,
        /// The bed.
        bed: String,
    },
    /// Its host stands between another itself.
    HostBetween {
        /// The host.
        host: PlantingId,
    },
    /// The layout cannot be set out.
    Layout(Box<LayoutError>),
}

/// What is left out of a bed, see [`Says::LeftOut`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOut {
    /// More plantings stand at once than one that goes in is compared with.
    Neighbours {
        /// The day on which most stand.
        on: NaiveDate,
        /// How many.
        n_standing: usize,
        /// With how many each is compared.
        n_compared: usize,
    },
    /// Pairs of plantings that share ground whose stations are not weighed against each other.
    Fits {
        /// How many.
        n_pairs: usize,
    },
    /// More crops stood here than rotation looks back on.
    History {
        /// Crops of past years and plantings.
        n_stands: usize,
        /// On how many it looks back from each.
        n_looked_back: usize,
    },
    /// Tall crops whose shadows are not followed.
    Shadows {
        /// How many.
        n_crops: usize,
    },
    /// Findings that are not listed.
    Findings {
        /// Breaches among them.
        n_breaches: usize,
        /// Cautions.
        n_cautions: usize,
        /// Notes.
        n_notes: usize,
    },
}

/// How a tall crop shades beds nearby.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shade {
    /// The planting that loses most.
    pub other: PlantingId,
    /// The day, mid-month, on which it loses so much.
    pub on: NaiveDate,
    /// Hours of sun lost that day between 9:00 and 15:00 solar time, mean over the bed.
    pub hours_lost: f64,
    /// Beds that lose more than is worth a note.
    pub n_beds: usize,
}

/// One finding of a plan.
#[derive(Debug, Clone)]
pub struct Finding {
    /// How grave.
    pub severity: Severity,
    /// The bed's place in the garden.
    pub bed_idx: usize,
    /// The planting it is about (`None` for a gap).
    pub planting: Option<PlantingId>,
    /// What it says.
    pub says: Says,
    /// Why the grower accepted it, if so.
    pub accepted: Option<String>,
}

impl Finding {
    /// Whether it only says that an order of crops, or lime before a crop, goes well.
    pub fn is_good_order(&self) -> bool {
        let is_welcome = |because| matches!(because, Because::Soil(SoilCase::AfterLime(LimeEffect::Welcome)));
        matches!(&self.says, Says::Rotation(rotation) if rotation.rule == Rule::GoodAfter || is_welcome(rotation.because))
    }

    /// Whether it speaks for the plan rather than against it.
    pub fn is_praise(&self) -> bool {
        self.is_good_order() || matches!(&self.says, Says::Rotation(rotation) if rotation.rule.is_praise())
    }
}

/// A stretch of a bed that frees up. A line along an edge narrower than the stretch does not take the ground beside it.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeStrip {
    /// Start along the bed.
    pub from_mm: Mm,
    /// End along the bed.
    pub to_mm: Mm,
    /// Which part of the width.
    pub side: Side,
    /// First day with nothing standing but lines along an edge, on or after the day asked.
    pub free_from: NaiveDate,
    /// The next day something else than such a line goes in, if planned.
    pub until: Option<NaiveDate>,
}

/// When a bed frees up.
#[derive(Debug, Clone, PartialEq)]
pub struct FreeUp {
    /// First day on which some strip is free.
    pub free_from: NaiveDate,
    /// In one year of ten that ground is free before this day: the range of the planting which clears it last. The same day if
    /// its dates are given.
    pub free_from_early: NaiveDate,
    /// In one year of ten it is free only after this day.
    pub free_from_late: NaiveDate,
    /// First day on which the whole bed is free.
    pub whole_bed_free_from: NaiveDate,
    /// Strip by strip.
    pub strips: Vec<FreeStrip>,
    /// What stands on the day asked.
    pub standing: Vec<PlantingId>,
    /// What comes next, by day.
    pub next: Vec<PlantingId>,
    /// Weeks the whole bed then stands empty until the next planting; `None` if nothing is planned.
    pub empty_weeks: Option<i64>,
    /// Weeks of bare soil in the twelve months from the day asked.
    pub bare_weeks: i64,
}

impl FreeUp {
    /// Of a bed that is not there: free for good.
    pub(super) fn of_nothing(day: NaiveDate) -> Self {
        Self {
            free_from: day,
            free_from_early: day,
            free_from_late: day,
            whole_bed_free_from: day,
            strips: Vec::new(),
            standing: Vec::new(),
            next: Vec::new(),
            empty_weeks: None,
            bare_weeks: 0,
        }
    }
}

/// Something that could follow.
#[derive(Debug, Clone, PartialEq)]
pub struct Candidate {
    /// Place of the crop in the book.
    pub crop_idx: usize,
    /// Goes in.
    pub enters: NaiveDate,
    /// Sow by then to have it ready; `None` if it is not sown.
    pub sow_by: Option<NaiveDate>,
    /// Too late to raise: plants would have to be bought.
    pub is_bought_in: bool,
    /// First pick and clear.
    pub first_pick: NaiveDate,
    /// Its ground is free again.
    pub clear: NaiveDate,
    /// Higher is better.
    pub score: f64,
    /// Why, the best first.
    pub reasons: Vec<Reason>,
    /// The worst rotation finding it would raise.
    pub worst: Option<Severity>,
}

/// What speaks for something that could follow, or against it.
#[derive(Debug, Clone, PartialEq)]
pub enum Reason {
    /// It goes in on the day asked.
    InSeason,
    /// It goes in later, on this day.
    InSeasonFrom(NaiveDate),
    /// Too late to raise: plants would have to be bought.
    BoughtIn,
    /// It is sown in modules by this day.
    SowBy(NaiveDate),
    /// The gravest that growth or weather has against it.
    Growth(Limit),
    /// No ground is free on the day it goes in.
    NothingFree {
        /// That day.
        on: NaiveDate,
        /// When the whole bed is free.
        all_free_on: NaiveDate,
    },
    /// It has the whole bed.
    WholeBedFree,
    /// It has this share of the bed, 0 to 1.
    ShareFree(f64),
    /// Its ground is free again before the next planting.
    OutInTime {
        /// On that day.
        clear: NaiveDate,
    },
    /// It can be picked, but has to be cleared before its time.
    ClearedEarly {
        /// When the next planting goes in.
        next: NaiveDate,
    },
    /// It is not ripe before the next planting.
    NotRipe {
        /// When that goes in.
        next: NaiveDate,
    },
    /// Nothing comes after it; it is first picked on this day.
    FirstPick(NaiveDate),
    /// A green manure has time to cover the soil.
    Covers(SoilCover),
    /// A green manure has too little time before the next planting.
    SoonNeeded {
        /// Whole weeks.
        n_weeks: i64,
    },
    /// Rotation has nothing against it.
    CleanInRotation,
    /// The gravest that rotation has against it, or the order of crops that goes well.
    Rotation(Box<RotationFinding>),
    /// Households want it.
    Wanted {
        /// Grams a week, of all of them together.
        g_per_week: u64,
        /// Weeks of its picking in which nothing else of the crop is picked.
        n_open_weeks: u32,
        /// The week of its first pick.
        from: Week,
    },
    /// It asks much of the soil, and the bed has been fed.
    Fed,
    /// It asks much of the soil, as did what stood before.
    HungryAgain {
        /// Place of that crop in the book.
        after: usize,
    },
    /// It asks little of the soil after what asked much.
    AsksLittle {
        /// Place of that crop in the book.
        after: usize,
    },
    /// What its usual yield is worth for the ground and time it takes.
    Worth {
        /// Minor units of the garden's currency, for a square metre and week.
        minor_per_m2_week: f64,
    },
}

impl Reason {
    /// Whether it says no more than the day it goes in.
    pub fn is_about_entry(&self) -> bool {
        matches!(self, Self::InSeason | Self::InSeasonFrom(_))
    }

    /// Whether it says that nothing is ripe in time: before the next planting, or before frost or the dark of winter.
    pub fn is_not_ripe(&self) -> bool {
        matches!(self, Self::NotRipe { .. } | Self::Growth(Limit::NotRipeInTime { .. }))
    }
}

/// How long a green manure covers the soil.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SoilCover {
    /// Over the winter.
    OverWinter,
    /// Until the first hard frosts kill it.
    UntilHardFrosts,
    /// As long as nothing else is planned.
    Meanwhile,
}

/// What a planting would come to, if it were placed.
#[derive(Debug, Clone)]
pub struct Preview {
    /// Worked out, if it can be.
    pub standing: Option<Standing>,
    /// Its stations.
    pub stations: Vec<Point>,
    /// What the plan would say of it (and of others because of it).
    pub findings: Vec<Finding>,
    /// How it fits with each planting it shares ground with.
    pub fits: Vec<(PlantingId, FitReport)>,
}
