//! What an input does: changes of the view, edits of the plan, effects for the shell. No terminal, file or clock.

mod answers;
mod commands;
mod following;
#[cfg(test)]
mod tests;

use super::context::Context;
use super::effect::Effect;
use super::keys::{Command, Key, row_for};
use super::layers::{After, Layer};
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
                layer.paste(pasted, &mut Context { session, view, effects: &mut effects });
                view.layers.push(layer);
            }
        }
        Input::Key(key) => {
            view.notice = None;
            on_key(*key, &mut Context { session, view, effects: &mut effects });
        }
        Input::Click(column, row) => {
            if view.layers.is_empty() && view.is_in_sight() {
                commands::click((*column, *row), &mut Context { session, view, effects: &mut effects });
            }
        }
        Input::Wheel(lines) => {
            let key = if *lines > 0 { Key::Down } else { Key::Up };
            on_key(key, &mut Context { session, view, effects: &mut effects });
        }
    }
    keep_in_bounds(session, view);
    effects
}

fn on_key(key: Key, cx: &mut Context<'_>) {
    // Ctrl-C leaves from any layer but a question about what would be lost, which it answers with no.
    if key == Key::Ctrl('c') && !matches!(cx.view.layers.last(), Some(Layer::Confirm(_))) {
        cx.effects.push(Effect::Quit);
        return;
    }
    // Nobody edits, or answers a question, that is not to be seen.
    let leaves = row_for(key, cx.view.screen)
        .is_some_and(|row| matches!(row.command, Command::Quit | Command::Suspend) && cx.view.layers.is_empty());
    if !cx.view.is_in_sight() && !leaves {
        return;
    }
    if let Some(mut layer) = cx.view.layers.pop() {
        let after = layer.key(key, cx);
        settle(after, layer, cx);
        return;
    }
    let Some(row) = row_for(key, cx.view.screen) else { return };
    if let Some(why) = row.hindrance(cx.session, cx.view) {
        cx.view.complain(format!("{}: {why}", row.title));
        return;
    }
    commands::run(row.command, cx);
}

/// Does what a layer asks for after a key.
fn settle(after: After, layer: Layer, cx: &mut Context<'_>) {
    match after {
        After::Close => {}
        After::Stay => cx.view.layers.push(layer),
        After::Open(front) => cx.view.layers.extend([layer, *front]),
        After::Swap(other) => cx.view.layers.push(*other),
        After::Run(command) => commands::run(command, cx),
        After::Chosen(purpose, id) => {
            let after = answers::chosen(&purpose, &id, cx);
            settle(after, layer, cx);
        }
        After::Answered(question, answer) => {
            let after = answers::answered(&question, &answer, cx);
            settle(after, layer, cx);
        }
    }
}

/// Undo and removals may take away what was selected.
fn keep_in_bounds(session: &Session, view: &mut View) {
    let n_beds = session.plan().garden().beds.len();
    view.bed_idx = view.bed_idx.min(n_beds.saturating_sub(1));
    if view.planting.is_some_and(|id| session.plan().garden().planting(id).is_none()) {
        view.planting = None;
    }
}
