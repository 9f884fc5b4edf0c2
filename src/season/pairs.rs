//! The plantings of one bed that share ground, pair by pair.

use super::bounds;
use super::plan::Plan;
use super::sharing::{Checked, Effort, Pair, StationCache, check_pair, shared_ground};
use crate::fit::FitReport;
use crate::garden::{Layout, PlantingId};

/// Two plantings whose stations were weighed beside each other.
#[derive(Debug)]
pub struct WeighedPair {
    /// The host of a `between`, else the one that went in earlier.
    pub stands: PlantingId,
    /// The other.
    pub joins: PlantingId,
    /// How they fit.
    pub report: FitReport,
}

impl Plan {
    /// Weighs every two plantings of a bed that share ground, with the change that would help, and hands each pair over. Gives how
    /// many pairs of a bed past counting were not weighed.
    pub fn weigh_pairs(&self, bed_idx: usize, mut take: impl FnMut(WeighedPair)) -> usize {
        let inputs = self.inputs();
        let (Some(bed), standing) = (inputs.bed(bed_idx), self.standing_in(bed_idx)) else { return 0 };
        let in_bed = inputs.plantings(bed_idx);
        let stations = StationCache::new(bed, standing, &in_bed);
        let (mut work_left, mut change_work_left) = (bounds::FIT_WORK, bounds::FIT_CHANGE_WORK);
        let mut n_not_weighed = 0;
        for (joins_idx, joins) in standing.iter().enumerate() {
            // The nearest before it first.
            for (stands_idx, stands) in standing.iter().enumerate().take(joins_idx).rev() {
                let Some(shared) = shared_ground(stands, joins) else { continue };
                let check = |effort: Effort<'_>| {
                    let pair = Pair { stands, joins, shared: shared.clone() };
                    check_pair(inputs, bed_idx, &stations, (stands_idx, joins_idx), pair, effort)
                };
                let checked = match check(Effort::SeeksChange(&mut change_work_left)) {
                    // No change is sought any more, but whether they fit is still said.
                    Checked::NotWeighed => check(Effort::Within(&mut work_left)),
                    said @ Checked::Said(..) => said,
                };
                match checked {
                    Checked::Said(_, Some(report)) => {
                        let is_guest_of = |host: PlantingId, guest: PlantingId| {
                            let guest = inputs.garden.planting(guest);
                            guest
                                .is_some_and(|guest| matches!(guest.layout, Layout::Between { host: of } if of == host))
                        };
                        let (stands, joins) = (stands.id, joins.id);
                        take(if is_guest_of(joins, stands) {
                            WeighedPair { stands: joins, joins: stands, report }
                        } else {
                            WeighedPair { stands, joins, report }
                        });
                    }
                    Checked::Said(_, None) => {}
                    Checked::NotWeighed => n_not_weighed += 1,
                }
            }
        }
        n_not_weighed
    }
}
