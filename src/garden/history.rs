//! Undo and redo of a sitting, without limit.
//!
//! Every entry holds the exact inverse of what was done, made when it was done, so that going back and
//! forth arrives at the same garden byte for byte.

use super::{Edit, Garden, How, Record};

/// What was done and can be taken back, and what was taken back and can be done again.
#[derive(Debug, Clone, Default)]
pub struct Undo {
    done: Vec<(String, Edit)>,
    undone: Vec<(String, Edit)>,
    /// A number for the garden as it was after each edit ever done from the beginning on, as long as undo and redo lead there.
    states: Vec<u64>,
    n_states: u64,
}

impl Undo {
    /// Notes that something was done, with the inverse that [`Edit::apply_to`] gave. What was undone before can
    /// no longer be made again.
    pub fn done(&mut self, title: impl Into<String>, inverse: Edit) {
        self.undone.clear();
        self.states.truncate(self.done.len());
        self.n_states += 1;
        self.states.push(self.n_states);
        self.done.push((title.into(), inverse));
    }

    /// A number that is the same whenever undo and redo have led back to the same garden; 0 at the beginning.
    pub fn state(&self) -> u64 {
        self.done.len().checked_sub(1).and_then(|at| self.states.get(at)).copied().unwrap_or(0)
    }

    /// Takes the last edit back; gives the step, as it is recorded.
    pub fn undo(&mut self, garden: &mut Garden) -> Option<Record> {
        step(How::TakenBack, &mut self.done, &mut self.undone, garden)
    }

    /// Makes the last undone edit again; gives the step, as it is recorded.
    pub fn redo(&mut self, garden: &mut Garden) -> Option<Record> {
        step(How::MadeAgain, &mut self.undone, &mut self.done, garden)
    }

    /// What undo would take back.
    pub fn undo_title(&self) -> Option<&str> {
        self.done.last().map(|(title, _)| title.as_str())
    }

    /// What redo would make again.
    pub fn redo_title(&self) -> Option<&str> {
        self.undone.last().map(|(title, _)| title.as_str())
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
        last.map(|(_, next)| next)
    }
}

/// Makes the last edit of one list and puts its inverse on the other. An inverse that does not apply (the garden
/// was changed past the edits) stays where it is, and nothing happens.
fn step(
    how: How,
    from: &mut Vec<(String, Edit)>,
    onto: &mut Vec<(String, Edit)>,
    garden: &mut Garden,
) -> Option<Record> {
    let inverse = from.last()?.1.clone().restore(garden).ok()?;
    let (title, edit) = from.pop()?;
    onto.push((title.clone(), inverse));
    Some(Record { how, title, edit })
}
