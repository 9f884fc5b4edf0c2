//! What every screen and layer looks like and says, reached by keys as a grower reaches it, on a fixed day: on a small garden in which
//! every date is given (`given.ron`), so that a snapshot moves only when a screen does; survival and the README's pictures on the demo.
//!
//! Renew the snapshots with `INSTA_UPDATE=always cargo test --test screens`, then read what changed.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a demo that cannot be opened is a failed test

mod claims;
mod limits;
mod pictures;
mod places;
mod shots;
mod sitting;
mod strange;
mod survival;
