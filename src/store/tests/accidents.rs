//! Every call of a sitting fails, is the last before a kill, or the last before the power goes; then the file is opened
//! again. The text is a list of lines and a record adds one, so what should be there can be read off.

use super::*;

const BASE: &str = "base\n";

/// What a sitting was told.
#[derive(Debug, Default)]
struct Told {
    /// Lines added, in order.
    added: Vec<String>,
    /// How many of them were said to be safe.
    n_safe: usize,
    /// Saves that were said to be done with all that is beside the file, by how many lines they hold.
    with_trail: Vec<usize>,
}

impl Told {
    fn text(&self, n: usize) -> String {
        self.added[..n].iter().fold(BASE.to_owned(), |text, line| text + line + "\n")
    }

    /// The steps that led to the first `n` lines.
    fn trail(&self, n: usize) -> Vec<String> {
        self.added[..n].iter().rev().cloned().collect()
    }

    /// Saves all that was added.
    fn save(&mut self, kept: &mut Kept, now: Stamp, why: Save) {
        let n = self.added.len();
        if let Ok(saved) = kept.save_with_trail(&self.text(n), &self.trail(n), now, why) {
            self.n_safe = n;
            if saved.trouble.is_empty() {
                self.with_trail.push(n);
            }
        }
    }
}

fn replayed(opened: &Opened) -> String {
    opened.records.iter().fold(opened.text.clone(), |text, line| text + line + "\n")
}

/// Opens, adds, flushes, saves, adds, saves at a pause, adds. Goes on whatever fails, as the program does.
fn sit(path: &Path, disk: &FaultyDisk) -> Told {
    let mut told = Told::default();
    if let Ok(opened) = Kept::open(path, LIMIT, at(0), Box::new(disk.clone())) {
        let mut kept = opened.kept;
        if let Access::Barred(_) = kept.access() {
            // Whether another has it could not be known; asked again it can, unless the disk fails for good.
            let _ = kept.take_over(at(0));
        }
        if !kept.access().is_writable() {
            kill(kept, disk);
            return told;
        }
        for (minute, step) in (0..).zip(["a", "b", "c", "save", "d", "e", "pause", "f", "pause", "g", "save", "h"]) {
            match step {
                "save" | "pause" => {
                    let why = if step == "save" { Save::Asked } else { Save::Pause };
                    told.save(&mut kept, at(minute), why);
                }
                line => {
                    kept.append(line).unwrap();
                    told.added.push(line.to_owned());
                    // Two at once as well.
                    if line != "b" && kept.flush().is_ok() {
                        told.n_safe = told.added.len();
                        assert!(!kept.has_pending());
                    }
                }
            }
        }
        kill(kept, disk);
    }
    told
}

/// Opens again and finds all that was safe, and nothing that was not added. Gives what it finds.
fn find_again(path: &Path, told: &Told, how: &str) -> String {
    let opened = open(path);
    let found = replayed(&opened);
    let n = (0..=told.added.len()).find(|n| told.text(*n) == found);
    let n = n.unwrap_or_else(|| panic!("{how}: invented {found:?} from {told:?}, {:?}", opened.notices));
    assert!(n >= told.n_safe, "{how}: {found:?} of {told:?}, {:?}", opened.notices);
    assert_eq!(opened.kept.access(), &Access::Ours, "{how}");
    // Below what is replayed lies what led to the file, all of it or, where that was never said to be kept, nothing.
    let n_in_file = (0..=n).find(|n| told.text(*n) == opened.text).unwrap();
    let is_whole = opened.trail == Trail { steps: told.trail(n_in_file), end: None };
    let is_owed = told.with_trail.contains(&n_in_file);
    assert!(is_whole || (!is_owed && opened.trail.steps.is_empty()), "{how}: {n_in_file}, {:?}", opened.trail);
    let left = names_in(&beside(path));
    assert!(!left.iter().any(|name| name.to_string_lossy().contains("unfinished")), "{how}: {left:?}");
    found
}

/// What is opened after an accident can be worked on, and that is found too.
fn work_on(path: &Path, found: &str, how: &str) {
    let disk = FaultyDisk::sound();
    let mut opened = open_on(path, &disk);
    opened.kept.append("more").unwrap();
    opened.kept.flush().unwrap();
    drop(opened);
    let opened = open_on(path, &disk);
    assert_eq!(replayed(&opened), format!("{found}more\n"), "{how}: {:?}", opened.notices);
    let mut kept = opened.kept;
    kept.save("all\n", at(30), Save::Asked).unwrap();
    drop(kept);
    let opened = open_on(path, &disk);
    assert_eq!((opened.text.as_str(), opened.records.len()), ("all\n", 0), "{how}");
    assert_eq!(opened.notices, [], "{how}");
}

fn n_calls_of_a_sitting() -> usize {
    let (_folder, path) = file(BASE);
    let disk = FaultyDisk::sound();
    let told = sit(&path, &disk);
    assert_eq!(told.n_safe, 8);
    assert_eq!(find_again(&path, &told, "without faults"), told.text(8));
    disk.n_calls()
}

fn with_every_call(fault: impl Fn(&FaultyDisk, usize)) -> usize {
    let n_calls = n_calls_of_a_sitting();
    assert!(n_calls > 100, "{n_calls}");
    let mut n_short = 0;
    for n in 0..n_calls {
        let (_folder, path) = file(BASE);
        let disk = FaultyDisk::sound();
        fault(&disk, n);
        let told = sit(&path, &disk);
        n_short += usize::from(told.n_safe < told.added.len());
        let how = format!("call {n} ({:?})", disk.calls().get(n));
        let found = find_again(&path, &told, &how);
        work_on(&path, &found, &how);
    }
    n_short
}

#[test]
fn any_one_call_may_fail() {
    for kind in [ErrorKind::StorageFull, ErrorKind::PermissionDenied, ErrorKind::TimedOut] {
        with_every_call(|disk, n| disk.fail_at(n, kind));
    }
}

#[test]
fn the_disk_may_be_full_from_any_call_on() {
    assert!(with_every_call(|disk, n| disk.fail_from(n, ErrorKind::StorageFull)) > 0);
}

#[test]
fn the_program_may_be_killed_in_any_call() {
    assert!(with_every_call(FaultyDisk::die_at) > 0);
}

#[test]
fn the_power_may_go_in_any_call() {
    assert!(with_every_call(FaultyDisk::cut_power_at) > 0);
}

#[test]
fn a_call_may_fail_and_the_power_go_later() {
    let n_calls = n_calls_of_a_sitting();
    for n in (0..n_calls).step_by(3) {
        for later in (n + 1..n_calls).step_by(7) {
            let (_folder, path) = file(BASE);
            let disk = FaultyDisk::sound();
            disk.fail_at(n, ErrorKind::StorageFull);
            disk.cut_power_at(later);
            let told = sit(&path, &disk);
            find_again(&path, &told, &format!("call {n} fails, power goes in {later}"));
        }
    }
}

#[test]
fn the_power_may_go_again_while_the_file_is_opened_after_it_went() {
    let n_calls = n_calls_of_a_sitting();
    for n in (0..n_calls).step_by(5) {
        for again in 0.. {
            let (_folder, path) = file(BASE);
            let disk = FaultyDisk::sound();
            disk.cut_power_at(n);
            let mut told = sit(&path, &disk);
            let second = FaultyDisk::sound();
            second.cut_power_at(again);
            let opened = Kept::open(&path, LIMIT, at(20), Box::new(second.clone()));
            // If the power went before the journal was read, nobody saw what was opened.
            if let Some(opened) = opened.ok().filter(|opened| opened.kept.access() == &Access::Ours) {
                let found = replayed(&opened);
                let n_found = (0..=told.added.len()).find(|n| told.text(*n) == found).unwrap();
                assert!(n_found >= told.n_safe);
                // What was not found again was never safe, and the sitting goes on from here.
                told.added.truncate(n_found);
                let mut kept = opened.kept;
                for line in ["x", "y"] {
                    kept.append(line).unwrap();
                    told.added.push(line.to_owned());
                    if kept.flush().is_ok() {
                        told.n_safe = told.added.len();
                    }
                }
                told.save(&mut kept, at(21), Save::Asked);
                kill(kept, &second);
            }
            find_again(&path, &told, &format!("power goes in {n} and again in {again}"));
            if second.n_calls() <= again {
                break;
            }
        }
    }
}

#[test]
fn when_the_disk_has_room_again_the_next_flush_writes_what_waited() {
    let (_folder, path) = file(BASE);
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    disk.fail_every("write", ErrorKind::StorageFull);
    for line in ["two", "three"] {
        kept.append(line).unwrap();
        let error = kept.flush().unwrap_err();
        assert!(matches!(error, StoreError::NoRoom { .. }), "{error}");
        assert!(kept.has_pending());
    }
    disk.mend();
    // The half line that was written is gone from the file already.
    let text = fs::read_to_string(beside(&path).join("journal")).unwrap();
    assert_eq!(text.lines().count(), 2, "{text}");
    kept.flush().unwrap();
    assert!(!kept.has_pending());
    kill(kept, &disk);
    assert_eq!(open(&path).records, ["one", "two", "three"]);
}

#[test]
fn after_a_flush_that_failed_the_journal_is_written_anew() {
    let (_folder, path) = file(BASE);
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    disk.fail_every("flush", ErrorKind::TimedOut);
    kept.append("two").unwrap();
    kept.flush().unwrap_err();
    disk.mend();
    let n_before = disk.n_calls();
    kept.flush().unwrap();
    assert!(disk.calls()[n_before..].contains(&"rename"), "a second flush of the same file proves nothing");
    kill(kept, &disk);
    assert_eq!(open(&path).records, ["one", "two"]);
}

#[test]
fn a_flush_of_one_edit_is_one_write_and_one_flush() {
    let (_folder, path) = file(BASE);
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    let n_before = disk.n_calls();
    kept.append("two").unwrap();
    kept.flush().unwrap();
    // Lock and journal are looked at first: are they still under their names?
    assert_eq!(disk.calls()[n_before..], ["about", "about_open", "about", "about_open", "write", "flush"]);
    kept.flush().unwrap();
    assert_eq!(disk.n_calls(), n_before + 6);
}

#[test]
fn a_kept_folder_taken_away_comes_back_with_every_record() {
    let (_folder, path) = file(BASE);
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    fs::remove_dir_all(beside(&path)).unwrap();
    kept.append("two").unwrap();
    kept.flush().unwrap();
    drop(kept);
    assert_eq!(open(&path).records, ["one", "two"]);
}
