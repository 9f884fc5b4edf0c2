//! The crop book: what books say of crops, families, hazards and orders of crops, each with its source.
//!
//! The book is embedded from `assets/*.ron` and checked when it is loaded. A garden may replace or
//! add entries of its own (see [`CropBook::with_own_crops`]).

mod book;
mod check;
mod crop;
mod facts;
pub mod groups;
mod loading;
mod look_up;
mod names;
mod search;
mod spelling;
#[cfg(test)]
mod tests;

pub use book::CropBook;
pub use crop::*;
pub use facts::*;
pub(crate) use search::retain_best;
pub use search::{Hold, Miss, SearchWords};
pub use spelling::in_text;
