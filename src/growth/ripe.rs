//! When one planting is ripe: by growth days where growth sets the day, by an event of the year where the season does.
//!
//! A book's duration is turned into growth days in the climate that its months belong to, for a planting that goes in two fifths
//! of the way through the book's months (starting value); for crops marked `under_cover` in the book, under an unheated tunnel
//! there. At a site the planting is ripe when as many growth days have been reached.
//!
//! The book's days for a sowing in place run from the sowing, and some of them pass before the seedling emerges. Growth is
//! therefore counted twice, and the later date holds: from emergence, less what the book's sowing has grown by its emergence; and
//! from the day on which germination begins, less what the book's sowing has grown by that stage. Seed in ground too cold to
//! germinate counts as sown on the day it begins to, at the site and in the book's climate alike. So a sowing gains nothing by
//! lying in cold ground, nothing is ripe before it has emerged, and the book's days hold in the book's climate. What does not
//! emerge within a year never ripens.
//!
//! A crop that books still pick in midwinter is picked for its size, not its ripeness. Growth all but stops once day length falls
//! below ten hours, so a crop that has made two thirds of its growth by then is picked from that day on at the size it has,
//! though not before the book's days are over. Growers of winter crops ask for more ("at least 75 % grown by the last day of ten
//! hours": Heflick, Michigan State University Student Organic Farm, in Vegetable Growers News 2019); two thirds are what winter
//! cabbages have made by then in a cool upland, where they are cut small in their own autumn. Heads and roots that must close or
//! swell all at once (the book's `Once`) and tender crops are left out. A green manure is dug in at any size that covers the ground:
//! half of its growth is enough.
//!
//! Anchored crops (the book's `timing.anchor`) ripen a number of degree-days after a yearly event, the same number as in the book's
//! climate. Growth can only delay them: a crop that has made less than three fifths of its growth by then ripens later, and one
//! that would be more than 45 days late for this year's event waits for next year's (both starting values).

use chrono::{Datelike, NaiveDate};

use super::by_book::{days_to_first_pick, entry_window};
use super::day::{COMMON_YEAR, CommonDay, YEAR_DAYS, next_at};
use super::response::TENDER_C;
use super::sky::{Measure, Sky};
use super::under_sky::UnderSky;
use crate::crops::{Anchor, HarvestHabit, Months, Raised};

/// How far into the book's months of sowing or planting its days hold (starting value).
const DAYS_HOLD_AT: f64 = 0.4;
/// The same for anchored crops, whose days are those of the middle of the months (starting value).
const ANCHORED_DAYS_HOLD_AT: f64 = 0.5;
/// Share of its growth that an anchored crop must have made by the day its anchor sets (starting value).
const GROWN_BY_ANCHOR: f64 = 0.6;
/// How many days after that day it may still ripen before it waits for the next year's (starting value).
const LATE_FOR_ANCHOR_DAYS: i64 = 45;
/// Growth days for each day of the book where the book has no months to place them in (starting value).
const USUAL_GROWTH_A_DAY: f64 = 0.6;
/// How much each day in the module beyond the book's weeks brings a plant on, and each day short of them sets it back, as a share of
/// a day of the book in the bed (starting value: it reproduces the published days of se01 in `tests/calibrated/season.rs`).
const GROWN_A_DAY_IN_MODULE: f64 = 0.8;
/// Days beyond the book's weeks that count at most: by then the roots fill the module (starting value).
const DAYS_IN_MODULE_COUNT: i64 = 28;
/// Least share of the growth that is made in the bed, however old the plant is when it is set out (starting value).
const GROWN_IN_BED: f64 = 0.3;
/// Share of its growth that a crop picked by its size has made by the last day of ten hours (see the head of this file).
const GROWN_BY_DARK: f64 = 0.66;
/// The same for a green manure, which is dug in at any size that covers the ground (starting value).
const GROWN_TO_DIG_IN: f64 = 0.5;
/// A crop counts as picked in midwinter if the book's harvest includes this month.
const MIDWINTER_MONTH: u32 = 12;
/// A planting that is not ripe within this many years never ripens.
const YEARS_MOST: i64 = 4;

impl UnderSky<'_> {
    /// The day on which frost ends a tender crop; `None` for a hardy one, or where there is no frost.
    pub(super) fn frost_ends(&self, enters: NaiveDate) -> Option<NaiveDate> {
        let is_tender = self.crop.temperature.hardiness_c >= TENDER_C;
        let after = CommonDay::of(enters).plus(1);
        is_tender.then(|| self.sky.first_frost_after(after, self.cover).map(CommonDay::date)).flatten()
    }

    fn days(&self) -> i64 {
        days_to_first_pick(self.crop, self.raised)
    }

    /// The day in the book's climate for which its days hold.
    fn book_entry(&self, share: f64) -> Option<CommonDay> {
        let ways = std::iter::once(&self.raised).chain(&self.crop.seed.raised);
        let entry = ways.into_iter().find_map(|raised| entry_window(self.crop, *raised))?;
        let (from, to) = ends(self.crop.calendar.days_hold.unwrap_or(entry.months))?;
        Some(from.plus(((to.0 - from.0) as f64 * share).round() as i64 + entry.later_days))
    }

    /// Growth days from going into the bed to the first pick.
    pub(super) fn need(&self) -> f64 {
        let share = if self.crop.timing.anchor.is_some() { ANCHORED_DAYS_HOLD_AT } else { DAYS_HOLD_AT };
        let days = self.days();
        let in_book = self
            .book_entry(share)
            .map_or(0.0, |entry| self.book.table(self.measure(), self.book_cover()).between(entry, entry.plus(days)));
        if in_book > 0.0 { in_book } else { days as f64 * USUAL_GROWTH_A_DAY }
    }

    /// Growth days of a day of the book, averaged over its days from going into the bed to the first pick.
    pub(super) fn growth_a_day_in_book(&self) -> f64 {
        self.need() / self.days() as f64
    }

    /// The days from which growth is counted for a planting that goes in on `enters`; `None` if it never comes up.
    fn starts(&self, enters: NaiveDate) -> Option<Starts> {
        let from = CommonDay::of(enters);
        if self.raised != Raised::InPlace {
            return Some([Start { day: from, grown: 0.0, days: 0 }; 2]);
        }
        let shows = CommonDay::of(self.emerges_on(enters)?);
        let wakes = self.wakes_on(self.sky, self.cover, from);
        let (wakes_in_book, shows_in_book) = self.starts_in_book();
        Some([Start { day: wakes, ..wakes_in_book }, Start { day: shows, ..shows_in_book }])
    }

    /// What the book's sowing in place has behind it on the day it wakes and on the day it shows, in the book's climate.
    fn starts_in_book(&self) -> (Start, Start) {
        let share = if self.crop.timing.anchor.is_some() { ANCHORED_DAYS_HOLD_AT } else { DAYS_HOLD_AT };
        let nothing = Start { day: CommonDay(0), grown: 0.0, days: 0 };
        let Some(sown) = self.book_entry(share) else { return (nothing, nothing) };
        let growth = self.book.table(self.measure(), self.book_cover());
        // If it does not show within the book's days, they cannot mean that sowing: all of them are put behind it.
        let last = sown.plus(self.days());
        let behind = |day: CommonDay| Start { day, grown: growth.between(sown, day), days: day.0 - sown.0 };
        let wakes = self.wakes_on(self.book, self.book_cover(), sown);
        let shows = self.emerges_in_book(sown).unwrap_or(last);
        (behind(wakes.min(last)), behind(shows.min(last)))
    }

    /// The first day on which `amount` has grown, counted from each of the starts.
    fn grown_on(&self, starts: &Starts, amount: f64) -> Option<CommonDay> {
        let growth = self.growth();
        let mut latest = None;
        for start in starts {
            latest = latest.max(Some(growth.reached(start.day, amount - start.grown)?));
        }
        latest
    }

    /// The first day on which a planting that goes in on `enters` is fit to pick; `None` if it never is. `extra_days_in_module`
    /// is how many days longer than books say it stood in its module.
    pub(super) fn ripe_on(&self, enters: NaiveDate, extra_days_in_module: i64) -> Option<NaiveDate> {
        let starts = self.starts(enters)?;
        let from = CommonDay::of(enters);
        let need = self.need();
        let ripe = match self.crop.timing.anchor {
            Some(anchor) => self.anchored(anchor, &starts, need),
            None => {
                let counted = extra_days_in_module.clamp(-DAYS_IN_MODULE_COUNT, DAYS_IN_MODULE_COUNT);
                let ahead = counted as f64 * GROWN_A_DAY_IN_MODULE * self.growth_a_day_in_book();
                let in_bed = (need - ahead).max(need * GROWN_IN_BED);
                let full_grown = self.grown_on(&starts, in_bed);
                let by_size = self.big_enough_on(&starts, in_bed, self.days() - counted);
                [full_grown, by_size].into_iter().flatten().min()
            }
        }?;
        (ripe.0 - from.0 <= YEARS_MOST * YEAR_DAYS as i64).then(|| ripe.date().max(enters))
    }

    /// The day on which a planting must go in to be fit to pick on `pick`.
    pub(super) fn entry_for(&self, pick: NaiveDate) -> Option<NaiveDate> {
        if self.crop.timing.anchor.is_some() {
            return None;
        }
        let (pick, need) = (CommonDay::of(pick), self.need());
        let grown_from = self.growth().back_from(pick, need)?;
        if self.raised != Raised::InPlace {
            return Some(grown_from.date());
        }
        // A later sowing is never ripe earlier, so the last sowing that is still in time is found by halving.
        let is_in_time = |sown: CommonDay| {
            let ripe = self.starts(sown.date()).and_then(|starts| self.grown_on(&starts, need));
            ripe.is_some_and(|ripe| ripe <= pick)
        };
        let (mut in_time, mut late) = (grown_from.plus(-2 * YEAR_DAYS as i64), pick.plus(1));
        if !is_in_time(in_time) {
            return None;
        }
        while late.0 - in_time.0 > 1 {
            let middle = in_time.plus((late.0 - in_time.0) / 2);
            if is_in_time(middle) { in_time = middle } else { late = middle }
        }
        Some(in_time.date())
    }

    /// When a crop that is picked by its size is taken as it stands because winter stops it; `None` if it has grown too little by
    /// then.
    fn big_enough_on(&self, starts: &Starts, need: f64, days: i64) -> Option<CommonDay> {
        let calendar = &self.crop.calendar;
        let is_green_manure = self.crop.is_green_manure();
        let is_by_size = (is_green_manure
            || calendar.habit != HarvestHabit::Once && calendar.harvest.holds(MIDWINTER_MONTH))
            && self.crop.temperature.hardiness_c < TENDER_C;
        let dark = is_by_size.then(|| self.sky.light_goes(starts[1].day)).flatten()?;
        let growth = self.growth();
        let enough = need * if is_green_manure { GROWN_TO_DIG_IN } else { GROWN_BY_DARK };
        let is_big = |start: &Start| start.grown + growth.between(start.day, dark) >= enough;
        let book_s_days = starts.iter().map(|start| start.day.plus(days - start.days)).max()?;
        starts.iter().all(is_big).then_some(dark.max(book_s_days))
    }

    fn anchored(&self, anchor: Anchor, starts: &Starts, need: f64) -> Option<CommonDay> {
        let grown = self.grown_on(starts, need * GROWN_BY_ANCHOR)?;
        let first = self.anchored_idx(anchor)?;
        // The first of its yearly days by which it can have grown enough, if need be somewhat late.
        let on_time = next_at(grown.plus(-LATE_FOR_ANCHOR_DAYS), first);
        Some(on_time.max(grown))
    }

    /// Place in the year of the day that the anchor sets at the site.
    fn anchored_idx(&self, anchor: Anchor) -> Option<i64> {
        let event = |sky: &Sky| match anchor {
            Anchor::LongDays { hours } => sky.long_day_idx(hours),
            Anchor::AfterWinter => sky.midwinter_idx(),
        };
        let heat = Measure::Heat { base: self.crop.temperature.base_c.to_bits() };
        let book_pick = self.book_entry(ANCHORED_DAYS_HOLD_AT)?.plus(self.days());
        let book_event = next_at(book_pick.plus(1 - YEAR_DAYS as i64), event(self.book));
        let warmth = self.book.table(heat, self.book_cover()).between(book_event, book_pick);
        let at_site = CommonDay::new(i64::from(COMMON_YEAR), event(self.sky));
        self.sky.table(heat, self.cover).reached(at_site, warmth).map(|day| day.idx() as i64)
    }
}

/// A day from which a planting's growth may be counted.
#[derive(Clone, Copy)]
struct Start {
    day: CommonDay,
    /// Growth days that the book's planting has behind it by then.
    grown: f64,
    /// Days of the book by then.
    days: i64,
}

/// Sown in place: the day on which the seed stirs and the day on which it shows; otherwise the day of going in, twice. The one
/// that makes the crop later counts.
type Starts = [Start; 2];

/// First day of a window of months, and the day after its last.
fn ends(months: Months) -> Option<(CommonDay, CommonDay)> {
    let first_of = |year: i32, month: u32| NaiveDate::from_ymd_opt(year, month, 1);
    let from = first_of(COMMON_YEAR, months.from)?;
    let end_year = COMMON_YEAR + i32::from(months.to < months.from);
    let last_month = first_of(end_year, months.to)?;
    let after = first_of(end_year + i32::from(last_month.month() == 12), last_month.month() % 12 + 1)?;
    Some((CommonDay::of(from), CommonDay::of(after)))
}
