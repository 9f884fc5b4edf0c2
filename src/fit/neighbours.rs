//! Which stations of two plantings stand near each other.

use rustc_hash::FxHashMap;

use super::discs::{RASTER_ROWS, WALKED_MAX};
use crate::units::Point;

/// Places are taken as equal within this, in mm, when neighbourhoods are compared.
const SAME_MM: f64 = 1e-3;

/// Most pairs of neighbours weighed in irregular patterns in which every station has many neighbours, such as one scatter on
/// another. With more pairs than this an even selection of the different neighbourhoods stands for all of them.
const PAIRS_MAX: usize = 20_000;

/// Least number of neighbourhoods in such a selection: the second number while their pairs stay below [`WEIGHED_MAX`], the first
/// however many pairs they have. A few are enough there, for a plant among thousands loses as much as its neighbour.
const NEIGHBOURHOODS_MIN: (usize, usize) = (4, 40);

/// Pairs of neighbours weighed at one time, roughly (starting value: a few hundredths of a second).
const WEIGHED_MAX: usize = 12_000_000;

/// Pairs along the bed searched for neighbours, roughly (starting value: a hundredth of a second). Beyond it an even
/// selection of stations stands for all of them.
pub(super) const LOOKED_AT_MAX: usize = 500_000;

/// Where a station has at least [`MERGED_FROM`] neighbours, all those in one square of a grid count as one; the side of a square is
/// the reach divided by [`MERGED_PARTS`].
const MERGED_FROM: usize = 256;
const MERGED_PARTS: f64 = 24.0;

/// With more stations in a planting than this, only the middle of the ground is weighed (starting value: a bed of a hundred
/// metres sown with carrots in four lines has some 24,000 plants).
const STATIONS_MAX: usize = 25_000;

/// Stations that have the same stations of the other crop about them.
#[derive(Debug, Clone)]
pub(super) struct Neighbourhood {
    /// Stations of the other crop, seen from here.
    pub(super) others: Vec<Point>,
    /// How many stations this stands for.
    pub(super) n_stations: usize,
}

/// Length and width are swapped if the ground is wider than this many times its length, because cost grows with the number of pairs
/// that are near each other along the bed.
const TURNED_FROM: f64 = 4.0;

/// Both crops' stations by their place along the longer way of the ground. Turning it changes no distance.
pub(super) fn along(stands: &[Point], joins: &[Point]) -> [Vec<Point>; 2] {
    let extent = |place: fn(&Point) -> f64| {
        let places = stands.iter().chain(joins).map(place);
        let (least, greatest) = places.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, g), at| (l.min(at), g.max(at)));
        greatest - least
    };
    if extent(|point| point.y_mm) <= TURNED_FROM * extent(|point| point.x_mm) {
        return [sorted(stands), sorted(joins)];
    }
    let turned = |stations: &[Point]| -> Vec<Point> {
        stations.iter().map(|point| Point { x_mm: point.y_mm, y_mm: point.x_mm }).collect()
    };
    [sorted(&turned(stands)), sorted(&turned(joins))]
}

/// The stations of both crops in the middle of their ground along the bed, if either has more than [`STATIONS_MAX`], and how many
/// stations each one kept stands for. Patterns are alike all over their ground.
pub(super) fn in_the_middle([these, others]: [Vec<Point>; 2], reach_mm: f64) -> ([Vec<Point>; 2], [usize; 2]) {
    let n_most = these.len().max(others.len());
    let (Some(first), Some(last)) = (these.first().zip(others.first()), these.last().zip(others.last())) else {
        return ([these, others], [1; 2]);
    };
    if n_most <= STATIONS_MAX {
        return ([these, others], [1; 2]);
    }
    let (from_mm, to_mm) = (first.0.x_mm.max(first.1.x_mm), last.0.x_mm.min(last.1.x_mm));
    let middle_mm = f64::midpoint(from_mm, to_mm);
    let half_mm = ((to_mm - from_mm) * STATIONS_MAX as f64 / n_most as f64 / 2.0).max(2.0 * reach_mm);
    let kept = |stations: Vec<Point>| {
        let n_all = stations.len();
        let from = stations.partition_point(|point| point.x_mm < middle_mm - half_mm);
        let until = stations.partition_point(|point| point.x_mm <= middle_mm + half_mm);
        let kept = stations.get(from..until).map_or_else(Vec::new, <[Point]>::to_vec);
        let each = n_all.div_ceil(kept.len().max(1));
        (kept, each)
    };
    let ((these, n_these), (others, n_others)) = (kept(these), kept(others));
    ([these, others], [n_these, n_others])
}

/// A place along and across the bed, in steps of [`SAME_MM`].
type Place = (i64, i64);

/// The step nearest to a place.
fn rounded(mm: f64) -> i64 {
    (mm / SAME_MM + 0.5_f64.copysign(mm)) as i64
}

/// Stations by their place along the bed.
fn sorted(stations: &[Point]) -> Vec<Point> {
    let mut sorted = stations.to_vec();
    sorted.sort_unstable_by(|one, other| one.x_mm.total_cmp(&other.x_mm));
    sorted
}

/// Least distance between a station of one crop and one of the other; both sorted. Infinite if either has none.
///
/// Sweeps outward from each station; stops where the distance along the bed alone is too great, or once `n_pairs_max` pairs have
/// been looked at.
pub(super) fn least_distance_mm(these: &[Point], others: &[Point], n_pairs_max: usize) -> f64 {
    let mut least_mm2 = f64::INFINITY;
    let mut split = 0;
    let mut n_left = n_pairs_max;
    for here in these {
        split = moved_on(others, split, |other| other.x_mm < here.x_mm);
        let (before, after) = others.split_at(split);
        least_mm2 = nearest_first(*here, after.iter(), least_mm2, &mut n_left);
        least_mm2 = nearest_first(*here, before.iter().rev(), least_mm2, &mut n_left);
    }
    least_mm2.sqrt()
}

/// The place of the first of `others`, from `place` on, that is not passed.
fn moved_on(others: &[Point], place: usize, is_passed: impl Fn(&Point) -> bool) -> usize {
    place + others.iter().skip(place).take_while(|other| is_passed(other)).count()
}

/// The least of `least_mm2` and the squared distances to `others`, which come in the order of their distance along the bed. Looks
/// at `n_left` pairs at most.
fn nearest_first<'a>(
    here: Point,
    others: impl Iterator<Item = &'a Point>,
    mut least_mm2: f64,
    n_left: &mut usize,
) -> f64 {
    for other in others {
        let (dx, dy) = (other.x_mm - here.x_mm, other.y_mm - here.y_mm);
        if dx * dx >= least_mm2 || *n_left == 0 {
            break;
        }
        *n_left -= 1;
        least_mm2 = least_mm2.min(dx * dx + dy * dy);
    }
    least_mm2
}

/// Least distance between two stations of one crop; sorted.
pub(super) fn least_own_distance_mm(stations: &[Point], n_pairs_max: usize) -> f64 {
    let mut least_mm2 = f64::INFINITY;
    let mut n_left = n_pairs_max;
    for (idx, here) in stations.iter().enumerate() {
        least_mm2 = nearest_first(*here, stations.iter().skip(idx + 1), least_mm2, &mut n_left);
    }
    least_mm2.sqrt()
}

/// The different neighbourhoods of these stations within a reach; stations without neighbours are left out. Both lists are
/// sorted. Looks at about `n_pairs_max` pairs along the bed, and keeps about as much as can be weighed for `work_max`.
pub(super) fn neighbourhoods(
    these: &[Point],
    others: &[Point],
    reach_mm: f64,
    n_pairs_max: usize,
    work_max: u64,
) -> Vec<Neighbourhood> {
    let mut found: Vec<Neighbourhood> = Vec::new();
    // The places come from a pattern that the program set out, so the guarded hash of the standard library would only cost time.
    let mut idx_by_key: FxHashMap<Vec<Place>, usize> = FxHashMap::default();
    // Filled anew for each station; most stations have the neighbours of an earlier one.
    let mut near: Vec<(Place, Point)> = Vec::new();
    let mut key: Vec<Place> = Vec::new();
    let selected = n_pairs_along(these, others, reach_mm).div_ceil(n_pairs_max.max(1)).max(1);
    let mut first = 0;
    for here in these.iter().step_by(selected) {
        first = moved_on(others, first, |other| other.x_mm <= here.x_mm - reach_mm);
        let seen = others
            .iter()
            .skip(first)
            .take_while(|other| other.x_mm < here.x_mm + reach_mm)
            .map(|other| Point { x_mm: other.x_mm - here.x_mm, y_mm: other.y_mm - here.y_mm })
            .filter(|other| other.x_mm * other.x_mm + other.y_mm * other.y_mm < reach_mm * reach_mm);
        near.clear();
        near.extend(seen.map(|other| ((rounded(other.x_mm), rounded(other.y_mm)), other)));
        if near.is_empty() {
            continue;
        }
        if near.len() > MERGED_FROM {
            let part_mm = reach_mm / MERGED_PARTS;
            let part = |other: &Point| ((other.x_mm / part_mm).floor() as i64, (other.y_mm / part_mm).floor() as i64);
            near.sort_unstable_by_key(|(place, other)| (part(other), *place));
            near.dedup_by_key(|(_, other)| part(other));
        }
        near.sort_unstable_by_key(|(place, _)| *place);
        key.clear();
        key.extend(near.iter().map(|(place, _)| *place));
        match idx_by_key.get(&key).and_then(|&idx| found.get_mut(idx)) {
            Some(known) => known.n_stations += selected,
            None => {
                idx_by_key.insert(key.clone(), found.len());
                let others = near.iter().map(|(_, other)| *other).collect();
                found.push(Neighbourhood { others, n_stations: selected });
            }
        }
    }
    let n_pairs: usize = found.iter().map(|around| around.others.len().pow(2)).sum();
    let (fewest, usual) = NEIGHBOURHOODS_MIN;
    let n_pairs_each = (n_pairs / found.len().max(1)).max(1);
    let least = (WEIGHED_MAX / n_pairs_each).clamp(fewest, usual);
    let every = n_pairs.div_ceil(PAIRS_MAX).min(found.len().div_ceil(least));
    let found = every_nth(found, every);
    let every = work_of(&found).div_ceil(work_max.max(1)).min(found.len().div_ceil(fewest) as u64);
    every_nth(found, every as usize)
}

/// Pairs within a reach along the bed, as if each station had as many as the one in the middle.
pub(super) fn n_pairs_along(these: &[Point], others: &[Point], reach_mm: f64) -> usize {
    let first_near = |x_mm: f64| others.partition_point(|other| other.x_mm <= x_mm - reach_mm);
    let n_along =
        these.get(these.len() / 2).map_or(0, |here| first_near(here.x_mm + 2.0 * reach_mm) - first_near(here.x_mm));
    these.len() * n_along
}

/// An even selection that stands for all.
fn every_nth(found: Vec<Neighbourhood>, every: usize) -> Vec<Neighbourhood> {
    if every <= 1 {
        return found;
    }
    let mut kept: Vec<Neighbourhood> = found.into_iter().step_by(every).collect();
    for kept in &mut kept {
        kept.n_stations *= every;
    }
    kept
}

/// About what it costs to weigh them once, in steps of a few nanoseconds.
pub(super) fn work_of(neighbourhoods: &[Neighbourhood]) -> u64 {
    let one = |around: &Neighbourhood| match around.others.len() {
        n @ ..=WALKED_MAX => n * n,
        n => 2 * n * RASTER_ROWS,
    };
    neighbourhoods.iter().map(|around| one(around) as u64).sum()
}
