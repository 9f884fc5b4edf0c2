//! The records of a journal made again: the garden step by step, what follows from it once at the end.

use std::sync::Arc;

use super::{Course, Plan, Sitting};
use crate::climate::Weather;
use crate::crops::CropBook;
use crate::garden::{EditError, Garden, How, Record, RecordError, Undo, replay_work};
use crate::season::outlook::Records;

/// Bytes that may be moved or looked through in the lists of a garden while records are made again (starting value: a few
/// seconds). No sitting comes near it; what was written to take for ever does.
const WORK_MAX: u64 = 10_000_000_000;

/// What became of a journal's records.
#[derive(Debug, Default, PartialEq, Eq)]
pub struct Replayed {
    /// The steps made, in words.
    pub titles: Vec<String>,
    /// Place of the first record that could not be made, and why.
    pub stopped: Option<(usize, RecordError)>,
}

impl Sitting {
    /// Works out the garden of a file after the records that waited in its journal, up to the first that cannot be made. The sitting
    /// began with the file: [`Sitting::is_as_at`] revision 0 asks for it. Below them lies what earlier sittings did.
    pub fn reopened(
        mut garden: Garden,
        book: &Arc<CropBook>,
        weather: Option<Arc<Weather>>,
        undo: Undo,
        lines: &[String],
    ) -> (Self, Replayed) {
        // The weather was read for the site of the file, which a record may change.
        let weather = Records::of(&garden.site, weather);
        let mut course = Course::going_on_with(undo);
        let replayed = course.make_records(&mut garden, lines);
        (Self { plan: Plan::with_records(garden, book, weather), course }, replayed)
    }

    /// Makes records again, up to the first that cannot be made.
    pub fn replay_all(&mut self, lines: &[String]) -> Replayed {
        let replayed = self.course.make_records(self.plan.garden_mut(), lines);
        self.plan.work_out_anew();
        replayed
    }

    /// Makes a recorded step: what was taken back or made again moves along the undo list where that holds just this edit;
    /// elsewhere (the list was left behind with the sitting before) it is an edit like any other, which undo takes back.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub fn replay(&mut self, record: &Record) -> Result<(), EditError> {
        if self.course.undo.would(record.how, &record.edit) && self.step(record.how).is_some() {
            return Ok(());
        }
        self.apply_called(record.words(), record.edit.clone()).map(drop)
    }
}

impl Course {
    /// Makes records on the garden alone.
    fn make_records(&mut self, garden: &mut Garden, lines: &[String]) -> Replayed {
        let mut replayed = Replayed::default();
        if lines.is_empty() {
            return replayed;
        }
        let before = (garden.clone(), self.undo.clone());
        let mut work_left = WORK_MAX;
        for (place, line) in lines.iter().enumerate() {
            match self.make_record(garden, line, &mut work_left) {
                Ok(words) => replayed.titles.push(words),
                Err(error) => {
                    replayed.stopped = Some((place, error));
                    break;
                }
            }
        }
        // A bed past counting is looked for once: no edit that was ever confirmed has led there.
        if let Some(error) = garden.overloaded_bed() {
            let (garden_before, undo_before) = before;
            *garden = garden_before;
            *self = Self::going_on_with(undo_before);
            return Replayed { titles: Vec::new(), stopped: Some((0, error.into())) };
        }
        replayed
    }

    fn make_record(&mut self, garden: &mut Garden, line: &str, work_left: &mut u64) -> Result<String, RecordError> {
        let record = Record::from_line(line)?;
        *work_left = work_left.checked_sub(replay_work(&record.edit, garden)).ok_or(RecordError::TooMuch)?;
        let words = record.words();
        let Record { how, edit, .. } = record;
        let is_moved = self.undo.would(how, &edit)
            && match how {
                How::TakenBack => self.undo.undo(garden).is_some(),
                _ => self.undo.redo(garden).is_some(),
            };
        if !is_moved {
            let inverse = edit.replay_on(garden)?;
            self.undo.done(words.clone(), inverse);
        }
        self.count();
        Ok(words)
    }
}
