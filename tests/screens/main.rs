//! What every screen and layer looks like, reached by keys as a grower reaches it: on the demo, on a fixed day.
//!
//! Renew the snapshots with `INSTA_UPDATE=always cargo test --test screens`, then read what changed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a demo that cannot be opened is a failed test

mod limits;
mod pictures;
mod places;
mod shots;
mod sitting;
mod strange;
mod survival;
