//! What a planting cannot do at its site. Facts for findings; how grave they are is not said here.

use chrono::NaiveDate;

use super::day::{CommonDay, plus_days};
use super::emergence::{Emergence, Row};
use super::growing::Growing;
use super::response::{Response, TENDER_C};
use super::sky::{Measure, Odds};
use super::stages::Stages;
use super::under_sky::UnderSky;
use crate::crops::{Bolting, Raised};

/// Days that seed may wait for warmer soil before the sowing counts as too cold (starting value).
const WAITS_DAYS: i64 = 10;
/// Soil in which seed makes this share of the slowest published rate of emergence is warm enough to wait in (starting value:
/// half).
const LEAST_RATE_SHARE: f64 = 0.5;
/// Days after which seed that still lies in cold ground has mostly rotted or been eaten (common practice, no published source:
/// six weeks).
const LIES_DAYS: i64 = 42;
/// Days by which a first pick may miss the months of harvest: two weeks of grace, as in the calendar check.
const GRACE_DAYS: i64 = 14;
/// Share of a crop's days by which a first pick that is given may come before the one worked out from growth (starting value:
/// published durations of one crop differ by as much).
const TOO_EARLY_SHARE: f64 = 0.25;
/// Days before the end of picking within which a killing night costs little (starting value).
const LATE_KILL_DAYS: i64 = 21;
/// Days for which a plant counts as young (starting value: a month).
const YOUNG_DAYS: i64 = 30;

/// What makes a crop bolt.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum BoltCause {
    /// Long, warm days before the first pick.
    LongDays,
    /// Cool days while young.
    Cold,
    /// Grown too far before winter.
    TooForward,
}

/// Something that growth or weather forbids.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// Sown in soil in which it does not come up before it warms.
    TooColdToEmerge {
        /// Sown.
        sown: NaiveDate,
        /// Mean temperature of the soil at sowing depth on that day, °C.
        soil_c: f64,
        /// Least temperature at which it comes up, °C.
        least_c: f64,
        /// When it comes up; `None` if never.
        emerges: Option<NaiveDate>,
    },
    /// Sown in soil too hot for its seed.
    TooHotToEmerge {
        /// Sown.
        sown: NaiveDate,
        /// Mean temperature of the soil at sowing depth on that day, °C.
        soil_c: f64,
    },
    /// A tender crop stands out before the median last frost.
    BeforeLastFrost {
        /// Set out, or come up.
        out: NaiveDate,
        /// Median last frost under its cover.
        last_frost: NaiveDate,
    },
    /// Shoots of tubers stand above ground before the median last frost. Common practice, no published source.
    ShootsBeforeLastFrost {
        /// When they show.
        shows: NaiveDate,
        /// Median last frost under its cover.
        last_frost: NaiveDate,
    },
    /// Not ripe before frost, for a tender crop; for others, not ripe before day length falls below ten hours nor in the harvest
    /// months after that.
    NotRipeInTime {
        /// When it would be ripe by its growth, if winter did not kill it; `None` if never.
        ripe: Option<NaiveDate>,
        /// The first frost, or the day on which day length falls below ten hours.
        by: NaiveDate,
        /// Whether frost ends it.
        is_frost: bool,
    },
    /// Runs to flower before it is picked.
    Bolts {
        /// Why.
        cause: BoltCause,
        /// Days, or growth days, of what makes it bolt, as counted.
        n_days: f64,
        /// From this many on it bolts.
        n_days_most: f64,
    },
    /// A night kills it before its picking is over.
    Killed {
        /// How often a night that cold comes.
        odds: Odds,
        /// From this day on.
        from: NaiveDate,
        /// The coldest night of such a winter under its cover, °C.
        coldest_c: f64,
        /// What it stands, °C.
        hardiness_c: f64,
        /// Whether that is before anything is picked; if not, it only ends the picking early.
        is_before_pick: bool,
    },
    /// The first pick that is given comes long before the one worked out from growth.
    PickedTooSoon {
        /// Given.
        first_pick: NaiveDate,
        /// When it is ripe by its growth.
        ripe: NaiveDate,
    },
}

impl Growing<'_> {
    /// Everything that growth and weather forbid a planting with these dates. Nothing by the book's calendar alone.
    pub fn limits(&self, stages: &Stages) -> Vec<Limit> {
        let mut limits = Vec::new();
        let Some(under) = self.under else { return limits };
        let comes_up = if self.raised == Raised::InPlace { under.emerges_on(stages.enters) } else { None };
        if self.raised == Raised::InPlace {
            limits.extend(under.soil_limit(stages.enters, comes_up));
        }
        if !self.crop.is_permanent {
            limits.extend(under.before_last_frost(comes_up.unwrap_or(stages.enters)));
            if self.raised == Raised::Tuber {
                limits.extend(stages.cover.and_then(|cover| under.shoots_before_last_frost(cover.shows)));
            }
            limits.extend(self.ripening(&under, stages));
        }
        limits.extend(self.crop.timing.bolting.iter().filter_map(|bolting| under.bolts(*bolting, stages, comes_up)));
        limits.extend(under.killed(stages, comes_up));
        limits
    }

    fn ripening(&self, under: &UnderSky<'_>, stages: &Stages) -> Option<Limit> {
        let ripe = under.ripe_on(stages.enters, 0);
        let is_lost = stages.first_pick >= stages.clear;
        if let Some(ripe) = ripe.filter(|_| !is_lost) {
            let days = (ripe - stages.enters).num_days() as f64;
            let slack = GRACE_DAYS.max((days * TOO_EARLY_SHARE).round() as i64);
            if plus_days(stages.first_pick, slack) < ripe {
                return Some(Limit::PickedTooSoon { first_pick: stages.first_pick, ripe });
            }
        }
        if let Some(by) = under.frost_ends(stages.enters) {
            return ripe.is_none_or(|ripe| ripe > by).then_some(Limit::NotRipeInTime { ripe, by, is_frost: true });
        }
        if self.crop.timing.anchor.is_some() {
            return None;
        }
        let by = under.sky.light_goes(CommonDay::of(stages.enters))?.date();
        let (months, harvest) = (self.months(), self.crop.calendar.harvest);
        let is_in_months =
            |day: NaiveDate| [-GRACE_DAYS, 0, GRACE_DAYS].iter().any(|n| months.holds(harvest, plus_days(day, *n)));
        let is_late = ripe.is_none_or(|ripe| ripe > plus_days(by, GRACE_DAYS) && !is_in_months(ripe));
        is_late.then_some(Limit::NotRipeInTime { ripe, by, is_frost: false })
    }
}

impl UnderSky<'_> {
    fn soil_limit(&self, sown: NaiveDate, emerges: Option<NaiveDate>) -> Option<Limit> {
        let (row, measure) = self.emergence_measure()?;
        let table = self.sky.table(measure, self.cover);
        let depth_mm = self.crop.seed.depth_mm.0.max(0) as u32;
        let soil_c = *self.sky.seed_bed_c(depth_mm, self.cover).get(CommonDay::of(sown).idx())?;
        match row.at(soil_c) {
            Emergence::TooHot => Some(Limit::TooHotToEmerge { sown, soil_c }),
            Emergence::Unknown => None,
            said => {
                let enough = row.least_rate() * LEAST_RATE_SHARE;
                let is_soon = (0..=WAITS_DAYS).any(|n| table.of_day(CommonDay::of(sown).plus(n)) >= enough);
                // A crop that waits for winter anyway is sown to lie.
                let may_lie = self.crop.timing.anchor.is_some();
                let lies_long = emerges.is_none_or(|emerges| !may_lie && (emerges - sown).num_days() > LIES_DAYS);
                let waits = lies_long || (said == Emergence::TooCold && !is_soon);
                waits.then_some(Limit::TooColdToEmerge { sown, soil_c, least_c: Row::least_c(row), emerges })
            }
        }
    }

    fn before_last_frost(&self, out: NaiveDate) -> Option<Limit> {
        let is_tender = self.crop.temperature.hardiness_c >= TENDER_C && self.raised != Raised::Tuber;
        let last_frost = self.last_frost_still_to_come(out)?;
        is_tender.then_some(Limit::BeforeLastFrost { out, last_frost })
    }

    fn shoots_before_last_frost(&self, shows: NaiveDate) -> Option<Limit> {
        let is_tender = self.crop.temperature.hardiness_c >= TENDER_C;
        let last_frost = self.last_frost_still_to_come(shows)?;
        is_tender.then_some(Limit::ShootsBeforeLastFrost { shows, last_frost })
    }

    fn last_frost_still_to_come(&self, out: NaiveDate) -> Option<NaiveDate> {
        let day = CommonDay::of(out);
        let last_frost = self.sky.last_frost_after(day, self.cover)?;
        // In the season without frost the next frost is the first one of autumn.
        let first_frost = self.sky.first_frost_after(day, self.cover)?;
        (last_frost > day && last_frost < first_frost).then(|| last_frost.date())
    }

    fn bolts(&self, bolting: Bolting, stages: &Stages, comes_up: Option<NaiveDate>) -> Option<Limit> {
        let starts = CommonDay::of(comes_up.unwrap_or(stages.enters));
        let pick = CommonDay::of(stages.first_pick);
        let count =
            |measure: Measure, to: CommonDay| self.sky.table(measure, self.cover).between(starts, to.max(starts));
        let (cause, n_days, n_days_most) = match bolting {
            Bolting::LongDays { hours, warm_c, n_days } => {
                // The whole life counts: a seedling responds to day length from emergence on, and the book's days run from sowing.
                let from = CommonDay::of(stages.enters);
                let measure = Measure::LongWarm { hours: hours.to_bits(), warm_c: warm_c.to_bits() };
                let long = self.sky.table(measure, self.cover).between(from, pick.max(from));
                (BoltCause::LongDays, long, f64::from(n_days))
            }
            Bolting::Cold { below_c, n_days } => {
                let measure = Measure::CoolDays { below_c: below_c.to_bits() };
                (BoltCause::Cold, count(measure, starts.plus(YOUNG_DAYS).min(pick)), f64::from(n_days))
            }
            Bolting::TooForward { growth_days } => {
                let dark = self.sky.light_goes(starts)?;
                let measure = Measure::Growth(Response::of(self.crop));
                // Picked before winter it has no spring to bolt in.
                let grown = if pick > dark { count(measure, dark) } else { 0.0 };
                (BoltCause::TooForward, grown, growth_days)
            }
        };
        (n_days >= n_days_most).then_some(Limit::Bolts { cause, n_days, n_days_most })
    }

    fn killed(&self, stages: &Stages, comes_up: Option<NaiveDate>) -> Option<Limit> {
        let hardiness_c = self.crop.temperature.hardiness_c;
        if hardiness_c >= TENDER_C {
            return None;
        }
        // Seed in the ground is not killed by frost.
        let shows = comes_up.unwrap_or(stages.enters);
        let matters_until = stages.first_pick.max(plus_days(stages.last_pick, -LATE_KILL_DAYS));
        let nights = self.sky.table(Measure::KillingNights { at_c: hardiness_c.to_bits() }, self.cover);
        [Odds::Average, Odds::OneInTen].into_iter().find_map(|odds| {
            let after = nights.reached(CommonDay::of(shows), odds.expected_nights())?;
            let from = plus_days(after.date(), -1).max(shows);
            let is_before_pick = from < stages.first_pick;
            (from < matters_until).then(|| {
                let coldest_c = self.sky.coldest_night_c(self.cover, odds);
                Limit::Killed { odds, from, coldest_c, hardiness_c, is_before_pick }
            })
        })
    }
}
