//! A planting filled with sensible values, so that a form can be placed as it opens.

use chrono::{Days, NaiveDate};

use super::free::{Stretch, largest_free};
use super::limits;
use super::plan::Plan;
use super::set_out::set_out_in;
use crate::crops::{Crop, Raised};
use crate::fit::Verdict;
use crate::garden::{Cover, Layout, PlannedDates, Planting, PlantingId, RealDates, Run};
use crate::growth::{Almanac, Growing};
use crate::layout::sowing_density_per_m2;
use crate::units::Mm;

/// How long a crop may be waited for before another way of raising it is looked at, in days. Starting value: eight weeks.
pub const WAIT_DAYS: u64 = 56;

/// Weeks of a window of months that are looked at.
const WEEKS_LOOKED_AT: u64 = 52;

/// Crops sown in place no farther apart in the row than this are drilled. Starting value: up to 10 cm a line of seed is
/// sown and thinned; beyond it stations are sown.
const DRILL_IN_ROW_MAX: Mm = Mm(100);

/// Plants per m² of a green manure whose seed rate or seed weight the book does not give. Starting value.
const GREEN_MANURE_PLANTS_PER_M2: f64 = 200.0;

/// Spacing where the book gives none at all. Starting value.
const SPACING_UNKNOWN: Mm = Mm(300);

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

/// See [`Plan::proposed_dates`].
pub(super) fn proposed_dates(
    plan: &Plan,
    bed_idx: usize,
    crop_id: &str,
    raised: Raised,
    day: NaiveDate,
) -> Option<PlannedDates> {
    let (bed, crop) = plan.garden().beds.get(bed_idx).zip(plan.book().crop(crop_id))?;
    wise_entry(plan.almanac().growing(crop, raised, bed.cover), day).map(|entry| entering_on(raised, entry))
}

/// Planned dates of a planting that goes in on that day.
pub(super) fn entering_on(raised: Raised, entry: NaiveDate) -> PlannedDates {
    match raised {
        Raised::InPlace => PlannedDates { sow: Some(entry), ..PlannedDates::default() },
        _ => PlannedDates { plant: Some(entry), ..PlannedDates::default() },
    }
}

/// The book's layout of a crop alone, and the plants at each station.
fn usual_layout(crop: &Crop, raised: Raised) -> (Layout, u32) {
    let spacing = &crop.spacing;
    let has_no_distance = spacing.equidistant_mm.is_none() && spacing.row_mm.is_none();
    if crop.is_green_manure() || (has_no_distance && spacing.sow_g_per_m2.is_some()) {
        let plants = sowing_density_per_m2(crop).map(f64::round);
        let plants_per_m2 = plants.filter(|&plants| plants >= 1.0).unwrap_or(GREEN_MANURE_PLANTS_PER_M2);
        return (Layout::Broadcast { plants_per_m2 }, 1);
    }
    let rows = spacing.row_mm.zip(spacing.in_row_mm);
    match (spacing.equidistant_mm, rows) {
        (Some(_), Some((row_mm, in_row_mm))) if raised == Raised::InPlace && in_row_mm <= DRILL_IN_ROW_MAX => {
            let plants_per_m = 1000.0 / in_row_mm.as_f64() * f64::from(spacing.row_clump.max(1));
            (Layout::Drill { row_mm, plants_per_m, run: Run::Along }, 1)
        }
        (Some(spacing_mm), _) => (Layout::Grid { spacing_mm }, spacing.clump.max(1)),
        (None, Some((row_mm, in_row_mm))) => {
            (Layout::Rows { row_mm, in_row_mm, run: Run::Along }, spacing.row_clump.max(1))
        }
        (None, None) => (Layout::Grid { spacing_mm: SPACING_UNKNOWN }, spacing.clump.max(1)),
    }
}

/// See [`Plan::proposed_planting`]. If nothing is free the whole bed is taken, so that a preview shows what is in the way.
pub(super) fn proposed_planting(plan: &Plan, bed_idx: usize, crop_id: &str, day: NaiveDate) -> Option<Planting> {
    let bed = plan.garden().beds.get(bed_idx)?;
    let crop = plan.book().crop(crop_id)?;
    let (raised, entry) = way_of_raising(plan.almanac(), bed.cover, crop, day)
        .or_else(|| crop.seed.raised.first().map(|&raised| (raised, day)))
        .unwrap_or((Raised::InPlace, day));
    let free = largest_free(bed, plan.standing_in(bed_idx), entry, next_day(entry));
    let Stretch { from_mm, to_mm, side } = free.unwrap_or(Stretch::whole(bed));
    let (layout, clump) = usual_layout(crop, raised);
    let mut planting = Planting {
        id: plan.garden().next_planting_id(),
        bed: bed.id.clone(),
        crop: crop.id.clone(),
        variety: String::new(),
        from_mm,
        to_mm,
        side,
        layout,
        setback_mm: None,
        clump,
        raised,
        planned: entering_on(raised, entry),
        notes: String::new(),
    };
    // A single large plant has room in a bed narrower than its spacing: it stands in the middle.
    if set_out_in(bed, &planting, &[]).is_ok_and(|set_out| set_out.n_stations == 0) {
        let strip = planting.strip(bed.width_mm);
        planting.setback_mm = Some(strip.width().min(strip.length()).half());
    }
    Some(planting)
}

/// See [`Plan::proposed_interplanting`]. It takes the host's strip and goes in on the day, or with the host if that comes
/// later; a host that is not in its ground yet may have it go in together with it where that fits better.
///
/// Of the crop's ways of raising the one in season that fits best is taken; of two alike, plants from modules, which
/// leave the ground sooner than seed sown the same day.
pub(super) fn proposed_interplanting(
    plan: &Plan,
    bed_idx: usize,
    host: PlantingId,
    crop_id: &str,
    day: NaiveDate,
) -> Option<Planting> {
    let bed = plan.garden().beds.get(bed_idx)?;
    let crop = plan.book().crop(crop_id)?;
    let host = plan.garden().planting(host).filter(|host| host.bed == bed.id)?;
    let host_enters = plan.standing(host.id).map(|standing| standing.stages.enters);
    let entry = host_enters.map_or(day, |enters| enters.max(day));
    let real = plan.real(host.id);
    let with_host = host_enters.filter(|enters| *enters < entry && real.plant.is_none() && real.sow.is_none());
    let going_in = |raised: Raised, entry: NaiveDate| Planting {
        id: plan.garden().next_planting_id(),
        bed: bed.id.clone(),
        crop: crop.id.clone(),
        variety: String::new(),
        from_mm: host.from_mm,
        to_mm: host.to_mm,
        side: host.side,
        layout: Layout::Between { host: host.id },
        setback_mm: None,
        clump: crop.spacing.clump.max(1),
        raised,
        planned: entering_on(raised, entry),
        notes: String::new(),
    };
    let ways = if crop.seed.raised.is_empty() { &[Raised::InPlace][..] } else { crop.seed.raised.as_slice() };
    let days = std::iter::once(entry).chain(with_host);
    let proposals = days.flat_map(|entry| ways.iter().map(move |&raised| (raised, entry)));
    let ranked = proposals.map(|(raised, entry)| {
        let planting = going_in(raised, entry);
        let is_in_season = plan.almanac().growing(crop, raised, bed.cover).is_in_season(entry);
        let preview = plan.preview(&planting);
        // Crops that never stand together fit; what cannot be set out is no better than what crowds.
        let verdict = match (&preview.standing, preview.fits.iter().find(|(id, _)| *id == host.id)) {
            (_, Some((_, report))) => report.verdict,
            (Some(_), None) => Verdict::Fits,
            (None, None) => Verdict::Crowds,
        };
        ((!is_in_season, verdict, raised != Raised::Module), planting)
    });
    // The first of the best: the day asked for before the host's.
    ranked.min_by(|(one, _), (other, _)| one.cmp(other)).map(|(_, planting)| planting)
}
