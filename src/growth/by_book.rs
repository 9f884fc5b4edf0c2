//! What the book prints of raising a crop: when it goes in, how long it is in its module, how long until it is picked.

use crate::crops::{Crop, Months, Raised};

/// Weeks in modules where the book gives neither them nor both durations from which they follow (starting value).
pub const FALLBACK_WEEKS_IN_MODULE: i64 = 5;

/// Days to first pick where the book gives none at all and has no stage lengths (starting value).
pub const FALLBACK_DAYS: i64 = 90;

/// When a crop goes into the ground: a window of months, and how many days after them.
#[derive(Debug, Clone, Copy)]
pub(super) struct EntryWindow {
    pub(super) months: Months,
    pub(super) later_days: i64,
}

/// Sown in place: the months of outdoor sowing. Otherwise the months of planting out; failing those, the months of sowing under cover
/// with the weeks in modules added; failing those too, the months of outdoor sowing.
pub(super) fn entry_window(crop: &Crop, raised: Raised) -> Option<EntryWindow> {
    let calendar = &crop.calendar;
    let at = |months: Option<Months>, later_days| months.map(|months| EntryWindow { months, later_days });
    if raised == Raised::InPlace {
        return at(calendar.sow_outdoor, 0);
    }
    let from_modules = || at(calendar.sow_indoor, days_in_module(crop));
    at(calendar.plant_out, 0).or_else(from_modules).or_else(|| at(calendar.sow_outdoor, 0))
}

/// Days from sowing in a module to planting out: whole weeks.
pub(super) fn days_in_module(crop: &Crop) -> i64 {
    weeks_in_module(crop) * 7
}

fn weeks_in_module(crop: &Crop) -> i64 {
    if let Some(weeks) = crop.seed.weeks_in_module {
        return i64::from(weeks);
    }
    match (crop.calendar.days_from_sow, crop.calendar.days_from_planting) {
        (Some(sow), Some(planting)) if sow > planting => i64::from(sow - planting) / 7,
        _ => FALLBACK_WEEKS_IN_MODULE,
    }
}

/// Days from going into the bed to the first pick. The book's figure for that way of raising; failing that, its figure for the other
/// way, with the weeks in modules added or taken off; failing both, the sum of the stage lengths; failing all, [`FALLBACK_DAYS`].
pub(super) fn days_to_first_pick(crop: &Crop, raised: Raised) -> i64 {
    let from_sow = crop.calendar.days_from_sow.map(i64::from);
    let from_planting = crop.calendar.days_from_planting.map(i64::from);
    let in_module = days_in_module(crop);
    let printed = match raised {
        Raised::InPlace => from_sow.or(from_planting.map(|days| days + in_module)),
        Raised::Module => from_planting.or(from_sow.map(|days| days - in_module)),
        _ => from_planting.or(from_sow),
    };
    let from_stages = || {
        crop.stages.as_ref().map(|stages| {
            (stages.initial_days + stages.development_days + stages.mid_days + stages.late_days).round() as i64
        })
    };
    printed.or_else(from_stages).unwrap_or(FALLBACK_DAYS).max(1)
}
