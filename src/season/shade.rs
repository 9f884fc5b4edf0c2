//! How much sun tall crops take from what stands in beds nearby.
//!
//! From the geometry of the sun alone: at the middle of a month the sun stands where [`crate::climate::sun`] has it; the shadow of
//! a crop of height h reaches h / tan(altitude), and no farther than three times its height is looked. Counted are the
//! hours between 9:00 and 15:00 solar time, in which most of the light falls, as a mean over three points along the
//! shaded bed. Beds lie where the garden file puts them: the north-west corner of a bed's outline east and south of the
//! site's corner, its length along its bearing.
//!
//! Where it stops being true: the ground is level; a crop is a solid block of the book's height from the day it covers its
//! ground; cloud, walls, trees and low crops are left out; a shaded crop's own height too.

use std::cmp::Reverse;
use std::collections::BTreeSet;
use std::sync::Arc;

use chrono::{Datelike, NaiveDate};

use super::accept::mark_accepted;
use super::inputs::Inputs;
use super::{BedSeason, Finding, LeftOut, Says, Shade, Standing, bounds, listing};
use crate::climate::sun::{noon_altitude_deg, solar_altitude_deg, solar_azimuth_deg};
use crate::crops::CropBook;
use crate::garden::{Bed, Garden, PlantingId, Severity};
use crate::growth::full_cover_on;
use crate::units::{Mm, Rect};

/// A crop so high is tall (starting value).
pub(super) const TALL: Mm = Mm(1200);

/// Heights within which a shadow counts.
const REACH_HEIGHTS: f64 = 3.0;

/// A crop at least so much of the other's height is not troubled by its shade (starting value).
const AS_TALL_SHARE: f64 = 0.5;

/// Hours of solar time that count, from 9:00 to 15:00.
const FROM_HOUR: f64 = 9.0;
/// Length of each part of them, hours.
const STEP_HOURS: f64 = 0.5;
/// Parts there are.
const N_STEPS: usize = 12;

/// Hours lost of the six from which it is worth a note (starting value).
const NOTED_HOURS: f64 = 1.0;

/// Hours lost of the six from which to think twice: a third (starting value: books ask six hours of sun a day of fruiting crops,
/// and a summer day at 45 to 55° has some nine of strong light).
const CAUTION_HOURS: f64 = 2.0;

/// A month counts if the sun stands at least this high at solar noon, degrees: below it little grows (starting value).
const NOON_LEAST_DEG: f64 = 25.0;

/// Points along a shaded bed, as shares of its length.
const ALONG: [f64; 3] = [0.2, 0.5, 0.8];

/// Towards the sun at one time of day.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Ray {
    east: f64,
    north: f64,
    /// Length of the shadow of a height of one.
    per_height: f64,
}

/// Where a bed lies on the site, in mm.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Place {
    /// East and north of the site's corner of the place where x and y are 0.
    east: f64,
    north: f64,
    /// Sine and cosine of the bearing of its length.
    sin: f64,
    cos: f64,
    length: f64,
    width: f64,
}

impl Place {
    /// `None` for a bed that was never given a place.
    fn of(bed: &Bed) -> Option<Self> {
        if (bed.east_mm, bed.south_mm) == (Mm::ZERO, Mm::ZERO) {
            return None;
        }
        let (sin, cos) = f64::from(bed.bearing_deg).to_radians().sin_cos();
        let (length, width) = (bed.length_mm.as_f64(), bed.width_mm.as_f64());
        // Along is (sin, cos) east and north, across to the right of it (cos, -sin).
        let least_east = (length * sin).min(0.0) + (width * cos).min(0.0);
        let most_north = (length * cos).max(0.0) + (-width * sin).max(0.0);
        let (east, north) = (bed.east_mm.as_f64() - least_east, -bed.south_mm.as_f64() - most_north);
        Some(Self { east, north, sin, cos, length, width })
    }

    fn on_site(&self, x: f64, y: f64) -> (f64, f64) {
        (self.east + x * self.sin + y * self.cos, self.north + x * self.cos - y * self.sin)
    }

    /// The same direction along and across the bed.
    fn turned(&self, east: f64, north: f64) -> (f64, f64) {
        (east * self.sin + north * self.cos, east * self.cos - north * self.sin)
    }

    fn in_bed(&self, (east, north): (f64, f64)) -> (f64, f64) {
        self.turned(east - self.east, north - self.north)
    }

    fn centre(&self) -> (f64, f64) {
        self.on_site(self.length / 2.0, self.width / 2.0)
    }

    /// Whether some of another bed may lie so near.
    fn is_within(&self, reach: f64, other: &Self) -> bool {
        let (x, y) = self.in_bed(other.centre());
        let reach = reach + other.half_diagonal();
        (-reach..self.length + reach).contains(&x) && (-reach..self.width + reach).contains(&y)
    }

    /// How far south and how far north it reaches.
    fn south_and_north(&self) -> (f64, f64) {
        let half = f64::midpoint((self.length * self.cos).abs(), (self.width * self.sin).abs());
        (self.centre().1 - half, self.centre().1 + half)
    }

    fn half_diagonal(&self) -> f64 {
        (self.length * self.length + self.width * self.width).sqrt() / 2.0
    }
}

/// What looking at another bed, and following its shadows of a month, cost, in steps of some nanoseconds, about.
const WORK_A_BED: u64 = 4;
const WORK_A_MONTH: u64 = 100;

/// Where the sun stands month by month, where beds lie, and which are near enough to shade one another.
#[derive(Debug, Default, PartialEq)]
pub(super) struct Shadows {
    /// By month; empty where the sun stands too low.
    rays: [Option<[Ray; N_STEPS]>; 12],
    places: Vec<Option<Place>>,
    near: Vec<Vec<u32>>,
}

impl Shadows {
    pub fn of_garden(garden: &Garden, book: &CropBook) -> Self {
        let tallest = book.crops().iter().map(|crop| crop.size.height_mm).max().unwrap_or(Mm::ZERO).as_f64();
        let reach = tallest * REACH_HEIGHTS;
        let places: Vec<Option<Place>> = garden.beds.iter().map(Place::of).collect();
        // Beds from west to east, so that only those within reach eastward are compared.
        let mut by_east: Vec<(f64, f64, f64, usize)> = places
            .iter()
            .enumerate()
            .filter_map(|(bed_idx, place)| {
                let place = place.as_ref()?;
                let (east, north) = place.centre();
                Some((east, north, place.half_diagonal(), bed_idx))
            })
            .collect();
        by_east.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.3.cmp(&b.3)));
        let widest = by_east.iter().map(|bed| bed.2).fold(0.0, f64::max);
        let mut near = vec![Vec::new(); places.len()];
        for (n, a) in by_east.iter().enumerate() {
            let later = by_east.iter().skip(n + 1).take_while(|b| b.0 - a.0 <= reach + a.2 + widest);
            for b in later.filter(|b| (b.0 - a.0).powi(2) + (b.1 - a.1).powi(2) <= (reach + a.2 + b.2).powi(2)) {
                if let Some(beds) = near.get_mut(a.3) {
                    beds.push(b.3 as u32);
                }
                if let Some(beds) = near.get_mut(b.3) {
                    beds.push(a.3 as u32);
                }
            }
        }
        for beds in &mut near {
            beds.sort_unstable();
        }
        Self { rays: rays(garden.site.latitude_deg), places, near }
    }

    /// Beds near enough to shade this one or be shaded by it.
    pub fn near(&self, bed_idx: usize) -> impl Iterator<Item = usize> {
        self.near.get(bed_idx).map_or(&[][..], Vec::as_slice).iter().map(|&near| near as usize)
    }

    /// Hours of sun that a bed loses in a month to a crop on that ground of another bed.
    fn hours_lost(&self, month: u32, tall: &Place, ground: &[Rect], height: f64, shaded: &Place) -> f64 {
        let Some(Some(rays)) = self.rays.get(month.saturating_sub(1) as usize) else { return 0.0 };
        let reach = height * REACH_HEIGHTS;
        let (south, north) = tall.south_and_north();
        let is_sun_south = rays.iter().all(|ray| ray.north <= 0.0);
        let is_sun_north = rays.iter().all(|ray| ray.north >= 0.0);
        let mut n_dark = 0.0;
        for share in ALONG {
            let point = shaded.on_site(shaded.length * share, shaded.width / 2.0);
            // Wholly on the far side from the sun.
            if (is_sun_south && south >= point.1) || (is_sun_north && north <= point.1) {
                continue;
            }
            let (x, y) = tall.in_bed(point);
            // Out of reach of the whole bed: no ray needs to be followed.
            let gap_x = (-x).max(x - tall.length).max(0.0);
            let gap_y = (-y).max(y - tall.width).max(0.0);
            if gap_x * gap_x + gap_y * gap_y > reach * reach {
                continue;
            }
            for ray in rays {
                let (dx, dy) = tall.turned(ray.east, ray.north);
                let far = (ray.per_height * height).min(reach);
                n_dark += f64::from(ground.iter().any(|rect| meets(rect, (x, y), (dx, dy), far)));
            }
        }
        n_dark * STEP_HOURS / ALONG.len() as f64
    }
}

/// Where the sun stands in the middle of each month (of any one year: it moves by a fraction of a degree from year to year).
fn rays(latitude_deg: f64) -> [Option<[Ray; N_STEPS]>; 12] {
    let mut month = 0;
    [(); 12].map(|()| {
        month += 1;
        let date = NaiveDate::from_ymd_opt(2027, month, 15)?;
        if noon_altitude_deg(latitude_deg, date) < NOON_LEAST_DEG {
            return None;
        }
        let mut hour = FROM_HOUR - STEP_HOURS / 2.0;
        Some([(); N_STEPS].map(|()| {
            hour += STEP_HOURS;
            let altitude = solar_altitude_deg(latitude_deg, date, hour).max(1.0).to_radians();
            let (east, north) = solar_azimuth_deg(latitude_deg, date, hour).to_radians().sin_cos();
            Ray { east, north, per_height: 1.0 / altitude.tan() }
        }))
    })
}

/// Whether the way from a point over a distance in a direction of length one leads over a rectangle.
fn meets(rect: &Rect, (x, y): (f64, f64), (dx, dy): (f64, f64), far: f64) -> bool {
    let within = |from: f64, step: f64, low: Mm, high: Mm| {
        let (low, high) = (low.as_f64(), high.as_f64());
        if step.abs() < 1e-9 {
            return (low..high).contains(&from).then_some((0.0, far));
        }
        let (a, b) = ((low - from) / step, (high - from) / step);
        Some((a.min(b), a.max(b)))
    };
    let Some((enter_x, leave_x)) = within(x, dx, rect.x0, rect.x1) else { return false };
    let Some((enter_y, leave_y)) = within(y, dy, rect.y0, rect.y1) else { return false };
    enter_x.max(enter_y).max(0.0) < leave_x.min(leave_y).min(far)
}

/// What a tall crop takes from a bed within its reach.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Taken {
    bed_idx: u32,
    /// Where it takes most: from which planting, when, hours.
    most: Option<(PlantingId, NaiveDate, f64)>,
    is_noted: bool,
    /// What it cost to find out.
    work: u64,
}

/// What each tall crop of a bed takes from each bed within its reach. It stays as long as neither of the two beds changes: a bed that does
/// has to be looked at again from every bed near it, but none of the others from there.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Cast {
    by_crop: Vec<Vec<Taken>>,
}

/// What is known of shadows when they are followed again.
#[derive(Clone, Copy)]
pub(super) struct Known<'a> {
    /// Of the bed whose shadows are followed.
    pub cast: &'a Cast,
    /// Places of the beds that have changed since.
    pub changed: &'a BTreeSet<usize>,
}

fn is_tall(inputs: Inputs<'_>, standing: &Standing) -> bool {
    inputs.book.crops().get(standing.crop_idx).is_some_and(|crop| crop.size.height_mm >= TALL)
}

/// What the tall crops of a bed take from beds nearby, one finding for each of them; and how it came about, none if it has no such crop.
pub(super) fn of_bed(
    inputs: Inputs<'_>,
    shadows: &Shadows,
    beds: &[Arc<BedSeason>],
    bed_idx: usize,
    known: Option<Known<'_>>,
) -> (Vec<Finding>, Option<Arc<Cast>>) {
    let standing = beds.get(bed_idx).map_or(&[][..], |bed| &bed.standing);
    let mut work_left = bounds::shade_work_of_a_bed(beds.len());
    let mut n_crops = 0;
    let mut found = Vec::new();
    let mut cast = Cast::default();
    let known = known.filter(|known| !known.changed.contains(&bed_idx));
    for tall in standing.iter().filter(|standing| is_tall(inputs, standing)) {
        if work_left > 0 {
            let of_crop = known.and_then(|known| known.cast.by_crop.get(cast.by_crop.len()));
            let known = known.zip(of_crop).map(|(known, of_crop)| (of_crop.as_slice(), known.changed));
            let (finding, taken) = of_standing(inputs, shadows, beds, (bed_idx, tall), known, &mut work_left);
            found.extend(finding);
            cast.by_crop.push(taken);
        } else {
            n_crops += 1;
        }
    }
    if n_crops > 0 {
        let says = Says::LeftOut(LeftOut::Shadows { n_crops });
        found.push(Finding { severity: Severity::Note, bed_idx, planting: None, says, accepted: None });
    }
    (found, (!cast.by_crop.is_empty()).then(|| Arc::new(cast)))
}

/// What one crop takes from beds nearby; `None` if it is not tall or takes little. Once no work is left, in steps of some nanoseconds,
/// no further bed is looked at.
pub(super) fn of_one(
    inputs: Inputs<'_>,
    shadows: &Shadows,
    beds: &[Arc<BedSeason>],
    bed_idx: usize,
    standing: &Standing,
) -> Option<Finding> {
    let mut work_left = bounds::shade_work_of_a_bed(beds.len());
    is_tall(inputs, standing)
        .then(|| of_standing(inputs, shadows, beds, (bed_idx, standing), None, &mut work_left).0)
        .flatten()
}

/// The same of a tall crop, with what it takes from each bed within reach. What is known of beds that have not changed is not sought
/// again, but counts as work all the same: it must not depend on what was asked before.
fn of_standing(
    inputs: Inputs<'_>,
    shadows: &Shadows,
    beds: &[Arc<BedSeason>],
    (bed_idx, tall): (usize, &Standing),
    known: Option<(&[Taken], &BTreeSet<usize>)>,
    work_left: &mut u64,
) -> (Option<Finding>, Vec<Taken>) {
    let mut kept = Vec::with_capacity(known.map_or(0, |(known, _)| known.len()));
    let crop = inputs.book.crops().get(tall.crop_idx);
    let Some((crop, place)) = crop.zip(shadows.places.get(bed_idx).and_then(Option::as_ref)) else {
        return (None, kept);
    };
    let reach = crop.size.height_mm.as_f64() * REACH_HEIGHTS;
    let full_from = full_cover_on(crop, &tall.stages);
    let mut found = Shade { other: tall.id, on: full_from, hours_lost: 0.0, n_beds: 0 };
    // Both are in the order of the walk.
    let mut known_beds = known.map_or(&[][..], |(known, _)| known).iter().peekable();
    for other_idx in shadows.near(bed_idx) {
        let Some((other_place, other_bed)) =
            shadows.places.get(other_idx).and_then(Option::as_ref).zip(beds.get(other_idx))
        else {
            continue;
        };
        *work_left = work_left.saturating_sub(WORK_A_BED);
        if !place.is_within(reach, other_place) {
            continue;
        }
        if *work_left == 0 {
            break;
        }
        while known_beds.next_if(|known| (known.bed_idx as usize) < other_idx).is_some() {}
        let known_of_it = known_beds
            .peek()
            .filter(|known| known.bed_idx as usize == other_idx)
            .filter(|_| known.is_some_and(|(_, changed)| !changed.contains(&other_idx)));
        let taken = match known_of_it {
            Some(known) => **known,
            None => {
                let shaded = (other_idx, other_place, other_bed.standing.as_slice());
                taken_from(inputs, shadows, (place, tall, full_from), shaded)
            }
        };
        *work_left = work_left.saturating_sub(taken.work);
        if let Some((other, on, hours)) = taken.most
            && hours > found.hours_lost
        {
            (found.other, found.on, found.hours_lost) = (other, on, hours);
        }
        found.n_beds += usize::from(taken.is_noted);
        kept.push(taken);
    }
    if found.hours_lost < NOTED_HOURS {
        return (None, kept);
    }
    let severity = if found.hours_lost >= CAUTION_HOURS { Severity::Caution } else { Severity::Note };
    let mut finding = Finding { severity, bed_idx, planting: Some(tall.id), says: Says::Shade(found), accepted: None };
    if let Some(places) = inputs.index.accepted.get(&tall.id) {
        let standing = beds.get(bed_idx).map_or(&[][..], |bed| &bed.standing);
        mark_accepted(inputs.garden, inputs.book, standing, &mut finding, places);
    }
    (Some(finding), kept)
}

/// What a tall crop that covers its ground from a day on takes from the low ones of another bed.
fn taken_from(
    inputs: Inputs<'_>,
    shadows: &Shadows,
    (place, tall, full_from): (&Place, &Standing, NaiveDate),
    (other_idx, other_place, others): (usize, &Place, &[Standing]),
) -> Taken {
    let height_of = |standing: &Standing| {
        inputs.book.crops().get(standing.crop_idx).map_or(f64::INFINITY, |crop| crop.size.height_mm.as_f64())
    };
    let height = height_of(tall);
    // They come by the day they enter.
    let n_before = others.partition_point(|other| other.stages.enters < tall.stages.clear);
    let mut taken = Taken { bed_idx: other_idx as u32, most: None, is_noted: false, work: n_before as u64 };
    let mut by_month = [None; 13];
    for other in others.iter().take(n_before).filter(|other| other.stages.clear > full_from) {
        let from = full_from.max(other.stages.enters);
        let until = tall.stages.clear.min(other.stages.clear);
        if from >= until || other.id == tall.id || height_of(other) >= height * AS_TALL_SHARE {
            continue;
        }
        for on in ends_of(from, until, shadows).into_iter().flatten() {
            let Some(known) = by_month.get_mut(on.month() as usize) else { continue };
            let hours = *known.get_or_insert_with(|| {
                taken.work += WORK_A_MONTH;
                shadows.hours_lost(on.month(), place, &tall.ground, height, other_place)
            });
            taken.is_noted |= hours >= NOTED_HOURS;
            if hours > taken.most.map_or(0.0, |(_, _, most)| most) {
                taken.most = Some((other.id, on, hours));
            }
        }
    }
    taken
}

/// The first and the last middle of a month with a high sun in `from..until`: between them the sun stands higher. Of a stay of
/// years the first twelve months are looked at.
fn ends_of(from: NaiveDate, until: NaiveDate, shadows: &Shadows) -> [Option<NaiveDate>; 2] {
    let middle = |n: i32| {
        let months = from.year() * 12 + from.month0() as i32 + n;
        NaiveDate::from_ymd_opt(months.div_euclid(12), months.rem_euclid(12) as u32 + 1, 15)
    };
    let is_meant = |day: &NaiveDate| {
        (from..until).contains(day) && shadows.rays.get(day.month0() as usize).is_some_and(Option::is_some)
    };
    let n_months = (until.year() - from.year()) * 12 + until.month0() as i32 - from.month0() as i32;
    let n_most = n_months.min(12);
    let first = (0..=n_most).filter_map(middle).find(is_meant);
    let last = (0..=n_most).rev().filter_map(middle).find(is_meant).filter(|last| Some(*last) != first);
    [first, last]
}

/// Puts what was found of a bed's shadows in place of what was known; a bed of which nothing else is found now stays shared.
pub(super) fn put_in(garden: &Garden, book: &CropBook, bed: &mut Arc<BedSeason>, mut found: Vec<Finding>) {
    let is_of_shade =
        |finding: &Finding| matches!(finding.says, Says::Shade(_) | Says::LeftOut(LeftOut::Shadows { .. }));
    let in_order = |finding: &Finding| (Reverse(finding.severity), finding.planting);
    found.sort_by_key(in_order);
    let mut known = bed.findings.iter().filter(|finding| is_of_shade(finding));
    if found.iter().all(|new| known.next().is_some_and(|old| is_said_alike(old, new))) && known.next().is_none() {
        return;
    }
    let bed = Arc::make_mut(bed);
    bed.findings.retain(|finding| !is_of_shade(finding));
    bed.findings.extend(found);
    bed.findings.sort_by_key(in_order);
    listing::put_in_groups(garden, book, bed);
}

/// Whether two findings of shade of one bed say the same.
fn is_said_alike(old: &Finding, new: &Finding) -> bool {
    let is_same = match (&old.says, &new.says) {
        (Says::Shade(old), Says::Shade(new)) => old == new,
        (Says::LeftOut(old), Says::LeftOut(new)) => old == new,
        _ => false,
    };
    is_same && (old.severity, old.planting, &old.accepted) == (new.severity, new.planting, &new.accepted)
}

#[cfg(test)]
mod tests;
