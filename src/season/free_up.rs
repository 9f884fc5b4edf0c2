//! When a bed of a plan frees up, and how sure that is.

use chrono::NaiveDate;

use super::plan::Plan;
use super::{FreeUp, Standing, free};
use crate::units::{Rect, Week};

impl Plan {
    /// When a bed frees up, seen from a day.
    pub fn free_up(&self, bed_idx: usize, day: NaiveDate) -> FreeUp {
        match self.garden().beds.get(bed_idx) {
            Some(bed) => {
                let standing = self.standing_in(bed_idx);
                self.with_range(standing, day, free::free_up(bed, standing, day))
            }
            None => FreeUp::of_nothing(day),
        }
    }

    /// When a bed frees up, seen from a week: from `today` if that lies in it, else from its Monday. What still goes in
    /// within the week counts as standing: with it the bed is seen from the Sunday. Gives that day too.
    pub fn free_up_in_week(&self, bed_idx: usize, week: Week, today: NaiveDate) -> (NaiveDate, FreeUp) {
        let day = if Week::of(today) == week { today } else { week.monday() };
        let enters_in_week =
            |standing: &Standing| day < standing.stages.enters && standing.stages.enters <= week.sunday();
        let day = if self.standing_in(bed_idx).iter().any(enters_in_week) { week.sunday() } else { day };
        (day, self.free_up(bed_idx, day))
    }

    /// Whether nothing stands on a piece of ground of a bed in `from..until`.
    pub fn is_free(&self, bed_idx: usize, ground: Rect, from: NaiveDate, until: NaiveDate) -> bool {
        free::is_free(self.standing_in(bed_idx), ground, from, until)
    }

    /// Fills in the range of the day on which ground is first free: that of the planting which clears it last.
    fn with_range(&self, standing: &[Standing], day: NaiveDate, mut free: FreeUp) -> FreeUp {
        let clears = |standing: &&Standing| standing.stages.clear == free.free_from && standing.stages.clear > day;
        let spreads = standing.iter().filter(clears).filter_map(|standing| self.spread(standing.id));
        if let Some(spread) = spreads.max_by_key(|spread| (spread.late.clear, spread.early.clear)) {
            free.free_from_early = spread.early.clear.max(day).min(free.free_from);
            free.free_from_late = spread.late.clear.max(free.free_from);
        }
        free
    }
}
