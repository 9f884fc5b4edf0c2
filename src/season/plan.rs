//! A garden with everything worked out of it, kept up to date edit by edit.

use std::sync::Arc;

use chrono::NaiveDate;

use super::{BedSeason, Candidate, Explanation, Finding, FreeUp, Preview, Standing};
use crate::crops::CropBook;
use crate::garden::{Edit, EditError, Garden, Planting, PlantingId};
use crate::units::{Point, Rect};

/// A garden, its book, and what follows from both.
#[derive(Debug)]
pub struct Plan {
    garden: Garden,
    book: Arc<CropBook>,
    beds: Vec<BedSeason>,
}

#[allow(clippy::unused_self, unused_variables)]
impl Plan {
    /// Works a garden out. `book` is the embedded book; the garden's own crops are laid over it.
    pub fn new(garden: Garden, book: &Arc<CropBook>) -> Self {
        Self { garden, book: Arc::clone(book), beds: Vec::new() }
    }

    /// The garden.
    pub fn garden(&self) -> &Garden {
        &self.garden
    }

    /// The book with the garden's own crops.
    pub fn book(&self) -> &CropBook {
        &self.book
    }

    /// Counts up with every change.
    pub fn revision(&self) -> u64 {
        unimplemented!()
    }

    /// Makes an edit and works out again what it touches.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub fn apply(&mut self, edit: Edit) -> Result<(), EditError> {
        unimplemented!()
    }

    /// Takes the last edit back; says what it was.
    pub fn undo(&mut self) -> Option<String> {
        unimplemented!()
    }

    /// Makes the last undone edit again; says what it was.
    pub fn redo(&mut self) -> Option<String> {
        unimplemented!()
    }

    /// What undo would take back.
    pub fn undo_title(&self) -> Option<&str> {
        unimplemented!()
    }

    /// What redo would make again.
    pub fn redo_title(&self) -> Option<&str> {
        unimplemented!()
    }

    /// Every bed, in the garden's order.
    pub fn beds(&self) -> &[BedSeason] {
        &self.beds
    }

    /// The bed's place in the garden's order.
    pub fn bed_idx(&self, id: &str) -> Option<usize> {
        unimplemented!()
    }

    /// A planting worked out.
    pub fn standing(&self, id: PlantingId) -> Option<&Standing> {
        unimplemented!()
    }

    /// Station centres of a planting (set out anew).
    pub fn stations(&self, id: PlantingId) -> Vec<Point> {
        unimplemented!()
    }

    /// Every finding, gravest first, then by bed.
    pub fn findings(&self) -> Vec<&Finding> {
        unimplemented!()
    }

    /// A finding in one line, cheap enough for every frame.
    pub fn headline(&self, finding: &Finding) -> String {
        unimplemented!()
    }

    /// A finding in words.
    pub fn explain(&self, finding: &Finding) -> Explanation {
        unimplemented!()
    }

    /// The edit that accepts a finding; `None` if it is about no planting.
    pub fn acceptance(&self, finding: &Finding, reason: &str) -> Option<Edit> {
        unimplemented!()
    }

    /// What a planting would come to if it were placed, or changed to this if its number exists.
    pub fn preview(&self, planting: &Planting) -> Preview {
        unimplemented!()
    }

    /// When a bed frees up, seen from a day.
    pub fn free_up(&self, bed_idx: usize, day: NaiveDate) -> FreeUp {
        unimplemented!()
    }

    /// What could go into a bed on a day, best first.
    pub fn candidates(&self, bed_idx: usize, day: NaiveDate) -> Vec<Candidate> {
        unimplemented!()
    }

    /// A planting of that crop filled with sensible values for a bed on a day: a free strip if there is one,
    /// the book's spacing, its usual way of raising.
    pub fn proposed_planting(&self, bed_idx: usize, crop_id: &str, day: NaiveDate) -> Option<Planting> {
        unimplemented!()
    }

    /// The same planting moved to the next slot of its bed in which its ground is free, for duplicating.
    pub fn next_free_slot(&self, planting: &Planting) -> Option<Planting> {
        unimplemented!()
    }

    /// Whether nothing stands on a piece of ground of a bed in `from..until`.
    pub fn is_free(&self, bed_idx: usize, ground: Rect, from: NaiveDate, until: NaiveDate) -> bool {
        unimplemented!()
    }
}
