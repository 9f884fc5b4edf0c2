//! One sitting at the program: a pseudo-terminal, a home of its own, nothing of the developer's surroundings.
//!
//! Nothing here sleeps for a fixed time: a test waits until the screen shows what it is waiting for, or fails at
//! the deadline and says what the screen showed instead.

use std::io::{Read as _, Write as _};
use std::num::NonZeroU16;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Condvar, Mutex};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use tempfile::TempDir;

/// How long a test waits for the screen; far more than the slowest machine needs.
const DEADLINE: Duration = Duration::from_secs(20);

/// The day on which every sitting takes place.
pub const TODAY: &str = "2027-04-15";

pub const ENTER: &str = "\r";
pub const ESC: &str = "\x1b";
pub const DOWN: &str = "\x1b[B";
pub const CTRL_C: &str = "\x03";
pub const CTRL_R: &str = "\x12";
pub const CTRL_U: &str = "\x15";
pub const CTRL_Z: &str = "\x1a";

/// Three empty beds.
pub const THREE_BEDS: &str = r#"(
    format: 2,
    name: "Three beds",
    site: (
        latitude_deg: 54.0,
        elevation_m: 200,
        last_frost: (month: 5, day: 20),
        first_frost: (month: 10, day: 1),
        currency: "GBP",
    ),
    beds: [
        (id: "A1", width_mm: 1200, length_mm: 2400),
        (id: "A2", width_mm: 1200, length_mm: 2400, east_mm: 1650),
        (id: "A3", width_mm: 1200, length_mm: 2400, east_mm: 3300),
    ],
)
"#;

/// What has come out of the terminal so far.
pub struct Seen {
    parser: vt100::Parser,
    pub raw: Vec<u8>,
    is_read: bool,
    has_ended: bool,
}

impl Seen {
    pub fn text(&self) -> String {
        self.parser.screen().contents()
    }

    pub fn screen(&self) -> &vt100::Screen {
        self.parser.screen()
    }

    /// No frame is half drawn.
    fn is_whole(&self) -> bool {
        last(&self.raw, b"\x1b[?2026h") <= last(&self.raw, b"\x1b[?2026l")
    }
}

/// Where a sequence of bytes comes for the last time.
pub fn last(raw: &[u8], sequence: &[u8]) -> Option<usize> {
    raw.windows(sequence.len()).rposition(|window| window == sequence)
}

pub struct Sitting {
    master: Option<Box<dyn MasterPty + Send>>,
    writer: Option<Box<dyn std::io::Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    seen: Arc<(Mutex<Seen>, Condvar)>,
    reader: Option<JoinHandle<()>>,
    home: Arc<TempDir>,
}

/// How a sitting begins.
pub struct Start {
    columns: u16,
    rows: u16,
    program: String,
    arguments: Vec<String>,
    has_controlling_terminal: bool,
    variables: Vec<(String, String)>,
    home: Arc<TempDir>,
}

impl Start {
    pub fn new() -> Self {
        let home = Arc::new(tempfile::tempdir().unwrap());
        Self {
            columns: 80,
            rows: 24,
            program: env!("CARGO_BIN_EXE_bedfellow").to_owned(),
            arguments: vec!["--today".to_owned(), TODAY.to_owned()],
            has_controlling_terminal: true,
            variables: Vec::new(),
            home,
        }
    }

    /// On a garden of that text; the file is `garden.ron` in the home of the sitting.
    pub fn on_garden(text: &str) -> Self {
        let start = Self::new();
        let path = start.home.path().join("garden.ron");
        std::fs::write(&path, text).unwrap();
        start.argument(path.to_str().unwrap())
    }

    /// On the garden of another sitting, in its home.
    pub fn beside(other: &Sitting) -> Self {
        let start = Self { home: Arc::clone(&other.home), ..Self::new() };
        let path = start.home.path().join("garden.ron");
        start.argument(path.to_str().unwrap())
    }

    /// A shell that runs the line, in which `$BEDFELLOW` is the program and `garden.ron` holds three empty beds.
    pub fn shell(line: &str) -> Self {
        let start = Self::on_garden(THREE_BEDS).variable("BEDFELLOW", env!("CARGO_BIN_EXE_bedfellow"));
        Self { program: "sh".to_owned(), arguments: vec!["-c".to_owned(), line.to_owned()], ..start }
    }

    /// A terminal of that size.
    pub fn size(self, columns: u16, rows: u16) -> Self {
        Self { columns, rows, ..self }
    }

    /// With the terminal on its standard streams only, as a process has it that was started by something other than a shell.
    pub fn without_controlling_terminal(self) -> Self {
        Self { has_controlling_terminal: false, ..self }
    }

    pub fn on_demo() -> Self {
        Self::new().argument("demo")
    }

    /// A new folder in the home of the sitting.
    pub fn folder(&self, name: &str) -> PathBuf {
        let folder = self.home.path().join(name);
        std::fs::create_dir(&folder).unwrap();
        folder
    }

    pub fn argument(mut self, argument: &str) -> Self {
        self.arguments.push(argument.to_owned());
        self
    }

    pub fn variable(mut self, name: &str, value: &str) -> Self {
        self.variables.push((name.to_owned(), value.to_owned()));
        self
    }

    pub fn open(self) -> Sitting {
        let size = size_of(self.columns, self.rows);
        let pair = native_pty_system().openpty(size).unwrap();
        let mut command = CommandBuilder::new(&self.program);
        command.args(&self.arguments);
        command.set_controlling_tty(self.has_controlling_terminal);
        command.env_clear();
        command.env("PATH", std::env::var_os("PATH").unwrap_or_default());
        command.env("TERM", "xterm-256color");
        for name in ["HOME", "BEDFELLOW_HOME", "TMPDIR"] {
            command.env(name, self.home.path());
        }
        for (name, value) in &self.variables {
            command.env(name, value);
        }
        command.cwd(self.home.path());
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let parser = parser_of(self.columns, self.rows);
        let seen = Seen { parser, raw: Vec::new(), is_read: true, has_ended: false };
        let seen = Arc::new((Mutex::new(seen), Condvar::new()));
        let mut source = pair.master.try_clone_reader().unwrap();
        let shared = Arc::clone(&seen);
        let reader = std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            loop {
                // A terminal whose program has gone reads as an error on some systems, as an end on others.
                let n = source.read(&mut bytes).unwrap_or(0);
                let (lock, changed) = &*shared;
                let mut seen = lock.lock().unwrap();
                seen.parser.process(&bytes[..n]);
                seen.raw.extend_from_slice(&bytes[..n]);
                seen.has_ended = n == 0;
                changed.notify_all();
                if n == 0 || !seen.is_read {
                    return;
                }
            }
        });
        let writer = Some(pair.master.take_writer().unwrap());
        Sitting { master: Some(pair.master), writer, child, seen, reader: Some(reader), home: self.home }
    }
}

fn size_of(columns: u16, rows: u16) -> PtySize {
    PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }
}

/// A terminal that tells no size, or a larger one than any screen, is looked at as the program draws on it.
fn parser_of(columns: u16, rows: u16) -> vt100::Parser {
    let (columns, rows) = if columns == 0 || rows == 0 { (80, 24) } else { (columns.min(1000), rows.min(500)) };
    vt100::Parser::new(NonZeroU16::new(rows).unwrap(), NonZeroU16::new(columns).unwrap(), 0)
}

impl Sitting {
    /// A file or folder in the home of this sitting.
    pub fn path(&self, name: &str) -> PathBuf {
        self.home.path().join(name)
    }

    pub fn home(&self) -> &Path {
        self.home.path()
    }

    /// Types; all of it in one write.
    pub fn keys(&mut self, keys: &str) {
        let writer = self.writer.as_mut().expect("the terminal is still there");
        writer.write_all(keys.as_bytes()).unwrap();
        writer.flush().unwrap();
    }

    /// Waits until what was seen satisfies.
    pub fn wait_until(&self, what: &str, is_so: impl Fn(&Seen) -> bool) {
        let (lock, changed) = &*self.seen;
        let mut seen = lock.lock().unwrap();
        let until = Instant::now() + DEADLINE;
        while !is_so(&seen) {
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() || seen.has_ended {
                let raw = String::from_utf8_lossy(&seen.raw).into_owned();
                let tail: String = raw.chars().skip(raw.chars().count().saturating_sub(300)).collect();
                let text = seen.text();
                drop(seen);
                panic!("{what}: not within the deadline; the screen shows\n{text}\nlast bytes {tail:?}");
            }
            seen = changed.wait_timeout(seen, left).unwrap().0;
        }
    }

    /// Waits until a whole frame shows the words.
    pub fn sees(&self, words: &str) {
        self.wait_until(words, |seen| seen.is_whole() && seen.text().contains(words));
    }

    /// Waits until a whole frame shows the words no longer.
    pub fn sees_no_more(&self, words: &str) {
        self.wait_until(&format!("{words} goes away"), |seen| seen.is_whole() && !seen.text().contains(words));
    }

    /// Types, then waits for the words.
    pub fn types(&mut self, keys: &str, words: &str) {
        self.keys(keys);
        self.sees(words);
    }

    /// Presses Enter in a placing form and waits for it to close.
    pub fn places(&mut self) {
        self.keys(ENTER);
        self.sees_no_more("Enter place");
    }

    pub fn seen<T>(&self, look: impl Fn(&Seen) -> T) -> T {
        look(&self.seen.0.lock().unwrap())
    }

    pub fn text(&self) -> String {
        self.seen(Seen::text)
    }

    pub fn raw(&self) -> Vec<u8> {
        self.seen(|seen| seen.raw.clone())
    }

    pub fn resize(&mut self, columns: u16, rows: u16) {
        let (lock, _) = &*self.seen;
        // What the old size still sends must not be read as the new size.
        let mut seen = lock.lock().unwrap();
        seen.parser = parser_of(columns, rows);
        drop(seen);
        self.master.as_ref().unwrap().resize(size_of(columns, rows)).unwrap();
    }

    pub fn process_id(&self) -> u32 {
        self.child.process_id().unwrap()
    }

    /// Sends a signal by name.
    pub fn signal(&self, name: &str) {
        let status =
            std::process::Command::new("kill").args([format!("-{name}"), self.process_id().to_string()]).status();
        assert!(status.unwrap().success(), "kill -{name}");
    }

    /// Whether the process is stopped, as `ps` says.
    pub fn is_stopped(&self) -> bool {
        let answer = std::process::Command::new("ps")
            .args(["-o", "state=", "-p", &self.process_id().to_string()])
            .output()
            .unwrap();
        String::from_utf8_lossy(&answer.stdout).trim().starts_with('T')
    }

    /// Waits for something that no output tells of.
    pub fn wait_for(what: &str, mut is_so: impl FnMut() -> bool) {
        let until = Instant::now() + DEADLINE;
        while !is_so() {
            assert!(Instant::now() < until, "{what}: not within the deadline");
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// Waits for the end; the exit code, and everything that came out.
    pub fn ends(&mut self) -> (u32, Vec<u8>) {
        let mut code = None;
        let child = &mut self.child;
        Self::wait_for("the program ends", || {
            code = child.try_wait().unwrap().map(|status| status.exit_code());
            code.is_some()
        });
        if let Some(reader) = self.reader.take() {
            Self::wait_for("all output is read", || reader.is_finished());
            reader.join().unwrap();
        }
        (code.unwrap(), self.raw())
    }

    /// Takes the terminal away, as closing its window does.
    pub fn terminal_goes(&mut self) {
        self.seen.0.lock().unwrap().is_read = false;
        // The reader waits in a read; any output lets it see that it is to stop.
        self.keys("]");
        if let Some(reader) = self.reader.take() {
            Self::wait_for("the reader stops", || reader.is_finished());
            reader.join().unwrap();
        }
        self.writer = None;
        self.master = None;
    }
}

impl Drop for Sitting {
    fn drop(&mut self) {
        // Only this sitting's own process, and only if it is still there.
        if matches!(self.child.try_wait(), Ok(None)) {
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }
}

/// Panics unless the bytes end with every mode undone.
pub fn assert_restored(raw: &[u8]) {
    for (set, undone, what) in [
        (&b"\x1b[?1049h"[..], &b"\x1b[?1049l"[..], "alternate screen"),
        (b"\x1b[?2004h", b"\x1b[?2004l", "bracketed paste"),
        (b"\x1b[?25l", b"\x1b[?25h", "cursor"),
        (b"\x1b[?1000h", b"\x1b[?1000l", "mouse"),
        (b"\x1b[?1006h", b"\x1b[?1006l", "mouse coordinates"),
    ] {
        let undone = last(raw, undone);
        assert!(undone.is_some() && undone > last(raw, set), "{what} is not as it was");
    }
}
