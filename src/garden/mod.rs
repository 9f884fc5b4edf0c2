//! What one garden holds, how it is edited and undone.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `contents`, `planting`, `finding` | the garden file's contents |
//! | `real` | what really happened to a planting, read out of its list |
//! | `lists` | the rows of its lists, each with a key that stays |
//! | `limits`, `check`, `bed_load`, `validate` | what a garden must hold to, on reading and after every edit |
//! | `edit`, `apply`, `title` | the edits, how each is made and taken back, what it is called |
//! | `history` | undo and redo, of earlier days too |
//! | `record` | a step as one line of the journal, and the replay of such lines |
//! | `differences` | what two gardens that began as one have changed, bed by bed |
//! | `file`, `write` | reading and writing a garden file |
//! | `format` | versions of the file, and the steps from an older one to the present |
//! | `scan`, `complaint` | where in a file's text something stands, and errors that show it |
//!
//! A garden is valid before and after every edit: what a file may not hold, no edit can make.
//! An edit is plain data: a [`Record`] of it is one line of text, which [`crate::store`] keeps in the journal of an open garden
//! without knowing what it means.

mod apply;
mod bed_load;
mod check;
mod complaint;
mod contents;
mod differences;
mod edit;
mod file;
mod finding;
mod format;
mod history;
pub mod limits;
mod lists;
mod planting;
mod real;
mod record;
mod scan;
#[cfg(test)]
pub(crate) mod tests;
mod title;
mod validate;
mod write;

pub use contents::*;
pub use differences::{Change, Differences, Part, Verb, What, Where};
pub use edit::*;
pub use file::*;
pub use finding::*;
pub use history::Undo;
pub use lists::*;
pub use planting::*;
pub use real::RealDates;
pub use record::{How, Record, RecordError, Records, replay, replay_work};
pub use title::Words;
pub use validate::{Place, Problem, validate};
