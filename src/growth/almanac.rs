//! Dates of one planting.

use std::sync::{Arc, OnceLock};

use chrono::{Datelike, Duration, Months as CalendarMonths, NaiveDate};

use super::cover::CoverDays;
use super::prefix::CommonDay;
use super::ripe::Growing;
use super::sites;
use super::sky::{REFERENCE, Sky};
use super::spread::YearSkies;
use crate::climate::{self, Climate, Weather};
use crate::crops::{Crop, HarvestHabit, Months, Raised};
use crate::garden::{Cover, PlannedDates, RealDates, Site};

/// Weeks in modules where the book says neither that nor both durations it could be taken from (starting value).
pub const FALLBACK_WEEKS_IN_MODULE: i64 = 5;

/// Days to first pick where the book gives none at all and has no stage lengths (starting value).
pub const FALLBACK_DAYS: i64 = 90;

/// Years a permanent crop stands before its bed is cleared, unless dates or the book say otherwise (starting value).
pub const PERMANENT_YEARS: u32 = 10;

/// First and last month of the growing season by the book's calendar alone, in the north (starting value).
const BOOK_SEASON_MONTHS: (u32, u32) = (3, 10);

/// Crops killed at this temperature or above it end with the first frost, °C (starting value: a light frost in a screen).
pub const TENDER_C: f64 = -1.0;

/// Growth days for each day that a crop picked all at once stays fit: it keeps longer in the cold (starting value).
const KEEPS_GROWTH_A_DAY: f64 = 0.8;

/// How many times longer than books say it stays fit at most (starting value).
const KEEPS_LONGER_MOST: i64 = 3;

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
    /// The same life so many days later (earlier if negative).
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

/// Works out dates at one site. Cheap to clone: clones share their tables.
#[derive(Debug, Clone)]
pub struct Almanac {
    /// Months shifted for the southern half of the world.
    pub is_southern: bool,
    /// The site's days; `None` where the book's calendar stands alone.
    pub(super) site: Option<Arc<AtSite>>,
}

/// What an almanac knows of its site.
#[derive(Debug)]
pub(super) struct AtSite {
    pub(super) climate: Arc<Climate>,
    pub(super) weather: Option<Arc<Weather>>,
    pub(super) sky: Arc<Sky>,
    pub(super) book: Arc<Sky>,
    /// Skies of single years, made when dates are first asked for with their spread.
    pub(super) years: OnceLock<YearSkies>,
}

impl AtSite {
    fn new(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Option<Arc<Self>> {
        let book = REFERENCE.as_ref()?;
        Some(Arc::new(Self {
            climate: Arc::clone(climate),
            weather: weather.map(Arc::clone),
            sky: Arc::new(Sky::of_climate(climate, 0.0)),
            book: Arc::clone(book),
            years: OnceLock::new(),
        }))
    }
}

/// Places in a planting's dates, in the order in which they come.
const SOW: usize = 0;
const PLANT: usize = 1;
const FIRST_PICK: usize = 2;
const LAST_PICK: usize = 3;
const CLEAR: usize = 4;
/// What each place is called in a message.
const NAMES: [&str; 5] = ["sowing", "planting", "the first pick", "the last pick", "clearing"];

/// Dates that are fixed, by place.
type Pinned = [Option<NaiveDate>; 5];

impl Almanac {
    /// The almanac of a site whose weather records, if it has any, were not read: by its named or nearest climate or its own
    /// normals.
    pub fn of_site(site: &Site) -> Self {
        let nearest = || {
            let climate = climate::nearest(site.latitude_deg, site.elevation_m)?;
            Ok::<_, climate::ClimateError>(climate.moved_to(site.latitude_deg, site.elevation_m))
        };
        match climate::of_site(site, None).or_else(|_| nearest()) {
            Ok(climate) => Self::shared(&Arc::new(climate), None),
            Err(_) => Self::by_book(site.latitude_deg < 0.0),
        }
    }

    /// The almanac of a climate; `weather` are the recorded years that give each date its spread. Its tables are its own.
    pub fn new(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Self {
        Self { is_southern: climate.is_southern(), site: AtSite::new(climate, weather) }
    }

    /// The same, with tables that are shared by all who ask for this climate and these records.
    pub fn shared(climate: &Arc<Climate>, weather: Option<&Arc<Weather>>) -> Self {
        let site = sites::shared(climate, weather, || AtSite::new(climate, weather));
        Self { is_southern: climate.is_southern(), site }
    }

    /// The book's calendar alone: its days and months as they are, in the south half a year later.
    pub fn by_book(is_southern: bool) -> Self {
        Self { is_southern, site: None }
    }

    /// The climate that dates are worked out for, if there is one.
    pub fn climate(&self) -> Option<&Arc<Climate>> {
        self.site.as_ref().map(|site| &site.climate)
    }

    pub(super) fn growing<'a>(&'a self, crop: &'a Crop, raised: Raised, cover: Cover) -> Option<Growing<'a>> {
        let site = self.site.as_deref()?;
        Some(Growing { sky: &site.sky, book: &site.book, crop, raised, cover })
    }

    /// Growth days of a crop at the site over the days `from..to`; `None` by the book's calendar alone.
    pub fn growth_days(&self, crop: &Crop, cover: Cover, from: NaiveDate, to: NaiveDate) -> Option<f64> {
        let growing = self.growing(crop, Raised::InPlace, cover)?;
        Some(growing.growth().between(CommonDay::of(from), CommonDay::of(to)))
    }

    /// Growth days that a crop needs from going into the bed to its first pick; `None` by the book's calendar alone.
    pub fn growth_days_needed(&self, crop: &Crop, raised: Raised) -> Option<f64> {
        self.growing(crop, raised, Cover::Open).map(|growing| growing.need())
    }

    /// The days of a planting: real before planned before worked out.
    ///
    /// - A planned date that what really happened has overtaken (planned to be picked before the day it was really
    ///   planted, say) no longer counts.
    /// - Sown in place: enters on the sowing day. From modules: planted out the book's weeks after sowing. Other ways: no
    ///   sowing; a sowing date given alone counts as planting.
    /// - First picked when it is up and has grown as much as the book's days bring in the book's climate (see `ripe`); by the book's
    ///   calendar alone, after the book's days. Where the book has only the days of another way of raising, the weeks in the module are
    ///   added or taken off. A plant that stood longer in its module than books say is that much further on, by half.
    /// - Picked for the book's weeks. What stands or is picked over ends with the published harvest months if its
    ///   first pick lies in them. What is picked all at once stays fit longer in the cold. Cleared the day after the last pick.
    /// - A tender crop that is not ripe by the median first frost is cleared unripe on that day; what never comes up or never ripens,
    ///   after the book's days.
    /// - Permanent crops are first picked in the first harvest months after the book's days, stand for
    ///   [`PERMANENT_YEARS`] or the book's `bed_years`, and are last picked on the last day of harvest months before that.
    /// - A date that is given is kept. If the clearing is given, days of picking that were worked out give way to it.
    ///
    /// # Errors
    /// No date to start from, or dates that run backwards.
    pub fn stages(
        &self,
        crop: &Crop,
        raised: Raised,
        planned: &PlannedDates,
        real: &RealDates,
    ) -> Result<Stages, StagesError> {
        self.stages_under(Cover::Open, crop, raised, planned, real)
    }

    /// [`stages`](Self::stages) under a cover.
    ///
    /// # Errors
    /// As there.
    pub fn stages_under(
        &self,
        cover: Cover,
        crop: &Crop,
        raised: Raised,
        planned: &PlannedDates,
        real: &RealDates,
    ) -> Result<Stages, StagesError> {
        self.stages_by(self.growing(crop, raised, cover), cover, crop, raised, planned, real)
    }

    /// The same by the growth of any year; by the book's calendar if there is none.
    pub(super) fn stages_by(
        &self,
        growing: Option<Growing<'_>>,
        cover: Cover,
        crop: &Crop,
        raised: Raised,
        planned: &PlannedDates,
        real: &RealDates,
    ) -> Result<Stages, StagesError> {
        let mut pinned = pin(planned, real);
        let is_sown_elsewhere = raised == Raised::Module;
        if !is_sown_elsewhere {
            // One day both goes into the ground and starts: whichever of the two is given.
            let start =
                if raised == Raised::InPlace { pinned[SOW].or(pinned[PLANT]) } else { pinned[PLANT].or(pinned[SOW]) };
            pinned[SOW] = None;
            pinned[PLANT] = start;
        }
        refuse_reversed(&pinned)?;

        let days = days_to_first_pick(crop, raised);
        let days_in_module = weeks_in_module(crop) * 7;
        let worked_out_plant =
            if is_sown_elsewhere { pinned[SOW].map(|sow| plus_days(sow, days_in_module)) } else { None };
        // Permanent crops keep the book's years: their first harvest is a matter of size, not of one season's growth.
        let at_site = growing;
        let growing = at_site.filter(|_| !crop.is_permanent);
        let before_pick = pinned[FIRST_PICK]
            .map(|pick| growing.and_then(|growing| growing.entry_for(pick)).unwrap_or_else(|| plus_days(pick, -days)));
        let mut enters = pinned[PLANT].or(worked_out_plant).or(before_pick).ok_or(StagesError::NoDate)?;
        if pinned[PLANT].is_none() {
            // Planting is worked out; a pick or a clearing that is given may come sooner than books think, not before planting.
            let limit = [FIRST_PICK, LAST_PICK, CLEAR].into_iter().filter_map(|place| pinned[place]).min();
            enters = limit.map_or(enters, |limit| enters.min(limit));
            enters = pinned[SOW].map_or(enters, |sow| enters.max(sow));
        }
        let sow = match raised {
            Raised::InPlace => Some(enters),
            Raised::Module => pinned[SOW].or_else(|| Some(plus_days(enters, -days_in_module))),
            _ => None,
        };

        let extra_days_in_module = match (is_sown_elsewhere, pinned[SOW], pinned[PLANT]) {
            (true, Some(sow), Some(plant)) => (plant - sow).num_days() - days_in_module,
            _ => 0,
        };
        let site = at_site.filter(|_| raised == Raised::InPlace);
        let shows = site.and_then(|site| site.emerges_on(enters));
        let never_shows = site.is_some() && shows.is_none();
        let frost = growing.as_ref().and_then(|growing| frost_ends(growing, enters));
        let mut is_lost = false;
        let mut first_pick = pinned[FIRST_PICK].unwrap_or_else(|| {
            if never_shows {
                is_lost = true;
                return pinned[CLEAR].or(frost).unwrap_or_else(|| plus_days(enters, days));
            }
            let Some(growing) = growing else {
                let ripe = plus_days(enters, days).max(shows.unwrap_or(enters));
                let in_season = || self.next_day_in(crop.calendar.harvest, ripe, cover);
                return if crop.is_permanent { in_season().unwrap_or(ripe) } else { ripe };
            };
            let ripe = growing.ripe_on(enters, extra_days_in_module);
            let end = frost.filter(|end| ripe.is_none_or(|ripe| ripe > *end));
            ripe.filter(|_| end.is_none()).unwrap_or_else(|| {
                is_lost = true;
                pinned[CLEAR].or(end).unwrap_or_else(|| plus_days(enters, days))
            })
        });
        if pinned[FIRST_PICK].is_none()
            && let Some(last) = pinned[LAST_PICK]
        {
            first_pick = first_pick.min(last);
        }
        let (mut last_pick, default_clear) = if is_lost {
            (pinned[LAST_PICK].unwrap_or(first_pick), pinned[LAST_PICK].map_or(first_pick, |last| plus_days(last, 1)))
        } else if crop.is_permanent {
            self.permanent_end(crop, enters, first_pick, &pinned, cover)
        } else {
            let last = pinned[LAST_PICK].unwrap_or_else(|| self.last_pick(crop, first_pick, growing.as_ref(), cover));
            (last, plus_days(last, 1))
        };
        let clear = pinned[CLEAR].unwrap_or(default_clear);

        // A clearing that is given cuts short the picking that was worked out.
        if pinned[FIRST_PICK].is_none() && first_pick >= clear {
            first_pick = clear;
        }
        if pinned[LAST_PICK].is_none() {
            last_pick = last_pick.min(plus_days(clear, -1)).max(first_pick);
        }
        let cover = growing.and_then(|growing| growing.cover_days(enters, first_pick, first_pick < clear));
        Ok(Stages { sow, enters, first_pick, last_pick, clear, cover })
    }

    /// The first day on or after `from` on which books put this crop into the open ground, raised that way.
    pub fn next_entry(&self, crop: &Crop, raised: Raised, from: NaiveDate) -> Option<NaiveDate> {
        self.next_entry_under(Cover::Open, crop, raised, from)
    }

    /// The same under a cover, whose frosts end earlier and begin later.
    pub fn next_entry_under(&self, cover: Cover, crop: &Crop, raised: Raised, from: NaiveDate) -> Option<NaiveDate> {
        let entry = entry_window(crop, raised)?;
        self.next_day_in(entry.months, plus_days(from, -entry.later_days), cover)
            .map(|day| plus_days(day, entry.later_days))
    }

    /// Whether books put this crop into the open ground on that day, raised that way; `false` if they never raise it so.
    pub fn is_in_season(&self, crop: &Crop, raised: Raised, day: NaiveDate) -> bool {
        self.is_in_season_under(Cover::Open, crop, raised, day)
    }

    /// The same under a cover.
    pub fn is_in_season_under(&self, cover: Cover, crop: &Crop, raised: Raised, day: NaiveDate) -> bool {
        entry_window(crop, raised)
            .is_some_and(|entry| self.holds_under(cover, entry.months, plus_days(day, -entry.later_days)))
    }

    /// Whether `day` lies in a window of the book's months, laid over the site's year by its frost dates (see `turn`); by the book
    /// alone as they are, six months later in the southern half of the world.
    pub fn holds(&self, months: Months, day: NaiveDate) -> bool {
        self.holds_under(Cover::Open, months, day)
    }

    /// The same under a cover.
    pub fn holds_under(&self, cover: Cover, months: Months, day: NaiveDate) -> bool {
        if let Some(turn) = self.site.as_ref().and_then(|site| site.sky.turn(cover)) {
            return turn.holds(months, day);
        }
        let month = day.month();
        months.holds(if self.is_southern { (month + 5) % 12 + 1 } else { month })
    }

    fn next_month(&self, day: NaiveDate, cover: Cover) -> Option<NaiveDate> {
        match self.site.as_ref().and_then(|site| site.sky.turn(cover)) {
            Some(turn) => turn.next_month(day),
            None => first_of_next_month(day),
        }
    }

    fn next_day_in(&self, months: Months, from: NaiveDate, cover: Cover) -> Option<NaiveDate> {
        let mut day = from;
        for _ in 0..=12 {
            if self.holds_under(cover, months, day) {
                return Some(day);
            }
            day = self.next_month(day, cover)?;
        }
        None
    }

    /// First day of the growing season that begins in a calendar year under a cover, and the first day after it: as long as days
    /// are warm enough (a mean of 5 °C) and at least ten hours long. By the book's calendar alone from March to October, half a
    /// year later in the south. `None` where nothing ever grows.
    pub fn growing_season(&self, cover: Cover, year: i32) -> Option<(NaiveDate, NaiveDate)> {
        let Some(site) = self.site.as_deref() else {
            let (from, to) = BOOK_SEASON_MONTHS;
            return if self.is_southern {
                NaiveDate::from_ymd_opt(year, from + 6, 1).zip(NaiveDate::from_ymd_opt(year + 1, to - 5, 1))
            } else {
                NaiveDate::from_ymd_opt(year, from, 1).zip(NaiveDate::from_ymd_opt(year, to + 1, 1))
            };
        };
        let (idx, n_days) = site.sky.growing_season(cover)?;
        let opens = CommonDay::new(i64::from(year), idx);
        Some((opens.date(), opens.plus(n_days).date()))
    }

    /// The growing season that a day lies in; `None` in winter.
    pub fn growing_season_on(&self, cover: Cover, day: NaiveDate) -> Option<(NaiveDate, NaiveDate)> {
        let seasons = [day.year() - 1, day.year()].into_iter().filter_map(|year| self.growing_season(cover, year));
        seasons.into_iter().find(|(opens, closes)| (*opens..*closes).contains(&day))
    }

    /// The last day of the window that holds `day`; `None` if it has no end.
    fn window_end(&self, months: Months, day: NaiveDate, cover: Cover) -> Option<NaiveDate> {
        let mut next = day;
        for _ in 0..12 {
            next = self.next_month(next, cover)?;
            if !self.holds_under(cover, months, next) {
                return next.pred_opt();
            }
        }
        None
    }

    fn last_pick(&self, crop: &Crop, first_pick: NaiveDate, growing: Option<&Growing<'_>>, cover: Cover) -> NaiveDate {
        let calendar = &crop.calendar;
        let n_days = (calendar.harvest_weeks.clamp(0.0, 520.0) * 7.0).round() as i64;
        let last = plus_days(first_pick, n_days);
        let stands_into_season = match calendar.habit {
            HarvestHabit::Standing | HarvestHabit::PickedOver | HarvestHabit::CutAndComeAgain => true,
            HarvestHabit::Once | HarvestHabit::Storage => false,
        };
        if calendar.habit == HarvestHabit::Once
            && let Some(growing) = growing
        {
            let growth = growing.growth().reached(CommonDay::of(first_pick), n_days as f64 * KEEPS_GROWTH_A_DAY);
            let longest = plus_days(first_pick, n_days * KEEPS_LONGER_MOST);
            return growth.map_or(longest, CommonDay::date).clamp(last, longest.max(last));
        }
        if !stands_into_season || !self.holds_under(cover, calendar.harvest, first_pick) {
            return last;
        }
        self.window_end(calendar.harvest, first_pick, cover).map_or(last, |end| last.min(end)).max(first_pick)
    }

    /// The last day of the book's month before.
    fn month_before(&self, day: NaiveDate, cover: Cover) -> NaiveDate {
        match self.site.as_ref().and_then(|site| site.sky.turn(cover)) {
            Some(turn) => turn.month_before(day),
            None => day.with_day(1).and_then(|first| first.pred_opt()).unwrap_or(day),
        }
    }

    /// Last pick and clearing of a crop that keeps its bed for years.
    fn permanent_end(
        &self,
        crop: &Crop,
        enters: NaiveDate,
        first_pick: NaiveDate,
        pinned: &Pinned,
        cover: Cover,
    ) -> (NaiveDate, NaiveDate) {
        let n_years = crop.bed_years.as_ref().map_or(PERMANENT_YEARS, |bed_years| u32::from(bed_years.most));
        let stood = enters.checked_add_months(CalendarMonths::new(12 * n_years)).unwrap_or(enters);
        let given = pinned[CLEAR].or_else(|| pinned[LAST_PICK].map(|last| plus_days(last, 1)));
        let clear = given.unwrap_or_else(|| stood.max(plus_days(first_pick, 1)));
        let last = pinned[LAST_PICK].unwrap_or_else(|| {
            let mut day = plus_days(clear, -1);
            for _ in 0..12 {
                if self.holds_under(cover, crop.calendar.harvest, day) {
                    break;
                }
                day = self.month_before(day, cover);
            }
            day.max(first_pick)
        });
        (last, clear)
    }
}

/// The day on which frost ends a tender crop; `None` for a hardy one, or where there is no frost.
pub(super) fn frost_ends(growing: &Growing<'_>, enters: NaiveDate) -> Option<NaiveDate> {
    let is_tender = growing.crop.temperature.hardiness_c >= TENDER_C;
    let after = CommonDay::of(enters).plus(1);
    is_tender.then(|| growing.sky.first_frost_after(after, growing.cover).map(CommonDay::date)).flatten()
}

/// When a crop goes into the ground: a window of months, and how many days after them.
pub(super) struct EntryWindow {
    pub(super) months: Months,
    pub(super) later_days: i64,
}

/// Sown in place: the months of outdoor sowing. Else the months of planting out, or those of sowing under cover
/// and the weeks in modules after them, or those of outdoor sowing.
pub(super) fn entry_window(crop: &Crop, raised: Raised) -> Option<EntryWindow> {
    let calendar = &crop.calendar;
    let at = |months: Option<Months>, later_days| months.map(|months| EntryWindow { months, later_days });
    if raised == Raised::InPlace {
        return at(calendar.sow_outdoor, 0);
    }
    let from_modules = || at(calendar.sow_indoor, weeks_in_module(crop) * 7);
    at(calendar.plant_out, 0).or_else(from_modules).or_else(|| at(calendar.sow_outdoor, 0))
}

pub(super) fn weeks_in_module(crop: &Crop) -> i64 {
    if let Some(weeks) = crop.seed.weeks_in_module {
        return i64::from(weeks);
    }
    match (crop.calendar.days_from_sow, crop.calendar.days_from_planting) {
        (Some(sow), Some(planting)) if sow > planting => i64::from(sow - planting) / 7,
        _ => FALLBACK_WEEKS_IN_MODULE,
    }
}

/// Days from going into the bed to the first pick. The book's figure for that way of raising; else the other figure, with
/// the weeks in modules added or taken off; else the sum of the stage lengths; else [`FALLBACK_DAYS`].
pub(super) fn days_to_first_pick(crop: &Crop, raised: Raised) -> i64 {
    let from_sow = crop.calendar.days_from_sow.map(i64::from);
    let from_planting = crop.calendar.days_from_planting.map(i64::from);
    let in_module = weeks_in_module(crop) * 7;
    let said = match raised {
        Raised::InPlace => from_sow.or(from_planting.map(|days| days + in_module)),
        Raised::Module => from_planting.or(from_sow.map(|days| days - in_module)),
        _ => from_planting.or(from_sow),
    };
    let from_stages = || {
        crop.stages.as_ref().map(|stages| {
            (stages.initial_days + stages.development_days + stages.mid_days + stages.late_days).round() as i64
        })
    };
    said.or_else(from_stages).unwrap_or(FALLBACK_DAYS).max(1)
}

/// Real dates, and those planned ones that they have not overtaken.
fn pin(planned: &PlannedDates, real: &RealDates) -> Pinned {
    let planned = [planned.sow, planned.plant, planned.first_pick, planned.last_pick, planned.clear];
    let real = [real.sow, real.plant, real.first_pick, real.last_pick, real.clear];
    let mut pinned = real;
    for (place, slot) in pinned.iter_mut().enumerate() {
        if slot.is_some() {
            continue;
        }
        let is_overtaken = |day: NaiveDate| {
            real.iter().enumerate().any(|(other, happened)| {
                happened.is_some_and(|on| (other < place && on > day) || (other > place && on < day))
            })
        };
        *slot = planned[place].filter(|day| !is_overtaken(*day));
    }
    pinned
}

fn refuse_reversed(pinned: &Pinned) -> Result<(), StagesError> {
    let mut given = pinned.iter().zip(NAMES).filter_map(|(day, name)| day.map(|day| (day, name)));
    let Some(mut earlier) = given.next() else { return Ok(()) };
    for later in given {
        if later.0 < earlier.0 {
            return Err(StagesError::Reversed {
                earlier: earlier.1,
                earlier_on: earlier.0,
                later: later.1,
                later_on: later.0,
            });
        }
        earlier = later;
    }
    Ok(())
}

/// A day so many days later; the same day where the calendar ends.
pub(super) fn plus_days(day: NaiveDate, n_days: i64) -> NaiveDate {
    Duration::try_days(n_days).and_then(|days| day.checked_add_signed(days)).unwrap_or(day)
}

fn first_of_next_month(day: NaiveDate) -> Option<NaiveDate> {
    day.with_day(1)?.checked_add_months(CalendarMonths::new(1))
}

#[cfg(test)]
mod showing_tests;
#[cfg(test)]
mod site_tests;
#[cfg(test)]
mod tests;
