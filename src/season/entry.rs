//! When a crop goes in from a day on, and how it is then raised.

use chrono::{Days, NaiveDate};

use super::limits;
use crate::crops::{Crop, Raised};
use crate::garden::{Cover, PlannedDates, RealDates};
use crate::growth::{Almanac, Growing};

/// How long a crop may be waited for before another way of raising it is looked at, in days. Starting value: eight weeks.
pub(super) const WAIT_DAYS: u64 = 56;

/// Weeks of a window of months that are looked at.
const WEEKS_LOOKED_AT: u64 = 52;

/// The day after.
pub(super) fn next_day(day: NaiveDate) -> NaiveDate {
    day.checked_add_days(Days::new(1)).unwrap_or(day)
}

/// The day on which to put a crop in, raised that way, from a day on: the first of the weeks in which books do and growth and weather have
/// nothing from a caution on against it; where there is none, the first of the least bad.
pub(super) fn wise_entry(growing: Growing<'_>, day: NaiveDate) -> Option<NaiveDate> {
    let first = growing.next_entry(day)?;
    let mut least_bad = None;
    for n in 0..WEEKS_LOOKED_AT {
        let entry = first.checked_add_days(Days::new(7 * n))?;
        if !growing.is_in_season(entry) {
            break;
        }
        let planned = entering_on(growing.raised(), entry);
        let Ok(stages) = growing.stages(&planned, &RealDates::default()) else { break };
        let cautions = limits::cautions(growing, &stages);
        let Some((worst, _)) = cautions.first() else { return Some(entry) };
        let bad = (*worst, cautions.len());
        if least_bad.is_none_or(|(least, _)| bad < least) {
            least_bad = Some((bad, entry));
        }
    }
    least_bad.map(|(_, entry)| entry).or(Some(first))
}

/// The way of raising to propose for a day, and the day it goes in: the usual way if it goes into bed or tray soon, else the
/// next usual one, else whichever goes in first.
pub(super) fn way_of_raising(
    almanac: &Almanac,
    cover: Cover,
    crop: &Crop,
    day: NaiveDate,
) -> Option<(Raised, NaiveDate)> {
    let soon = day.checked_add_days(Days::new(WAIT_DAYS)).unwrap_or(day);
    let way = |raised| {
        let growing = almanac.growing(crop, raised, cover);
        let entry = wise_entry(growing, day)?;
        let planned = entering_on(raised, entry);
        let stages = growing.stages(&planned, &RealDates::default()).ok();
        let begins = stages.and_then(|stages| stages.sow).unwrap_or(entry);
        Some((raised, entry, begins))
    };
    let ways: Vec<_> = crop.seed.raised.iter().filter_map(|&raised| way(raised)).collect();
    let first_soon = ways.iter().find(|(_, _, begins)| *begins <= soon);
    first_soon.or_else(|| ways.iter().min_by_key(|(_, entry, _)| *entry)).map(|(raised, entry, _)| (*raised, *entry))
}

/// Planned dates of a planting that goes in on that day.
pub(super) fn entering_on(raised: Raised, entry: NaiveDate) -> PlannedDates {
    match raised {
        Raised::InPlace => PlannedDates { sow: Some(entry), ..PlannedDates::default() },
        _ => PlannedDates { plant: Some(entry), ..PlannedDates::default() },
    }
}
