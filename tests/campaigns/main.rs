//! Campaigns: many random trials of one claim. The short form is part of `cargo test`; `tests/campaigns/run` is the
//! long one, whose results stand in DEVELOPERS.md.
//!
//! | file | claim |
//! | --- | --- |
//! | `edits` | edits, undo and redo agree with a naive model, byte for byte |
//! | `reading` | no text that is read makes a panic, takes a second or fills the memory |
//! | `extremes` | whatever lies within the limits is answered, shown and edited in bounded time, memory and words |
//! | `keys` | no keys and sizes of the terminal bring the program down or leave the terminal altered |
//! | `bursts` | every key is heard, however many come at once and whatever size the terminal gets meanwhile |
//! | `pastes` | a field takes what its limit allows of a long text, pasted or typed, and says so, in a second |
//! | `signals` | whatever signal ends or stops the program, terminal and edits are as they should be |
//! | `kills` | every edit that was shown outlives the program, whenever it is killed |
//! | `replaced` | whatever comes into the place of the file, every edit that was shown can be got back by what the README tells |
//! | `full_disk` | a disk that fails or is full loses nothing that was confirmed, and is caught up with |
//! | `links` | whatever is planted in the kept folder, nothing outside it is touched and no edit is lost |
//! | `members` | in a shared folder each member is told who has the garden; rights stay as they were, and no edit is lost |
//! | `two` | of several programs on one garden one writes; the others look on, and take over when it is gone |
//!
//! Everything is drawn from a seed that is said with every failure; `BEDFELLOW_CAMPAIGN_SEED` sets it.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a campaign that cannot be run is a failed one

mod bursts;
mod damage;
mod dice;
mod draw;
mod edits;
mod extremes;
#[allow(dead_code)] // the store's own tests ask for every fault, the campaigns for some
#[path = "../../src/store/tests/faulty.rs"]
mod faulty;
mod full_disk;
mod keys;
mod kills;
mod lengths;
mod links;
mod members;
mod pastes;
mod reading;
mod replaced;
mod signals;
mod size;
mod terminal;
mod two;
mod usage;

// The failing disk is a file of the store's tests, which knows the store's disk by this name.
use bedfellow::store::disk;
