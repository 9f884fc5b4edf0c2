//! Journals as long as the program writes them, with edits that no sitting has.

use std::path::Path;

use bedfellow::garden::{Bed, Edit, EntryId, Garden, How, PastCrop, Planting, PlantingId, Record, Side};
use bedfellow::store::{Kept, RealDisk, Stamp};
use bedfellow::units::Mm;

use super::file::{self, File, SIZE, WIDE};
use super::standing;

/// A kind of journal.
pub struct Kind {
    pub name: &'static str,
    /// The garden file it belongs to: how large in the short form, in the long one.
    pub garden: fn(bool) -> String,
    /// The step of a number.
    pub step: fn(&Garden, usize) -> (How, Edit),
}

fn small(_: bool) -> String {
    standing::alike(1)
}

fn beds(is_long: bool) -> String {
    let mut file = File::new("beds");
    file.beds(if is_long { 1_000 } else { 20 }, SIZE);
    file.planting(&file::Planting::default());
    file.done()
}

fn full(is_long: bool) -> String {
    standing::alike_in_beds(if is_long { 100_000 } else { 1_000 })
}

fn made(edit: Edit) -> (How, Edit) {
    (How::Made, edit)
}

fn changed(garden: &Garden, change: impl FnOnce(&mut Planting)) -> Edit {
    let mut planting = garden.plantings[0].clone();
    change(&mut planting);
    Edit::ChangePlanting(Box::new(planting))
}

/// Longer and shorter by turns.
fn lengths(garden: &Garden, n: usize) -> (How, Edit) {
    made(changed(garden, |planting| planting.to_mm = Mm(1_000 + (n % 2) as i32 * 100)))
}

/// Notes as long as they may be.
fn notes(garden: &Garden, n: usize) -> (How, Edit) {
    made(changed(garden, |planting| planting.notes = format!("{n:06}{}", WIDE.repeat(1_990))))
}

/// The garden's name over and over.
fn names(_: &Garden, n: usize) -> (How, Edit) {
    made(Edit::Rename(format!("{n:06}{}", WIDE.repeat(190))))
}

/// An edit, taken back, made again, and taken back.
fn back_and_forth(garden: &Garden, n: usize) -> (How, Edit) {
    match n {
        0 => made(Edit::Rename("another".to_owned())),
        _ if n % 2 == 1 => (How::TakenBack, Edit::Rename(garden.name.clone())),
        _ => (How::MadeAgain, Edit::Rename("another".to_owned())),
    }
}

/// Plantings before all others, in one bed after the other.
fn plantings(garden: &Garden, n: usize) -> (How, Edit) {
    let bed = garden.beds[n % garden.beds.len()].id.clone();
    let planting = Planting { id: PlantingId(900_000_000 - n as u32), bed, ..garden.plantings[0].clone() };
    made(Edit::AddPlanting(Box::new(planting)))
}

/// Past crops before all others.
fn past(garden: &Garden, n: usize) -> (How, Edit) {
    let bed = garden.beds[n % garden.beds.len()].id.clone();
    let id = EntryId(900_000_000 - n as u32);
    let year = 1950 + (n % 70) as i32;
    made(Edit::put(PastCrop { id, bed, year, what: WIDE.repeat(60), strip_mm: None, side: Side::Whole }))
}

/// A bed before all others that is taken out again, in a garden as full as it may be.
fn turned_beds(garden: &Garden, n: usize) -> (How, Edit) {
    let bed = Bed { id: "new".to_owned(), notes: WIDE.repeat(2_000), ..garden.beds[0].clone() };
    made(if n.is_multiple_of(2) { Edit::AddBed { at: 0, bed } } else { Edit::RemoveBed("new".to_owned()) })
}

pub const KINDS: &[Kind] = &[
    Kind { name: "lengths", garden: small, step: lengths },
    Kind { name: "notes", garden: small, step: notes },
    Kind { name: "names", garden: small, step: names },
    Kind { name: "back-and-forth", garden: small, step: back_and_forth },
    Kind { name: "plantings", garden: beds, step: plantings },
    Kind { name: "past", garden: beds, step: past },
    Kind { name: "lengths-in-a-full-garden", garden: full, step: lengths },
    Kind { name: "turned-beds", garden: full, step: turned_beds },
];

/// Writes a garden file and a journal of at least so many bytes beside it; how many steps it has.
pub fn write(kind: &Kind, path: &Path, n_bytes: usize, is_long: bool) -> usize {
    let text = (kind.garden)(is_long);
    std::fs::write(path, &text).unwrap();
    let garden = Garden::from_ron(&text, "garden.ron").unwrap();
    let now = Stamp::from_file_name("20270415T081500Z").unwrap();
    let mut kept = Kept::open(path, bedfellow::garden::limits::FILE_BYTES, now, Box::new(RealDisk)).unwrap().kept;
    let (mut n, mut n_written) = (0, 0);
    while n_written < n_bytes {
        let (how, edit) = (kind.step)(&garden, n);
        let line = Record { how, title: "an edit".to_owned(), edit }.to_line().unwrap();
        // What stands before the text of a record, and the line end.
        n_written += line.len() + 16;
        kept.append(&line).unwrap();
        n += 1;
    }
    kept.flush().unwrap();
    n
}
