//! A disk that fails at any call, and a real one that is full: nothing that was confirmed is lost, what is not on disk is said,
//! and once there is room again everything is written.

use std::io::ErrorKind;
use std::path::Path;
use std::process::Command;
use std::time::Duration;

use bedfellow::store::{Access, Disk, Kept, Opened, RealDisk, Save, SaveError, Stamp};

use crate::dice::Dice;
use crate::faulty::FaultyDisk;
use crate::lengths::{LONG_BED, STEP_CM, aside, go_to_bed, saved_cm, shown_cm};
use crate::size;
use crate::terminal::Terminal;

const LIMIT: u64 = 1_000_000;

fn now(minute: u64) -> Stamp {
    let day = 1 + minute / 1_440;
    let stamp = format!("202704{day:02}T{:02}{:02}00Z", minute / 60 % 24, minute % 60);
    Stamp::from_file_name(&stamp).unwrap()
}

/// The model: a file says up to which number it holds everything, records are the numbers after that, one by one.
struct Sitting {
    kept: Kept,
    disk: FaultyDisk,
    /// The last number that was made.
    made: u64,
    /// The last that was confirmed to be on the disk.
    confirmed: u64,
    minute: u64,
}

fn text_up_to(number: u64) -> String {
    // Long enough that half of it is no whole text.
    format!("everything up to {number}\n{}\nend of {number}\n", "- ".repeat(200))
}

/// The last number that a file and its records hold; panics unless they are whole and follow each other.
fn held(text: &str, records: &[String]) -> u64 {
    let first = text.lines().next().and_then(|line| line.strip_prefix("everything up to "));
    let in_file: u64 = first.and_then(|number| number.parse().ok()).unwrap_or_else(|| panic!("a file of {text:?}"));
    assert_eq!(text, text_up_to(in_file), "the file is whole");
    for (n, record) in records.iter().enumerate() {
        assert_eq!(
            *record,
            format!("edit {}", in_file + 1 + n as u64),
            "records follow the file and each other: {records:?}"
        );
    }
    in_file + records.len() as u64
}

fn opened(path: &Path, disk: Box<dyn Disk>, minute: u64) -> Opened {
    Kept::open(path, LIMIT, now(minute), disk).unwrap()
}

impl Sitting {
    fn begin(path: &Path) -> Self {
        std::fs::write(path, text_up_to(0)).unwrap();
        let disk = FaultyDisk::sound();
        let Opened { kept, .. } = opened(path, Box::new(disk.clone()), 0);
        Self { kept, disk, made: 0, confirmed: 0, minute: 0 }
    }

    fn edit(&mut self) {
        self.made += 1;
        self.kept.append(&format!("edit {}", self.made)).unwrap();
        if self.kept.flush().is_ok() {
            assert!(!self.kept.has_pending());
            self.confirmed = self.made;
        } else {
            assert!(self.kept.has_pending() || *self.kept.access() != Access::Ours, "a failed flush owes its records");
        }
    }

    fn save(&mut self, why: Save) {
        match self.kept.save(&text_up_to(self.made), now(self.minute), why) {
            Ok(_) => self.confirmed = self.made,
            // A file that this disk fails to read is not known to be the same.
            Err(SaveError::Store(_) | SaveError::Unreadable { .. }) => {}
            Err(other) => panic!("nobody else touches the file: {other:?}"),
        }
    }

    fn step(&mut self, dice: &mut Dice) {
        self.minute += dice.below(20) as u64;
        match dice.below(10) {
            0..6 => self.edit(),
            6 => self.save(Save::Asked),
            7 => self.save(Save::Pause),
            8 => drop(self.kept.flush().map(|()| self.confirmed = self.made)),
            _ => drop(self.kept.look()),
        }
    }

    /// The machine stops now; what is there when the file is opened on a sound disk.
    fn stop_and_reopen(self, path: &Path) -> u64 {
        let Self { kept, disk, made, confirmed, minute } = self;
        disk.die_at(disk.n_calls());
        drop(kept);
        let Opened { text, records, kept, .. } = opened(path, Box::new(RealDisk), minute + 1);
        let there = held(&text, &records);
        assert!((confirmed..=made).contains(&there), "{confirmed} were confirmed, {made} made, {there} are there");
        assert_eq!(*kept.access(), Access::Ours);
        there
    }
}

/// Fails in one way from a call on, once or for good.
fn set_fault(dice: &mut Dice, disk: &FaultyDisk, n_ahead: usize) {
    let kinds = [ErrorKind::StorageFull, ErrorKind::StorageFull, ErrorKind::QuotaExceeded, ErrorKind::PermissionDenied];
    let kind = *dice.one(&kinds);
    let n = disk.n_calls() + dice.below(n_ahead);
    if dice.is_percent(60) { disk.fail_from(n, kind) } else { disk.fail_at(n, kind) }
}

#[test]
fn a_disk_that_fails_at_any_call_loses_nothing_confirmed_and_is_caught_up_with() {
    let (seed, n_walks) = (size::seed(), size::count(150, 20_000));
    println!("seed {seed}");
    let (mut n_calls, mut n_stopped, mut n_caught_up) = (0, 0, 0);
    for number in size::trials(n_walks, n_walks) {
        let mut dice = Dice::of(seed, number);
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("garden.txt");
        let walk = || {
            let mut sitting = Sitting::begin(&path);
            for _ in 0..dice.below(12) {
                sitting.step(&mut dice);
            }
            set_fault(&mut dice, &sitting.disk, 25);
            for _ in 0..dice.between(1, 12) {
                sitting.step(&mut dice);
            }
            let calls = sitting.disk.n_calls();
            if dice.is_percent(50) {
                sitting.stop_and_reopen(&path);
                return (calls, false);
            }
            sitting.disk.mend();
            sitting.kept.flush().unwrap();
            assert!(!sitting.kept.has_pending());
            sitting.confirmed = sitting.made;
            let made = sitting.made;
            if dice.is_percent(50) {
                sitting.save(Save::Asked);
                assert_eq!(std::fs::read_to_string(&path).unwrap(), text_up_to(made));
            }
            assert_eq!(sitting.stop_and_reopen(&path), made, "with room again, everything is written");
            (calls, true)
        };
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(walk));
        let Ok((calls, is_caught_up)) = caught else { panic!("in walk {number} of seed {seed}") };
        n_calls += calls;
        if is_caught_up { n_caught_up += 1 } else { n_stopped += 1 }
    }
    size::say(&format!(
        "failing disk: {n_walks} walks of {n_calls} calls in all, {n_stopped} stopped while it failed, {n_caught_up} caught up with; seed {seed}"
    ));
}

/// A small disk in memory, if the system lets us have one.
struct SmallDisk(tempfile::TempDir);

impl SmallDisk {
    fn of_kilobytes(kilobytes: u32) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let size = format!("size={kilobytes}k");
        let mounted = Command::new("mount").args(["-t", "tmpfs", "-o", &size, "tmpfs"]).arg(folder.path()).output();
        mounted.is_ok_and(|output| output.status.success()).then_some(Self(folder))
    }

    /// Fills it but for so many bytes, as far as whole blocks allow.
    fn fill(&self, n_left: usize) {
        let path = self.0.path().join("ballast");
        let mut file = std::fs::File::create(&path).unwrap();
        let mut n = 0;
        // Until it is full, byte by block; then cut back.
        while std::io::Write::write_all(&mut file, &[0; 4096]).is_ok() {
            n += 4096;
        }
        file.set_len(n.max(n_left) as u64 - n_left.min(n) as u64).unwrap();
    }

    fn free(&self) {
        std::fs::remove_file(self.0.path().join("ballast")).unwrap();
    }
}

impl Drop for SmallDisk {
    fn drop(&mut self) {
        let _ = Command::new("umount").arg(self.0.path()).status();
    }
}

/// One filling of the disk under the open garden. Returns whether the journal, and whether a save, was refused.
fn filling(dice: &mut Dice, home: &Path, disk: &SmallDisk) -> (bool, bool) {
    let path = disk.0.path().join("garden.ron");
    let mut terminal = Terminal::open(home, &[path.to_str().unwrap()], crate::lengths::SIZE, true);
    let mut length = go_to_bed(&mut terminal);
    let (key, way): (&[u8], i64) = if length > 5_000 { (b"-", -1) } else { (b"+", 1) };
    disk.fill(*dice.one(&[0, 0, 4_096, 8_192, 12_288, 20_480, 40_960]));
    let is_refused = |terminal: &Terminal| terminal.output().text().contains("not on disk");
    let (mut n_keys, mut confirmed) = (0, length);
    let longest = dice.between(1, 120);
    let mut is_journal_refused = false;
    let mut is_save_refused = false;
    while n_keys < longest && !is_journal_refused {
        n_keys += 1;
        length += way * STEP_CM;
        terminal.keys(key);
        terminal.must("the edit is shown", |output| shown_cm(output) == Some(length));
        is_journal_refused = is_refused(&terminal);
        if !is_journal_refused {
            confirmed = length;
        }
        if dice.is_percent(10) {
            terminal.keys(b"s");
            terminal.must("the save is answered", |output| output.text().contains("saved"));
            is_save_refused |= terminal.output().text().contains("not saved");
            if !terminal.output().text().contains("not saved") {
                confirmed = length;
                is_journal_refused = is_refused(&terminal);
            }
        }
    }
    if dice.is_percent(40) {
        // The power goes while the disk is full.
        terminal.kill();
        terminal.ends();
        disk.free();
        let mut again = Terminal::open(home, &[path.to_str().unwrap()], crate::lengths::SIZE, true);
        let there = go_to_bed(&mut again);
        let (least, most) = (confirmed.min(length), confirmed.max(length));
        assert!(
            (least..=most).contains(&there),
            "{confirmed} cm were confirmed, {length} cm shown, {there} cm are there"
        );
        again.keys(b"q");
        again.ends();
        assert_eq!(saved_cm(&path), there);
        return (is_journal_refused, is_save_refused);
    }
    disk.free();
    // The next edit, or a pause, finds the room.
    if is_journal_refused && dice.is_percent(50) {
        terminal.must("it is tried again by itself", |output| !output.text().contains("not on disk"));
    } else {
        length += way * STEP_CM;
        terminal.keys(key);
        terminal.must("the edit is shown and on disk", |output| {
            shown_cm(output) == Some(length) && !output.text().contains("not on disk")
        });
    }
    if dice.is_percent(50) {
        terminal.kill();
        terminal.ends();
        let (mut again, there) = crate::lengths::open(home, &path);
        assert_eq!(there, length, "all that was on disk again is there");
        again.keys(b"q");
        again.ends();
    } else {
        std::thread::sleep(Duration::from_millis(dice.below(900) as u64));
        terminal.keys(b"q");
        terminal.ends();
        assert_eq!(terminal.ending().code, 0, "{}", terminal.output().tail_text());
    }
    assert_eq!(saved_cm(&path), length);
    (is_journal_refused, is_save_refused)
}

#[test]
fn a_real_disk_that_is_full_is_said_and_caught_up_with() {
    let (seed, n_fillings) = (size::seed(), size::count(3, 300));
    println!("seed {seed}");
    let Some(disk) = SmallDisk::of_kilobytes(256) else {
        size::say("full disk: skipped, no file system of our own can be mounted here (it takes a superuser)");
        return;
    };
    let home = tempfile::tempdir().unwrap();
    std::fs::write(disk.0.path().join("garden.ron"), LONG_BED).unwrap();
    let (mut n_journal, mut n_save) = (0, 0);
    for number in size::trials(n_fillings, n_fillings) {
        let mut dice = Dice::of(seed, number);
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| filling(&mut dice, home.path(), &disk)));
        let Ok((is_journal_refused, is_save_refused)) = caught else { panic!("in filling {number} of seed {seed}") };
        n_journal += u64::from(is_journal_refused);
        n_save += u64::from(is_save_refused);
    }
    let aside = aside(&disk.0.path().join("garden.ron"));
    assert!(aside.is_empty(), "{aside:?}");
    size::say(&format!(
        "full disk: {n_fillings} fillings of a real one, the journal refused in {n_journal}, a save in {n_save}; nothing lost, all written after; seed {seed}"
    ));
    assert!(n_journal > 0 || !size::is_long());
}
