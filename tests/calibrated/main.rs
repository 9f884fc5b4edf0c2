//! Calibration: published rows that constants of the program, or readings of advice in its book, were chosen on.
//!
//! They say that what was fitted still fits. They do not say that it holds elsewhere: that is claimed by `tests/outside/`, to none of
//! whose rows anything was fitted. A row on which a constant is chosen anew moves here with it.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at the first surprise")]

mod frost;
mod rotation;
mod season;
#[path = "../outside/sequences.rs"]
mod sequences;
mod trials;
