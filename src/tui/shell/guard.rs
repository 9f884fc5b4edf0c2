//! One guard that undoes every mode that was set: raw mode, alternate screen, cursor, paste, mouse.
//! Panic, error, quit, signals and suspension all pass here; leaving twice is harmless.

use std::io::{Write, stdout};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::cursor::Show;
use crossterm::event::{DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture};
use crossterm::terminal::{
    BeginSynchronizedUpdate, EndSynchronizedUpdate, EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode,
    enable_raw_mode,
};
use crossterm::{execute, queue};

static IS_IN: AtomicBool = AtomicBool::new(false);
static HOOK: Once = Once::new();

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

/// Sets the modes up.
pub fn enter_again(has_mouse: bool) -> std::io::Result<()> {
    IS_IN.store(true, Ordering::SeqCst);
    enable_raw_mode()?;
    execute!(stdout(), EnterAlternateScreen, EnableBracketedPaste)?;
    set_mouse(has_mouse);
    Ok(())
}

/// Undoes every mode. Errors are of no use here: the terminal may be gone.
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
        let _ = disable_raw_mode();
        let _ = stdout().flush();
    }
}

/// Listens to the mouse, or not.
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

/// In debug builds a test can ask for a panic, to see the terminal come back.
#[cfg(debug_assertions)]
#[allow(clippy::panic, clippy::manual_assert)]
pub fn panic_on_demand(input: &crate::tui::update::Input) {
    use crate::tui::keys::Key;
    if *input == crate::tui::update::Input::Key(Key::Char('!')) && std::env::var_os("BEDFELLOW_PANIC_KEY").is_some() {
        panic!("a panic was asked for");
    }
}
