//! Files at the extremes of what may be read: whatever lies within the limits is answered, shown and edited in bounded time,
//! memory and words. `BEDFELLOW_CAMPAIGN_KIND` names the only kind of file to try.

mod child;
mod file;
mod journals;
mod kinds;
mod lists;
mod sitting;
mod standing;
mod weather;

use std::path::Path;
use std::time::Duration;

use crate::size;
use child::{Run, run};
use sitting::sit;

/// What one answer may cost.
#[derive(Debug, Clone, Copy)]
struct Bounds {
    time: Duration,
    memory_mb: u64,
    n_bytes: u64,
}

/// What lists every planting grows with their number.
const A_LIST: Bounds = Bounds { time: Duration::from_secs(4), memory_mb: 300, n_bytes: 100_000_000 };

/// Any other answer.
const AN_ANSWER: Bounds = Bounds { time: Duration::from_secs(3), memory_mb: 300, n_bytes: 5_000_000 };

/// Any answer by weather records, of a garden that is no larger than gardens are.
const BY_WEATHER: Bounds = Bounds { memory_mb: 150, ..AN_ANSWER };

/// What a sitting may take: the opening, any key after it, and memory.
const OPENING: Duration = Duration::from_secs(3);
const KEY: Duration = Duration::from_millis(500);
const SITTING_MB: u64 = 300;

/// What opening a garden with edits in its journal may take.
const CATCHING_UP: Duration = Duration::from_secs(3);
const JOURNAL_BYTES: usize = 29_000_000;

/// How often what took too long is tried again: on a machine with other work the least counts.
const TRIES: usize = 3;

/// Times are judged in the long form of an optimised build: tests are not timed.
fn is_timed() -> bool {
    size::is_long() && !cfg!(debug_assertions)
}

impl Bounds {
    /// What of a run lies beyond them, in words; nothing if all is within.
    fn broken_by(self, run: &Run) -> Option<String> {
        let mut broken = Vec::new();
        if is_timed() && run.time() > self.time {
            broken.push(format!("{} ms", run.time().as_millis()));
        }
        if let Some(mb) = run.peak_mb.filter(|mb| *mb > self.memory_mb) {
            broken.push(format!("{mb} MB"));
        }
        if run.n_bytes > self.n_bytes {
            broken.push(format!("{} bytes of words", run.n_bytes));
        }
        (!broken.is_empty()).then(|| broken.join(", "))
    }
}

/// What was seen of a number of answers.
#[derive(Default)]
struct Seen {
    n: usize,
    slowest: (Duration, String),
    largest: (u64, String),
    longest: (u64, String),
    failed: Vec<String>,
}

impl Seen {
    /// Asks the program, and again if it took too long.
    fn ask(&mut self, kind: &str, home: &Path, words: &[&str], bounds: Bounds) -> Run {
        let what = format!("{kind}: {}", words.join(" "));
        let mut answer = run(home, words);
        for _ in 1..TRIES {
            if !is_timed() || answer.time() <= bounds.time {
                break;
            }
            let again = run(home, words);
            if again.time() < answer.time() {
                answer = again;
            }
        }
        self.n += 1;
        self.slowest = self.slowest.clone().max((answer.time(), what.clone()));
        self.largest = self.largest.clone().max((answer.peak_mb.unwrap_or(0), what.clone()));
        self.longest = self.longest.clone().max((answer.n_bytes, what.clone()));
        let (ms, mb) = (answer.time().as_millis(), answer.peak_mb.unwrap_or(0));
        size::say(&format!("{what}: {ms} ms, {mb} MB, {} kB", answer.n_bytes / 1_000));
        self.failed.extend(bounds.broken_by(&answer).map(|broken| format!("{what}: {broken}")));
        answer
    }

    fn must(&mut self, is_so: bool, what: impl FnOnce() -> String) {
        if !is_so {
            self.failed.push(what());
        }
    }

    fn sum_up(&self, what: &str) {
        size::say(&format!(
            "{what}: {} answers, slowest {} ms ({}), largest {} MB ({}), longest {} kB ({})",
            self.n,
            self.slowest.0.as_millis(),
            self.slowest.1,
            self.largest.0,
            self.largest.1,
            self.longest.0 / 1_000,
            self.longest.1
        ));
        assert!(self.failed.is_empty(), "{what}:\n{}", self.failed.join("\n"));
    }
}

fn is_asked_for(kind: &str) -> bool {
    std::env::var("BEDFELLOW_CAMPAIGN_KIND").map_or(true, |only| only == kind)
}

/// A file of every kind of garden in the folder, one after the other.
fn with_each_garden(home: &Path, mut then: impl FnMut(&'static str, &str)) {
    for kind in kinds::KINDS.iter().filter(|kind| is_asked_for(kind.name)) {
        let (short, long) = kind.n;
        let text = (kind.text)(if size::is_long() { long } else { short });
        std::fs::write(home.join("garden.ron"), &text).unwrap();
        then(kind.name, &text);
        let _ = std::fs::remove_dir_all(home.join(".garden.ron.kept"));
    }
}

/// The id of the first bed of a garden file.
fn first_bed(text: &str) -> &str {
    text.split("\nbeds: [\n(id: \"").nth(1).unwrap().split('"').next().unwrap()
}

#[test]
fn gardens_are_answered_for() {
    let home = tempfile::tempdir().unwrap();
    let mut seen = Seen::default();
    with_each_garden(home.path(), |kind, text| {
        let bed = first_bed(text);
        let asked: [(&[&str], Bounds); 8] = [
            (&["check", "garden.ron"], AN_ANSWER),
            (&["check", "garden.ron", "--why"], AN_ANSWER),
            (&["check", "garden.ron", "--json"], AN_ANSWER),
            (&["check", "garden.ron", "--why", "--bed", bed], AN_ANSWER),
            (&["free", "garden.ron"], AN_ANSWER),
            (&["fit", "garden.ron", bed], AN_ANSWER),
            (&["list", "garden.ron"], A_LIST),
            (&["export", "plantings", "garden.ron"], A_LIST),
        ];
        // The build of the short form is slow: it asks for the first, and of a few kinds for what weighs most.
        let is_asked = |words: &[&str]| {
            size::is_long()
                || words == ["check", "garden.ron"]
                || words[0] == "fit" && ["guests", "edges", "dense-edges"].contains(&kind)
        };
        for (words, bounds) in asked.into_iter().filter(|(words, _)| is_asked(words)) {
            let answer = seen.ask(kind, home.path(), words, bounds);
            seen.must(matches!(answer.code, Some(0 | 1)), || format!("{kind}: {words:?}: {}", answer.errors));
        }
    });
    seen.sum_up("extremes: gardens");
}

/// Kinds of garden that the short form sits down at.
const SHORT_SITTINGS: [&str; 3] = ["alike", "staggered", "guests"];

#[test]
fn gardens_are_shown_and_edited() {
    let home = tempfile::tempdir().unwrap();
    let (mut slowest_opening, mut slowest_key) = ((Duration::ZERO, String::new()), (Duration::ZERO, String::new()));
    let (mut largest, mut n_edited, mut n, mut failed) = ((0, ""), 0, 0, Vec::new());
    with_each_garden(home.path(), |kind, _| {
        if !size::is_long() && !SHORT_SITTINGS.contains(&kind) {
            return;
        }
        let sitting = match sit(home.path()) {
            Ok(sitting) => sitting,
            Err(error) => {
                failed.push(format!("{kind}: {error}"));
                return;
            }
        };
        n += 1;
        n_edited += usize::from(sitting.has_edited);
        let mut steps = String::new();
        for (place, step) in sitting.steps.iter().enumerate() {
            let (slowest, most) = if place == 0 { (&mut slowest_opening, OPENING) } else { (&mut slowest_key, KEY) };
            *slowest = slowest.clone().max((step.time, format!("{kind}: {}", step.what)));
            steps.push_str(&format!(", {} {}", step.what, step.time.as_millis()));
            if is_timed() && step.time > most {
                failed.push(format!("{kind}: {} takes {} ms", step.what, step.time.as_millis()));
            }
        }
        let mb = sitting.peak_mb.unwrap_or(0);
        largest = largest.max((mb, kind));
        if mb > SITTING_MB {
            failed.push(format!("{kind}: {mb} MB"));
        }
        size::say(&format!("{kind}: {mb} MB, ms{steps}"));
    });
    size::say(&format!(
        "extremes: {n} sittings, {n_edited} with an edit, slowest opening {} ms ({}), slowest key {} ms ({}), largest {} MB ({})",
        slowest_opening.0.as_millis(),
        slowest_opening.1,
        slowest_key.0.as_millis(),
        slowest_key.1,
        largest.0,
        largest.1
    ));
    assert!(failed.is_empty(), "{}", failed.join("\n"));
    assert!(n_edited >= n * 2 / 3, "in {n_edited} of {n} gardens an edit is made: too few to say anything");
}

#[test]
fn weather_records_are_read() {
    let home = tempfile::tempdir().unwrap();
    let mut seen = Seen::default();
    let (n_plantings, hundredths) = if size::is_long() { (2_000, 100) } else { (20, 1) };
    std::fs::write(home.path().join("garden.ron"), weather::garden(n_plantings)).unwrap();
    for kind in weather::KINDS.iter().filter(|kind| is_asked_for(kind.name)) {
        let text = (kind.text)(hundredths);
        assert!(text.len() <= 16 * 1024 * 1024, "{}: {} bytes", kind.name, text.len());
        std::fs::write(home.path().join("weather.csv"), text).unwrap();
        let commands: &[&[&str]] =
            &[&["check", "garden.ron"], &["free", "garden.ron"], &["export", "plantings", "garden.ron"]];
        let n = if kind.is_sound && size::is_long() { commands.len() } else { 1 };
        for words in &commands[..n] {
            let answer = seen.ask(kind.name, home.path(), words, BY_WEATHER);
            let is_as_expected = matches!(answer.code, Some(0 | 1)) == kind.is_sound && answer.errors.len() < 2_000;
            seen.must(is_as_expected, || format!("{}: {:?} {}", kind.name, answer.code, answer.errors));
        }
    }
    seen.sum_up("extremes: weather");
}

#[test]
fn journals_are_caught_up_with() {
    let n_bytes = if size::is_long() { JOURNAL_BYTES } else { JOURNAL_BYTES / 200 };
    let (mut slowest, mut failed) = ((Duration::ZERO, ""), Vec::new());
    for kind in journals::KINDS.iter().filter(|kind| is_asked_for(kind.name)) {
        let home = tempfile::tempdir().unwrap();
        let n_steps = journals::write(kind, &home.path().join("garden.ron"), n_bytes, size::is_long());
        match sitting::open(home.path()) {
            Ok((time, mb)) => {
                size::say(&format!("{}: {n_steps} edits, {} ms, {} MB", kind.name, time.as_millis(), mb.unwrap_or(0)));
                slowest = slowest.max((time, kind.name));
                if is_timed() && time > CATCHING_UP {
                    failed.push(format!("{}: {} ms", kind.name, time.as_millis()));
                }
            }
            Err(error) => failed.push(format!("{}: {error}", kind.name)),
        }
    }
    size::say(&format!("extremes: journals, slowest {} ms ({})", slowest.0.as_millis(), slowest.1));
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
