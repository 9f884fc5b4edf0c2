//! What one garden holds, how it is edited and undone.
//!
//! | file | what is in it |
//! | --- | --- |
//! | `contents`, `planting`, `finding` | the garden file's contents |
//! | `limits`, `check`, `validate` | what a garden must hold to, on reading and after every edit |
//! | `edit`, `apply`, `title` | the edits, how each is made and taken back, what it is called |
//! | `history` | undo and redo |
//! | `file`, `write` | reading and writing a garden file |
//! | `format` | versions of the file, and the steps from an older one to the present |
//! | `scan`, `complaint` | where in a file's text something stands, and errors that show it |
//!
//! A garden is valid before and after every edit: what a file may not hold, no edit can make.
//! The journal of edits and the lock of an open garden have their place between [`Edit`] and
//! [`crate::store`]: an edit is plain data and can be written as one line of text.

mod apply;
mod check;
mod complaint;
mod contents;
mod edit;
mod file;
mod finding;
mod format;
mod history;
pub mod limits;
mod planting;
mod scan;
#[cfg(test)]
mod tests;
mod title;
mod validate;
mod write;

pub use contents::*;
pub use edit::*;
pub use file::*;
pub use finding::*;
pub use history::Undo;
pub use planting::*;
pub use validate::{Place, Problem, validate};
