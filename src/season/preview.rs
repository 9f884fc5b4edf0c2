//! What a planting would come to if it were placed.

use super::accept::mark_accepted;
use super::bounds::{self, NotListed};
use super::plan::Plan;
use super::rotate::{Gathered, History, stand_of};
use super::set_out::set_out_in;
use super::sharing::{Checked, Effort, Pair, StationCache, check_pair, shared_ground};
use super::work_out::stand;
use super::{Finding, LeftOut, Preview, Says, Standing, shade};
use crate::fit::Change;
use crate::garden::{Bed, Planting, PlantingId, Severity};
use crate::rotation::StandKey;
use crate::units::{Point, Rect};

impl Plan {
    /// What a planting would come to if it were placed, or changed to this if its number exists.
    pub fn preview(&self, planting: &Planting) -> Preview {
        preview(self, planting)
    }

    /// Station centres of a planting (set out anew).
    pub fn stations(&self, id: PlantingId) -> Vec<Point> {
        let Some((planting, bed_idx)) = self.garden().planting(id).zip(self.bed_idx_of(id)) else { return Vec::new() };
        let Some(bed) = self.garden().beds.get(bed_idx) else { return Vec::new() };
        set_out_in(bed, planting, &self.inputs().plantings(bed_idx)).map_or_else(|_| Vec::new(), |set| set.stations)
    }
}

/// Works a planting out beside the others of its bed, without touching the plan.
///
/// Only pairs with this planting are looked at, and only what rotation says of it or because of it. Gaps are left out.
fn preview(plan: &Plan, planting: &Planting) -> Preview {
    let mut preview = Preview { standing: None, stations: Vec::new(), findings: Vec::new(), fits: Vec::new() };
    let inputs = plan.inputs();
    let Some((bed_idx, bed, in_bed)) = bed_with(plan, planting) else { return preview };
    let Some(new) = stand(inputs, bed_idx, bed, planting, &in_bed, &mut preview.findings) else { return preview };

    let mut standing = plan.standing_in(bed_idx).to_vec();
    standing.retain(|other| other.id != planting.id);
    let n_others = standing.len();
    standing.push(new.clone());
    let stations = StationCache::new(bed, &standing, &in_bed);
    let mut work_left = bounds::PREVIEW_WORK;
    let mut n_not_weighed = 0;
    for (place, other) in standing.iter().enumerate().take(n_others) {
        let Some(shared) = shared_ground(other, &new) else { continue };
        let (pair, places) = in_order((other, place), (&new, n_others), shared);
        match check_pair(inputs, bed_idx, &stations, places, pair, Effort::SeeksChange(&mut work_left)) {
            Checked::Said(finding, report) => {
                preview.findings.extend(finding.map(|finding| *finding));
                preview.fits.extend(report.map(|report| (other.id, report)));
            }
            Checked::NotWeighed => n_not_weighed += 1,
        }
    }
    if n_not_weighed > 0 {
        let says = Says::LeftOut(LeftOut::Fits { n_pairs: n_not_weighed });
        preview.findings.push(Finding { severity: Severity::Caution, bed_idx, planting: None, says, accepted: None });
    }
    let history = History::of_bed(inputs, bed_idx, &standing, Some(planting.id));
    let mut said = Vec::new();
    let mut gathered = Gathered::all(bed_idx, &mut said);
    history.check_one(inputs, &stand_of(&new, planting.id.into())).into_iter().for_each(|found| gathered.push(found));
    said.retain(|finding| finding.planting == Some(planting.id) || !is_said_already(plan, bed_idx, planting, finding));
    preview.findings.append(&mut said);

    preview.findings.extend(shade::of_one(inputs, plan.shadows(), plan.beds(), bed_idx, &new));
    for finding in &mut preview.findings {
        if let Some(places) = finding.planting.and_then(|id| inputs.index.accepted.get(&id)) {
            mark_accepted(inputs.garden, inputs.book, &standing, finding, places);
        }
    }
    bounds::put_in_order(bed_idx, &mut preview.findings, NotListed::default());
    preview.stations = stations.of(n_others).to_vec();
    preview.standing = Some(new);
    preview
}

/// A planting's bed and the plantings in it by number, this one among them; `None` if there is no such bed.
fn bed_with<'a>(plan: &'a Plan, planting: &'a Planting) -> Option<(usize, &'a Bed, Vec<&'a Planting>)> {
    let inputs = plan.inputs();
    let bed_idx = plan.bed_idx(&planting.bed)?;
    let bed = inputs.bed(bed_idx)?;
    let mut in_bed = inputs.plantings(bed_idx);
    match in_bed.binary_search_by_key(&planting.id, |other| other.id) {
        Ok(place) => {
            in_bed.splice(place..=place, [planting]);
        }
        Err(place) => in_bed.insert(place, planting),
    }
    Some((bed_idx, bed, in_bed))
}

/// Two plantings and their places, the one that enters first before the other.
fn in_order<'a>(
    (other, other_idx): (&'a Standing, usize),
    (new, new_idx): (&'a Standing, usize),
    shared: Vec<Rect>,
) -> (Pair<'a>, (usize, usize)) {
    if (new.stages.enters, new.id) < (other.stages.enters, other.id) {
        (Pair { stands: new, joins: other, shared }, (new_idx, other_idx))
    } else {
        (Pair { stands: other, joins: new, shared }, (other_idx, new_idx))
    }
}

/// What came of seeking a change.
#[derive(Debug, Clone, PartialEq)]
pub enum Sought {
    /// The nearest that fits.
    Found(Change),
    /// None within reach does.
    Nothing,
    /// There is no work left for it.
    OutOfWork,
}

/// The nearest change by which a planting would fit with another of its bed: what [`preview`] finds of these two, without
/// the rest of it.
pub(super) fn nearest_change(plan: &Plan, planting: &Planting, other: PlantingId, work_left: &mut u64) -> Sought {
    match checked_with(plan, planting, other, work_left) {
        Some(Checked::Said(_, report)) => {
            report.and_then(|report| report.nearest_change).map_or(Sought::Nothing, Sought::Found)
        }
        Some(Checked::NotWeighed) => Sought::OutOfWork,
        None => Sought::Nothing,
    }
}

fn checked_with(plan: &Plan, planting: &Planting, other: PlantingId, work_left: &mut u64) -> Option<Checked> {
    let inputs = plan.inputs();
    let garden = plan.garden();
    let bed_idx = plan.bed_idx(&planting.bed)?;
    let bed = inputs.bed(bed_idx)?;
    // The two and the hosts between which they may stand.
    let mut in_bed = vec![planting];
    in_bed.extend(garden.planting(other).filter(|other| other.id != planting.id));
    for host in [planting.host(), garden.planting(other).and_then(Planting::host)].into_iter().flatten() {
        in_bed.extend(garden.planting(host).filter(|host| host.bed == bed.id && host.id != planting.id));
    }
    in_bed.sort_unstable_by_key(|one| one.id);
    in_bed.dedup_by_key(|one| one.id);
    let is_planted = garden.planting(planting.id).is_some_and(|planted| std::ptr::eq(planted, planting));
    let new = match plan.standing(planting.id).filter(|_| is_planted) {
        Some(standing) => standing.clone(),
        None => stand(inputs, bed_idx, bed, planting, &in_bed, &mut Vec::new())?,
    };
    let other = plan.standing_in(bed_idx).iter().find(|standing| standing.id == other && other != planting.id)?;
    let both = [other.clone(), new];
    let [other, new] = &both;
    let stations = StationCache::new(bed, &both, &in_bed);
    let (pair, places) = in_order((other, 0), (new, 1), shared_ground(other, new)?);
    Some(check_pair(inputs, bed_idx, &stations, places, pair, Effort::SeeksChange(work_left)))
}

/// Whether the plan says as much already of another planting by the same rule, for some other reason than this planting:
/// an earlier stand is blamed only if no nearer one is.
fn is_said_already(plan: &Plan, bed_idx: usize, planting: &Planting, finding: &Finding) -> bool {
    let Says::Rotation(new) = &finding.says else { return false };
    let is_because_of = |id: PlantingId, earlier: Option<StandKey>| earlier == Some(StandKey::Planting(id));
    let known = plan.beds().get(bed_idx).map_or(&[][..], |bed| &bed.findings);
    known.iter().filter(|known| known.planting == finding.planting && known.severity >= finding.severity).any(|known| {
        matches!(&known.says, Says::Rotation(old) if old.rule == new.rule
            && old.follow_idx == new.follow_idx
            && !is_because_of(planting.id, old.earlier))
    })
}
