//! What is done with the rows of any one list.

use std::collections::HashSet;
use std::fmt;
use std::hash::Hash;

use super::{Entry, List};
use crate::garden::fields::check_limit;
use crate::garden::problem::{N_PROBLEMS_MOST, Place, Problem, no_bed, problem, quoted};
use crate::garden::{Deed, EditError, EntryId, Garden, Happened, PlantingId, Tells, limits};

/// What is said of a list as a whole.
#[derive(Debug, Clone, Copy)]
pub struct About {
    /// The garden's field, as the file names it.
    pub field: &'static str,
    /// What a row is called.
    pub one: &'static str,
    /// What rows are called.
    pub many: &'static str,
    /// Rows it may have.
    pub most: usize,
    /// What its rows name.
    pub names: Names,
    /// What depends on it.
    pub reaches: Reaches,
}

/// What the rows of a list name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Names {
    /// A bed, which must be there.
    Bed,
    /// Perhaps a bed, which must be there.
    BedOrNone,
    /// A planting, which may be gone.
    Planting,
    /// Neither.
    Nothing,
}

/// What is to be worked out anew when a row changes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reaches {
    /// The bed it names, or that of the planting it names.
    Named,
    /// What is wanted and what it is worth, which is looked up when it is asked for.
    Wants,
    /// The book, and so everything.
    Book,
    /// Every bed.
    Everything,
    /// Nothing.
    Nothing,
}

/// What a row is known by.
pub trait RowKey: Clone + Ord + Hash + fmt::Debug {
    /// The number, if it is one.
    fn number(&self) -> Option<EntryId> {
        None
    }

    /// The key that is a number.
    fn of_number(_: EntryId) -> Option<Self> {
        None
    }

    /// As messages name it.
    fn words(&self) -> String;
}

impl RowKey for EntryId {
    fn number(&self) -> Option<EntryId> {
        Some(*self)
    }

    fn of_number(number: EntryId) -> Option<Self> {
        Some(number)
    }

    fn words(&self) -> String {
        self.to_string()
    }
}

impl RowKey for String {
    fn words(&self) -> String {
        format!("`{}`", quoted(self))
    }
}

/// A row of a list.
pub trait Row: Tells + Clone + PartialEq + Into<Entry> {
    /// What it is known by.
    type Key: RowKey;

    /// Its list.
    const LIST: List;

    /// What is said of its list.
    const ABOUT: About;

    /// Its key.
    fn key(&self) -> &Self::Key;

    /// Its key, to be set.
    fn key_mut(&mut self) -> &mut Self::Key;

    /// The rows of a garden, in the order of their keys.
    fn rows(garden: &Garden) -> &Vec<Self>;

    /// The rows of a garden, to be changed.
    fn rows_mut(garden: &mut Garden) -> &mut Vec<Self>;

    /// The bed it names.
    fn bed(&self) -> Option<&str>;

    /// The bed it names, to be renamed.
    fn bed_mut(&mut self) -> Option<&mut String>;

    /// The planting it names.
    fn planting(&self) -> Option<PlantingId>;
}

impl Garden {
    /// The row of that key.
    pub fn row<R: Row>(&self, key: &R::Key) -> Option<&R> {
        let rows = R::rows(self);
        place::<R>(rows, key).ok().and_then(|at| rows.get(at))
    }

    /// A number that no row of the list has, nor any row taken out that another row still names; the rows must be in order.
    pub fn next_entry_id<R: Row<Key = EntryId>>(&self) -> EntryId {
        R::rows(self).last().map_or(EntryId::NONE, |row| *row.key()).max(spoken_of(self, R::LIST)).next()
    }

    /// Numbers the rows that have no number yet, in the order in which they stand, and sorts all lists by their keys.
    pub fn number_rows(&mut self) {
        for list in List::ALL {
            list.number(self);
            list.sort(self);
        }
    }
}

fn place<R: Row>(rows: &[R], key: &R::Key) -> Result<usize, usize> {
    rows.binary_search_by(|row| row.key().cmp(key))
}

pub(super) fn put<R: Row>(garden: &mut Garden, row: R) -> Result<(), EditError> {
    let rows = R::rows_mut(garden);
    match place(rows, row.key()) {
        Ok(_) => Err(EditError::RowThere { what: R::ABOUT.one, key: row.key().words() }),
        Err(at) => {
            rows.insert(at, row);
            Ok(())
        }
    }
}

pub(super) fn take<R: Row>(garden: &mut Garden, key: &R::Key) -> Result<R, EditError> {
    let rows = R::rows_mut(garden);
    match place::<R>(rows, key) {
        Ok(at) => Ok(rows.remove(at)),
        Err(_) => Err(no_row::<R>(key)),
    }
}

pub(super) fn exchange<R: Row>(garden: &mut Garden, row: R) -> Result<R, EditError> {
    let rows = R::rows_mut(garden);
    match place(rows, row.key()).ok().and_then(|at| rows.get_mut(at)) {
        Some(there) => Ok(std::mem::replace(there, row)),
        None => Err(no_row::<R>(row.key())),
    }
}

fn no_row<R: Row>(key: &R::Key) -> EditError {
    EditError::NoRow { what: R::ABOUT.one, key: key.words() }
}

pub(super) fn n_bytes_after<R: Row>(garden: &Garden, key: &R::Key) -> usize {
    let rows = R::rows(garden);
    let (Ok(at) | Err(at)) = place::<R>(rows, key);
    rows.len().saturating_sub(at) * size_of::<R>()
}

pub(super) fn rename_bed<R: Row>(garden: &mut Garden, from: &str, to: &str) {
    for bed in R::rows_mut(garden).iter_mut().filter_map(Row::bed_mut).filter(|bed| *bed == from) {
        to.clone_into(bed);
    }
}

/// The greatest number of a list's rows that rows of another list name.
fn spoken_of(garden: &Garden, list: List) -> EntryId {
    match list {
        List::Household => garden.happened.iter().filter_map(Happened::household).max().unwrap_or_default(),
        _ => EntryId::NONE,
    }
}

pub(super) fn number<R: Row>(garden: &mut Garden) {
    let spoken_of = spoken_of(garden, R::LIST);
    let rows = R::rows_mut(garden);
    let mut last = rows.iter().filter_map(|row| row.key().number()).max().unwrap_or_default().max(spoken_of);
    for row in rows.iter_mut().filter(|row| row.key().number() == Some(EntryId::NONE)) {
        last = last.next();
        if let Some(key) = R::Key::of_number(last) {
            *row.key_mut() = key;
        }
    }
}

pub(super) fn sort<R: Row>(garden: &mut Garden) {
    let rows = R::rows_mut(garden);
    if !rows.is_sorted_by(|one, next| one.key() <= next.key()) {
        rows.sort_by(|one, other| one.key().cmp(other.key()));
    }
}

/// Looks the rows of a garden through, which need not be in order yet.
pub(super) fn check<R: Row>(garden: &Garden, has_bed: &dyn Fn(&str) -> bool, out: &mut Vec<Problem>) {
    let rows = R::rows(garden);
    let mut keys = HashSet::with_capacity(rows.len());
    for (at, row) in rows.iter().enumerate() {
        if out.len() >= N_PROBLEMS_MOST {
            return;
        }
        let place = Place::Entry { list: R::ABOUT.field, at };
        if let Some(bed) = row.bed().filter(|bed| !has_bed(bed)) {
            out.push(no_bed(place.clone(), bed));
        }
        check_row(row, &place, out);
        if !keys.insert(row.key()) {
            out.push(doubled(rows, row.key(), place));
        }
    }
}

/// A row that an edit puts in, at the place it will have.
pub(super) fn check_one<R: Row>(garden: &Garden, row: &R, out: &mut Vec<Problem>) {
    let (Ok(at) | Err(at)) = place(R::rows(garden), row.key());
    check_row(row, &Place::Entry { list: R::ABOUT.field, at }, out);
}

fn check_row<R: Row>(row: &R, place: &Place, out: &mut Vec<Problem>) {
    if let Some(number) = row.key().number() {
        let hint = "give a number that no other row of the list has, or leave it out";
        check_limit(place, "id", &limits::ENTRY_ID, number.0, hint, out);
    }
    row.check(place, out);
}

fn doubled<R: Row>(rows: &[R], key: &R::Key, place: Place) -> Problem {
    let (one, words) = (R::ABOUT.one, key.words());
    if key.number().is_some() {
        let last = rows.iter().filter_map(|row| row.key().number()).max().unwrap_or_default();
        let hint = format!("give one of them a number that is free, such as {}, or none", last.next());
        return problem(place, "id", format!("there is another {one} with id {words}"), hint);
    }
    let message = format!("there is another {one} {words}");
    problem(place, "id", message, "keep one of them, or give it an id of its own")
}

/// A row that one of two gardens has changed.
pub(in crate::garden) struct Compared {
    /// By mine, or by theirs.
    pub is_mine: bool,
    /// It was put in, taken out or changed.
    pub deed: Deed,
    /// The row, as it is now, or was.
    pub entry: Entry,
}

/// Tells what `mine` and `theirs` have changed since `base`; what both changed to the same is left out.
pub(super) fn compare<R: Row>(three: [&Garden; 3], differ: &mut dyn FnMut(Compared)) {
    let mut lists = three.map(|garden| R::rows(garden).iter().peekable());
    loop {
        let next = lists.each_mut().map(|list| list.peek().copied());
        let Some(least) = next.iter().flatten().map(|row| row.key()).min() else { return };
        let [was, mine, theirs] = next.map(|row| row.filter(|row| row.key() == least));
        for (list, row) in lists.iter_mut().zip([was, mine, theirs]) {
            if row.is_some() {
                list.next();
            }
        }
        if mine == theirs {
            continue;
        }
        for (is_mine, is) in [(true, mine), (false, theirs)] {
            let (deed, row) = match (was, is) {
                (None, Some(is)) => (Deed::Put, is),
                (Some(was), None) => (Deed::Take, was),
                (Some(was), Some(is)) if was != is => (Deed::Change, is),
                _ => continue,
            };
            differ(Compared { is_mine, deed, entry: row.clone().into() });
        }
    }
}
