//! Areas of overlapping discs, exact.

use std::f64::consts::PI;

use crate::units::Point;

/// Points nearer to each other than this are one point, in mm.
const SAME_PLACE_MM: f64 = 1e-7;

/// Up to this many neighbours the boundary of the common area is walked, at a cost that grows with their square; with more, the
/// disc is laid out in a raster, which is accurate to about half a per cent.
pub(super) const WALKED_MAX: usize = 64;

/// Rows of that raster; a row has a bit for each of its columns.
pub(super) const RASTER_ROWS: usize = 32;
const RASTER_COLUMNS: u32 = u64::BITS;

/// Area shared by two discs, in the square of the unit in which lengths are given.
///
/// Two circular segments: `r² acos(x/r) - x √(r² - x²)` each, `x` the distance from the centre to the common chord
/// (plane geometry).
pub fn lens_area(radius: f64, other_radius: f64, distance: f64) -> f64 {
    if distance >= radius + other_radius {
        return 0.0;
    }
    if distance <= (radius - other_radius).abs() {
        let least = radius.min(other_radius);
        return PI * least * least;
    }
    let segment = |r: f64, x: f64| r * r * (x / r).clamp(-1.0, 1.0).acos() - x * (r * r - x * x).max(0.0).sqrt();
    let to_chord = (distance * distance + radius * radius - other_radius * other_radius) / (2.0 * distance);
    (segment(radius, to_chord) + segment(other_radius, distance - to_chord)).max(0.0)
}

/// Share of a disc of `radius` about the origin that lies in any of the discs of `other_radius` about `others`.
///
/// `others_apart` says that no two of those can overlap; their lenses are then simply added up. Otherwise the boundary of the
/// common area is walked or, with more than [`WALKED_MAX`] of them, a raster is counted. A disc of radius 0 is wholly lost if its
/// point is covered, which is the limit of ever smaller discs. Cost: grows with the number of `others`, or with its square if
/// they are few and may overlap.
pub(super) fn share_taken(radius: f64, others: &[Point], other_radius: f64, others_apart: bool) -> f64 {
    let reach = radius + other_radius;
    let mut n_near = 0_usize;
    let mut nearest_mm2 = f64::INFINITY;
    for other in others {
        let mm2 = square_mm2(*other);
        nearest_mm2 = nearest_mm2.min(mm2);
        n_near += usize::from(mm2 < reach * reach);
    }
    if n_near == 0 {
        return 0.0;
    }
    if nearest_mm2.sqrt() + radius <= other_radius {
        return 1.0;
    }
    if radius <= 0.0 {
        return 0.0;
    }
    let taken = if n_near == 1 || others_apart {
        lens_areas(radius, others, other_radius)
    } else if n_near > WALKED_MAX {
        return raster_share(radius, others, other_radius);
    } else {
        union_area(radius, others, other_radius)
    };
    (taken / (PI * radius * radius)).clamp(0.0, 1.0)
}

/// The square of a point's distance from the origin. Squares and sums of millimetres in a bed stay within the range of a double,
/// so nothing costlier than a plain root is needed.
fn square_mm2(point: Point) -> f64 {
    point.x_mm * point.x_mm + point.y_mm * point.y_mm
}

/// The share of a disc about the origin that lies in the others, counted over the midpoints of a raster's cells.
fn raster_share(radius: f64, others: &[Point], other_radius: f64) -> f64 {
    let mut open = [0_u64; RASTER_ROWS];
    let mut row_mm = [0.0; RASTER_ROWS];
    for ((row, open), y_mm) in (0..).zip(&mut open).zip(&mut row_mm) {
        *y_mm = ((f64::from(row) + 0.5) / RASTER_ROWS as f64 * 2.0 - 1.0) * radius;
        let half_mm = (radius * radius - *y_mm * *y_mm).max(0.0).sqrt();
        *open = columns_within(-half_mm, half_mm, radius);
    }
    let n_fields: u32 = open.iter().map(|row| row.count_ones()).sum();
    let reach = radius + other_radius;
    for other in others.iter().filter(|other| square_mm2(**other) < reach * reach) {
        let mut is_any_open = false;
        for (open, y_mm) in open.iter_mut().zip(row_mm) {
            let half_mm2 = other_radius * other_radius - (y_mm - other.y_mm).powi(2);
            if half_mm2 > 0.0 && *open != 0 {
                let half_mm = half_mm2.sqrt();
                *open &= !columns_within(other.x_mm - half_mm, other.x_mm + half_mm, radius);
            }
            is_any_open |= *open != 0;
        }
        if !is_any_open {
            return 1.0;
        }
    }
    let n_open: u32 = open.iter().map(|row| row.count_ones()).sum();
    1.0 - f64::from(n_open) / f64::from(n_fields.max(1))
}

/// The columns of a raster over `-radius..radius` whose midpoints lie in a stretch, as bits.
fn columns_within(from_mm: f64, to_mm: f64, radius: f64) -> u64 {
    let column = |mm: f64| f64::midpoint(mm / radius, 1.0) * f64::from(RASTER_COLUMNS) - 0.5;
    let first = column(from_mm).ceil().clamp(0.0, f64::from(RASTER_COLUMNS)) as u32;
    let end = (column(to_mm).floor() + 1.0).clamp(0.0, f64::from(RASTER_COLUMNS)) as u32;
    let below = |n: u32| 1_u64.checked_shl(n).map_or(u64::MAX, |bit| bit - 1);
    below(end) & !below(first.min(end))
}

fn distance_mm(point: Point) -> f64 {
    square_mm2(point).sqrt()
}

/// The lenses of a disc about the origin with the others, added up.
fn lens_areas(radius: f64, others: &[Point], other_radius: f64) -> f64 {
    let reach = radius + other_radius;
    let mut sum = 0.0;
    // In a regular pattern the neighbours of a station are often all at one distance.
    let mut before = (f64::NAN, 0.0);
    for mm2 in others.iter().map(|other| square_mm2(*other)).filter(|mm2| *mm2 < reach * reach) {
        if before.0.to_bits() != mm2.to_bits() {
            before = (mm2, lens_area(radius, other_radius, mm2.sqrt()));
        }
        sum += before.1;
    }
    sum
}

/// Area of a disc about the origin that lies in any of the others, none of which contains it wholly.
///
/// Green's theorem: half the integral of `x dy - y dx` round the boundary. That boundary consists of the arcs
/// of this circle that lie in another disc, and of the arcs of the others that lie in this disc and in no further one.
fn union_area(radius: f64, others: &[Point], other_radius: f64) -> f64 {
    let reach = radius + other_radius;
    let near: Vec<Point> = others.iter().copied().filter(|other| square_mm2(*other) < reach * reach).collect();
    let mut blocked = Vec::with_capacity(2 * near.len());
    let mut area = 0.0;

    for other in &near {
        let distance = distance_mm(*other);
        if let Some(half) = half_angle_inside(radius, other_radius, distance) {
            push_arc(&mut blocked, other.y_mm.atan2(other.x_mm), half);
        }
    }
    let mut open = 0.0;
    for_each_gap(PI, &mut blocked, |from, to| open += to - from);
    area += radius * radius * (2.0 * PI - open) / 2.0;

    for (idx, this) in near.iter().enumerate() {
        let distance = distance_mm(*this);
        let Some(half) = half_angle_inside(other_radius, radius, distance) else { continue };
        let towards = (-this.y_mm).atan2(-this.x_mm);
        blocked.clear();
        let is_done = is_hidden(*this, idx, half, towards, &near, other_radius, &mut blocked)
            || near.iter().take(idx).any(|earlier| this.distance_mm(*earlier) < SAME_PLACE_MM);
        if is_done {
            continue;
        }
        for_each_gap(half, &mut blocked, |from, to| {
            let (from, to) = (from + towards, to + towards);
            let sweep = other_radius * other_radius * (to - from);
            let moment = this.x_mm * (to.sin() - from.sin()) - this.y_mm * (to.cos() - from.cos());
            area += f64::midpoint(sweep, other_radius * moment);
        });
    }
    area
}

/// Gathers the arcs of one circle that lie in the other discs, and says whether they hide all of `towards ± half`; if they do,
/// gathering stops early. The discs next to it in the list, which stand near it, are looked at first: in a dense scatter a few
/// dozen hide most circles.
fn is_hidden(
    this: Point,
    idx: usize,
    half: f64,
    towards: f64,
    near: &[Point],
    radius: f64,
    blocked: &mut Vec<(f64, f64)>,
) -> bool {
    let mut n_looked_at = 16;
    let meet_mm2 = 4.0 * radius * radius;
    for step in 1..near.len() {
        for further in [idx.checked_sub(step), idx.checked_add(step)] {
            let Some(further) = further.and_then(|idx| near.get(idx)) else { continue };
            let (dx, dy) = (further.x_mm - this.x_mm, further.y_mm - this.y_mm);
            let apart_mm2 = dx * dx + dy * dy;
            if apart_mm2 >= meet_mm2 {
                continue;
            }
            let apart = apart_mm2.sqrt();
            if apart >= SAME_PLACE_MM
                && let Some(hidden) = half_angle_inside(radius, radius, apart)
            {
                push_arc(blocked, dy.atan2(dx) - towards, hidden);
            }
        }
        if blocked.len() >= n_looked_at {
            n_looked_at *= 2;
            let mut is_open = false;
            for_each_gap(half, blocked, |_, _| is_open = true);
            if !is_open {
                return true;
            }
        }
    }
    false
}

/// Half the angle of the arc of a circle that lies inside a disc at `distance`: π if the whole circle does, `None` if none of it
/// does.
fn half_angle_inside(circle_radius: f64, disc_radius: f64, distance: f64) -> Option<f64> {
    if distance >= circle_radius + disc_radius || distance + disc_radius <= circle_radius {
        return None;
    }
    if distance + circle_radius <= disc_radius {
        return Some(PI);
    }
    let cosine = (distance * distance + circle_radius * circle_radius - disc_radius * disc_radius)
        / (2.0 * distance * circle_radius);
    Some(cosine.clamp(-1.0, 1.0).acos())
}

/// Adds an arc `middle ± half`, cut to the turn from -π to π.
fn push_arc(arcs: &mut Vec<(f64, f64)>, middle: f64, half: f64) {
    let middle = middle - (middle / (2.0 * PI)).round() * 2.0 * PI;
    let (from, to) = (middle - half, middle + half);
    arcs.push((from, to));
    if from < -PI {
        arcs.push((from + 2.0 * PI, to + 2.0 * PI));
    }
    if to > PI {
        arcs.push((from - 2.0 * PI, to - 2.0 * PI));
    }
}

/// The stretches of `-half..half` that no arc covers.
fn for_each_gap(half: f64, arcs: &mut [(f64, f64)], mut gap: impl FnMut(f64, f64)) {
    arcs.sort_unstable_by(|one, other| one.0.total_cmp(&other.0));
    let mut reached = -half;
    for (from, to) in arcs.iter() {
        if *from >= half {
            break;
        }
        if *from > reached {
            gap(reached, *from);
        }
        reached = reached.max(*to);
    }
    if reached < half {
        gap(reached, half);
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::float_cmp, reason = "these values are exact")]

    use proptest::prelude::*;

    use super::*;

    fn at(x_mm: f64, y_mm: f64) -> Point {
        Point { x_mm, y_mm }
    }

    /// The same share by counting points of a fine raster.
    fn share_by_raster(radius: f64, others: &[Point], other_radius: f64) -> f64 {
        let n = 400;
        let (mut inside, mut taken) = (0, 0);
        for i in 0..n {
            for j in 0..n {
                let here = at(
                    ((i as f64 + 0.5) / n as f64 * 2.0 - 1.0) * radius,
                    ((j as f64 + 0.5) / n as f64 * 2.0 - 1.0) * radius,
                );
                if here.distance_mm(at(0.0, 0.0)) <= radius {
                    inside += 1;
                    taken += u32::from(others.iter().any(|other| other.distance_mm(here) <= other_radius));
                }
            }
        }
        f64::from(taken) / f64::from(inside)
    }

    #[test]
    fn a_lens_of_two_unit_discs_one_apart_is_worked_by_hand() {
        // 2 (acos(1/2) - 1/2 · √3/2) = 2π/3 - √3/2.
        assert!((lens_area(1.0, 1.0, 1.0) - (2.0 * PI / 3.0 - 3.0_f64.sqrt() / 2.0)).abs() < 1e-12);
        // Radii 3 and 4, centres 5 apart: a right angle at the crossing; 9 acos(3/5) + 16 acos(4/5) - 12.
        let by_hand = 9.0 * 0.6_f64.acos() + 16.0 * 0.8_f64.acos() - 12.0;
        assert!((lens_area(3.0, 4.0, 5.0) - by_hand).abs() < 1e-12);
        assert_eq!(lens_area(1.0, 2.0, 3.0), 0.0);
        assert_eq!(lens_area(1.0, 3.0, 1.0), PI);
        // One within the other about the same centre, and two in one place.
        assert_eq!(lens_area(1.0, 3.0, 0.0), PI);
        assert_eq!(lens_area(2.0, 2.0, 0.0), 4.0 * PI);
    }

    #[test]
    fn one_place_planted_twice_counts_once() {
        let others = [at(1.0, 0.0), at(1.0, 0.0), at(-1.0, 0.5)];
        let once = share_taken(1.0, &[at(1.0, 0.0), at(-1.0, 0.5)], 1.0, false);
        assert!((share_taken(1.0, &others, 1.0, false) - once).abs() < 1e-12);
    }

    #[test]
    fn a_seed_under_a_leaf_has_lost_its_place() {
        assert_eq!(share_taken(0.0, &[at(3.0, 0.0)], 5.0, true), 1.0);
        assert_eq!(share_taken(0.0, &[at(6.0, 0.0)], 5.0, true), 0.0);
    }

    #[test]
    fn a_raster_counts_half_a_disc_and_a_quarter_as_by_hand() {
        // Others so large that their edges are straight: the half at the right, then the lower half besides.
        let far = 1e6;
        let half = raster_share(1.0, &[at(far, 0.0)], far);
        assert!((half - 0.5).abs() < 0.01, "{half}");
        let three_quarters = raster_share(1.0, &[at(far, 0.0), at(0.0, far)], far);
        assert!((three_quarters - 0.75).abs() < 0.01, "{three_quarters}");
        assert_eq!(raster_share(1.0, &[at(0.0, 0.0)], 2.0), 1.0);
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn many_neighbours_are_counted_in_a_raster_much_as_they_are_walked_round(
            radius in 0.3..2.0_f64, other_radius in 0.05..1.0_f64,
            others in proptest::collection::vec((-2.5..2.5_f64, -2.5..2.5_f64), WALKED_MAX + 1..300)
        ) {
            let others: Vec<Point> = others.into_iter().map(|(x, y)| at(x, y)).collect();
            let is_covered = others.iter().any(|other| distance_mm(*other) + radius <= other_radius);
            prop_assume!(!is_covered);
            let exact = union_area(radius, &others, other_radius) / (PI * radius * radius);
            let counted = raster_share(radius, &others, other_radius);
            prop_assert!((exact - counted).abs() < 0.02, "{exact} {counted}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn overlapping_neighbours_are_counted_once(
            radius in 0.3..2.0_f64, other_radius in 0.2..2.0_f64,
            others in proptest::collection::vec((-2.5..2.5_f64, -2.5..2.5_f64), 1..24)
        ) {
            let others: Vec<Point> = others.into_iter().map(|(x, y)| at(x, y)).collect();
            let exact = share_taken(radius, &others, other_radius, false);
            let raster = share_by_raster(radius, &others, other_radius);
            prop_assert!((exact - raster).abs() < 0.005, "{exact} {raster}");
        }
    }
}
