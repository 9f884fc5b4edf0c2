//! The real program in a pseudo-terminal that keeps no more than it must: modes, the last whole frame, the last bytes.

use std::io::{Read as _, Write as _};
use std::num::NonZeroU16;
use std::path::Path;
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use crate::usage::Used;
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use rustix::process::{Pid, Signal, kill_process};

/// How long anything is waited for that must come about.
pub const DEADLINE: Duration = Duration::from_secs(20);

/// The day on which every campaign takes place.
pub const TODAY: &str = "2027-04-15";

const END_OF_FRAME: &[u8] = b"\x1b[?2026l";

/// Bytes of the output that are kept.
const KEPT_BYTES: usize = 16 * 1024;

/// Modes of a terminal that a program may set, as DEC private modes (xterm's list, from memory).
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Modes {
    pub alternate_screen: bool,
    pub bracketed_paste: bool,
    pub hidden_cursor: bool,
    pub mouse: bool,
    pub held_frame: bool,
}

/// What has come out.
pub struct Output {
    pub modes: Modes,
    pub n_frames: u64,
    pub has_ended: bool,
    pub has_panicked: bool,
    /// The last bytes.
    pub tail: Vec<u8>,
    /// Bytes since the last whole frame.
    pending: Vec<u8>,
    parser: Option<vt100::Parser>,
    /// The part of a private mode's sequence read so far.
    sequence: Vec<u8>,
}

impl Output {
    fn take(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.scan(*byte);
        }
        self.tail.extend_from_slice(bytes);
        // A little is kept over, so that the words of a panic are found across two reads.
        let fresh = self.tail.len().saturating_sub(bytes.len() + 16);
        self.has_panicked |= contains(&self.tail[fresh..], b"panicked at");
        if self.tail.len() > 2 * KEPT_BYTES {
            self.tail.drain(..self.tail.len() - KEPT_BYTES);
        }
        if let Some(parser) = &mut self.parser {
            self.pending.extend_from_slice(bytes);
            let end = self.pending.windows(END_OF_FRAME.len()).rposition(|window| window == END_OF_FRAME);
            if let Some(end) = end.map(|at| at + END_OF_FRAME.len()) {
                parser.process(&self.pending[..end]);
                self.pending.drain(..end);
            }
        }
    }

    /// Follows `ESC [ ? numbers h` and `l`.
    fn scan(&mut self, byte: u8) {
        let is_part = match self.sequence.len() {
            0 => byte == 0x1b,
            1 => byte == b'[',
            2 => byte == b'?',
            _ => byte.is_ascii_digit() || byte == b';',
        };
        if is_part {
            self.sequence.push(byte);
            return;
        }
        if self.sequence.len() > 3 && (byte == b'h' || byte == b'l') {
            let is_set = byte == b'h';
            let numbers = String::from_utf8_lossy(&self.sequence[3..]).into_owned();
            for number in numbers.split(';') {
                match number {
                    "1049" | "47" | "1047" => self.modes.alternate_screen = is_set,
                    "2004" => self.modes.bracketed_paste = is_set,
                    "25" => self.modes.hidden_cursor = !is_set,
                    "1000" | "1002" | "1003" | "1006" | "1015" => self.modes.mouse = is_set,
                    "2026" => {
                        self.modes.held_frame = is_set;
                        self.n_frames += u64::from(!is_set);
                    }
                    _ => {}
                }
            }
        }
        self.sequence.clear();
        if byte == 0x1b {
            self.sequence.push(byte);
        }
    }

    /// The last whole frame, if frames are kept.
    pub fn text(&self) -> String {
        self.parser.as_ref().map(|parser| parser.screen().contents()).unwrap_or_default()
    }

    pub fn tail_text(&self) -> String {
        String::from_utf8_lossy(&self.tail[self.tail.len().saturating_sub(2_000)..]).into_owned()
    }
}

fn contains(bytes: &[u8], words: &[u8]) -> bool {
    bytes.windows(words.len()).any(|window| window == words)
}

/// How a program ended.
#[derive(Debug, PartialEq, Eq)]
pub struct Ending {
    /// Exit code, or 1 with a signal.
    pub code: u32,
    /// The signal's words, if one ended it.
    pub signal: Option<String>,
}

pub struct Terminal {
    master: Box<dyn MasterPty + Send>,
    writer: Option<Box<dyn std::io::Write + Send>>,
    child: Box<dyn Child + Send + Sync>,
    output: Arc<(Mutex<Output>, Condvar)>,
    reader: Option<JoinHandle<()>>,
    /// The terminal's own settings before the program began.
    pub lines_before: String,
    ending: Option<Ending>,
}

/// The terminal's own settings: raw or not.
fn line_settings(master: &dyn MasterPty) -> String {
    master.get_termios().map_or_else(String::new, |termios| {
        format!("{:?} {:?} {:?}", termios.input_flags, termios.output_flags, termios.local_flags)
    })
}

fn size_of((columns, rows): (u16, u16)) -> PtySize {
    PtySize { rows, cols: columns, pixel_width: 0, pixel_height: 0 }
}

fn set_size(master: &dyn MasterPty, output: &(Mutex<Output>, Condvar), size: (u16, u16)) {
    // Frames of the old size that are still to come are read as such of the new one; whole frames follow.
    if let Some(parser) = &mut output.0.lock().unwrap().parser {
        let (columns, rows) = (NonZeroU16::new(size.0).unwrap(), NonZeroU16::new(size.1).unwrap());
        parser.set_size(rows, columns);
    }
    let _ = master.resize(size_of(size));
}

impl Terminal {
    /// Starts the program on a file in a folder that is its home too. Frames are kept only if they are to be read.
    pub fn open(home: &Path, arguments: &[&str], size: (u16, u16), keeps_frames: bool) -> Self {
        Self::start(&[env!("CARGO_BIN_EXE_bedfellow")], home, arguments, size, keeps_frames)
    }

    /// The same by other words before the arguments than the program's name: another program that becomes it.
    pub fn start(program: &[&str], home: &Path, arguments: &[&str], size: (u16, u16), keeps_frames: bool) -> Self {
        let pair = native_pty_system().openpty(size_of(size)).unwrap();
        let lines_before = line_settings(&*pair.master);
        let mut command = CommandBuilder::new(program[0]);
        command.args(&program[1..]);
        command.args(["--today", TODAY]);
        command.args(arguments);
        command.env_clear();
        command.env("TERM", "xterm-256color");
        command.env("PATH", "/usr/sbin:/usr/bin:/sbin:/bin");
        for name in ["HOME", "BEDFELLOW_HOME", "TMPDIR"] {
            command.env(name, home);
        }
        command.cwd(home);
        let child = pair.slave.spawn_command(command).unwrap();
        drop(pair.slave);
        let parser = keeps_frames
            .then(|| vt100::Parser::new(NonZeroU16::new(size.1).unwrap(), NonZeroU16::new(size.0).unwrap(), 0));
        let output = Output {
            modes: Modes::default(),
            n_frames: 0,
            has_ended: false,
            has_panicked: false,
            tail: Vec::new(),
            pending: Vec::new(),
            parser,
            sequence: Vec::new(),
        };
        let output = Arc::new((Mutex::new(output), Condvar::new()));
        let mut source = pair.master.try_clone_reader().unwrap();
        let shared = Arc::clone(&output);
        let reader = std::thread::spawn(move || {
            let mut bytes = [0; 8192];
            loop {
                // A terminal whose program has gone reads as an error on some systems, as an end on others.
                let n = source.read(&mut bytes).unwrap_or(0);
                let (lock, changed) = &*shared;
                let mut output = lock.lock().unwrap();
                output.take(&bytes[..n]);
                output.has_ended = n == 0;
                changed.notify_all();
                if n == 0 {
                    return;
                }
            }
        });
        let writer = Some(pair.master.take_writer().unwrap());
        let reader = Some(reader);
        Self { master: pair.master, writer, child, output, reader, lines_before, ending: None }
    }

    pub fn output(&self) -> MutexGuard<'_, Output> {
        self.output.0.lock().unwrap()
    }

    /// Types; a program that has gone meanwhile gets nothing.
    pub fn keys(&mut self, bytes: &[u8]) {
        let writer = self.writer.as_mut().expect("a burst before was taken");
        let _ = writer.write_all(bytes).and_then(|()| writer.flush());
    }

    /// Waits until the output is so; whether it came to be within the time. An end of the program ends the waiting.
    pub fn waits(&self, longest: Duration, is_so: impl Fn(&Output) -> bool) -> bool {
        let (lock, changed) = &*self.output;
        let until = Instant::now() + longest;
        let mut output = lock.lock().unwrap();
        loop {
            if is_so(&output) {
                return true;
            }
            let left = until.saturating_duration_since(Instant::now());
            if left.is_zero() || output.has_ended {
                return false;
            }
            output = changed.wait_timeout(output, left).unwrap().0;
        }
    }

    /// Waits for what must come.
    pub fn must(&self, what: &str, is_so: impl Fn(&Output) -> bool) {
        if !self.waits(DEADLINE, is_so) {
            let output = self.output();
            let (text, tail) = (output.text(), output.tail_text());
            drop(output);
            panic!("{what}: not within the deadline; the screen shows\n{text}\nlast bytes {tail:?}");
        }
    }

    pub fn resize(&mut self, size: (u16, u16)) {
        set_size(&*self.master, &self.output, size);
    }

    /// Types all of it at once while the size changes; whether the program took it.
    pub fn burst(&mut self, bytes: &[u8], size: Option<(u16, u16)>) -> bool {
        let (mut writer, bytes) = (self.writer.take().unwrap(), bytes.to_vec());
        let (done, is_done) = std::sync::mpsc::channel();
        // Who types into a terminal that nobody reads waits for ever, so nobody waits for that.
        std::thread::spawn(move || {
            let _ = writer.write_all(&bytes).and_then(|()| writer.flush());
            let _ = done.send(writer);
        });
        if let Some(size) = size {
            self.resize(size);
        }
        self.writer = is_done.recv_timeout(DEADLINE).ok();
        self.writer.is_some()
    }

    /// The terminal's own settings now.
    pub fn lines(&self) -> String {
        line_settings(&*self.master)
    }

    /// Sets the terminal's line as a shell does that has it back.
    pub fn set_as_shells_do(&self) {
        let name = self.master.tty_name().unwrap();
        // The shell takes this terminal for its input, not for its own.
        let status = std::process::Command::new("sh").args(["-c", "stty sane <\"$0\""]).arg(name).status();
        assert!(status.unwrap().success(), "stty sane");
    }

    /// Ends the program at once, as a power cut would for it; it can do nothing about it.
    pub fn kill(&mut self) {
        self.signal(Signal::KILL);
    }

    pub fn signal(&self, signal: Signal) {
        let id = self.child.process_id().and_then(|id| Pid::from_raw(i32::try_from(id).ok()?));
        // It may have ended by itself.
        let _ = kill_process(id.unwrap(), signal);
    }

    /// What the program has used so far.
    pub fn used(&self) -> Used {
        self.child.process_id().map(Used::of).unwrap_or_default()
    }

    /// Whether the process is stopped, as `ps` says.
    pub fn is_stopped(&self) -> bool {
        let id = self.child.process_id().unwrap().to_string();
        let answer = std::process::Command::new("ps").args(["-o", "state=", "-p", &id]).output().unwrap();
        String::from_utf8_lossy(&answer.stdout).trim().starts_with('T')
    }

    /// Waits for the end and for all output; panics if it does not come.
    pub fn ends(&mut self) {
        assert!(self.ends_within(DEADLINE), "the program does not end; last bytes {:?}", self.output().tail_text());
    }

    /// How it ended.
    pub fn ending(&self) -> &Ending {
        self.ending.as_ref().expect("it has ended")
    }

    /// Whether the program ends within a time.
    pub fn ends_within(&mut self, longest: Duration) -> bool {
        let until = Instant::now() + longest;
        while self.ending.is_none() {
            if let Some(status) = self.child.try_wait().unwrap() {
                self.ending = Some(Ending { code: status.exit_code(), signal: status.signal().map(str::to_owned) });
            } else if Instant::now() > until {
                return false;
            } else {
                std::thread::sleep(Duration::from_millis(1));
            }
        }
        if let Some(reader) = self.reader.take() {
            reader.join().unwrap();
        }
        true
    }

    /// Panics unless the terminal is as it was before.
    pub fn assert_restored(&self) {
        let output = self.output();
        assert_eq!(output.modes, Modes::default(), "modes are left; last bytes {:?}", output.tail_text());
        assert_eq!(line_settings(&*self.master), self.lines_before, "the line settings are not as they were");
    }
}

impl Drop for Terminal {
    fn drop(&mut self) {
        // Only this terminal's own process, and only if it is still there.
        if self.ending.is_none() {
            self.kill();
            let _ = self.child.wait();
        }
    }
}
