//! The crop book: what books say of crops, families, hazards and orders of crops, each with its source.
//!
//! The book is embedded from `assets/*.ron` and checked when it is loaded. A garden may replace or
//! add entries of its own (see [`CropBook::with_own_crops`]).

mod book;
mod check;
mod crop;
mod facts;
pub mod groups;
mod names;
mod search;
#[cfg(test)]
mod tests;

pub use crop::*;
pub use facts::*;
pub use names::in_text;
pub(crate) use search::retain_best;
pub use search::{Hold, Miss, SearchWords};
