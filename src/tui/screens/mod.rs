//! One room per screen. Each has `draw(frame, area, scene)` and `run(command, cx)` for the commands that mean something of its own
//! there.

pub mod bed;
pub mod book;
pub mod findings;
pub mod ground;
pub mod year;

use ratatui::Frame;
use ratatui::layout::Rect;

use super::context::Context;
use super::keys::Command;
use super::layers::Layer;
use super::scene::Scene;
use super::view::Screen;

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

/// How a screen is drawn, and what it makes of a command.
type Face = (fn(&mut Frame<'_>, Rect, Scene<'_>), fn(Command, &mut Context<'_>) -> Ran);

/// The file of each screen.
pub fn face(screen: Screen) -> Face {
    match screen {
        Screen::Ground => (ground::draw, ground::run),
        Screen::Bed => (bed::draw, bed::run),
        Screen::Year => (year::draw, year::run),
        Screen::Book => (book::draw, book::run),
        Screen::Findings => (findings::draw, findings::run),
    }
}
