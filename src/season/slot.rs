//! The next place, or the next day, in which a planting could stand as it is, for duplicating.

use chrono::{Duration, NaiveDate};

use super::entry::entering_on;
use super::free::is_free;
use super::plan::Plan;
use super::set_out::set_out_in;
use crate::garden::{Bed, Layout, Planting, PlantingId, RealDates, Side};
use crate::growth::Stages;
use crate::layout::claimed_ground;
use crate::units::Mm;

/// Weeks looked ahead for another day.
const WEEKS_AHEAD: i64 = 52;

impl Plan {
    /// The same planting moved to the next slot of its bed in which its ground is free, for duplicating;
    /// else of the beds after it in the walk, round to its own.
    ///
    /// `None` for an interplanting, whose place is its host's, and if no bed has room for the
    /// whole stay. Beds of another kind or under another cover are passed over; rotation is not asked, a preview tells it.
    pub fn next_free_slot(&self, planting: &Planting) -> Option<Planting> {
        slot_after(self, planting, &self.real(planting.id))
    }

    /// The same planting in the week nearest to its own, not before a day, in which books put it in and some bed has a free slot for
    /// it; its later days are worked out anew. `None` if there is none within a year.
    pub fn nearest_slot(&self, planting: &Planting, not_before: NaiveDate) -> Option<Planting> {
        let bed = self.garden().bed(&planting.bed)?;
        let crop = self.book().crop(&planting.crop)?;
        let real = self.real(planting.id);
        let entry = planting.planned.plant.or(real.plant).or(planting.planned.sow).or(real.sow);
        let entry = entry.or_else(|| self.standing(planting.id).map(|standing| standing.stages.enters))?;
        // The nearest week first, of two as near the later one.
        let weeks = (1..=WEEKS_AHEAD).flat_map(|n| [n, -n]);
        weeks.filter_map(|n| entry.checked_add_signed(Duration::weeks(n))).filter(|day| *day >= not_before).find_map(
            |day| {
                if !self.almanac().growing(crop, planting.raised, bed.cover).is_in_season(day) {
                    return None;
                }
                let moved = Planting { planned: entering_on(planting.raised, day), ..planting.clone() };
                slot_after(self, &moved, &RealDates::default())
            },
        )
    }

    /// What stands in a planting's bed while it does, itself included.
    pub fn in_the_way(&self, planting: &Planting) -> Vec<PlantingId> {
        let (Some(bed_idx), Some(own)) = (self.bed_idx(&planting.bed), self.standing(planting.id)) else {
            return Vec::new();
        };
        let stays = self.standing_in(bed_idx).iter().filter(|st| st.stands_within(own.stages.enters, own.stages.clear));
        stays.map(|standing| standing.id).collect()
    }
}

/// The next free slot for a planting to which that has happened.
fn slot_after(plan: &Plan, planting: &Planting, real: &RealDates) -> Option<Planting> {
    let (garden, inputs) = (plan.garden(), plan.inputs());
    let own_idx = plan.bed_idx(&planting.bed)?;
    let own_bed = garden.beds.get(own_idx)?;
    if matches!(planting.layout, Layout::Between { .. }) {
        return None;
    }
    let mut copy = planting.clone();
    copy.id = garden.next_planting_id();
    copy.planned.sow = planting.planned.sow.or(real.sow);
    copy.planned.plant = planting.planned.plant.or(real.plant);
    let crop = plan.book().crop(&planting.crop)?;
    let growing = inputs.almanac.growing(crop, copy.raised, own_bed.cover);
    let stages = growing.stages(&copy.planned, &RealDates::default()).ok()?;

    let is_whole_length = planting.from_mm <= Mm::ZERO && planting.to_mm >= own_bed.length_mm;
    for steps in 0..garden.beds.len() {
        let bed_idx = (own_idx + steps) % garden.beds.len();
        let bed = garden.beds.get(bed_idx)?;
        if bed.kind != own_bed.kind || bed.cover != own_bed.cover {
            continue;
        }
        copy.bed.clone_from(&bed.id);
        let length = if is_whole_length { bed.length_mm } else { planting.to_mm - planting.from_mm };
        let search_from = if bed_idx == own_idx { planting.to_mm } else { Mm::ZERO };
        if place_in(plan, bed_idx, bed, &stages, &mut copy, length, search_from) {
            return Some(copy);
        }
    }
    None
}

/// Moves the planting to the first free place of a bed at or after `search_from`, then to those before it.
fn place_in(
    plan: &Plan,
    bed_idx: usize,
    bed: &Bed,
    stages: &Stages,
    copy: &mut Planting,
    length: Mm,
    search_from: Mm,
) -> bool {
    let standing = plan.standing_in(bed_idx);
    let meets = standing.iter().filter(|standing| standing.stands_within(stages.enters, stages.clear));
    let mut starts: Vec<Mm> = meets.flat_map(|standing| &standing.ground).map(|rect| rect.x1).collect();
    starts.extend([Mm::ZERO, search_from]);
    starts.retain(|start| *start >= Mm::ZERO && *start + length <= bed.length_mm);
    starts.sort_by_key(|start| (*start < search_from, *start));
    starts.dedup();
    let sides = match copy.side {
        Side::Whole => [Side::Whole; 2],
        Side::Left => [Side::Left, Side::Right],
        Side::Right => [Side::Right, Side::Left],
    };
    for start in starts {
        for side in sides {
            (copy.from_mm, copy.to_mm, copy.side) = (start, start + length, side);
            let ground = claimed_ground(&copy.layout, copy.strip(bed.width_mm));
            let is_clear = ground.iter().all(|&rect| is_free(standing, rect, stages.enters, stages.clear));
            if is_clear && set_out_in(bed, copy, &[]).is_ok_and(|set_out| set_out.n_stations > 0) {
                return true;
            }
        }
    }
    false
}
