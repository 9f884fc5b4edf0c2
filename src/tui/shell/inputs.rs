//! Keys and signals, one after the other. A thread reads the terminal, another waits for signals.

use std::sync::mpsc::{Receiver, Sender, channel};
use std::thread;
use std::time::Duration;

use crossterm::event::{Event as TerminalEvent, MouseButton, MouseEventKind, poll, read};
use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGTSTP};
use signal_hook::iterator::Signals;

use crate::tui::keys::Key;
use crate::tui::update::Input;

/// What the shell waits for.
#[derive(Debug)]
pub enum Event {
    /// Something for the program.
    Input(Input),
    /// The process is asked to stop for a while.
    Suspend,
    /// Asked to end, or the terminal is gone.
    Gone,
}

/// Starts listening.
pub fn listen() -> std::io::Result<Receiver<Event>> {
    let (sender, receiver) = channel();
    let mut signals = Signals::new([SIGTERM, SIGHUP, SIGINT, SIGTSTP])?;
    let on_signal = sender.clone();
    thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for signal in signals.forever() {
            let event = if signal == SIGTSTP { Event::Suspend } else { Event::Gone };
            if on_signal.send(event).is_err() {
                return;
            }
        }
    })?;
    thread::Builder::new().name("keys".to_owned()).spawn(move || read_terminal(&sender))?;
    Ok(receiver)
}

/// Ends the program, with the plan safe, when the thread that reads keys ends in whatever way: without it nothing
/// would ever come in again.
struct LastWord<'a>(&'a Sender<Event>);

impl Drop for LastWord<'_> {
    fn drop(&mut self) {
        // A program that no longer listens is leaving already.
        let _ = self.0.send(Event::Gone);
    }
}

fn read_terminal(sender: &Sender<Event>) {
    let _last_word = LastWord(sender);
    // From the first look for events on, changes of size are heard; one before it would be missed, so the size is told.
    if poll(Duration::ZERO).is_ok()
        && let Ok((columns, rows)) = crossterm::terminal::size()
        && sender.send(Event::Input(Input::Resize(columns, rows))).is_err()
    {
        return;
    }
    loop {
        // Input that fails ends the program.
        let Ok(event) = read() else { return };
        if input(event).is_some_and(|input| sender.send(Event::Input(input)).is_err()) {
            return;
        }
    }
}

fn input(event: TerminalEvent) -> Option<Input> {
    match event {
        TerminalEvent::Key(key) => Key::from_event(key).map(Input::Key),
        TerminalEvent::Paste(text) => Some(Input::Paste(text)),
        TerminalEvent::Resize(columns, rows) => Some(Input::Resize(columns, rows)),
        TerminalEvent::Mouse(mouse) => match mouse.kind {
            MouseEventKind::Down(MouseButton::Left) => Some(Input::Click(mouse.column, mouse.row)),
            MouseEventKind::ScrollDown => Some(Input::Wheel(1)),
            MouseEventKind::ScrollUp => Some(Input::Wheel(-1)),
            _ => None,
        },
        TerminalEvent::FocusGained | TerminalEvent::FocusLost => None,
    }
}
