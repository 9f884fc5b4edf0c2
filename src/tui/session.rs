//! The garden being worked on: its plan, its file, today.

use std::path::PathBuf;

use chrono::NaiveDate;

use crate::garden::{Edit, EditError, Record, Undo};
use crate::season::{FreeUp, Plan, Replayed, Sitting};
use crate::units::Week;

/// The state of the garden's file, as the shell last found it.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Keeping {
    /// Another program has the garden open, so here it is read-only.
    pub held_by: Option<HeldBy>,
    /// The file may only be read: why edits are refused.
    pub barred: Option<String>,
    /// The journal was written by a newer program, so the garden is read-only: why edits are refused.
    pub newer_journal: Option<String>,
    /// Edits could not be written to the journal, and why.
    pub not_on_disk: Option<String>,
    /// The file has changed since it was last read or written here: nothing is saved until the grower decides.
    pub rests: Option<Rest>,
    /// There is no journal and no lock here, and why.
    pub unguarded: Option<String>,
}

/// Who has the garden open.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldBy {
    /// Process, host, since when.
    pub who: String,
    /// Why edits are refused, with what can be done.
    pub reason: String,
    /// It has released the garden since.
    pub has_gone: bool,
}

/// Why nothing is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rest {
    /// There is no file any more.
    Gone,
    /// Something else has written to it.
    Changed,
    /// What is there now cannot be read.
    Unreadable,
    /// It has other names (hard links), and a save would separate it from them.
    Linked,
}

impl Keeping {
    /// A few words for the top line; `None` if all is as it should be.
    pub fn mark(&self) -> Option<&'static str> {
        if self.not_on_disk.is_some() {
            return Some("not on disk");
        }
        match (self.rests, &self.held_by) {
            (Some(Rest::Gone), _) => Some("file gone"),
            (Some(Rest::Changed), _) => Some("file changed"),
            (Some(Rest::Unreadable), _) => Some("file unreadable"),
            (Some(Rest::Linked), _) => Some("not saved"),
            (None, Some(held)) if held.has_gone => Some("free again: O"),
            (None, Some(_)) => Some("read-only"),
            (None, None) if self.newer_journal.is_some() || self.barred.is_some() => Some("read-only"),
            (None, None) => self.unguarded.as_ref().map(|_| "no journal"),
        }
    }
}

/// The garden being worked on.
#[derive(Debug)]
pub struct Session {
    /// Its plan, with undo and redo. Edits go through [`Session::apply`], so that they come into the journal.
    pub sitting: Sitting,
    /// Where it is kept; `None` while it has no file yet.
    pub path: Option<PathBuf>,
    /// Today, as given by whoever started the session.
    pub today: NaiveDate,
    /// Revision of the plan that the file holds.
    pub saved_revision: u64,
    /// Revision that could not be saved, so that it is not tried again in every pause.
    pub failed_revision: Option<u64>,
    /// How the file stands.
    pub keeping: Keeping,
    /// Steps not yet taken by the shell for the journal.
    records: Vec<Record>,
    /// Why undo goes no further back than it does, in words; `None` if there is nothing before.
    undo_ends: Option<String>,
}

impl Session {
    /// A session on a plan just loaded, or a sitting begun with it.
    pub fn new(plan: impl Into<Sitting>, path: Option<PathBuf>, today: NaiveDate) -> Self {
        let sitting = plan.into().seen_on(today);
        let saved_revision = sitting.revision();
        let keeping = Keeping::default();
        let failed_revision = None;
        Self { sitting, path, today, saved_revision, failed_revision, keeping, records: Vec::new(), undo_ends: None }
    }

    /// Lists what is past or kept quiet too, or not.
    pub fn show_all(&mut self, shows_all: bool) {
        self.sitting.show_all(shows_all);
    }

    /// The plan with everything worked out of it.
    pub fn plan(&self) -> &Plan {
        self.sitting.plan()
    }

    /// The day asked about (that of the week looked at), and when the bed frees up from then on.
    pub fn free_up(&self, bed_idx: usize, week: Week) -> (NaiveDate, FreeUp) {
        self.plan().free_up_in_week(bed_idx, week, self.today)
    }

    /// Whether the file lacks something the plan has.
    pub fn is_unsaved(&self) -> bool {
        !self.sitting.is_as_at(self.saved_revision)
    }

    /// Why nothing can be edited; `None` if it can.
    pub fn read_only_because(&self) -> Option<&str> {
        let held = self.keeping.held_by.as_ref().map(|held| held.reason.as_str());
        held.or(self.keeping.newer_journal.as_deref()).or(self.keeping.barred.as_deref())
    }

    /// Makes an edit; returns what was done, for the bottom line.
    ///
    /// # Errors
    /// The edit does not apply, or the garden is read-only.
    pub fn apply(&mut self, edit: Edit) -> Result<String, EditError> {
        if let Some(why) = self.read_only_because() {
            return Err(EditError::Invalid(why.to_owned()));
        }
        let title = edit.title(self.plan().garden());
        self.records.push(self.sitting.apply(edit)?);
        Ok(title)
    }

    /// Takes the last edit back; says what it was.
    pub fn undo(&mut self) -> Option<String> {
        self.step(Sitting::undo)
    }

    /// Makes the last undone edit again; says what it was.
    pub fn redo(&mut self) -> Option<String> {
        self.step(Sitting::redo)
    }

    fn step(&mut self, step: fn(&mut Sitting) -> Option<Record>) -> Option<String> {
        if self.read_only_because().is_some() {
            return None;
        }
        let record = step(&mut self.sitting);
        self.note_end_of_undo();
        let record = record?;
        let title = record.title.clone();
        self.records.push(record);
        Some(title)
    }

    /// Says why there is nothing to undo.
    pub fn nothing_to_undo(&self) -> &str {
        self.undo_ends.as_deref().unwrap_or("nothing to undo")
    }

    /// Notes how far back undo goes in a session that goes on with steps kept on an earlier day: why it goes no further.
    pub fn end_undo_for(&mut self, why: Option<&str>) {
        self.undo_ends = why.map(|why| format!("nothing to undo; {why}"));
        self.note_end_of_undo();
    }

    fn note_end_of_undo(&mut self) {
        if let Some(error) = self.sitting.course().end() {
            self.undo_ends = Some(format!("nothing to undo; the step before cannot be taken back: {error}"));
        }
    }

    /// The last steps that undo would take back, newest first, as they are kept for another day.
    pub fn steps_to_keep(&self) -> Vec<String> {
        self.sitting.course().to_keep()
    }

    /// Goes on with the steps that were kept on an earlier day, before anything is edited.
    pub fn go_on_with(&mut self, undo: Undo) {
        self.sitting.go_on_with(undo);
    }

    /// Replaces the plan by one that its file holds: a version gone back to, or the file reread.
    pub fn show_instead(&mut self, plan: Plan) {
        self.sitting = Sitting::new(plan);
        self.saved_revision = self.sitting.revision();
        self.failed_revision = None;
        self.records.clear();
        self.undo_ends = None;
    }

    /// Takes the steps made since the last call, to be written to the journal.
    pub fn take_records(&mut self) -> Vec<Record> {
        std::mem::take(&mut self.records)
    }

    /// A session on a garden reopened with the records of its journal; the file holds what the sitting began with.
    pub fn reopened(sitting: Sitting, path: PathBuf, today: NaiveDate) -> Self {
        Self { saved_revision: 0, ..Self::new(sitting, Some(path), today) }
    }

    /// Makes the records of a journal again, up to the first that cannot be made. They are in the journal already.
    pub fn replay(&mut self, lines: &[String]) -> Replayed {
        self.sitting.replay_all(lines)
    }
}
