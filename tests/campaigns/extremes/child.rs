//! The real program run on a file: how long it took, what memory it needed at its worst moment and how much it said.

use std::io::Read;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use crate::usage::Used;

/// How long a run is waited for before it is ended.
const DEADLINE: Duration = Duration::from_secs(120);

/// Bytes of the answer that are kept.
const KEPT_BYTES: usize = 4_000;

/// What one run came to.
pub struct Run {
    /// Exit code; `None` if it was ended at the deadline or by a signal.
    pub code: Option<i32>,
    pub took: Duration,
    /// Processor time of all its threads, where the system tells.
    pub worked: Option<Duration>,
    /// Largest resident set, where the system tells.
    pub peak_mb: Option<u64>,
    /// Bytes of the answer.
    pub n_bytes: u64,
    /// What was said on standard error.
    pub errors: String,
}

impl Run {
    /// How long it would have taken on a machine with nothing else to do, at most: what others take of the processors does
    /// not count.
    pub fn time(&self) -> Duration {
        self.worked.map_or(self.took, |worked| worked.min(self.took))
    }
}

/// Runs the program in a folder that is its home too.
pub fn run(home: &Path, arguments: &[&str]) -> Run {
    let begun = Instant::now();
    let mut child = Command::new(env!("CARGO_BIN_EXE_bedfellow"))
        .args(["--today", crate::terminal::TODAY])
        .args(arguments)
        .current_dir(home)
        .env("BEDFELLOW_HOME", home)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    let answer = counted(child.stdout.take().unwrap());
    let errors = counted(child.stderr.take().unwrap());
    let (code, used) = wait(&mut child, begun + DEADLINE);
    let took = begun.elapsed();
    let ((n_bytes, _), (_, errors)) = (answer.join().unwrap(), errors.join().unwrap());
    Run { code, took, worked: used.worked, peak_mb: used.peak_kb.map(|kb| kb / 1024), n_bytes, errors }
}

/// Reads to the end; keeps the number of bytes and the first of them.
fn counted(mut source: impl Read + Send + 'static) -> JoinHandle<(u64, String)> {
    std::thread::spawn(move || {
        let (mut n_bytes, mut head, mut buffer) = (0, Vec::new(), vec![0; 64 * 1024]);
        while let Ok(n @ 1..) = source.read(&mut buffer) {
            n_bytes += n as u64;
            head.extend_from_slice(&buffer[..n.min(KEPT_BYTES.saturating_sub(head.len()))]);
        }
        (n_bytes, String::from_utf8_lossy(&head).into_owned())
    })
}

/// Waits for the end. What it uses is read until then: that only grows, and the last millisecond adds nothing to speak of.
fn wait(child: &mut Child, deadline: Instant) -> (Option<i32>, Used) {
    let mut used = Used::default();
    loop {
        used.look_again(child.id());
        if let Some(status) = child.try_wait().unwrap() {
            return (status.code(), used);
        }
        if Instant::now() > deadline {
            child.kill().unwrap();
            child.wait().unwrap();
            return (None, used);
        }
        std::thread::sleep(Duration::from_millis(1));
    }
}
