//! What one garden holds, how it is edited and undone.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `planting`, `rows`, `contents`, `finding` | the garden file's contents: plantings, the rows of its lists, and the whole |
//! | `lists` | its lists, in which each row has a key that stays |
//! | `real` | what really happened to a planting, read out of its list |
//! | `limits`, `fields`, `problem` | what single fields must hold to, and what is said of one that does not |
//! | `check`, `bed_load`, `validate` | what a garden must hold to, on reading and after every edit |
//! | `edit`, `edit_error`, `apply` | the edits, how each is made and taken back, why one is refused |
//! | `naming`, `title` | what things and edits are called |
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
mod edit_error;
mod fields;
mod file;
mod finding;
mod format;
mod history;
pub mod limits;
mod lists;
mod naming;
mod planting;
mod problem;
mod real;
mod record;
mod rows;
mod scan;
#[cfg(test)]
pub(crate) mod tests;
mod title;
mod validate;
mod write;

pub use complaint::FileError;
pub use contents::{Bed, BedKind, ClimateChoice, Cover, FORMAT, Garden, MonthDay, Site, SoilTexture};
pub use differences::{Change, Differences, Part, Verb, What, Where};
pub use edit::Edit;
pub use edit_error::EditError;
pub use finding::Severity;
pub use history::Undo;
pub use lists::{About, Entry, Key, List, Names, Reaches, Row, RowKey};
pub use naming::Words;
pub use planting::{Layout, PlannedDates, Planting, PlantingId, Run, Side};
pub use problem::{Place, Problem};
pub use real::RealDates;
pub use record::{How, Record, RecordError, Records, replay, replay_work};
pub use rows::*;
pub use validate::validate;
