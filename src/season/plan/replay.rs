//! The records of a journal made again: the garden step by step, what follows from it once at the end.

use std::sync::Arc;

use super::{Plan, Shadows, policy_of};
use crate::climate::Weather;
use crate::crops::CropBook;
use crate::garden::{EditError, Garden, How, Record, RecordError, Undo, replay_work};
use crate::season::inputs::{Index, Reach};

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

impl Plan {
    /// Works out the garden of a file after the records that waited in its journal, up to the first that cannot be made. The plan
    /// began with the file: [`Plan::is_as_at`] revision 0 asks for it.
    pub fn reopened(
        garden: Garden,
        book: &Arc<CropBook>,
        weather: Option<Arc<Weather>>,
        lines: &[String],
    ) -> (Self, Replayed) {
        let mut plan = Self::begun(garden, book, weather);
        let replayed = plan.make_records(lines);
        if !replayed.titles.is_empty() {
            plan.read_anew();
        }
        plan.work_out_all();
        (plan, replayed)
    }

    /// Makes records again, up to the first that cannot be made.
    pub fn replay_all(&mut self, lines: &[String]) -> Replayed {
        let replayed = self.make_records(lines);
        if !replayed.titles.is_empty() {
            self.read_anew();
            self.work_out_all();
        }
        replayed
    }

    /// Makes a recorded step: what was taken back or made again moves along the undo list where that holds just this edit;
    /// elsewhere (the list was left behind with the sitting before) it is an edit like any other, which undo takes back.
    ///
    /// # Errors
    /// The edit does not apply; nothing is changed then.
    pub fn replay(&mut self, record: &Record) -> Result<(), EditError> {
        if self.undo.would(record.how, &record.edit) {
            let moved = if record.how == How::TakenBack { self.undo() } else { self.redo() };
            if moved.is_some() {
                return Ok(());
            }
        }
        self.apply_called(record.words(), record.edit.clone()).map(drop)
    }

    /// Makes records on the garden alone; look-up tables and results are to be made anew afterwards.
    fn make_records(&mut self, lines: &[String]) -> Replayed {
        let mut replayed = Replayed::default();
        let mut work_left = WORK_MAX;
        for (place, line) in lines.iter().enumerate() {
            match self.make_record(line, &mut work_left) {
                Ok(words) => replayed.titles.push(words),
                Err(error) => {
                    replayed.stopped = Some((place, error));
                    break;
                }
            }
        }
        // A bed past counting is looked for once: no edit that was ever confirmed has led there.
        if let Some(error) = self.garden.overloaded_bed() {
            while self.undo.undo(&mut self.garden).is_some() {}
            (self.done_reach, self.undone_reach) = (Vec::new(), Vec::new());
            self.undo = Undo::default();
            (self.revision, self.states) = (0, vec![0]);
            return Replayed { titles: Vec::new(), stopped: Some((0, error.into())) };
        }
        replayed
    }

    fn make_record(&mut self, line: &str, work_left: &mut u64) -> Result<String, RecordError> {
        let record = Record::from_line(line)?;
        *work_left = work_left.checked_sub(replay_work(&record.edit, &self.garden)).ok_or(RecordError::TooMuch)?;
        let words = record.words();
        let Record { how, edit, .. } = record;
        let is_moved = self.undo.would(how, &edit)
            && match how {
                How::TakenBack => {
                    let moved = self.undo.undo(&mut self.garden).is_some();
                    self.undone_reach.extend(self.done_reach.pop_if(|_| moved));
                    moved
                }
                _ => {
                    let moved = self.undo.redo(&mut self.garden).is_some();
                    self.done_reach.extend(self.undone_reach.pop_if(|_| moved));
                    moved
                }
            };
        if !is_moved {
            let mut reach = Reach::of_edit(&edit);
            let inverse = edit.replay_on(&mut self.garden)?;
            reach.add_names_of(&inverse);
            self.undo.done(words.clone(), inverse);
            self.done_reach.push(reach);
            self.undone_reach.clear();
        }
        self.revision += 1;
        self.states.push(self.undo.state());
        Ok(words)
    }

    /// Brings everything that is looked up in the garden up to date.
    fn read_anew(&mut self) {
        self.policy = policy_of(&self.garden);
        self.outlook.bring_up_to_date(&self.garden.site);
        if self.done_reach.iter().chain(&self.undone_reach).any(|reach| reach.is_book_changed) {
            self.reread_book();
        } else {
            self.index = Index::of_garden(&self.garden, &self.book);
        }
        self.shadows = Shadows::of_garden(&self.garden, &self.book);
        (self.order, self.near_names) = Default::default();
    }
}
