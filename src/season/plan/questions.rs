//! What is asked of a plan, each a function of it.

use std::sync::Arc;

use chrono::NaiveDate;

use super::Plan;
use crate::crops::Raised;
use crate::garden::{Accepted, EntryId, PlannedDates, Planting, PlantingId, RealDates};
use crate::season::set_out::set_out_in;
use crate::season::{BedSeason, Candidate, Finding, FreeUp, Preview, Standing};
use crate::season::{accept, follow, free, preview, propose, slot};
use crate::units::{Point, Rect, Week};

impl Plan {
    /// Every bed, in the garden's order.
    pub fn beds(&self) -> &[Arc<BedSeason>] {
        &self.beds
    }

    /// The bed's place in the garden's order.
    pub fn bed_idx(&self, id: &str) -> Option<usize> {
        self.index.bed_idx_by_id.get(id).copied()
    }

    /// The place of the bed a planting is in.
    pub fn bed_idx_of(&self, id: PlantingId) -> Option<usize> {
        self.garden.planting(id).and_then(|planting| self.bed_idx(&planting.bed))
    }

    /// A planting worked out.
    pub fn standing(&self, id: PlantingId) -> Option<&Standing> {
        self.standing_in(self.bed_idx_of(id)?).iter().find(|standing| standing.id == id)
    }

    /// What really happened to a planting.
    pub fn real(&self, id: PlantingId) -> RealDates {
        self.inputs().real(id)
    }

    /// The plantings of a bed, by the day they enter; none if there is no such bed.
    pub fn standing_in(&self, bed_idx: usize) -> &[Standing] {
        self.beds.get(bed_idx).map_or(&[], |bed| &bed.standing)
    }

    /// Station centres of a planting (set out anew).
    pub fn stations(&self, id: PlantingId) -> Vec<Point> {
        let Some((planting, bed_idx)) = self.garden.planting(id).zip(self.bed_idx_of(id)) else { return Vec::new() };
        let Some(bed) = self.garden.beds.get(bed_idx) else { return Vec::new() };
        set_out_in(bed, planting, &self.inputs().plantings(bed_idx)).map_or_else(|_| Vec::new(), |set| set.stations)
    }

    /// The acceptance of a finding, without a number yet; `None` if it is about no planting. That of an empty bed names the planting
    /// beside it.
    pub fn acceptance(&self, finding: &Finding, reason: &str) -> Option<Accepted> {
        let standing = self.standing_in(finding.bed_idx);
        Some(Accepted {
            id: EntryId::NONE,
            rule: accept::rule_name(&finding.says).to_owned(),
            planting: accept::planting_named(standing, finding)?,
            against: accept::against(&self.garden, self.book(), standing, &finding.says),
            reason: reason.to_owned(),
        })
    }

    /// What a planting would come to if it were placed, or changed to this if its number exists.
    pub fn preview(&self, planting: &Planting) -> Preview {
        preview::preview(self, planting)
    }

    /// When a bed frees up, seen from a day.
    pub fn free_up(&self, bed_idx: usize, day: NaiveDate) -> FreeUp {
        match self.garden.beds.get(bed_idx) {
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

    /// What could go into a bed on a day, best first; plants must be raised from that day on.
    pub fn candidates(&self, bed_idx: usize, day: NaiveDate) -> Vec<Candidate> {
        follow::candidates(self, bed_idx, day, day)
    }

    /// What could go into a bed on a day to come, best first, if raising can begin `today`.
    pub fn candidates_seen_from(&self, bed_idx: usize, day: NaiveDate, today: NaiveDate) -> Vec<Candidate> {
        follow::candidates(self, bed_idx, day, today)
    }

    /// A planting of that crop filled with sensible values for a bed on a day: a free strip if there is one,
    /// the book's spacing, its usual way of raising.
    pub fn proposed_planting(&self, bed_idx: usize, crop_id: &str, day: NaiveDate) -> Option<Planting> {
        propose::proposed_planting(self, bed_idx, crop_id, day)
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
        propose::proposed_dates(self, bed_idx, crop_id, raised, day)
    }

    /// A planting of that crop between the stations of one that stands in the bed, from a day on;
    /// `None` if there is no such bed, host or crop.
    pub fn proposed_interplanting(
        &self,
        bed_idx: usize,
        host: PlantingId,
        crop_id: &str,
        day: NaiveDate,
    ) -> Option<Planting> {
        propose::proposed_interplanting(self, bed_idx, host, crop_id, day)
    }

    /// The same planting moved to the next slot of its bed in which its ground is free, for duplicating;
    /// else of the beds after it in the walk, round to its own.
    pub fn next_free_slot(&self, planting: &Planting) -> Option<Planting> {
        slot::next_free_slot(self, planting)
    }

    /// The same planting in the week nearest to its own, not before a day, in which books put it in and some bed has a free slot for
    /// it; its later days are worked out anew. `None` if there is none within a year.
    pub fn nearest_slot(&self, planting: &Planting, not_before: NaiveDate) -> Option<Planting> {
        slot::nearest_slot(self, planting, not_before)
    }

    /// What stands in a planting's bed while it does, itself included.
    pub fn in_the_way(&self, planting: &Planting) -> Vec<PlantingId> {
        slot::in_the_way(self, planting)
    }

    /// Whether nothing stands on a piece of ground of a bed in `from..until`.
    pub fn is_free(&self, bed_idx: usize, ground: Rect, from: NaiveDate, until: NaiveDate) -> bool {
        free::is_free(self.standing_in(bed_idx), ground, from, until)
    }
}
