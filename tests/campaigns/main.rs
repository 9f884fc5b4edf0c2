//! Campaigns: many random trials of one claim. The short form is part of `cargo test`; `tests/campaigns/run` is the
//! long one, whose results stand in DEVELOPERS.md.
//!
//! | file | claim |
//! | --- | --- |
//! | `edits` | edits, undo and redo agree with a naive model, byte for byte |
//! | `reading` | no text that is read makes a panic, takes a second or fills the memory |
//! | `keys` | no keys and sizes of the terminal bring the program down or leave the terminal altered |
//!
//! Everything is drawn from a seed that is said with every failure; `BEDFELLOW_CAMPAIGN_SEED` sets it.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a campaign that cannot be run is a failed one

mod damage;
mod dice;
mod draw;
mod edits;
mod keys;
mod reading;
mod size;
mod terminal;
