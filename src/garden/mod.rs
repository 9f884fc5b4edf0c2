//! What one garden holds, how it is edited and undone.

mod contents;
mod edit;
mod file;
mod finding;
mod planting;

pub use contents::*;
pub use edit::*;
pub use file::*;
pub use finding::*;
pub use planting::*;
