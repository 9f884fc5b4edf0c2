//! The jobs of a plan: what is sown, set out, picked for the first time and cleared, on which day, and what it takes.
//!
//! They are worked out once; a list by weeks, a table and a calendar are views of them. A planting has its jobs in the order of its life:
//!
//! - sown, in place or in modules, if it is raised from seed;
//! - set out, unless it was sown in place;
//! - picked for the first time, if it is grown to be eaten and is ripe before it is cleared;
//! - cleared.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::{Plan, Standing};
use crate::crops::{Crop, Raised};
use crate::garden::{Planting, PlantingId, RealDates};
use crate::layout::{SowingNeed, sowing_need};

/// Something that is to be done for a planting.
#[derive(Debug, Clone, PartialEq)]
pub struct Job {
    /// On this day.
    pub day: NaiveDate,
    /// For this planting.
    pub planting: PlantingId,
    /// What.
    pub kind: JobKind,
    /// What has to be at hand.
    pub need: Need,
    /// It has happened already.
    pub is_done: bool,
}

/// What is to be done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum JobKind {
    /// Sown where it is to stand.
    SowInPlace,
    /// Sown in modules.
    SowInModules,
    /// Put into the bed: plants out of modules, sets, tubers and the like.
    SetOut,
    /// Picked for the first time.
    Pick {
        /// The day of the last pick.
        until: NaiveDate,
    },
    /// Cleared.
    Clear {
        /// The first planting that goes into any of its ground on that day or later.
        next: Option<PlantingId>,
        /// Why it has not been picked, if it is grown to be eaten.
        unpicked: Option<Unpicked>,
    },
}

/// Why a crop is cleared that was never picked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unpicked {
    /// It is cleared before it is ripe.
    BeforeRipe {
        /// The day of its first pick if it were left.
        ripe: NaiveDate,
    },
    /// It would not get ripe if it were left: frost or cold ends it first, or it never comes that far.
    NeverRipe,
}

/// What has to be at hand for a job.
#[derive(Debug, Clone, PartialEq)]
pub enum Need {
    /// Nothing.
    Nothing,
    /// Seed, and modules where it is sown in them; spares included.
    Seed(SowingNeed),
    /// Plants raised before, without spares.
    Plants(u64),
    /// Sets, tubers, crowns, slips or cuttings, spares included.
    Propagules(u64),
}

/// A planting that is worked out, with all that its jobs need of it.
#[derive(Debug, Clone)]
pub struct Tended<'a> {
    /// The planting.
    pub planting: &'a Planting,
    /// Its days, ground and counts.
    pub standing: &'a Standing,
    /// Its crop.
    pub crop: &'a Crop,
    /// The crop between whose stations it is set.
    pub host: Option<&'a Crop>,
    /// The place of its bed.
    pub bed_idx: usize,
    /// What is sown or bought for it.
    pub need: SowingNeed,
    /// What really happened to it.
    pub real: RealDates,
}

impl Tended<'_> {
    /// The day of its first job: sown, or put into the bed if that is earlier.
    pub fn begins(&self) -> NaiveDate {
        let stages = &self.standing.stages;
        stages.sow.map_or(stages.enters, |sow| sow.min(stages.enters))
    }

    /// Whether it is grown to be eaten: a green manure yields nothing.
    fn is_to_be_eaten(&self) -> bool {
        self.crop.yields.typical_kg_per_m2 > 0.0
    }

    /// Whether it is ripe before it is cleared and grown to be eaten.
    fn is_picked(&self) -> bool {
        let stages = &self.standing.stages;
        stages.first_pick < stages.clear && self.is_to_be_eaten()
    }

    /// Why it is never picked; `None` if it is, or is not grown to be eaten.
    fn unpicked(&self, plan: &Plan) -> Option<Unpicked> {
        if self.is_picked() || !self.is_to_be_eaten() {
            return None;
        }
        let cover = plan.garden().beds.get(self.bed_idx)?.cover;
        let (mut planned, mut real) = (self.planting.planned.clone(), self.real);
        (planned.last_pick, planned.clear, real.last_pick, real.clear) = (None, None, None, None);
        let growing = plan.almanac().growing(self.crop, self.planting.raised, cover);
        let stages = growing.stages(&planned, &real).ok().filter(|stages| stages.first_pick < stages.clear);
        Some(stages.map_or(Unpicked::NeverRipe, |stages| Unpicked::BeforeRipe { ripe: stages.first_pick }))
    }

    fn jobs(&self, plan: &Plan, next: Option<PlantingId>) -> impl Iterator<Item = Job> {
        let (stages, real) = (&self.standing.stages, &self.real);
        let is_in_place = self.planting.raised == Raised::InPlace;
        let is_from_seed = matches!(self.planting.raised, Raised::InPlace | Raised::Module);
        let job = |day, kind, need, is_done| Job { day, planting: self.planting.id, kind, need, is_done };
        let sow = stages.sow.map(|day| {
            let kind = if is_in_place { JobKind::SowInPlace } else { JobKind::SowInModules };
            job(day, kind, Need::Seed(self.need.clone()), real.sow.is_some())
        });
        let set_out = (!is_in_place).then(|| {
            let need =
                if is_from_seed { Need::Plants(self.standing.n_plants) } else { Need::Propagules(self.need.n_seeds) };
            job(stages.enters, JobKind::SetOut, need, real.plant.is_some())
        });
        let pick = self.is_picked().then(|| {
            let kind = JobKind::Pick { until: stages.last_pick };
            job(stages.first_pick, kind, Need::Nothing, real.first_pick.is_some())
        });
        let kind = JobKind::Clear { next, unpicked: self.unpicked(plan) };
        let clear = job(stages.clear, kind, Need::Nothing, real.clear.is_some());
        [sow, set_out, pick, Some(clear)].into_iter().flatten()
    }
}

/// All jobs of a plan.
#[derive(Debug, Clone)]
pub struct Jobs<'a> {
    /// By the day they go in, then bed, then number.
    plantings: Vec<Tended<'a>>,
    place_by_id: HashMap<PlantingId, usize>,
    /// In the order of their plantings.
    all: Vec<Job>,
}

impl<'a> Jobs<'a> {
    /// Works out the jobs of all plantings whose days are known.
    pub fn of_plan(plan: &'a Plan) -> Self {
        let mut tended: Vec<(Tended<'a>, Option<PlantingId>)> = Vec::new();
        for (bed_idx, season) in plan.beds().iter().enumerate() {
            let mut in_bed: Vec<&Standing> = season.standing.iter().collect();
            in_bed.sort_by_key(|standing| (standing.stages.enters, standing.id));
            let of_bed = in_bed.iter().filter_map(|&standing| {
                let planting = plan.garden().planting(standing.id)?;
                let crop = plan.book().crops().get(standing.crop_idx)?;
                let host = planting.host().and_then(|host| plan.standing(host));
                let host = host.and_then(|host| plan.book().crops().get(host.crop_idx));
                let need = sowing_need(standing.n_stations, planting.clump, &crop.seed, planting.raised);
                let real = plan.real(planting.id);
                Some((Tended { planting, standing, crop, host, bed_idx, need, real }, next_in(&in_bed, standing)))
            });
            tended.extend(of_bed);
        }
        tended.sort_by_key(|(one, _)| (one.standing.stages.enters, one.bed_idx, one.planting.id));
        let all = tended.iter().flat_map(|(one, next)| one.jobs(plan, *next)).collect();
        let plantings: Vec<Tended<'a>> = tended.into_iter().map(|(one, _)| one).collect();
        let place_by_id = plantings.iter().enumerate().map(|(place, one)| (one.planting.id, place)).collect();
        Self { plantings, place_by_id, all }
    }

    /// Every job, in the order of [`plantings`](Self::plantings).
    pub fn all(&self) -> &[Job] {
        &self.all
    }

    /// The plantings that have jobs, by the day they go in, then bed, then number.
    pub fn plantings(&self) -> &[Tended<'a>] {
        &self.plantings
    }

    /// One of these plantings; `None` if its days are not known.
    pub fn planting(&self, id: PlantingId) -> Option<&Tended<'a>> {
        self.place_by_id.get(&id).and_then(|&place| self.plantings.get(place))
    }
}

/// What goes next into any of a planting's ground; `in_bed` is by the day it goes in.
fn next_in(in_bed: &[&Standing], cleared: &Standing) -> Option<PlantingId> {
    let start = in_bed.partition_point(|other| other.stages.enters < cleared.stages.clear);
    let shares_ground = |other: &&&Standing| cleared.ground.iter().any(|ground| other.claims(*ground));
    in_bed.get(start..)?.iter().find(shares_ground).map(|other| other.id)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::Happening;
    use crate::season::tests::{day, garden, grid, happened, on_strip, plan, planting};

    /// Leeks are raised in modules and lifted before spring onions go into half of their ground; potatoes grow from tubers; the
    /// green manure is not picked.
    #[test]
    fn jobs_follow_the_life_of_each_planting() {
        let mut garden = garden(&["A1", "A2"]);
        let mut leeks = planting(1, "A1", "leek", grid(30), day(2027, 6, 1), day(2027, 12, 1));
        (leeks.clump, leeks.planned.sow) = (2, Some(day(2027, 4, 1)));
        garden.happened = vec![happened(1, day(2027, 6, 1), Happening::Planted)].into();
        (leeks.planned.first_pick, leeks.planned.last_pick) = (Some(day(2027, 10, 1)), Some(day(2027, 11, 20)));
        let mut onions = planting(2, "A1", "salad-onion", grid(30), day(2027, 12, 1), day(2028, 7, 1));
        (onions.raised, onions.planned.sow) = (Raised::InPlace, onions.planned.plant.take());
        let onions = on_strip(onions, 150, 300);
        let mut tubers = planting(3, "A2", "potato-maincrop", grid(60), day(2027, 4, 20), day(2027, 9, 10));
        tubers.planned.first_pick = Some(day(2027, 9, 1));
        let mut manure = planting(4, "A2", "phacelia", grid(30), day(2027, 9, 10), day(2027, 12, 10));
        (manure.raised, manure.planned.sow, manure.planned.plant) = (Raised::InPlace, Some(day(2027, 9, 10)), None);
        garden.plantings = vec![leeks, onions, tubers, manure];
        let plan = plan(garden);
        let jobs = Jobs::of_plan(&plan);

        let told: Vec<(u32, NaiveDate, JobKind, bool)> =
            jobs.all().iter().map(|job| (job.planting.0, job.day, job.kind, job.is_done)).collect();
        let clear = |next: Option<u32>| JobKind::Clear { next: next.map(PlantingId), unpicked: None };
        let pick = |until| JobKind::Pick { until };
        let onions_until = jobs.planting(PlantingId(2)).unwrap().standing.stages;
        let tubers_until = jobs.planting(PlantingId(3)).unwrap().standing.stages.last_pick;
        assert_eq!(
            told,
            [
                (3, day(2027, 4, 20), JobKind::SetOut, false),
                (3, day(2027, 9, 1), pick(tubers_until), false),
                (3, day(2027, 9, 10), clear(Some(4)), false),
                (1, day(2027, 4, 1), JobKind::SowInModules, false),
                (1, day(2027, 6, 1), JobKind::SetOut, true),
                (1, day(2027, 10, 1), pick(day(2027, 11, 20)), false),
                (1, day(2027, 12, 1), clear(Some(2)), false),
                (4, day(2027, 9, 10), JobKind::SowInPlace, false),
                (4, day(2027, 12, 10), clear(None), false),
                (2, day(2027, 12, 1), JobKind::SowInPlace, false),
                (2, onions_until.first_pick, pick(onions_until.last_pick), false),
                (2, day(2028, 7, 1), clear(None), false),
            ]
        );

        // 120 × 300 cm at 30 cm: 4 × 10 stations of two plants. With a tenth more 44 modules, in two trays of 40.
        let needs: Vec<&Need> = jobs.all().iter().map(|job| &job.need).collect();
        let Need::Seed(seed) = needs[3] else { panic!("{:?}", needs[3]) };
        assert_eq!((seed.n_modules, seed.n_trays), (44, 2));
        assert_eq!(needs[4], &Need::Plants(80));
        // 2 × 5 tubers at 60 cm, divided by the share that establishes.
        let up = jobs.planting(PlantingId(3)).unwrap().crop.seed.germination_pct / 100.0;
        assert_eq!(needs[0], &Need::Propagules((10.0 / up).ceil() as u64));
        assert_eq!((needs[1], needs[2]), (&Need::Nothing, &Need::Nothing));
    }

    #[test]
    fn what_follows_elsewhere_in_the_bed_or_before_the_ground_is_free_does_not_come_next() {
        let mut garden = garden(&["A1"]);
        garden.plantings = vec![
            on_strip(planting(1, "A1", "leek", grid(30), day(2027, 6, 1), day(2027, 12, 1)), 0, 100),
            on_strip(planting(2, "A1", "kale", grid(45), day(2027, 12, 1), day(2028, 4, 1)), 100, 300),
            on_strip(planting(3, "A1", "lettuce-head", grid(30), day(2027, 11, 30), day(2028, 5, 1)), 0, 100),
            on_strip(planting(4, "A1", "beetroot", grid(30), day(2028, 4, 1), day(2028, 8, 1)), 90, 200),
        ];
        let plan = plan(garden);
        let jobs = Jobs::of_plan(&plan);
        let next = |id: u32| {
            jobs.all().iter().find_map(|job| match job.kind {
                JobKind::Clear { next, .. } if job.planting == PlantingId(id) => Some(next),
                _ => None,
            })
        };
        assert_eq!((next(1), next(2), next(4)), (Some(Some(PlantingId(4))), Some(Some(PlantingId(4))), Some(None)));
    }

    /// Garlic cleared on 1 May, tomatoes on 1 August, in an upland too cool for melons in the open; leeks are lifted when they are ripe.
    #[test]
    fn what_is_cleared_without_a_pick_has_its_reason() {
        let mut garden = garden(&["A1", "A2", "A3", "A4"]);
        (garden.site.latitude_deg, garden.site.elevation_m) = (54.0, 250);
        garden.plantings = vec![
            planting(1, "A1", "garlic", grid(15), day(2026, 10, 20), day(2027, 5, 1)),
            planting(2, "A2", "tomato-outdoor", grid(60), day(2027, 6, 1), day(2027, 8, 1)),
            planting(3, "A3", "melon", grid(60), day(2027, 6, 10), day(2027, 10, 1)),
            planting(4, "A4", "leek", grid(30), day(2027, 6, 1), day(2028, 3, 1)),
            planting(5, "A1", "phacelia", grid(30), day(2027, 5, 10), day(2027, 6, 10)),
        ];
        let plan = plan(garden);
        let jobs = Jobs::of_plan(&plan);
        let reason = |id| {
            let mut of_job = jobs.all().iter().filter(|job| job.planting == PlantingId(id));
            of_job.find_map(|job| match job.kind {
                JobKind::Clear { unpicked, .. } => Some(unpicked),
                _ => None,
            })
        };
        let is_picked = |id| {
            let mut of_job = jobs.all().iter().filter(|job| job.planting == PlantingId(id));
            of_job.any(|job| matches!(job.kind, JobKind::Pick { .. }))
        };
        let ripe = |id| match reason(id) {
            Some(Some(Unpicked::BeforeRipe { ripe })) => ripe,
            other => panic!("{other:?}"),
        };
        assert!((day(2027, 6, 15)..day(2027, 9, 15)).contains(&ripe(1)), "{}", ripe(1));
        assert!((day(2027, 8, 2)..day(2027, 10, 15)).contains(&ripe(2)), "{}", ripe(2));
        assert_eq!([reason(3), reason(4), reason(5)], [Some(Some(Unpicked::NeverRipe)), Some(None), Some(None)]);
        assert_eq!([1, 2, 3, 4, 5].map(is_picked), [false, false, false, true, false]);
    }
}
