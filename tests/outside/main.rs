//! Checks of the main job against the world outside: published standards, handbook tables, worked examples.
//!
//! Sources are named beside each check; rows copied from them lie in `data/`. No constant of the program was chosen on a row here: those that
//! some were chosen on are in `tests/calibrated/`.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test may stop at the first surprise")]

mod botanical;
mod climate;
mod emergence;
mod intercrop;
mod places;
mod rotation;
mod sequences;
mod soil_water;
mod spacing;
mod weeks;
