//! One room per screen. Each has `draw(frame, area, scene)` and `run(command, cx)` for the commands that mean something of its own
//! there.

pub mod bed;
pub mod book;
pub mod findings;
pub mod ground;
pub mod year;

use super::layers::Layer;

/// What a screen made of a command.
#[derive(Debug)]
pub enum Ran {
    /// Nothing: here it means what it means everywhere.
    NotHere,
    /// It was run.
    Here,
    /// It was run, and opens a layer.
    Opens(Box<Layer>),
}

impl Ran {
    fn opens(layer: Layer) -> Self {
        Self::Opens(Box::new(layer))
    }
}
