//! Plantings that claim the same ground at the same time.
//!
//! Two plantings set out for themselves on the same ground overlap: a breach. Where one of the two is an interplanting
//! (`between`) or a line along an edge, the stations decide: [`crate::fit`] judges them week by week.

use std::cell::OnceCell;
use std::collections::HashMap;

use chrono::NaiveDate;

use super::bounds::{self, NotListed};
use super::inputs::Inputs;
use super::set_out::set_out_in;
use super::{Finding, LeftOut, Says, Standing};
use crate::fit::{FitReport, HostGround, Sharer, Verdict, judge_weeks, judge_with_change, least_work};
use crate::garden::{Bed, Layout, Planting, PlantingId, Severity};
use crate::growth::mature_radius_mm;
use crate::units::{Mm, Point, Rect};

/// Two plantings overlap only slightly if the overlap is at most this share of the shorter one (starting value).
const NARROW_SHARE: f64 = 0.3;

/// Two plantings that share ground for some days.
pub(super) struct Pair<'a> {
    /// Stands first, or hosts the other.
    pub stands: &'a Standing,
    /// Comes to it.
    pub joins: &'a Standing,
    /// The ground both claim.
    pub shared: Vec<Rect>,
}

/// How much is done about a pair whose stations decide.
#[derive(Debug)]
pub(super) enum Effort<'a> {
    /// Stations are weighed while this much work is left, in the unit of [`judge_weeks`]: for checking a whole garden.
    Within(&'a mut u64),
    /// A change that would help is sought as well: for a single planting.
    SeeksChange(&'a mut u64),
}

/// The result of checking a pair.
pub(super) enum Checked {
    /// Its finding, if any, and the report if the stations were judged.
    Said(Option<Box<Finding>>, Option<FitReport>),
    /// No work was left for its stations.
    NotWeighed,
}

/// The ground both claim while both stand; `None` if they never meet.
pub(super) fn shared_ground(one: &Standing, other: &Standing) -> Option<Vec<Rect>> {
    if one.stages.enters >= other.stages.clear || other.stages.enters >= one.stages.clear {
        return None;
    }
    let mut shared = Vec::new();
    for ground in &one.ground {
        shared.extend(other.ground.iter().filter_map(|&rect| ground.shared_with(rect)));
    }
    (!shared.is_empty()).then_some(shared)
}

/// Whether two that stand at the same time claim some of the same ground.
fn is_ground_shared(one: &Standing, other: &Standing) -> bool {
    one.ground.iter().any(|rect| other.claims(*rect))
}

/// Checks every pair of a bed; of plantings past counting ([`bounds`]) it says what is left out.
pub(super) fn check_pairs(
    inputs: Inputs<'_>,
    bed_idx: usize,
    bed: &Bed,
    standing: &[Standing],
    in_bed: &[&Planting],
    findings: &mut Vec<Finding>,
    not_listed: &mut NotListed,
) {
    let stations = StationCache::new(bed, standing, in_bed);
    let mut work_left = bounds::work_of_a_bed(inputs.garden.beds.len());
    let mut n_not_weighed = 0;
    let mut most: Option<(usize, NaiveDate)> = None;
    // Places of those that stand still, by the day they entered.
    let mut there: Vec<usize> = Vec::new();
    // The joining planting enters first where its host enters after it.
    let mut crowded: HashMap<Option<PlantingId>, usize> = HashMap::new();
    for (later_idx, later) in standing.iter().enumerate() {
        there.retain(|&idx| standing.get(idx).is_some_and(|earlier| later.stages.enters < earlier.stages.clear));
        if there.len() > bounds::COMPARED_MAX && most.is_none_or(|(n, _)| there.len() + 1 > n) {
            most = Some((there.len() + 1, later.stages.enters));
        }
        let mut n_overlaps = 0;
        for &idx in there.iter().take(bounds::COMPARED_MAX) {
            let Some(earlier) = standing.get(idx) else { continue };
            if n_overlaps >= bounds::ALIKE_MAX && !stations.is_sharing(idx) && !stations.is_sharing(later_idx) {
                not_listed.add(Severity::Breach, usize::from(is_ground_shared(earlier, later)));
                continue;
            }
            let Some(shared) = shared_ground(earlier, later) else { continue };
            let pair = Pair { stands: earlier, joins: later, shared };
            let effort = Effort::Within(&mut work_left);
            match check_pair(inputs, bed_idx, &stations, (idx, later_idx), pair, effort) {
                Checked::Said(Some(finding), _) => {
                    let n_alike = match finding.says {
                        Says::Crowding { .. } => crowded.entry(finding.planting).or_default(),
                        _ => &mut n_overlaps,
                    };
                    *n_alike += 1;
                    if *n_alike <= bounds::ALIKE_MAX {
                        findings.push(*finding);
                    } else {
                        not_listed.add(finding.severity, 1);
                    }
                }
                Checked::Said(None, _) => {}
                Checked::NotWeighed => n_not_weighed += 1,
            }
        }
        there.push(later_idx);
    }
    let mut tell = |left_out| {
        let says = Says::LeftOut(left_out);
        findings.push(Finding { severity: Severity::Caution, bed_idx, planting: None, says, accepted: None });
    };
    if let Some((n_standing, on)) = most {
        tell(LeftOut::Neighbours { on, n_standing, n_compared: bounds::COMPARED_MAX });
    }
    if n_not_weighed > 0 {
        tell(LeftOut::Fits { n_pairs: n_not_weighed });
    }
}

/// What one pair comes to. `places` are those of the two in the list that `stations` was made from.
pub(super) fn check_pair(
    inputs: Inputs<'_>,
    bed_idx: usize,
    stations: &StationCache<'_>,
    places: (usize, usize),
    pair: Pair<'_>,
    effort: Effort<'_>,
) -> Checked {
    let Pair { mut stands, mut joins, shared } = pair;
    let (mut stands_idx, mut joins_idx) = places;
    let (Some(first), Some(_)) = (stations.layout(stands_idx), stations.layout(joins_idx)) else {
        return Checked::Said(None, None);
    };
    let tell = |severity, planting: PlantingId, says| {
        Some(Box::new(Finding { severity, bed_idx, planting: Some(planting), says, accepted: None }))
    };
    if !stations.is_sharing(stands_idx) && !stations.is_sharing(joins_idx) {
        let from = stands.stages.enters.max(joins.stages.enters);
        let until = stands.stages.clear.min(joins.stages.clear);
        let shorten_mm = narrow_overlap(stands, joins, &shared);
        let says = Says::Overlap { other: stands.id, from, until, shared, shorten_mm };
        return Checked::Said(tell(Severity::Breach, joins.id, says), None);
    }
    // A guest joins its host even if it was sown first.
    if matches!(first, Layout::Between { host } if *host == joins.id) {
        std::mem::swap(&mut stands, &mut joins);
        std::mem::swap(&mut stands_idx, &mut joins_idx);
    }
    let (Effort::Within(work_left) | Effort::SeeksChange(work_left)) = &effort;
    if least_work(stands.n_stations, joins.n_stations) > **work_left {
        return Checked::NotWeighed;
    }
    let Some(report) = judge_near(inputs, stations, (stands, stands_idx), (joins, joins_idx), &shared, effort) else {
        return Checked::Said(None, None);
    };
    let severity = match report.verdict {
        Verdict::Fits => return Checked::Said(None, Some(report)),
        Verdict::Tight => Severity::Caution,
        Verdict::Crowds => Severity::Breach,
    };
    let says = Says::Crowding {
        other: stands.id,
        verdict: report.verdict,
        share_lost_max: report.share_lost_max,
        first_bad_week: report.first_bad_week,
        worst_week: report.worst_week,
        out_by_week: report.out_by_week,
        n_affected: report.n_affected,
    };
    Checked::Said(tell(severity, joins.id, says), Some(report))
}

/// How far two plantings reach into each other along the bed, where the end of one lies a little over the start of the other.
fn narrow_overlap(one: &Standing, other: &Standing, shared: &[Rect]) -> Option<Mm> {
    let along = |rects: &[Rect]| {
        let start = rects.iter().map(|rect| rect.x0).min()?;
        Some((start, rects.iter().map(|rect| rect.x1).max()?))
    };
    let ((one_x0, one_x1), (other_x0, other_x1)) = (along(&one.ground)?, along(&other.ground)?);
    let (x0, x1) = along(shared)?;
    let (n_mm, shorter_mm) = (x1 - x0, (one_x1 - one_x0).min(other_x1 - other_x0));
    let is_at_ends = (x0, x1) == (other_x0, one_x1) || (x0, x1) == (one_x0, other_x1);
    // As it is asked that one ends where the other begins, neither may lie within the other.
    let is_within = n_mm == shorter_mm;
    (is_at_ends && !is_within && n_mm.as_f64() <= shorter_mm.as_f64() * NARROW_SHARE).then_some(n_mm)
}

/// Judges two plantings by the stations that can reach each other.
///
/// A station and one of the other planting whose discs meet are less than the sum of mature radii apart; so both lie
/// no farther than that from the ground both claim, and the others need not be looked at.
fn judge_near(
    inputs: Inputs<'_>,
    stations: &StationCache<'_>,
    (stands, stands_idx): (&Standing, usize),
    (joins, joins_idx): (&Standing, usize),
    shared: &[Rect],
    effort: Effort<'_>,
) -> Option<FitReport> {
    let crops = inputs.book.crops();
    let (stands_crop, joins_crop) = (crops.get(stands.crop_idx)?, crops.get(joins.crop_idx)?);
    let reach_mm = mature_radius_mm(stands_crop) + mature_radius_mm(joins_crop);
    let near_stands = near(stations.of(stands_idx), shared, reach_mm);
    let near_joins = near(stations.of(joins_idx), shared, reach_mm);
    let stands = Sharer { crop: stands_crop, stations: &near_stands, stages: stands.stages };
    let joins = Sharer { crop: joins_crop, stations: &near_joins, stages: joins.stages };
    Some(match effort {
        Effort::Within(work_left) => {
            let (report, work) = judge_weeks(&stands, &joins, *work_left);
            *work_left = work_left.saturating_sub(work);
            report
        }
        Effort::SeeksChange(work_left) => {
            let ground = stations.host_ground(stands_idx, joins_idx);
            let (report, work) = judge_with_change(&stands, &joins, ground.as_ref());
            *work_left = work_left.saturating_sub(work);
            report
        }
    })
}

fn near(stations: &[Point], shared: &[Rect], reach_mm: f64) -> Vec<Point> {
    let is_near = |point: &Point, rect: &Rect| {
        point.x_mm >= rect.x0.as_f64() - reach_mm
            && point.x_mm <= rect.x1.as_f64() + reach_mm
            && point.y_mm >= rect.y0.as_f64() - reach_mm
            && point.y_mm <= rect.y1.as_f64() + reach_mm
    };
    stations.iter().filter(|point| shared.iter().any(|rect| is_near(point, rect))).copied().collect()
}

/// Stations set out only where a pair asks for them, once for each planting.
pub(super) struct StationCache<'a> {
    bed: &'a Bed,
    in_bed: &'a [&'a Planting],
    plantings: Vec<Option<&'a Planting>>,
    stations: Vec<OnceCell<Vec<Point>>>,
}

impl<'a> StationCache<'a> {
    /// For the plantings of a bed, in the order of `standing`.
    pub fn new(bed: &'a Bed, standing: &[Standing], in_bed: &'a [&'a Planting]) -> Self {
        let plantings: Vec<_> = standing.iter().map(|standing| super::set_out::find(in_bed, standing.id)).collect();
        let stations = vec![OnceCell::new(); plantings.len()];
        Self { bed, in_bed, plantings, stations }
    }

    /// Whether the planting at that place is made to share ground: its stations decide.
    fn is_sharing(&self, place: usize) -> bool {
        matches!(self.layout(place), Some(Layout::Between { .. } | Layout::Edge { .. }))
    }

    fn layout(&self, place: usize) -> Option<&'a Layout> {
        self.plantings.get(place).copied().flatten().map(|planting| &planting.layout)
    }

    fn host_ground(&self, stands_idx: usize, joins_idx: usize) -> Option<HostGround<'a>> {
        let planting = |place: usize| self.plantings.get(place).copied().flatten();
        let (host, joins) = (planting(stands_idx)?, planting(joins_idx)?);
        Some(HostGround {
            host_layout: &host.layout,
            host_strip: host.strip(self.bed.width_mm),
            host_setback: host.setback_mm,
            joins_layout: &joins.layout,
            joins_strip: joins.strip(self.bed.width_mm),
            joins_setback: joins.setback_mm,
        })
    }

    /// The stations of the planting at that place; none if it cannot be set out.
    pub fn of(&self, place: usize) -> &[Point] {
        let (Some(Some(planting)), Some(cell)) = (self.plantings.get(place), self.stations.get(place)) else {
            return &[];
        };
        cell.get_or_init(|| set_out_in(self.bed, planting, self.in_bed).map_or_else(|_| Vec::new(), |set| set.stations))
    }
}
