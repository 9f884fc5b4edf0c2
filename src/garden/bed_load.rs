//! What one bed may carry: so many entries of each list, and so many plantings at once.
//!
//! The days are those that a file names, what really happened before what was planned. A planting counts from the day it goes in
//! to the day it is cleared; without a day for that, to its last pick that is named, and for the day it goes in at least.
//! A planting of which no day is named is not counted: the plan says so where such plantings crowd a bed.

use std::collections::HashMap;

use chrono::{Days, NaiveDate};

use super::problem::{Place, Problem, problem, quoted};
use super::{Garden, List, Planting, PlantingId, RealDates, limits};
use crate::crops::Raised;

/// What really happened to plantings; those to which nothing did are left out.
type RealByPlanting = HashMap<PlantingId, RealDates>;

/// Every bed of a garden that carries too much.
pub(super) fn of_garden(garden: &Garden, out: &mut Vec<Problem>) {
    if garden.plantings.len() > limits::N_AT_ONCE {
        let mut by_bed: HashMap<&str, Vec<&Planting>> = HashMap::new();
        for planting in &garden.plantings {
            by_bed.entry(&planting.bed).or_default().push(planting);
        }
        let real = garden.real_dates_by_planting();
        let in_order = garden.beds.iter().filter_map(|bed| by_bed.get_key_value(bed.id.as_str()));
        in_order.for_each(|(bed, plantings)| of_plantings(bed, plantings, &real, out));
    }
    for list in List::ALL {
        let mut counts: HashMap<&str, usize> = HashMap::new();
        for (at, bed) in list.beds(garden).enumerate() {
            let n = counts.entry(bed).or_default();
            *n += 1;
            if *n == limits::N_IN_BED + 1 {
                out.push(too_many(Place::Entry { list: list.about().field, at }, bed, list.about().many));
            }
        }
    }
}

/// One bed, after an edit of its plantings.
pub(super) fn of_bed(garden: &Garden, bed: &str, out: &mut Vec<Problem>) {
    if garden.plantings.len() > limits::N_AT_ONCE {
        let plantings: Vec<&Planting> = garden.plantings.iter().filter(|planting| planting.bed == bed).collect();
        if plantings.len() > limits::N_AT_ONCE {
            let ids: Vec<_> = plantings.iter().map(|planting| planting.id).collect();
            of_plantings(bed, &plantings, &garden.real_dates_of(&ids), out);
        }
    }
}

/// One bed, after a row that names it was put into a list.
pub(super) fn of_list(garden: &Garden, list: List, bed: &str, out: &mut Vec<Problem>) {
    if list.n_rows(garden) > limits::N_IN_BED {
        let mut of_bed = list.beds(garden).enumerate().filter(|(_, other)| *other == bed);
        if let Some((at, _)) = of_bed.nth(limits::N_IN_BED) {
            out.push(too_many(Place::Entry { list: list.about().field, at }, bed, list.about().many));
        }
    }
}

fn of_plantings(bed: &str, plantings: &[&Planting], real: &RealByPlanting, out: &mut Vec<Problem>) {
    if let Some(first_beyond) = plantings.get(limits::N_IN_BED) {
        out.push(too_many(Place::Planting(first_beyond.id), bed, "plantings"));
    }
    if let Some((planting, day, n)) = too_many_at_once(plantings, real) {
        let (bed, most) = (quoted(bed), limits::N_AT_ONCE);
        let message = format!("on {day} {n} plantings stand in bed {bed}; {most} at once are the most");
        out.push(problem(Place::Planting(planting.id), "bed", message, "divide the bed, or clear some of them before"));
    }
}

fn too_many(place: Place, bed: &str, called: &str) -> Problem {
    let message = format!("bed {} has more than {} {called}", quoted(bed), limits::N_IN_BED);
    problem(place, "bed", message, "divide the bed, or keep what lies far back in a file of its own")
}

/// The first planting that is one too many in a bed, the day it goes in, and how many stand there on that day.
fn too_many_at_once<'a>(plantings: &[&'a Planting], real: &RealByPlanting) -> Option<(&'a Planting, NaiveDate, usize)> {
    if plantings.len() <= limits::N_AT_ONCE {
        return None;
    }
    let mut stays: Vec<_> =
        plantings.iter().filter_map(|planting| Some((known_stay(planting, real)?, *planting))).collect();
    stays.sort_by_key(|((from, _), planting)| (*from, planting.id));
    let mut ends: Vec<NaiveDate> = stays.iter().map(|((_, until), _)| *until).collect();
    ends.sort_unstable();
    let mut n_gone = 0;
    for (n_before, ((from, _), planting)) in stays.iter().enumerate() {
        n_gone += ends.iter().skip(n_gone).take_while(|end| **end <= *from).count();
        if n_before + 1 - n_gone > limits::N_AT_ONCE {
            let n_in = stays.partition_point(|((other, _), _)| other <= from);
            return Some((planting, *from, n_in - n_gone));
        }
    }
    None
}

/// From the day a planting goes in until the first day it no longer stands, as far as its file names them.
fn known_stay(planting: &Planting, real: &RealByPlanting) -> Option<(NaiveDate, NaiveDate)> {
    let planned = &planting.planned;
    let real = real.get(&planting.id).copied().unwrap_or_default();
    let (sow, plant) = (real.sow.or(planned.sow), real.plant.or(planned.plant));
    let from = match planting.raised {
        Raised::InPlace => sow.or(plant),
        Raised::Module => plant,
        _ => plant.or(sow),
    }?;
    let after = |day: NaiveDate| day.checked_add_days(Days::new(1)).unwrap_or(day);
    let pick = real.last_pick.or(planned.last_pick).or(real.first_pick).or(planned.first_pick);
    let until = real.clear.or(planned.clear).or(pick.map(after));
    Some((from, until.map_or(after(from), |until| until.max(after(from)))))
}
