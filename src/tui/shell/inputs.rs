//! Keys and signals, one after the other. A thread reads the terminal, another waits for signals.
//!
//! The terminal's bytes are read here and not by the terminal library: its readers miss keys that arrive in bursts or together
//! with a resize, take a sequence that arrives in two parts for the Escape key followed by letters, and loop for ever when a
//! terminal goes away without a signal. Resizes are noticed by their signal.

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

/// How long to wait for the rest of a sequence before taking Escape for the key (starting value: longer than slow lines need,
/// too short to be noticed).
const WAIT_FOR_REST: Timespec = Timespec { tv_sec: 0, tv_nsec: 50_000_000 };

/// Pause before reading again from a terminal whose reads do not block (starting value).
const WAIT_TO_READ: Duration = Duration::from_millis(10);

/// Bytes read at once: the size of the terminal's own buffer.
const PORTION_BYTES: usize = 4096;

/// Reads that may wait to be handled; further input waits in the terminal's own buffer.
const N_WAITING: usize = 64;

/// Signals that end a process unless it handles them, except those that report a fault in the program itself (SIGSEGV,
/// SIGBUS, SIGFPE, SIGILL, SIGTRAP, SIGSYS): after one of these nothing more may be done.
const ENDING: [c_int; 13] =
    [SIGHUP, SIGINT, SIGQUIT, SIGTERM, SIGUSR1, SIGUSR2, SIGALRM, SIGVTALRM, SIGPROF, SIGXCPU, SIGPIPE, SIGIO, SIGABRT];

/// What the shell waits for.
#[derive(Debug)]
pub enum Event {
    /// Inputs, in the order in which they arrived.
    Inputs(Vec<Input>),
    /// The terminal may have another size.
    Resized,
    /// The process is asked to stop for a while.
    Suspend,
    /// The process has been continued after a stop.
    Continued,
    /// The process is asked to end by a signal.
    End(c_int),
    /// The terminal is gone.
    Gone,
}

/// Starts listening.
pub fn listen() -> std::io::Result<Receiver<Event>> {
    let (sender, receiver) = sync_channel(N_WAITING);
    // A file at its size limit shows as a failed write, which is reported; the signal is caught only so that it does not end us.
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

/// Ends the program, with the plan safe, if the thread that reads keys ends for any reason: no input would ever arrive
/// again.
struct LastWord<'a>(&'a SyncSender<Event>);

impl Drop for LastWord<'_> {
    fn drop(&mut self) {
        // If nobody is listening, the program is already on its way out.
        let _ = self.0.send(Event::Gone);
    }
}

/// Reads until the terminal is gone or nobody is listening any more.
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
                // Another program has set the terminal to non-blocking reads.
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

/// Waits for the rest of a sequence; whether there is something to read. Where the system cannot wait for a terminal, there is
/// nothing.
fn has_more(terminal: &Stdin) -> bool {
    loop {
        let mut watched = [PollFd::new(terminal, PollFlags::IN)];
        match poll(&mut watched, Some(&WAIT_FOR_REST)) {
            Ok(0) => return false,
            Ok(_) => return !watched[0].revents().contains(PollFlags::NVAL),
            // Interrupted by a signal: wait again.
            Err(Errno::INTR) => {}
            Err(_) => return false,
        }
    }
}
