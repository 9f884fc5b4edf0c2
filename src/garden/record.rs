//! One step of a sitting as one line of text, for the journal: how it came about, what it is called, the edit that was made.
//!
//! Steps taken back and made again are recorded like any other, with the edit that did it, so that records made again in their
//! order on the garden they began with arrive at the same garden byte for byte.

use std::cell::OnceCell;
use std::collections::HashMap;

use serde::{Deserialize, Serialize};

use super::format::record_to_2;
use super::write::ron_options;
use super::{Edit, EditError, Garden, List, Names, PlantingId, RealDates};

/// The form in which records are written, a number at the head of each. In the first one, which had no number, edits named rows of
/// lists by their places; the second one was written beside files of format 1. It is raised when an edit comes to mean something
/// else or to be written otherwise.
const FORM: u32 = 3;

/// How a step came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum How {
    /// An edit was made.
    Made,
    /// An edit made before was taken back; the record holds its inverse.
    TakenBack,
    /// An edit taken back was made again.
    MadeAgain,
}

/// One step.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Record {
    /// How it came about.
    pub how: How,
    /// What the edit is called; of one taken back, what was taken back.
    pub title: String,
    /// What was done to the garden.
    pub edit: Edit,
}

/// Why a line is no record.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RecordError {
    /// It cannot be read.
    #[error("the record is not readable: {0}")]
    Unreadable(String),
    /// Written by a newer program.
    #[error("a newer bedfellow wrote it (form {0}; this program reads {FORM})")]
    Newer(u32),
    /// Written by an earlier program in words that are no longer known.
    #[error("an earlier bedfellow wrote it, and this one no longer makes such an edit: {0}")]
    Earlier(String),
    /// It cannot be written on one line.
    #[error("the edit cannot be written down: {0}")]
    Unwritable(String),
    /// Its edit does not apply.
    #[error("the edit does not fit the garden: {0}")]
    DoesNotApply(#[from] EditError),
    /// Making its edit would take too long, by itself or after the records before it.
    #[error("too many entries of the garden's lists would have to be moved, which would take too long")]
    TooMuch,
}

impl Record {
    /// The record on one line, without a line end.
    ///
    /// # Errors
    /// It cannot be written on one line; no edit of a valid garden is such.
    pub fn to_line(&self) -> Result<String, RecordError> {
        let written = ron_options().to_string(self).map_err(|error| RecordError::Unwritable(error.to_string()))?;
        // Line ends within texts are escaped, so this is a guard against a change of the writing library.
        if written.contains(['\n', '\r']) {
            return Err(RecordError::Unwritable("it would take more than one line".to_owned()));
        }
        Ok(format!("{FORM} {written}"))
    }

    /// Reads a record back. One of an earlier form is read where it says the same in the present one, of a garden in which nothing has
    /// happened yet; see [`Records`] for any other.
    ///
    /// # Errors
    /// No record, one with fields that are not known, or one of another form.
    pub fn from_line(line: &str) -> Result<Self, RecordError> {
        Self::read(line, &|_| RealDates::default())
    }

    fn read(line: &str, real_of: &dyn Fn(PlantingId) -> RealDates) -> Result<Self, RecordError> {
        // The first form had no number.
        let (form, written) = match line.split_once(' ') {
            Some((form, written)) if form.bytes().all(|byte| byte.is_ascii_digit()) => {
                (form.parse().unwrap_or(u32::MAX), written)
            }
            _ if line.starts_with('(') => (1, line),
            _ => return Err(RecordError::Unreadable("it begins with no number".to_owned())),
        };
        if form > FORM {
            return Err(RecordError::Newer(form));
        }
        if form == FORM {
            return ron_options().from_str(written).map_err(|error| RecordError::Unreadable(error.to_string()));
        }
        let written = record_to_2(written, real_of).map_err(RecordError::Earlier)?;
        ron_options().from_str(&written).map_err(|error| RecordError::Earlier(error.to_string()))
    }

    /// The step in words: "place leek in A1", "taken back: place leek in A1".
    pub fn words(&self) -> String {
        match self.how {
            How::Made => self.title.clone(),
            How::TakenBack => format!("taken back: {}", self.title),
            How::MadeAgain => format!("made again: {}", self.title),
        }
    }
}

/// Reads the records of a journal one after the other. Those of the second form held what happened to a planting in the planting itself:
/// they are read where they say what the garden's list does, which no program of that time could change.
#[derive(Debug, Default)]
pub struct Records {
    real: OnceCell<HashMap<PlantingId, RealDates>>,
}

impl Records {
    /// Reads the next one; the garden is that on which it is to be made.
    ///
    /// # Errors
    /// No record, one with fields that are not known, or one of another form.
    pub fn read(&self, line: &str, garden: &Garden) -> Result<Record, RecordError> {
        let real = || self.real.get_or_init(|| garden.real_dates_by_planting());
        Record::read(line, &|id| real().get(&id).copied().unwrap_or_default())
    }
}

/// Bytes that making an edit moves or looks through in a garden's lists, about.
pub fn replay_work(edit: &Edit, garden: &Garden) -> u64 {
    fn after<T>(list: &[T], at: usize) -> usize {
        list.len().saturating_sub(at) * size_of::<T>()
    }
    /// Where each entry's text is looked at.
    fn through<T>(list: &[T]) -> usize {
        size_of_val(list)
    }
    /// All that happened is looked through for what happened to the planting.
    fn through_told(list: List, garden: &Garden) -> usize {
        if list == List::Happened { through(&garden.happened) } else { 0 }
    }
    let place_of = |id| garden.plantings.partition_point(|planting| planting.id < id);
    let beds = through(&garden.beds);
    let bytes = match edit {
        Edit::AddPlanting(planting) => beds + after(&garden.plantings, place_of(planting.id)),
        // Is it a host? All are asked.
        Edit::RemovePlanting(_) => through(&garden.plantings),
        Edit::ChangePlanting(planting) => {
            let is_moved = garden.planting(planting.id).is_some_and(|there| there.bed != planting.bed);
            beds + if is_moved { through(&garden.plantings) } else { 0 }
        }
        Edit::AddBed { .. } | Edit::RemoveBed(_) | Edit::ChangeBed { .. } => {
            let named = List::ALL.iter().filter(|list| matches!(list.about().names, Names::Bed | Names::BedOrNone));
            beds + through(&garden.plantings) + named.map(|list| list.n_bytes(garden)).sum::<usize>()
        }
        Edit::Put(entry) | Edit::Change(entry) => {
            beds + entry.key().n_bytes_after(garden) + through_told(entry.list(), garden)
        }
        Edit::Take(key) => key.n_bytes_after(garden) + through_told(key.list(), garden),
        Edit::SetSite(_) | Edit::Rename(_) => 0,
        Edit::Several { edits, .. } => {
            return edits.iter().map(|edit| replay_work(edit, garden)).sum();
        }
    };
    bytes as u64
}

/// Makes the steps of a journal's lines on a garden; returns the records made. Of a line that is no record or does not apply the
/// place is given, and the garden holds what the lines before it made.
///
/// # Errors
/// The place of the first line that cannot be made, and why.
pub fn replay(garden: &mut Garden, lines: &[String]) -> Result<Vec<Record>, (usize, RecordError)> {
    let mut made = Vec::with_capacity(lines.len());
    let records = Records::default();
    for (place, line) in lines.iter().enumerate() {
        let record = records.read(line, garden).map_err(|error| (place, error))?;
        record.edit.clone().apply_to(garden).map_err(|error| (place, error.into()))?;
        made.push(record);
    }
    Ok(made)
}
