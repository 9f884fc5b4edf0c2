//! What is found out about a finding only when somebody asks why: the path between two crops, the nearest change that
//! fits, other beds and crops. All of it as fields, to be put into words elsewhere.

use chrono::NaiveDate;

use super::bounds::Help;
use super::free::{Stretch, largest_bare};
use super::plan::Plan;
use super::preview::{self, Sought};
use super::rotate::{History, stand_of};
use super::set_out::set_out_in;
use super::{Finding, Says, Standing};
use crate::garden::{BedKind, Layout, Planting, PlantingId};
use crate::growth::mature_radius_mm;
use crate::rotation::{Path, RotationFinding, Rule, StandKey};

/// Beds that would take the crop at most.
const CLEAN_BEDS_MAX: usize = 12;

/// Crops that could go in instead at most.
const CLEAN_CROPS_MAX: usize = 3;

/// About the cost of searching another bed for free ground, for each planting in it, in steps of a few nanoseconds.
const WORK_A_STANDING: u64 = 10;

/// What was found out about a finding.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// About what it says.
    pub more: More,
    /// Where else its planting could go; `None` where that is not looked for.
    pub elsewhere: Option<Elsewhere>,
}

/// What was found out about what a finding says.
#[derive(Debug, Clone, PartialEq)]
pub enum More {
    /// The finding says all there is.
    Nothing,
    /// Of a rule of rotation.
    Rotation {
        /// What joins the crop to what stood before, or to a hazard; empty where the rule is about families alone.
        path: Path,
        /// The share of the planting's ground that is concerned, 0 to 1, where it is only a part and an earlier stand is to blame.
        part: Option<f64>,
    },
    /// Of two plantings that crowd each other.
    Crowding {
        /// The nearest change that fits.
        change: Sought,
        /// Where one of the two is a line along an edge: how far from that edge the other's stations have to stay for grown plants
        /// not to touch, in cm. `None` where neither is, the bed is too narrow for it, or a change was found.
        cm_from_edge: Option<i32>,
    },
    /// Of a planting out of its season.
    OutOfSeason {
        /// The next day on which books put it in, raised that way.
        next: Option<NaiveDate>,
    },
    /// Of a crop that no book knows.
    UnknownCrop {
        /// The nearest names.
        near: Vec<String>,
    },
}

/// Where a planting could go instead, and what could go where it is.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Elsewhere {
    /// The day it goes in.
    pub day: NaiveDate,
    /// Places of beds that would take it on that day as long as it stands, without any finding; some, if there are many.
    pub bed_idxs: Vec<usize>,
    /// Whether the work allowed was enough for all beds.
    pub is_all_looked_at: bool,
    /// Where no bed would: places of crops against which rotation has nothing where it is, about that day; some of them, for a
    /// finding of rotation.
    pub crop_idxs: Vec<usize>,
}

impl Plan {
    /// Explains a single finding.
    pub fn explained(&self, finding: &Finding) -> Explained {
        self.explained_within(finding, &mut Help::of_one())
    }

    /// Looks into a finding as long as there is help left for those that are told together; at other beds if it says so.
    pub fn explained_within(&self, finding: &Finding, help: &mut Help) -> Explained {
        let elsewhere = if help.bed_work == 0 { None } else { elsewhere(self, finding, help) };
        Explained { more: more(self, finding, help), elsewhere }
    }

    /// Explains a finding without searching other beds, for listing many findings at once.
    pub fn explained_in_place(&self, finding: &Finding) -> Explained {
        Explained { more: more(self, finding, &mut Help::of_one()), elsewhere: None }
    }
}

fn more(plan: &Plan, finding: &Finding, help: &mut Help) -> More {
    let planting = finding.planting.and_then(|id| plan.garden().planting(id));
    match &finding.says {
        Says::Rotation(rotation) => {
            let is_about_family = matches!(rotation.rule, Rule::FamilyReturn | Rule::SameYear | Rule::Exempt);
            let path = if is_about_family { Path::default() } else { plan.graph().path(rotation) };
            More::Rotation { path, part: part_concerned(plan, finding, rotation) }
        }
        Says::Crowding { other, .. } => {
            let change = planting.map_or(Sought::Nothing, |planting| {
                preview::nearest_change(plan, planting, *other, &mut help.change_work)
            });
            let without_change = planting.filter(|_| change == Sought::Nothing);
            More::Crowding { change, cm_from_edge: without_change.and_then(|one| cm_from_edge(plan, one, *other)) }
        }
        Says::OutOfSeason { enters } => More::OutOfSeason {
            next: planting.and_then(|planting| {
                let crop = plan.book().crop(&planting.crop)?;
                let bed = plan.bed_idx(&planting.bed).and_then(|bed_idx| plan.garden().beds.get(bed_idx));
                let cover = bed.map(|bed| bed.cover).unwrap_or_default();
                plan.almanac().growing(crop, planting.raised, cover).next_entry(*enters)
            }),
        },
        Says::UnknownCrop { crop } => More::UnknownCrop { near: plan.names_near(crop) },
        _ => More::Nothing,
    }
}

fn part_concerned(plan: &Plan, finding: &Finding, rotation: &RotationFinding) -> Option<f64> {
    let _ = rotation.earlier?;
    let standing = finding.planting.and_then(|id| plan.standing(id))?;
    let shared_mm2: i64 = rotation.shared.iter().map(|rect| rect.area_mm2()).sum();
    let own_mm2: i64 = standing.ground.iter().map(|rect| rect.area_mm2()).sum();
    (shared_mm2 > 0 && shared_mm2 < own_mm2).then(|| shared_mm2 as f64 / own_mm2 as f64)
}

fn cm_from_edge(plan: &Plan, planting: &Planting, other: PlantingId) -> Option<i32> {
    let other = plan.garden().planting(other)?;
    let bed = plan.garden().bed(&planting.bed)?;
    let radius_mm = |planting: &Planting| plan.book().crop(&planting.crop).map(mature_radius_mm);
    let line = [planting, other].into_iter().find(|planting| matches!(planting.layout, Layout::Edge { .. }))?;
    let width_mm = bed.width_mm.as_f64();
    let to_edge = |y_mm: f64| y_mm.min(width_mm - y_mm);
    // A line needs no host.
    let line_mm = set_out_in(bed, line, &[]).ok()?.stations.iter().map(|point| to_edge(point.y_mm)).fold(0.0, f64::max);
    let needed_mm = line_mm + radius_mm(planting)? + radius_mm(other)?;
    // Of a line along each edge either may be meant: the middle is as far from both as it gets.
    (needed_mm < width_mm / 2.0).then(|| (needed_mm / 10.0).ceil() as i32)
}

/// Only what asks for other ground is looked for elsewhere.
fn elsewhere(plan: &Plan, finding: &Finding, help: &mut Help) -> Option<Elsewhere> {
    let asks_for_bed = matches!(finding.says, Says::Rotation(_) | Says::Overlap { .. } | Says::Crowding { .. });
    let id = finding.planting.filter(|_| asks_for_bed && !finding.is_praise())?;
    let standing = plan.standing(id)?;
    let bed_idxs = clean_beds_for(plan, finding.bed_idx, standing, help);
    let is_all_looked_at = help.bed_work > 0;
    let is_for_crops = bed_idxs.is_empty() && matches!(finding.says, Says::Rotation(_));
    let crop_idxs = if is_for_crops { clean_crops(plan, finding.bed_idx, standing, help) } else { Vec::new() };
    Some(Elsewhere { day: standing.stages.enters, bed_idxs, is_all_looked_at, crop_idxs })
}

/// Beds that would take a planting as long as it stands without any finding: enough ground free, rotation content.
fn clean_beds_for(plan: &Plan, own_idx: usize, standing: &Standing, help: &mut Help) -> Vec<usize> {
    let inputs = plan.inputs();
    let needs_mm2: i64 = standing.ground.iter().map(|rect| rect.area_mm2()).sum();
    let is_permanent = plan.book().crops().get(standing.crop_idx).is_some_and(|crop| crop.is_permanent);
    let (enters, clear) = (standing.stages.enters, standing.stages.clear);
    let mut clean = Vec::new();
    for (bed_idx, bed) in plan.garden().beds.iter().enumerate() {
        if bed_idx == own_idx || (bed.kind == BedKind::Permanent) != is_permanent {
            continue;
        }
        let there = plan.standing_in(bed_idx);
        if help.bed_work == 0 {
            break;
        }
        help.bed_work = help.bed_work.saturating_sub(there.len() as u64 * WORK_A_STANDING);
        let Some(stretch) = largest_bare(bed, there, enters, clear) else { continue };
        let ground = Stretch::ground(stretch, bed.width_mm);
        if ground.area_mm2() < needs_mm2 {
            continue;
        }
        let mut stand = stand_of(standing, StandKey::Proposed);
        stand.ground = vec![ground];
        let history = History::of_bed(inputs, bed_idx, there, None);
        help.bed_work = help.bed_work.saturating_sub(history.work());
        let said = history.check_one(inputs, &stand);
        if said.iter().all(|finding| finding.rule.is_praise()) {
            clean.push(bed_idx);
            if clean.len() == CLEAN_BEDS_MAX {
                break;
            }
        }
    }
    clean
}

/// Crops that could go in here about the day the planting would, with nothing said against them by rotation.
fn clean_crops(plan: &Plan, bed_idx: usize, standing: &Standing, help: &mut Help) -> Vec<usize> {
    let work = History::of_bed(plan.inputs(), bed_idx, plan.standing_in(bed_idx), None).work();
    let Some(work_left) = help.bed_work.checked_sub(work.saturating_mul(plan.book().crops().len() as u64)) else {
        return Vec::new();
    };
    help.bed_work = work_left;
    let candidates = plan.candidates(bed_idx, standing.stages.enters);
    let clean = candidates.iter().filter(|one| one.worst.is_none() && one.crop_idx != standing.crop_idx);
    clean.map(|one| one.crop_idx).take(CLEAN_CROPS_MAX).collect()
}
