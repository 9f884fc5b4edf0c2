//! What an input does: changes of the view, edits of the plan, effects for the shell. No terminal, file or clock.

mod answers;
mod commands;
mod following;
#[cfg(test)]
mod tests;

use std::path::PathBuf;

pub use answers::{answered, picked};
pub use commands::run;
pub(in crate::tui) use commands::{apply, select, select_standing, step_week};

use crate::garden::Site;

use super::keys::{Command, Key, row_for};
use super::layers::{After, Desk, Layer};
use super::session::Session;
use super::view::View;

/// What comes in from outside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Input {
    /// A key.
    Key(Key),
    /// Pasted text.
    Paste(String),
    /// The screen has another size (columns, rows).
    Resize(u16, u16),
    /// A mouse click on a cell (column, row).
    Click(u16, u16),
    /// The mouse wheel, lines down (negative: up).
    Wheel(i32),
}

/// What the shell is to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Save to the garden's file.
    Save,
    /// Save under a name and go on with that file.
    SaveAs {
        /// The file.
        path: PathBuf,
        /// A file there may be replaced.
        may_overwrite: bool,
    },
    /// Write the planting list.
    WriteList {
        /// The file.
        path: PathBuf,
        /// A file there may be replaced.
        may_overwrite: bool,
    },
    /// Open a fresh copy of the demo.
    OpenDemo,
    /// Begin a new garden in a file.
    NewGarden(PathBuf),
    /// Set the site once the weather records it names are read.
    SetSite(Box<Site>),
    /// Listen to the mouse, or not.
    Mouse(bool),
    /// Give the terminal back for a while.
    Suspend,
    /// Save, then leave.
    Quit,
    /// Leave without saving.
    QuitUnsaved,
    /// Write the garden over whatever stands in its file now; that goes into the earlier versions first.
    WriteOver,
    /// Save to a new file in the place of one that has other names.
    Part,
    /// Take what the file holds now; the garden on the screen is put aside first.
    TakeTheirs,
    /// Put the garden aside in a file of its own, then leave.
    SetAsideAndLeave,
    /// Take a garden over that another program had open.
    TakeOver,
    /// List the earlier versions of the file.
    ShowVersions,
    /// Go back to the earlier version of that number.
    Restore(usize),
    /// Bring back what was put aside in that file of the kept folder.
    BringBack(PathBuf),
}

/// Handles one input.
pub fn update(session: &mut Session, view: &mut View, input: &Input) -> Vec<Effect> {
    let mut effects = Vec::new();
    match input {
        Input::Resize(columns, rows) => view.size = (*columns, *rows),
        Input::Paste(pasted) => {
            view.notice = None;
            if !view.is_in_sight() {
                return effects;
            }
            if let Some(mut layer) = view.layers.pop() {
                layer.paste(pasted, &mut Desk { session, view, effects: &mut effects });
                view.layers.push(layer);
            }
        }
        Input::Key(key) => {
            view.notice = None;
            on_key(*key, &mut Desk { session, view, effects: &mut effects });
        }
        Input::Click(column, row) => {
            if view.layers.is_empty() && view.is_in_sight() {
                commands::click((*column, *row), &mut Desk { session, view, effects: &mut effects });
            }
        }
        Input::Wheel(lines) => {
            let key = if *lines > 0 { Key::Down } else { Key::Up };
            on_key(key, &mut Desk { session, view, effects: &mut effects });
        }
    }
    keep_in_bounds(session, view);
    effects
}

fn on_key(key: Key, desk: &mut Desk<'_>) {
    // Ctrl-C leaves from any layer but a question about what would be lost, which it answers with no.
    if key == Key::Ctrl('c') && !matches!(desk.view.layers.last(), Some(Layer::Confirm(_))) {
        desk.effects.push(Effect::Quit);
        return;
    }
    // Nobody edits, or answers a question, that is not to be seen.
    let leaves = row_for(key, desk.view.screen)
        .is_some_and(|row| matches!(row.command, Command::Quit | Command::Suspend) && desk.view.layers.is_empty());
    if !desk.view.is_in_sight() && !leaves {
        return;
    }
    if let Some(mut layer) = desk.view.layers.pop() {
        // The layer is put back at its own depth, whatever it opened meanwhile.
        let depth = desk.view.layers.len();
        match layer.key(key, desk) {
            After::Close => {}
            After::Open(front) => {
                desk.view.layers.insert(depth, layer);
                desk.view.layers.push(*front);
            }
            After::Swap(other) => desk.view.layers.insert(depth, *other),
            After::Stay => desk.view.layers.insert(depth, layer),
        }
        return;
    }
    let Some(row) = row_for(key, desk.view.screen) else { return };
    if let Some(why) = row.hindrance(desk.session, desk.view) {
        desk.view.complain(format!("{}: {why}", row.title));
        return;
    }
    run(row.command, desk);
}

/// Undo and removals may take away what was selected.
fn keep_in_bounds(session: &Session, view: &mut View) {
    let n_beds = session.plan().garden().beds.len();
    view.bed_idx = view.bed_idx.min(n_beds.saturating_sub(1));
    if view.planting.is_some_and(|id| session.plan().garden().planting(id).is_none()) {
        view.planting = None;
    }
}
