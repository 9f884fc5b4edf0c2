//! Files at the extremes of what may be read: whatever lies within the limits is answered in bounded time, memory and words.

mod child;
mod file;
mod kinds;
mod lists;
mod standing;

use std::time::Duration;

use crate::size;
use child::{Run, run};
use kinds::KINDS;

/// What one answer may cost.
struct Bounds {
    time: Duration,
    memory_mb: u64,
    n_bytes: u64,
}

const CHECKED: Bounds = Bounds { time: Duration::from_secs(3), memory_mb: 300, n_bytes: 5_000_000 };

impl Bounds {
    /// What of a run lies beyond them, in words; nothing if all is within.
    fn broken_by(&self, run: &Run) -> Option<String> {
        let mut broken = Vec::new();
        // Tests are not timed; the long form is no test but a measurement.
        if size::is_long() && !cfg!(debug_assertions) && run.time() > self.time {
            broken.push(format!("{} ms", run.time().as_millis()));
        }
        if run.peak_mb.is_some_and(|mb| mb > self.memory_mb) {
            broken.push(format!("{} MB", run.peak_mb.unwrap_or_default()));
        }
        if run.n_bytes > self.n_bytes {
            broken.push(format!("{} bytes of words", run.n_bytes));
        }
        (!broken.is_empty()).then(|| broken.join(", "))
    }
}

#[test]
fn gardens() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("garden.ron");
    let only = std::env::var("BEDFELLOW_CAMPAIGN_KIND").ok();
    let mut failed = Vec::new();
    for kind in KINDS.iter().filter(|kind| only.as_deref().is_none_or(|only| only == kind.name)) {
        let (short, long) = kind.n;
        let text = (kind.text)(if size::is_long() { long } else { short });
        std::fs::write(&path, &text).unwrap();
        for args in
            [&["check"][..], &["check", "--why"], &["check", "--json"], &["free"], &["list"], &["export", "plantings"]]
        {
            let given: Vec<&str> = args.iter().copied().chain(["garden.ron"]).collect();
            let run = run(folder.path(), &given);
            size::say(&format!(
                "{} ({} kB): {} code {:?} {} ms {:?} MB {} kB",
                kind.name,
                text.len() / 1000,
                args.join(" "),
                run.code,
                run.time().as_millis(),
                run.peak_mb,
                run.n_bytes / 1000
            ));
            if !run.errors.is_empty() {
                size::say(&run.errors[..run.errors.len().min(300)]);
            }
            failed.extend(CHECKED.broken_by(&run).map(|words| format!("{} {}: {words}", kind.name, args.join(" "))));
        }
        let run = run(folder.path(), &["fit", "garden.ron", "B0"]);
        size::say(&format!(
            "{}: fit code {:?} {} ms {:?} MB {} kB",
            kind.name,
            run.code,
            run.time().as_millis(),
            run.peak_mb,
            run.n_bytes / 1000
        ));
    }
    assert!(failed.is_empty(), "{}", failed.join("\n"));
}
