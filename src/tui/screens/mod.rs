//! One room per screen. Each has `draw(frame, area, scene)` and
//! `run(command, cx) -> bool` for the commands that mean something of its own there.

pub mod bed;
pub mod book;
pub mod findings;
pub mod ground;
pub mod year;
