//! The real program in a pseudo-terminal, driven by keys alone; what is judged is what a terminal would show.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a terminal that cannot be opened is a failed test

mod grower;
mod keeping;
mod looks;
mod modes;
mod replaced;
mod safety;
mod sharing;
mod site;
mod sitting;
mod steering;
