//! Which stations of two plantings stand near each other.

use std::collections::HashMap;

use crate::units::Point;

/// Places are taken as equal within this, in mm, when neighbourhoods are compared.
const SAME_MM: f64 = 1e-3;

/// Of irregular patterns in which many stations stand about each other (one scatter on another) an even selection of the
/// different neighbourhoods stands for all, once the pairs of neighbours exceed this number.
const PAIRS_MAX: usize = 20_000;

/// Neighbourhoods weighed in any case.
const NEIGHBOURHOODS_MIN: usize = 40;

/// Stations that have the same stations of the other crop about them.
#[derive(Debug, Clone)]
pub(super) struct Neighbourhood {
    /// Stations of the other crop, seen from here.
    pub(super) others: Vec<Point>,
    /// How many stations this stands for.
    pub(super) n_stations: usize,
}

/// Stations by their place along the bed.
pub(super) fn sorted(stations: &[Point]) -> Vec<Point> {
    let mut sorted = stations.to_vec();
    sorted.sort_unstable_by(|one, other| one.x_mm.total_cmp(&other.x_mm));
    sorted
}

/// Least distance between a station of one crop and one of the other; both sorted. Infinite if either has none.
///
/// Sweeps outward from each station and stops where the distance along the bed alone is too great.
pub(super) fn least_distance_mm(these: &[Point], others: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for here in these {
        let split = others.partition_point(|other| other.x_mm < here.x_mm);
        let (before, after) = others.split_at(split);
        least = nearest_first(*here, after.iter(), least);
        least = nearest_first(*here, before.iter().rev(), least);
    }
    least
}

/// The least of `least` and the distances to others that come in order of their distance along the bed.
fn nearest_first<'a>(here: Point, others: impl Iterator<Item = &'a Point>, mut least: f64) -> f64 {
    for other in others {
        if (other.x_mm - here.x_mm).abs() >= least {
            break;
        }
        least = least.min(here.distance_mm(*other));
    }
    least
}

/// Least distance between two stations of one crop; sorted.
pub(super) fn least_own_distance_mm(stations: &[Point]) -> f64 {
    let mut least = f64::INFINITY;
    for (idx, here) in stations.iter().enumerate() {
        least = nearest_first(*here, stations.iter().skip(idx + 1), least);
    }
    least
}

/// The different neighbourhoods of these stations within a reach; stations without neighbours are left out.
/// Both sorted. Cost: pairs within reach along the bed.
pub(super) fn neighbourhoods(these: &[Point], others: &[Point], reach_mm: f64) -> Vec<Neighbourhood> {
    let mut found: Vec<Neighbourhood> = Vec::new();
    let mut idx_by_key: HashMap<Vec<(i64, i64)>, usize> = HashMap::new();
    for here in these {
        let first = others.partition_point(|other| other.x_mm <= here.x_mm - reach_mm);
        let mut near: Vec<Point> = others
            .iter()
            .skip(first)
            .take_while(|other| other.x_mm < here.x_mm + reach_mm)
            .map(|other| Point { x_mm: other.x_mm - here.x_mm, y_mm: other.y_mm - here.y_mm })
            .filter(|other| other.x_mm.hypot(other.y_mm) < reach_mm)
            .collect();
        if near.is_empty() {
            continue;
        }
        let rounded = |mm: f64| (mm / SAME_MM).round() as i64;
        near.sort_unstable_by_key(|other| (rounded(other.x_mm), rounded(other.y_mm)));
        let key: Vec<(i64, i64)> = near.iter().map(|other| (rounded(other.x_mm), rounded(other.y_mm))).collect();
        let idx = *idx_by_key.entry(key).or_insert(found.len());
        match found.get_mut(idx) {
            Some(known) => known.n_stations += 1,
            None => found.push(Neighbourhood { others: near, n_stations: 1 }),
        }
    }
    let n_pairs: usize = found.iter().map(|around| around.others.len().pow(2)).sum();
    let every = n_pairs.div_ceil(PAIRS_MAX).min(found.len().div_ceil(NEIGHBOURHOODS_MIN));
    if every > 1 {
        found = found.into_iter().step_by(every).collect();
        for kept in &mut found {
            kept.n_stations *= every;
        }
    }
    found
}
