//! A planting's dates, step by step: what is given, going in, ripeness, the end of picking, clearing.

use chrono::{Months as CalendarMonths, NaiveDate};

use super::Growing;
use super::given::Given;
use crate::crops::{HarvestHabit, Raised};
use crate::garden::{PlannedDates, RealDates};
use crate::growth::by_book::{days_in_module, days_to_first_pick};
use crate::growth::day::{CommonDay, plus_days};
use crate::growth::stages::{Stages, StagesError};
use crate::growth::under_sky::UnderSky;

/// Years a permanent crop stands before its bed is cleared, unless dates or the book say otherwise (starting value).
pub const PERMANENT_YEARS: u32 = 10;

/// How much a crop picked all at once grows on in each day that it stays fit, as a share of a day of the book before its first pick: it
/// keeps longer in the cold (starting value).
const KEEPS_SHARE_A_DAY: f64 = 0.9;

/// How many times longer than books say it stays fit at most (starting value).
const KEEPS_LONGER_MOST: i64 = 3;

/// How a planting's growing ends.
#[derive(Debug, Clone, Copy)]
enum Outcome {
    /// It is picked from this day on.
    Picked(NaiveDate),
    /// It is cleared unripe on this day.
    Lost(NaiveDate),
}

impl Growing<'_> {
    /// The days of a planting. A real date comes before a planned one, a planned one before one that is worked out.
    ///
    /// - A planned date that what really happened has overtaken (planned to be picked before the day it was really
    ///   planted, say) no longer counts.
    /// - Sown in place: enters on the sowing day. From modules: planted out the book's weeks after sowing. Other ways: no
    ///   sowing; a sowing date given alone counts as planting.
    /// - First picked when it is up and has grown as much as the book's days bring in the book's climate (see `ripe`); by the book's
    ///   calendar alone, after the book's days. Where the book has only the days of another way of raising, the weeks in the module are
    ///   added or taken off. A plant that stood longer in its module than books say is further on (see `ripe`).
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
    pub fn stages(&self, planned: &PlannedDates, real: &RealDates) -> Result<Stages, StagesError> {
        let given = Given::new(planned, real, self.raised)?;
        let enters = self.enters(&given).ok_or(StagesError::NoDate)?;
        let outcome = self.outcome(&given, enters);
        let first_pick = first_pick(&given, outcome);
        let (last_pick, clear) = match outcome {
            Outcome::Lost(_) => (first_pick, given.free_on().unwrap_or(first_pick)),
            Outcome::Picked(_) if self.crop.is_permanent => self.permanent_end(&given, enters, first_pick),
            Outcome::Picked(_) => {
                let last_pick = given.last_pick.unwrap_or_else(|| self.last_pick(first_pick));
                (last_pick, given.clear.unwrap_or_else(|| plus_days(last_pick, 1)))
            }
        };
        // Picking that was worked out gives way to a clearing that is given.
        let first_pick = given.first_pick.unwrap_or_else(|| first_pick.min(clear));
        let last_pick = given.last_pick.unwrap_or_else(|| last_pick.min(plus_days(clear, -1)).max(first_pick));
        let cover = self.by_growth().and_then(|growth| growth.cover_days(enters, first_pick, first_pick < clear));
        Ok(Stages { sow: self.sow(&given, enters), enters, first_pick, last_pick, clear, cover })
    }

    /// The crop's growth, where growth sets its dates. Permanent crops keep the book's years: their first harvest is a matter of size,
    /// not of one season's growth.
    fn by_growth(&self) -> Option<UnderSky<'_>> {
        self.under.filter(|_| !self.crop.is_permanent)
    }

    /// The first day on which something shows: of a sowing in place by its growth, `None` if it never does; for other ways of raising and
    /// by the book's calendar alone, the day it enters.
    fn shows(&self, enters: NaiveDate) -> Option<NaiveDate> {
        match self.under {
            Some(under) if self.raised == Raised::InPlace => under.emerges_on(enters),
            _ => Some(enters),
        }
    }

    /// The day it goes into the bed: as given, after its time in the module, or in time for a first pick that is given.
    fn enters(&self, given: &Given) -> Option<NaiveDate> {
        if given.enters.is_some() {
            return given.enters;
        }
        let from_module = given.sow.map(|sow| plus_days(sow, days_in_module(self.crop)));
        let enters = from_module.or_else(|| given.first_pick.map(|pick| self.in_time_for(pick)))?;
        // A pick or a clearing that is given may come sooner than books think, but not before the planting.
        let enters = given.stands_by().map_or(enters, |day| enters.min(day));
        Some(given.sow.map_or(enters, |sow| enters.max(sow)))
    }

    fn in_time_for(&self, pick: NaiveDate) -> NaiveDate {
        let by_growth = self.by_growth().and_then(|growth| growth.entry_for(pick));
        by_growth.unwrap_or_else(|| plus_days(pick, -days_to_first_pick(self.crop, self.raised)))
    }

    fn sow(&self, given: &Given, enters: NaiveDate) -> Option<NaiveDate> {
        match self.raised {
            Raised::InPlace => Some(enters),
            Raised::Module => given.sow.or_else(|| Some(plus_days(enters, -days_in_module(self.crop)))),
            _ => None,
        }
    }

    fn outcome(&self, given: &Given, enters: NaiveDate) -> Outcome {
        if let Some(pick) = given.first_pick {
            return Outcome::Picked(pick);
        }
        let frost = self.by_growth().and_then(|growth| growth.frost_ends(enters));
        let after_book_s_days = plus_days(enters, days_to_first_pick(self.crop, self.raised));
        let lost = || Outcome::Lost(given.clear.or(frost).unwrap_or(after_book_s_days));
        let Some(shows) = self.shows(enters) else { return lost() };
        let Some(growth) = self.by_growth() else {
            return Outcome::Picked(self.in_harvest_months(after_book_s_days.max(shows)));
        };
        match growth.ripe_on(enters, self.extra_days_in_module(given)) {
            Some(ripe) if frost.is_none_or(|frost| ripe <= frost) => Outcome::Picked(ripe),
            _ => lost(),
        }
    }

    /// The day itself, or for a permanent crop the first day of its harvest months from then on.
    fn in_harvest_months(&self, ripe: NaiveDate) -> NaiveDate {
        if !self.crop.is_permanent {
            return ripe;
        }
        self.months().next_day_in(self.crop.calendar.harvest, ripe).unwrap_or(ripe)
    }

    /// How many days longer than books say it stood in its module; 0 unless both ends are given.
    fn extra_days_in_module(&self, given: &Given) -> i64 {
        let both = given.sow.zip(given.enters);
        both.map_or(0, |(sow, enters)| (enters - sow).num_days() - days_in_module(self.crop))
    }

    fn last_pick(&self, first_pick: NaiveDate) -> NaiveDate {
        let calendar = &self.crop.calendar;
        let n_days = (calendar.harvest_weeks.clamp(0.0, 520.0) * 7.0).round() as i64;
        let last = plus_days(first_pick, n_days);
        match calendar.habit {
            HarvestHabit::Once => self.fit_until(first_pick, n_days),
            HarvestHabit::Storage => last,
            HarvestHabit::Standing | HarvestHabit::PickedOver | HarvestHabit::CutAndComeAgain => {
                self.within_harvest_months(first_pick, last)
            }
        }
    }

    /// How long what is picked all at once stays fit: the book's days, longer in the cold.
    fn fit_until(&self, first_pick: NaiveDate, n_days: i64) -> NaiveDate {
        let last = plus_days(first_pick, n_days);
        let Some(growth) = self.by_growth() else { return last };
        let amount = n_days as f64 * KEEPS_SHARE_A_DAY * growth.growth_a_day_in_book();
        let keeps = growth.growth().reached(CommonDay::of(first_pick), amount);
        let longest = plus_days(first_pick, n_days * KEEPS_LONGER_MOST);
        keeps.map_or(longest, CommonDay::date).clamp(last, longest.max(last))
    }

    /// `last`, or the end of the harvest months if they hold the first pick and end before.
    fn within_harvest_months(&self, first_pick: NaiveDate, last: NaiveDate) -> NaiveDate {
        let (months, harvest) = (self.months(), self.crop.calendar.harvest);
        if !months.holds(harvest, first_pick) {
            return last;
        }
        months.window_end(harvest, first_pick).map_or(last, |end| last.min(end)).max(first_pick)
    }

    /// Last pick and clearing of a crop that keeps its bed for years.
    fn permanent_end(&self, given: &Given, enters: NaiveDate, first_pick: NaiveDate) -> (NaiveDate, NaiveDate) {
        let n_years = self.crop.bed_years.as_ref().map_or(PERMANENT_YEARS, |bed_years| u32::from(bed_years.most));
        let stood = enters.checked_add_months(CalendarMonths::new(12 * n_years)).unwrap_or(enters);
        let clear = given.free_on().unwrap_or_else(|| stood.max(plus_days(first_pick, 1)));
        let last_pick = given.last_pick.unwrap_or_else(|| {
            self.months().last_day_in(self.crop.calendar.harvest, plus_days(clear, -1)).max(first_pick)
        });
        (last_pick, clear)
    }
}

/// The first pick before a clearing is looked at: as given, or as worked out but not after a last pick that is given.
fn first_pick(given: &Given, outcome: Outcome) -> NaiveDate {
    let (Outcome::Picked(day) | Outcome::Lost(day)) = outcome;
    given.first_pick.unwrap_or_else(|| given.last_pick.map_or(day, |last| day.min(last)))
}
