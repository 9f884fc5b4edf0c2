//! What really happened to a planting, read out of the list of what happened, and what that list must hold to.

use std::collections::{BTreeMap, HashMap};

use chrono::NaiveDate;

use super::fields::check_order;
use super::lists::Row;
use super::problem::{N_PROBLEMS_MOST, Place, Problem, problem};
use super::{Ending, Garden, Happened, Happening, PlantingId, limits};

/// What really happened to a planting.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct RealDates {
    /// Sown.
    pub sow: Option<NaiveDate>,
    /// Came up.
    pub emerge: Option<NaiveDate>,
    /// Set into the bed.
    pub plant: Option<NaiveDate>,
    /// First picked.
    pub first_pick: Option<NaiveDate>,
    /// Last picked: known once a pick was said to be the last, or once the planting has ended and was picked on several days. Before
    /// that more may follow.
    pub last_pick: Option<NaiveDate>,
    /// Cleared.
    pub clear: Option<NaiveDate>,
    /// Why it ended.
    pub ended: Option<Ending>,
    /// Picked so far, g.
    pub picked_g: u64,
    /// Picked so far, pieces.
    pub picked_pieces: u64,
    /// Plants lost so far.
    pub lost_plants: u64,
}

/// What happened to one planting, gathered row by row in any order.
#[derive(Debug, Clone, Copy, Default)]
struct Gathered {
    real: RealDates,
    latest_pick: Option<NaiveDate>,
    is_picked_out: bool,
}

impl Gathered {
    fn add(&mut self, row: &Happened) {
        let Self { real, latest_pick, is_picked_out } = self;
        let date = Some(row.date);
        match row.what {
            Happening::Sown => real.sow = date,
            Happening::Emerged => real.emerge = date,
            Happening::Planted => real.plant = date,
            Happening::Picked { g, pieces, household: _, is_last } => {
                real.first_pick = real.first_pick.or(date).min(date);
                *latest_pick = (*latest_pick).max(date);
                *is_picked_out |= is_last;
                real.picked_g += u64::from(g.unwrap_or(0));
                real.picked_pieces += u64::from(pieces.unwrap_or(0));
            }
            Happening::Lost { plants, why: _ } => real.lost_plants += u64::from(plants),
            Happening::Ended { why } => (real.clear, real.ended) = (date, why),
        }
    }

    fn real(self) -> RealDates {
        let Self { real, latest_pick, is_picked_out } = self;
        // Of one that has ended only the first pick may have been noted.
        let is_known = is_picked_out || (real.clear.is_some() && latest_pick > real.first_pick);
        RealDates { last_pick: latest_pick.filter(|_| is_known), ..real }
    }
}

impl RealDates {
    /// What these rows say, all of one planting.
    pub(super) fn of_rows<'a>(rows: impl IntoIterator<Item = &'a Happened>) -> Self {
        let mut gathered = Gathered::default();
        rows.into_iter().for_each(|row| gathered.add(row));
        gathered.real()
    }
}

impl Garden {
    /// What really happened to a planting. Looks the whole list through.
    pub fn real_dates(&self, id: PlantingId) -> RealDates {
        RealDates::of_rows(self.happened.iter().filter(|row| row.planting == id))
    }

    /// What really happened, by planting; those to which nothing did are left out.
    pub fn real_dates_by_planting(&self) -> HashMap<PlantingId, RealDates> {
        by_planting(self.happened.iter())
    }

    /// The same of these plantings alone, given in order of their numbers.
    pub fn real_dates_of(&self, ids: &[PlantingId]) -> HashMap<PlantingId, RealDates> {
        by_planting(self.happened.iter().filter(|row| ids.binary_search(&row.planting).is_ok()))
    }
}

fn by_planting<'a>(rows: impl Iterator<Item = &'a Happened>) -> HashMap<PlantingId, RealDates> {
    let mut gathered: HashMap<PlantingId, Gathered> = HashMap::new();
    rows.for_each(|row| gathered.entry(row.planting).or_default().add(row));
    gathered.into_iter().map(|(id, gathered)| (id, gathered.real())).collect()
}

/// Everything that happened in a garden; the rows need not be in order yet.
pub(super) fn check_garden(garden: &Garden, out: &mut Vec<Problem>) {
    let mut by_planting: BTreeMap<PlantingId, Vec<(usize, &Happened)>> = BTreeMap::new();
    for (at, row) in garden.happened.iter().enumerate() {
        by_planting.entry(row.planting).or_default().push((at, row));
    }
    for rows in by_planting.values() {
        if out.len() >= N_PROBLEMS_MOST {
            return;
        }
        check_rows(rows, out);
    }
}

/// What happened to one planting, after an edit.
pub(super) fn check_planting(garden: &Garden, id: PlantingId, out: &mut Vec<Problem>) {
    let rows: Vec<_> = garden.happened.iter().enumerate().filter(|(_, row)| row.planting == id).collect();
    check_rows(&rows, out);
}

fn place(at: usize) -> Place {
    Place::Entry { list: Happened::ABOUT.field, at }
}

/// The rows of one planting: what can happen only once stands there once, and the days are in order.
fn check_rows(rows: &[(usize, &Happened)], out: &mut Vec<Problem>) {
    if let Some((at, row)) = rows.get(limits::N_RECORDS) {
        let message = format!("{} has more than {} entries", row.planting, limits::N_RECORDS);
        out.push(problem(place(*at), "planting", message, "sum days up into weeks"));
    }
    let only = |is_it: fn(&Happening) -> bool, done: &'static str, out: &mut Vec<Problem>| {
        let mut told = rows.iter().filter(|(_, row)| is_it(&row.what));
        let first = told.next();
        if let (Some((_, first)), Some((at, second))) = (first, told.next()) {
            let (id, one, other) = (second.planting, first.date, second.date);
            let message = format!("{id} is {done} twice, on {one} and on {other}");
            out.push(problem(place(*at), "what", message, "keep one of the two"));
        }
        first.map(|(at, row)| (place(*at), row.date))
    };
    let sown = only(|what| *what == Happening::Sown, "sown", out);
    let up = only(|what| *what == Happening::Emerged, "up", out);
    let planted = only(|what| *what == Happening::Planted, "planted", out);
    let cleared = only(|what| matches!(what, Happening::Ended { .. }), "cleared", out);
    let picks = || rows.iter().filter(|(_, row)| matches!(row.what, Happening::Picked { .. }));
    let day_of = |(at, row): &(usize, &Happened)| (place(*at), row.date);
    let first_pick = picks().min_by_key(|(_, row)| row.date).map(day_of);
    let last_pick = picks().max_by_key(|(_, row)| row.date).map(day_of);
    check_order(
        [
            ("date", "sown", sown.clone()),
            ("date", "planted", planted),
            ("date", "first picked", first_pick),
            ("date", "last picked", last_pick),
            ("date", "cleared", cleared.clone()),
        ],
        out,
    );
    // Sets come up after planting, modules before it: only sowing is certain to come first.
    check_order([("date", "sown", sown), ("date", "up", up), ("date", "cleared", cleared)], out);
}
