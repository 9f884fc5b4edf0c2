//! What a garden must hold to, on reading a file and after every edit.
//!
//! A crop that is in no book is not a fault of the garden: the garden looks nothing up, and the plan lists it as
//! a finding. Whether dates and crops make sense in the trade is for the engines to say. Here only that is
//! refused which would leave the rest of the program without firm ground. One walk over the garden, no list
//! walked inside another: the cost grows linearly.

use std::collections::HashMap;

use super::problem::{N_PROBLEMS_MOST, Place, Problem, no_bed, problem, quoted};
use super::{Bed, Garden, List, bed_load, check, real};

/// Everything in a garden that does not hold together, the first thousand or so; plantings must be in order of their numbers, rows of
/// lists need not be in order yet.
pub fn validate(garden: &Garden) -> Vec<Problem> {
    let mut problems = Vec::new();
    let out = &mut problems;
    check::counts(garden, out);
    check::garden_name(&garden.name, out);
    check::site(&garden.site, out);

    let mut beds: HashMap<&str, &Bed> = HashMap::with_capacity(garden.beds.len());
    for (at, bed) in garden.beds.iter().enumerate() {
        check::bed(at, bed, out);
        if beds.insert(&bed.id, bed).is_some() {
            let place = Place::Bed { at, id: bed.id.clone() };
            let message = format!("there is another bed `{}`", quoted(&bed.id));
            out.push(problem(place, "id", message, "give each bed an id of its own"));
        }
    }
    for pair in garden.plantings.windows(2) {
        if out.len() >= N_PROBLEMS_MOST {
            return problems;
        }
        if let [one, other] = pair
            && one.id == other.id
        {
            let message = format!("there is another planting with id {}", other.id.0);
            let hint = format!("give one of them a number that is free, such as {}", garden.next_planting_id().0);
            out.push(problem(Place::Planting(other.id), "id", message, hint));
        }
    }
    for planting in &garden.plantings {
        if out.len() >= N_PROBLEMS_MOST {
            return problems;
        }
        let bed = beds.get(planting.bed.as_str()).copied();
        if bed.is_none() {
            let place = Place::Planting(planting.id);
            out.push(no_bed(place, &planting.bed));
        }
        check::planting(planting, bed, out);
        check::host(planting, garden, out);
    }

    let has_bed = |bed: &str| beds.contains_key(bed);
    for list in List::ALL {
        list.check(garden, &has_bed, out);
    }
    real::check_garden(garden, out);
    if out.len() < N_PROBLEMS_MOST {
        bed_load::of_garden(garden, out);
    }
    problems
}
