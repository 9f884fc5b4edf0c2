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
use super::ui::Ui;
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
pub fn update(session: &mut Session, ui: &mut Ui, input: &Input) -> Vec<Effect> {
    let mut effects = Vec::new();
    let Ui { view, layers } = ui;
    let cx = &mut Context { session, view, effects: &mut effects };
    match input {
        Input::Resize(columns, rows) => cx.view.size = (*columns, *rows),
        Input::Paste(pasted) => {
            cx.view.notice = None;
            if let Some(layer) = layers.last_mut().filter(|_| cx.view.is_in_sight()) {
                layer.paste(pasted, cx);
            }
        }
        Input::Key(key) => {
            cx.view.notice = None;
            on_key(*key, layers, cx);
        }
        Input::Click(column, row) => {
            if layers.is_empty() && cx.view.is_in_sight() {
                commands::click((*column, *row), cx);
            }
        }
        Input::Wheel(lines) => on_key(if *lines > 0 { Key::Down } else { Key::Up }, layers, cx),
    }
    keep_in_bounds(cx.session, cx.view);
    effects
}

fn on_key(key: Key, layers: &mut Vec<Layer>, cx: &mut Context<'_>) {
    // Ctrl-C leaves from any layer but a question about what would be lost, which it answers with no.
    if key == Key::Ctrl('c') && !matches!(layers.last(), Some(Layer::Confirm(_))) {
        cx.effects.push(Effect::Quit);
        return;
    }
    // What cannot be seen must not be edited or answered.
    let leaves = row_for(key, cx.view.screen)
        .is_some_and(|row| matches!(row.command, Command::Quit | Command::Suspend) && layers.is_empty());
    if !cx.view.is_in_sight() && !leaves {
        return;
    }
    if let Some(layer) = layers.last_mut() {
        let after = layer.key(key, cx);
        settle(after, layers, cx);
        return;
    }
    let Some(row) = row_for(key, cx.view.screen) else { return };
    if let Some(why) = row.hindrance(cx.session, cx.view) {
        cx.view.complain(format!("{}: {why}", row.title));
        return;
    }
    layers.extend(commands::run(row.command, cx));
}

/// Does what the front layer asks for after a key.
fn settle(after: After, layers: &mut Vec<Layer>, cx: &mut Context<'_>) {
    match after {
        After::Stay => {}
        After::Close => _ = layers.pop(),
        After::Open(layer) => layers.push(*layer),
        After::Swap(layer) => {
            layers.pop();
            layers.push(*layer);
        }
        After::Run(command) => {
            layers.pop();
            layers.extend(commands::run(command, cx));
        }
        After::Chosen(purpose, id) => settle(answers::chosen(&purpose, &id, cx), layers, cx),
        After::Answered(question, answer) => settle(answers::answered(&question, &answer, cx), layers, cx),
    }
}

/// Drops a selection that undo or a removal took away.
fn keep_in_bounds(session: &Session, view: &mut View) {
    let n_beds = session.plan().garden().beds.len();
    view.bed_idx = view.bed_idx.min(n_beds.saturating_sub(1));
    if view.planting.is_some_and(|id| session.plan().garden().planting(id).is_none()) {
        view.planting = None;
    }
}
