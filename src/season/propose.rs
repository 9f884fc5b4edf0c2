//! A planting filled with sensible values, so that a form can be placed as it opens.

use chrono::NaiveDate;

use super::entry::{entering_on, next_day, way_of_raising, wise_entry};
use super::free::{Stretch, largest_free};
use super::plan::Plan;
use super::set_out::set_out_in;
use crate::crops::{Crop, Raised};
use crate::fit::Verdict;
use crate::garden::{Layout, PlannedDates, Planting, PlantingId, Run};
use crate::layout::sowing_density_per_m2;
use crate::units::Mm;

/// Crops sown in place no farther apart in the row than this are drilled. Starting value: up to 10 cm a line of seed is
/// sown and thinned; beyond it stations are sown.
const DRILL_IN_ROW_MAX: Mm = Mm(100);

/// Plants per m² of a green manure whose seed rate or seed weight the book does not give. Starting value.
const GREEN_MANURE_PLANTS_PER_M2: f64 = 200.0;

/// Spacing where the book gives none at all. Starting value.
const SPACING_UNKNOWN: Mm = Mm(300);

impl Plan {
    /// A planting of that crop filled with sensible values for a bed on a day: a free strip if there is one,
    /// the book's spacing, its usual way of raising.
    ///
    /// If nothing is free the whole bed is taken, so that a preview shows what is in the way.
    pub fn proposed_planting(&self, bed_idx: usize, crop_id: &str, day: NaiveDate) -> Option<Planting> {
        let bed = self.garden().beds.get(bed_idx)?;
        let crop = self.book().crop(crop_id)?;
        let (raised, entry) = way_of_raising(self.almanac(), bed.cover, crop, day)
            .or_else(|| crop.seed.raised.first().map(|&raised| (raised, day)))
            .unwrap_or((Raised::InPlace, day));
        let free = largest_free(bed, self.standing_in(bed_idx), entry, next_day(entry));
        let Stretch { from_mm, to_mm, side } = free.unwrap_or(Stretch::whole(bed));
        let (layout, clump) = usual_layout(crop, raised);
        let mut planting = Planting {
            id: self.garden().next_planting_id(),
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

    /// The dates to propose for a crop raised that way in a bed from a day on: it goes in in the first week in which books
    /// put it in and growth and weather say no caution against it, or the least bad. `None` if books never raise it so.
    pub fn proposed_dates(
        &self,
        bed_idx: usize,
        crop_id: &str,
        raised: Raised,
        day: NaiveDate,
    ) -> Option<PlannedDates> {
        let (bed, crop) = self.garden().beds.get(bed_idx).zip(self.book().crop(crop_id))?;
        wise_entry(self.almanac().growing(crop, raised, bed.cover), day).map(|entry| entering_on(raised, entry))
    }

    /// A planting of that crop between the stations of one that stands in the bed, from a day on;
    /// `None` if there is no such bed, host or crop.
    ///
    /// It takes the host's strip and goes in on the day, or with the host if that comes
    /// later; a host that is not in its ground yet may have it go in together with it where that fits better.
    ///
    /// Of the crop's ways of raising the one in season that fits best is taken; of two alike, plants from modules, which
    /// leave the ground sooner than seed sown the same day.
    pub fn proposed_interplanting(
        &self,
        bed_idx: usize,
        host: PlantingId,
        crop_id: &str,
        day: NaiveDate,
    ) -> Option<Planting> {
        let bed = self.garden().beds.get(bed_idx)?;
        let crop = self.book().crop(crop_id)?;
        let host = self.garden().planting(host).filter(|host| host.bed == bed.id)?;
        let host_enters = self.standing(host.id).map(|standing| standing.stages.enters);
        let entry = host_enters.map_or(day, |enters| enters.max(day));
        let real = self.real(host.id);
        let with_host = host_enters.filter(|enters| *enters < entry && real.plant.is_none() && real.sow.is_none());
        let going_in = |raised: Raised, entry: NaiveDate| Planting {
            id: self.garden().next_planting_id(),
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
            let is_in_season = self.almanac().growing(crop, raised, bed.cover).is_in_season(entry);
            let preview = self.preview(&planting);
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
