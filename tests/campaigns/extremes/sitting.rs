//! A sitting at a garden on the full screen: how long each key is answered after, and what memory the program needs.

use std::path::Path;
use std::time::{Duration, Instant};

use crate::terminal::Terminal;

/// Longest wait for a frame before the sitting is given up.
const DEADLINE: Duration = Duration::from_secs(120);

/// Longest wait for the frame of a key that may change nothing.
const FRAME: Duration = Duration::from_millis(300);

/// What is waited for without a frame until the screen counts as still.
const STILL: Duration = Duration::from_millis(60);

/// The keys after the opening, and what they do.
const KEYS: [(&str, &str); 12] = [
    ("2", "Bed screen"),
    ("\t", "select"),
    ("-", "shorten"),
    ("+", "lengthen"),
    ("u", "undo"),
    ("w", "why"),
    ("\x1b", "close why"),
    ("n", "what next"),
    ("\x1b", "close what next"),
    ("3", "Year screen"),
    ("5", "Findings screen"),
    ("1", "Ground screen"),
];

/// One key, or the opening.
pub struct Step {
    pub what: &'static str,
    /// From the key until its frame is whole; what others take of the processors does not count.
    pub time: Duration,
}

pub struct Sitting {
    pub steps: Vec<Step>,
    pub peak_mb: Option<u64>,
    /// Whether an edit was made; one that has no room is refused.
    pub has_edited: bool,
}

/// Opens the garden file of a folder that is the program's home too: how long it took, what memory it needed, and whether what came
/// back from its journal is told.
pub fn open(home: &Path) -> Result<(Duration, Option<u64>), String> {
    let (terminal, time) = opened(home)?;
    let has_said =
        terminal.waits(FRAME, |output| output.text().contains("came back") || output.text().contains("not made again"));
    if !has_said {
        return Err(format!("says nothing of its journal: {}", terminal.output().text()));
    }
    Ok((time, terminal.used().peak_kb.map(|kb| kb / 1024)))
}

fn opened(home: &Path) -> Result<(Terminal, Duration), String> {
    let begun = Instant::now();
    let terminal = Terminal::open(home, &["garden.ron"], (120, 40), true);
    if !terminal.waits(DEADLINE, |output| output.n_frames > 0) {
        return Err(format!("does not open: {}", terminal.output().tail_text()));
    }
    let time = terminal.used().worked.map_or(begun.elapsed(), |worked| worked.min(begun.elapsed()));
    Ok((terminal, time))
}

/// Sits down at the garden file of a folder that is the program's home too. What went wrong is an error.
pub fn sit(home: &Path) -> Result<Sitting, String> {
    let (mut terminal, time) = opened(home)?;
    let mut steps = vec![Step { what: "open", time }];
    let mut has_edited = false;
    for (keys, what) in KEYS {
        let n_frames = still(&terminal);
        let (begun, worked_before) = (Instant::now(), terminal.used().worked);
        terminal.keys(keys.as_bytes());
        terminal.waits(FRAME, |output| output.n_frames > n_frames);
        // A frame that takes longer is told from none by whether the program works.
        while terminal.output().n_frames == n_frames
            && terminal.used().worked > worked_before
            && begun.elapsed() < DEADLINE
        {
            let before = terminal.used().worked;
            terminal.waits(FRAME, |output| output.n_frames > n_frames);
            if terminal.used().worked == before {
                break;
            }
        }
        let (took, worked) = (begun.elapsed(), terminal.used().worked);
        let worked = worked.zip(worked_before).map(|(after, before)| after.saturating_sub(before));
        steps.push(Step { what, time: worked.map_or(took, |worked| worked.min(took)) });
        has_edited |= matches!(keys, "-" | "+") && terminal.output().text().contains("(u undoes)");
        if terminal.output().has_ended || terminal.output().has_panicked {
            return Err(format!("ended at `{what}`: {}", terminal.output().tail_text()));
        }
    }
    let peak_mb = terminal.used().peak_kb.map(|kb| kb / 1024);
    Ok(Sitting { steps, peak_mb, has_edited })
}

/// Waits until no frame comes any more; how many there were.
fn still(terminal: &Terminal) -> u64 {
    loop {
        let n_frames = terminal.output().n_frames;
        if !terminal.waits(STILL, |output| output.n_frames > n_frames) {
            return n_frames;
        }
    }
}
