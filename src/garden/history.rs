//! Undo and redo of a sitting, without limit, and below them what earlier sittings did last.
//!
//! Every entry holds the exact inverse of what was done, made when it was done, so that going back and
//! forth arrives at the same garden byte for byte. Steps of earlier sittings come from the disk: each is read only when it is the
//! next to be taken back, and made only as far as it passes the checks of an edit. One that does not ends the way back there.

use super::{Edit, Garden, How, Record, RecordError, limits, replay_work};

/// Bytes that taking back one step of an earlier sitting may move or look through in the lists of a garden (starting value:
/// a few seconds). No edit made on a screen comes near it; only one written to take for ever does.
const WORK_MAX: u64 = 10_000_000_000;

/// What was done and can be taken back, and what was taken back and can be done again.
#[derive(Debug, Clone, Default)]
pub struct Undo {
    /// Oldest first. Not empty as long as something can be taken back.
    done: Vec<Step>,
    undone: Vec<Step>,
    /// What earlier sittings did before the first of `done`, oldest first, as it was kept.
    kept: Vec<String>,
    /// Why nothing before the first of `done` can be taken back.
    end: Option<RecordError>,
    /// Steps known of before the first of `done`, whether they can be taken back or not.
    n_before: usize,
    /// A number for the garden as it was after each step ever known of, as long as undo and redo lead there.
    states: Vec<u64>,
    n_states: u64,
}

/// An edit to be made to get back, or there again.
#[derive(Debug, Clone)]
struct Step {
    title: String,
    edit: Edit,
    /// Not made in this sitting, so it is checked as an edit is.
    is_from_disk: bool,
}

impl Undo {
    /// Goes on with the steps that an earlier sitting kept, [`to_keep`](Self::to_keep), newest first: they led to the garden as it is.
    pub fn of_kept(steps: Vec<String>) -> Self {
        let kept: Vec<String> = steps.into_iter().rev().collect();
        let n_before = kept.len();
        let mut undo = Self {
            states: (1..=n_before as u64).collect(),
            n_states: n_before as u64,
            kept,
            n_before,
            ..Self::default()
        };
        undo.read_kept();
        undo
    }

    /// The last steps that can be taken back, newest first, each on a line of its own as the record that taking it back would be: as many
    /// as are kept for another day.
    pub fn to_keep(&self) -> Vec<String> {
        let of_done = |step: &Step| {
            Record { how: How::TakenBack, title: step.title.clone(), edit: step.edit.clone() }.to_line().ok()
        };
        let done = self.done.iter().rev().map(of_done);
        let all = done.chain(self.kept.iter().rev().cloned().map(Some));
        let mut n_bytes = 0;
        // A step that cannot be kept hides those before it.
        let fits = |line: &String| {
            n_bytes += line.len();
            n_bytes <= limits::STEPS_KEPT_BYTES
        };
        all.take(limits::N_STEPS_KEPT).map_while(|line| line).take_while(fits).collect()
    }

    /// Notes that something was done, with the inverse that [`Edit::apply_to`] gave. What was undone before can
    /// no longer be made again.
    pub fn done(&mut self, title: impl Into<String>, inverse: Edit) {
        self.undone.clear();
        self.states.truncate(self.n_before + self.done.len());
        self.n_states += 1;
        self.states.push(self.n_states);
        self.done.push(Step { title: title.into(), edit: inverse, is_from_disk: false });
    }

    /// A number that is the same whenever undo and redo have led back to the same garden.
    pub fn state(&self) -> u64 {
        let n_steps = self.n_before + self.done.len();
        n_steps.checked_sub(1).and_then(|at| self.states.get(at)).copied().unwrap_or(0)
    }

    /// Takes the last edit back; gives the step, as it is recorded. `None` if there is none or it does not apply; nothing is changed then.
    pub fn undo(&mut self, garden: &mut Garden) -> Option<Record> {
        let inverse = match self.done.last()?.make(garden) {
            Ok(inverse) => inverse,
            Err(error) => {
                if self.done.pop_if(|step| step.is_from_disk).is_some() {
                    self.n_before += 1;
                    self.end_with(error);
                }
                return None;
            }
        };
        let Step { title, edit, .. } = self.done.pop()?;
        self.undone.push(Step { title: title.clone(), edit: inverse, is_from_disk: false });
        self.read_kept();
        Some(Record { how: How::TakenBack, title, edit })
    }

    /// Makes the last undone edit again; gives the step, as it is recorded.
    pub fn redo(&mut self, garden: &mut Garden) -> Option<Record> {
        // One that does not apply (the garden was changed past the edits) stays where it is.
        let inverse = self.undone.last()?.make(garden).ok()?;
        let Step { title, edit, .. } = self.undone.pop()?;
        self.done.push(Step { title: title.clone(), edit: inverse, is_from_disk: false });
        Some(Record { how: How::MadeAgain, title, edit })
    }

    /// What undo would take back.
    pub fn undo_title(&self) -> Option<&str> {
        self.done.last().map(|step| step.title.as_str())
    }

    /// What redo would make again.
    pub fn redo_title(&self) -> Option<&str> {
        self.undone.last().map(|step| step.title.as_str())
    }

    /// Whether taking back (or making again) would make exactly this edit.
    pub fn would(&self, how: How, edit: &Edit) -> bool {
        self.next(how) == Some(edit)
    }

    /// The edit that taking back (or making again) would make.
    pub fn next(&self, how: How) -> Option<&Edit> {
        let last = match how {
            How::Made => None,
            How::TakenBack => self.done.last(),
            How::MadeAgain => self.undone.last(),
        };
        last.map(|step| &step.edit)
    }

    /// Why a step of an earlier sitting ended the way back, if one did.
    pub fn end(&self) -> Option<&RecordError> {
        self.end.as_ref()
    }

    /// Reads the next step of an earlier sitting once those after it are taken back.
    fn read_kept(&mut self) {
        if !self.done.is_empty() {
            return;
        }
        let Some(line) = self.kept.pop() else { return };
        match Record::from_line(&line) {
            Ok(Record { title, edit, .. }) => {
                self.n_before -= 1;
                self.done.push(Step { title, edit, is_from_disk: true });
            }
            Err(error) => self.end_with(error),
        }
    }

    fn end_with(&mut self, error: RecordError) {
        self.kept.clear();
        self.end = Some(error);
    }
}

impl Step {
    /// Makes the edit; its inverse. On an error nothing is changed.
    fn make(&self, garden: &mut Garden) -> Result<Edit, RecordError> {
        if !self.is_from_disk {
            return Ok(self.edit.clone().restore(garden)?);
        }
        if replay_work(&self.edit, garden) > WORK_MAX {
            return Err(RecordError::TooMuch);
        }
        Ok(self.edit.clone().apply_to(garden)?)
    }
}
