//! Something else comes into the file's place at a random moment of a sitting, and the sitting ends in one of many ways. Every edit
//! that was shown can be got back by what the README tells: opened, gone back to, or brought back from what was put aside.

use std::collections::BTreeMap;
use std::fs::{self, File};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use bedfellow::garden::{Garden, limits};
use bedfellow::store::{read_text, versions_of};
use rustix::process::Signal;
use serde_json::Value;

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, go_to_bed, open, saved_cm, shown_cm};
use crate::size;
use crate::terminal::Terminal;

/// What comes into the file's place.
const KINDS: [&str; 8] = ["latin 1", "utf 16", "binary", "folder", "pipe", "missing", "too large", "other garden"];

/// How the sitting ends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum End {
    Killed,
    Closed,
    Terminated,
    PutAside,
    Written,
    OtherName,
    TheirsTaken,
}

const ENDS: [End; 7] =
    [End::Killed, End::Closed, End::PutAside, End::Terminated, End::Written, End::OtherName, End::TheirsTaken];

fn replace(path: &Path, kind: &str) {
    let _ = fs::remove_file(path);
    match kind {
        "latin 1" => {
            let mut bytes = LONG_BED.replace("Long bed", "Langes B~t").into_bytes();
            bytes.iter_mut().filter(|byte| **byte == b'~').for_each(|byte| *byte = 0xe4);
            fs::write(path, bytes).unwrap();
        }
        "utf 16" => {
            let units = LONG_BED.encode_utf16().flat_map(u16::to_le_bytes);
            fs::write(path, [0xff, 0xfe].into_iter().chain(units).collect::<Vec<u8>>()).unwrap();
        }
        "binary" => fs::write(path, [0x7f, b'E', b'L', b'F', 0x80, 0, 0xff]).unwrap(),
        "folder" => {
            fs::create_dir(path).unwrap();
            fs::write(path.join("letter"), "to somebody").unwrap();
        }
        "pipe" => assert!(Command::new("mkfifo").arg(path).status().unwrap().success()),
        "too large" => File::create(path).unwrap().set_len(limits::FILE_BYTES + 1).unwrap(),
        "other garden" => fs::write(path, other_garden()).unwrap(),
        _ => {}
    }
}

/// A garden by another hand, with a strip shorter than ours ever is.
fn other_garden() -> String {
    LONG_BED.replace("Long bed", "By another hand").replace("to_mm: 50000", "to_mm: 10000")
}

/// The sitting: edits and what was shown of them.
struct Sitting {
    terminal: Terminal,
    base_cm: i64,
    n_sent: i64,
    shown_cm: i64,
}

impl Sitting {
    /// What the last whole frame shows; nothing new if a question covers it.
    fn look(&mut self) {
        let shown = shown_cm(&self.terminal.output());
        self.shown_cm = self.shown_cm.max(shown.unwrap_or_default());
    }

    fn edits(&mut self, dice: &mut Dice) {
        for _ in 0..dice.between(0, 5) {
            self.terminal.keys(b"+");
            self.n_sent += 1;
            std::thread::sleep(Duration::from_micros(dice.below(20_000) as u64));
            self.look();
        }
        match dice.below(6) {
            // A pause is 800 ms of the program's own time, and it looks at the file every two seconds.
            0 => std::thread::sleep(Duration::from_millis(dice.between(750, 2_300) as u64)),
            1 => self.terminal.keys(b"s"),
            _ => {}
        }
        self.look();
    }

    fn waits_for(&mut self, words: &str) -> bool {
        let is_there = self.terminal.waits(Duration::from_secs(3), |output| output.text().contains(words));
        self.look();
        is_there
    }

    /// Walks down a question to the choice of these words and takes it; whether it is there.
    fn chooses(&mut self, words: &str) -> bool {
        let marked = |text: &str| text.lines().find(|line| line.contains('▸')).map(str::to_owned);
        for _ in 0..8 {
            let text = self.terminal.output().text();
            if marked(&text).is_some_and(|line| line.contains(words)) {
                self.terminal.keys(b"\r");
                return true;
            }
            self.terminal.keys(b"\x1b[B");
            self.terminal.waits(Duration::from_millis(500), |output| marked(&output.text()) != marked(&text));
        }
        false
    }

    /// Leaves by `q` and takes a choice of the question; if it does not come the program has left, since all is saved.
    fn leaves_by(&mut self, words: &str) -> bool {
        self.terminal.keys(b"q");
        if self.terminal.ends_within(Duration::from_millis(300)) || !self.waits_for("later: go on") {
            return false;
        }
        self.chooses(words)
    }

    fn ends(&mut self, end: End) {
        match end {
            End::Killed => self.terminal.kill(),
            End::Closed => self.terminal.signal(Signal::HUP),
            End::Terminated => self.terminal.signal(Signal::TERM),
            End::PutAside => {
                self.leaves_by("leave (mine is put aside");
            }
            End::Written => {
                if self.leaves_by("write") && self.waits_for("saved") {
                    self.terminal.keys(b"q");
                }
            }
            End::OtherName => {
                if self.leaves_by("save mine under another name") {
                    self.terminal.must("a name is asked for", |output| output.text().contains("Save as"));
                    self.terminal.keys(b"\r");
                    if self.waits_for("saved as") {
                        self.terminal.keys(b"q");
                    }
                }
            }
            End::TheirsTaken => {
                if self.leaves_by("take theirs") && self.waits_for("Theirs is taken") {
                    self.terminal.keys(b"\rq");
                }
            }
        }
        if !self.terminal.ends_within(Duration::from_secs(4)) {
            // The choice was not among those of this question.
            self.look();
            self.terminal.kill();
            self.terminal.ends();
        }
    }
}

fn run(home: &Path, args: &[&str]) -> Value {
    let output = Command::new(env!("CARGO_BIN_EXE_bedfellow"))
        .args(args)
        .arg("--json")
        .current_dir(home)
        .env("BEDFELLOW_HOME", home)
        .output()
        .unwrap();
    let (out, err) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!(output.status.code(), Some(0), "{args:?}: {out}{err}");
    serde_json::from_str(&out).unwrap()
}

fn opens_at(home: &Path, path: &Path) -> i64 {
    let (mut terminal, length) = open(home, path);
    terminal.kill();
    terminal.ends();
    length
}

/// By which of the README's ways the edits came back, and the length then.
fn got_back(dice: &mut Dice, home: &Path, path: &Path, shown: i64) -> (&'static str, i64) {
    let other_name = home.join("garden-mine.ron");
    if other_name.exists() && saved_cm(&other_name) >= shown {
        return ("saved under another name", opens_at(home, &other_name));
    }
    let is_readable = || read_text(path, limits::FILE_BYTES).is_ok();
    let listed = run(home, &["versions", "garden.ron"]);
    if let Some(number) = listed["waiting"]["for_version"].as_u64()
        && (!is_readable() || dice.is_percent(50))
    {
        run(home, &["versions", "garden.ron", "--restore", &number.to_string()]);
        let length = opens_at(home, path);
        if length >= shown {
            return ("waited for a version", length);
        }
    }
    if is_readable() {
        let length = opens_at(home, path);
        if length >= shown {
            return ("opened", length);
        }
    }
    // What a version holds is seen in the list, too.
    let garden_in = |path: &Path| Garden::from_ron(&fs::read_to_string(path).ok()?, "it").ok();
    let versions = versions_of(path).unwrap();
    let held = versions.iter().find(|version| garden_in(&version.path).is_some() && saved_cm(&version.path) >= shown);
    if let Some(version) = held {
        run(home, &["versions", "garden.ron", "--restore", &version.number.to_string()]);
        return ("an earlier version", opens_at(home, path));
    }
    if is_readable() && dice.is_percent(50) {
        return brought_back_by_key(home, path, shown);
    }
    let listed = run(home, &["versions", "garden.ron"]);
    for aside in listed["aside"].as_array().unwrap().iter().filter(|aside| aside["error"].is_null()) {
        // Others come before it from then on, so it is found again by its place.
        let again = run(home, &["versions", "garden.ron"]);
        let same = again["aside"].as_array().unwrap().iter().find(|other| other["path"] == aside["path"]);
        run(home, &["versions", "garden.ron", "--bring-back", &same.unwrap()["number"].to_string()]);
        let length = opens_at(home, path);
        if length >= shown {
            return ("brought back by command", length);
        }
    }
    panic!("{shown} cm were shown and cannot be got back: {listed}");
}

fn brought_back_by_key(home: &Path, path: &Path, shown: i64) -> (&'static str, i64) {
    let (mut terminal, _) = open(home, path);
    let listed = run(home, &["versions", "garden.ron"]);
    let aside = listed["aside"].as_array().unwrap();
    let n_aside = aside.len();
    for (at, _) in aside.iter().enumerate().filter(|(_, aside)| aside["error"].is_null() && aside["is_now"] == false) {
        terminal.keys(b"V");
        terminal.must("what was put aside is listed", |output| output.text().contains("and what was put aside"));
        // From the end upwards, since every step makes more versions.
        terminal.keys(b"\x1b[F");
        for _ in 0..n_aside - 1 - at {
            terminal.keys(b"\x1b[A");
        }
        terminal.keys(b"\r");
        terminal.must("it is asked", |output| output.text().contains("R brings back"));
        terminal.keys(b"R");
        terminal.must("it is back", |output| output.text().contains("brought back: "));
        let length = go_to_bed(&mut terminal);
        if length >= shown {
            return ("brought back by key", length);
        }
    }
    panic!("{shown} cm were shown and cannot be got back by key: {listed}");
}

#[test]
fn every_edit_that_was_shown_can_be_got_back_whatever_came_into_the_files_place() {
    let seed = size::seed();
    println!("seed {seed}");
    let mut ways: BTreeMap<&str, u64> = BTreeMap::new();
    let (mut n_shown, mut n_trials) = (0, 0);
    let mut ends: BTreeMap<End, u64> = BTreeMap::new();
    for number in size::trials(8, 600) {
        let mut dice = Dice::of(seed, number);
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("garden.ron");
        fs::write(&path, LONG_BED).unwrap();
        // A short run makes each kind once before chance takes over.
        let kind = *KINDS.get(number as usize).unwrap_or_else(|| dice.one(&KINDS));
        let end = *ENDS.get(number as usize).unwrap_or_else(|| dice.one(&ENDS));
        let mut trial = || {
            let terminal = Terminal::open(home.path(), &["garden.ron"], SIZE, true);
            let mut sitting = Sitting { terminal, base_cm: 0, n_sent: 0, shown_cm: 0 };
            sitting.base_cm = go_to_bed(&mut sitting.terminal);
            sitting.shown_cm = sitting.base_cm;
            for _ in 0..dice.between(0, 2) {
                sitting.edits(&mut dice);
            }
            replace(&path, kind);
            for _ in 0..dice.between(0, 3) {
                sitting.edits(&mut dice);
                if dice.is_percent(50) {
                    // Later, if it is asked; else it goes back a step, and to the bed again.
                    let is_asked = sitting.terminal.output().text().contains("later: go on");
                    if is_asked {
                        sitting.terminal.keys(b"\x1b");
                    }
                }
            }
            sitting.ends(end);
            sitting.look();
            let (base, shown, n_sent) = (sitting.base_cm, sitting.shown_cm, sitting.n_sent);
            // Of a garden that nobody edited nothing is kept: what came into the file's place is all there is.
            let (way, there) = if shown == base {
                ("nothing was edited", shown)
            } else {
                got_back(&mut dice, home.path(), &path, shown)
            };
            assert!(
                (shown..=base + n_sent * STEP_CM).contains(&there),
                "{shown} cm shown, {there} cm came back: {way}"
            );
            *ways.entry(way).or_insert(0) += 1;
            n_shown += (shown - base) / STEP_CM;
        };
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(&mut trial));
        if caught.is_err() {
            let kept = size::left_behind(&format!("replaced-{number}"));
            let _ = fs::remove_dir_all(&kept);
            let _ = Command::new("cp").arg("-r").arg(home.path()).arg(&kept).status();
            panic!("trial {number} of seed {seed}: {kind}, {end:?}; left in {}", kept.display());
        }
        n_trials += 1;
        *ends.entry(end).or_insert(0) += 1;
        if size::is_long() && number % 50 == 49 {
            size::say(&format!("replaced files: {} done", number + 1));
        }
    }
    size::say(&format!(
        "replaced files: {n_trials} sittings, {n_shown} edits shown, all of them got back: {ways:?}; endings {ends:?}; seed {seed}"
    ));
}
