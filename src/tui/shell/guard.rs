//! The guard that undoes every mode that was set: raw mode, alternate screen, cursor, paste, mouse. Panic, error, quit, signals
//! and suspension all go through it; leaving twice is harmless.

use std::ffi::c_int;
use std::io::{Write, stdin, stdout};
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Mutex, MutexGuard, Once, PoisonError};

use crossterm::cursor::Show;
use crossterm::event::{DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture};
use crossterm::terminal::{BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen};
use crossterm::{execute, queue};
use rustix::termios::{LocalModes, OptionalActions, Termios, tcgetattr, tcsetattr};

static IS_IN: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();
/// The terminal's line settings before raw mode.
static LINE_BEFORE: Mutex<Option<Termios>> = Mutex::new(None);

/// Restores the terminal when dropped.
pub struct Guard(());

impl Guard {
    /// Sets the modes up; the panic hook restores them before the message is printed.
    pub fn enter(has_mouse: bool) -> std::io::Result<Self> {
        HOOK.call_once(|| {
            let before = std::panic::take_hook();
            std::panic::set_hook(Box::new(move |info| {
                leave();
                before(info);
            }));
        });
        let guard = Self(());
        enter_again(has_mouse)?;
        Ok(guard)
    }
}

impl Drop for Guard {
    fn drop(&mut self) {
        leave();
    }
}

fn line_before() -> MutexGuard<'static, Option<Termios>> {
    LINE_BEFORE.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Sets raw mode whatever the line settings are now: while this program is stopped a shell changes them, and the terminal
/// library believes raw mode to be on still.
fn make_raw() -> std::io::Result<()> {
    let mut line = tcgetattr(stdin())?;
    let mut before = line_before();
    // If raw mode is already on, this program set it, unless it was on from the start.
    if before.is_none() || line.local_modes.contains(LocalModes::ICANON) {
        *before = Some(line.clone());
    }
    line.make_raw();
    Ok(tcsetattr(stdin(), OptionalActions::Now, &line)?)
}

/// Sets all modes, whichever are already set. Raw mode comes first: in the background that stops the process before it
/// overwrites what is on the terminal.
pub fn enter_again(has_mouse: bool) -> std::io::Result<()> {
    IS_IN.store(true, Ordering::SeqCst);
    make_raw()?;
    execute!(stdout(), EnterAlternateScreen, EnableBracketedPaste)?;
    set_mouse(has_mouse);
    Ok(())
}

/// Undoes every mode. Errors are ignored: the terminal may be gone.
pub fn leave() {
    if IS_IN.swap(false, Ordering::SeqCst) {
        let _ = execute!(
            stdout(),
            EndSynchronizedUpdate,
            DisableMouseCapture,
            DisableBracketedPaste,
            LeaveAlternateScreen,
            Show
        );
        let _ = stdout().flush();
        if let Some(before) = line_before().take() {
            let _ = tcsetattr(stdin(), OptionalActions::Now, &before);
        }
    }
}

/// Switches mouse reporting on or off.
pub fn set_mouse(on: bool) {
    let _ = if on { execute!(stdout(), EnableMouseCapture) } else { execute!(stdout(), DisableMouseCapture) };
}

/// Holds output back until the frame is whole.
pub fn begin_frame() {
    let _ = queue!(stdout(), BeginSynchronizedUpdate);
}

/// Shows the frame.
pub fn end_frame() {
    let _ = execute!(stdout(), EndSynchronizedUpdate);
}

/// Stops the process as Ctrl-Z in a shell does; returns when it is continued.
pub fn stop_process() {
    let _ = signal_hook::low_level::emulate_default_handler(signal_hook::consts::SIGTSTP);
}

/// Ends the process by the signal that asked for it, so that its parent sees the cause. Call it last.
pub fn end_by(signal: c_int) -> ! {
    let _ = signal_hook::low_level::emulate_default_handler(signal);
    // If the signal does not end the process on this system: the exit code that shells give it.
    std::process::exit(128 + signal);
}

/// In debug builds a test can ask for a panic, to see that the terminal is restored.
#[cfg(debug_assertions)]
#[allow(clippy::panic, clippy::manual_assert)]
pub fn panic_on_demand(input: &crate::tui::update::Input) {
    use crate::tui::keys::Key;
    if *input == crate::tui::update::Input::Key(Key::Char('!')) && std::env::var_os("BEDFELLOW_PANIC_KEY").is_some() {
        panic!("a panic was asked for");
    }
}
