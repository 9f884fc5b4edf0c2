//! Lengths in whole millimetres, ISO weeks, rectangles of ground: numbers and their units.
//!
//! Lengths are whole millimetres so that `1.2 m / 0.3 m` is exactly 4. Weeks follow ISO 8601
//! (weeks begin on Monday; week 1 holds the year's first Thursday).

mod ground;
mod length;
pub mod list;
pub mod text;
mod week;

pub use ground::{Point, Rect};
pub use length::{LengthError, Mm};
pub use week::{Week, days_between};

#[cfg(test)]
mod tests;
