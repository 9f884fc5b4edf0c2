//! The real program, command by command: what it answers, as text and as JSON, and how it ends.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a program that cannot be run is a failed test

#[path = "commands/bench.rs"]
mod bench;
#[path = "commands/export.rs"]
mod export;
#[path = "commands/garden.rs"]
mod garden;
#[path = "commands/harm.rs"]
mod harm;
#[path = "commands/input.rs"]
mod input;
#[path = "commands/reckon.rs"]
mod reckon;
#[cfg(unix)]
#[path = "commands/replaced.rs"]
mod replaced;
#[path = "commands/sky.rs"]
mod sky;
#[path = "commands/soak.rs"]
mod soak;
#[path = "commands/versions.rs"]
mod versions;
#[path = "commands/weather.rs"]
mod weather;
