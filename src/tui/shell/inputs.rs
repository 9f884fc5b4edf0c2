//! Keys and signals, one after the other. A thread reads the terminal, another waits for signals.
//!
//! The bytes of the terminal are read here and not by the terminal library: its readers leave keys unread that come
//! together with a change of size or in bursts, take a sequence that comes in two portions for the Escape key and letters, and go
//! round for ever when a terminal ends without a signal. Changes of size are heard as the signals they are.

use std::ffi::c_int;
use std::io::Stdin;
use std::sync::mpsc::{Receiver, SyncSender, sync_channel};
use std::thread;
use std::time::Duration;

use rustix::event::{PollFd, PollFlags, Timespec, poll};
use rustix::io::Errno;
use signal_hook::consts::{
    SIGABRT, SIGALRM, SIGCONT, SIGHUP, SIGINT, SIGIO, SIGPIPE, SIGPROF, SIGQUIT, SIGTERM, SIGTSTP, SIGUSR1, SIGUSR2,
    SIGVTALRM, SIGWINCH, SIGXCPU, SIGXFSZ,
};
use signal_hook::iterator::Signals;

use super::decode::Decoder;
use crate::tui::update::Input;

/// How long the rest of a sequence is waited for before Escape is the key (starting value: slow lines part a sequence by less,
/// and nobody notices it).
const WAIT_FOR_REST: Timespec = Timespec { tv_sec: 0, tv_nsec: 50_000_000 };

/// How long it takes until reading is tried again where it does not wait by itself (starting value).
const WAIT_TO_READ: Duration = Duration::from_millis(10);

/// Bytes read at once: what a terminal's line holds.
const PORTION_BYTES: usize = 4096;

/// Portions that may wait to be handled; what comes beyond them waits in the terminal's line.
const N_WAITING: usize = 64;

/// Signals that end a process unless it hears them, all but those that tell of a fault in the program itself (SIGSEGV,
/// SIGBUS, SIGFPE, SIGILL, SIGTRAP, SIGSYS): after these nothing may be done any more.
const ENDING: [c_int; 13] =
    [SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGUSR1, SIGUSR2, SIGALRM, SIGVTALRM, SIGPROF, SIGXCPU, SIGPIPE, SIGIO, SIGABRT];

/// What the shell waits for.
#[derive(Debug)]
pub enum Event {
    /// Things for the program, in the order in which they came.
    Inputs(Vec<Input>),
    /// The terminal may have another size.
    Resized,
    /// The process is asked to stop for a while.
    Suspend,
    /// The process goes on after it was stopped.
    Continued,
    /// The process is asked to end by a signal.
    End(c_int),
    /// The terminal is gone.
    Gone,
}

/// Starts listening.
pub fn listen() -> std::io::Result<Receiver<Event>> {
    let (sender, receiver) = sync_channel(N_WAITING);
    // A file that may not grow shows as a write that fails, and that is said; the signal itself is heard so that it ends nothing.
    let heard = [SIGTSTP, SIGCONT, SIGWINCH, SIGXFSZ];
    let mut signals = Signals::new(ENDING.into_iter().chain(heard))?;
    let on_signal = sender.clone();
    thread::Builder::new().name("signals".to_owned()).spawn(move || {
        for signal in signals.forever() {
            let event = match signal {
                SIGTSTP => Event::Suspend,
                SIGCONT => Event::Continued,
                SIGWINCH => Event::Resized,
                SIGXFSZ => continue,
                ending => Event::End(ending),
            };
            if on_signal.send(event).is_err() {
                return;
            }
        }
    })?;
    thread::Builder::new().name("keys".to_owned()).spawn(move || {
        let _last_word = LastWord(&sender);
        read_terminal(&std::io::stdin(), &sender);
    })?;
    Ok(receiver)
}

/// Ends the program, with the plan safe, when the thread that reads keys ends in whatever way: without it nothing
/// would ever come in again.
struct LastWord<'a>(&'a SyncSender<Event>);

impl Drop for LastWord<'_> {
    fn drop(&mut self) {
        // A program that no longer listens is leaving already.
        let _ = self.0.send(Event::Gone);
    }
}

/// Reads until the terminal is gone or nobody listens any more.
fn read_terminal(terminal: &Stdin, events: &SyncSender<Event>) {
    let (mut decoder, mut bytes) = (Decoder::default(), [0; PORTION_BYTES]);
    loop {
        let mut inputs = Vec::new();
        if decoder.is_waiting() && !has_more(terminal) {
            decoder.pause(&mut inputs);
        } else {
            match rustix::io::read(terminal, &mut bytes) {
                Ok(0) => return,
                Ok(n) => decoder.take(&bytes[..n], &mut inputs),
                Err(Errno::INTR) => continue,
                // Another program has set the terminal so that reading does not wait.
                Err(Errno::AGAIN) => {
                    thread::sleep(WAIT_TO_READ);
                    continue;
                }
                Err(_) => return,
            }
        }
        if !inputs.is_empty() && events.send(Event::Inputs(inputs)).is_err() {
            return;
        }
    }
}

/// Waits for the rest of a sequence; whether there is something to read. Where a system cannot wait for a terminal there is not.
fn has_more(terminal: &Stdin) -> bool {
    loop {
        let mut watched = [PollFd::new(terminal, PollFlags::IN)];
        match poll(&mut watched, Some(&WAIT_FOR_REST)) {
            Ok(0) => return false,
            Ok(_) => return !watched[0].revents().contains(PollFlags::NVAL),
            // A signal came; the wait begins anew.
            Err(Errno::INTR) => {}
            Err(_) => return false,
        }
    }
}
