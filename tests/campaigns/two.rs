//! Two and three programs on one garden: one has it, the others look on, and whoever is left takes it over.

use std::path::Path;
use std::time::Duration;

use bedfellow::garden::Garden;

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, aside, go_to_bed, saved_cm, shown_cm};
use crate::size;
use crate::terminal::{Output, Terminal};

/// What looking on may try: every key that edits, saves, or asks for the garden. None of them leaves.
const TRIED: [&str; 14] = ["-", "-", "-", "x", "a", "N", "b", "s", "u", "\x12", "O", "m", "c", "\x1b"];

fn is_read_only(output: &Output) -> bool {
    output.text().contains("[read-only]") || output.text().contains("open elsewhere")
}

fn start(home: &Path) -> Terminal {
    Terminal::open(home, &["garden.ron"], SIZE, true)
}

fn journal(path: &Path) -> Vec<u8> {
    std::fs::read(path.with_file_name(".garden.ron.kept").join("journal")).unwrap_or_default()
}

/// Lengths that file and journal speak of, in their order: the owner only ever lengthens.
fn lengths_on_disk(path: &Path) -> Vec<i64> {
    let text = std::fs::read_to_string(path).unwrap();
    let garden = Garden::from_ron(&text, "garden.ron").unwrap_or_else(|error| panic!("the file is not whole: {error}"));
    let mut lengths = vec![i64::from(garden.plantings[0].to_mm.0 / 10)];
    let journal = journal(path);
    for line in String::from_utf8(journal).unwrap().split_inclusive('\n').filter(|line| line.ends_with('\n')) {
        for part in line.split("to_mm:").skip(1) {
            let digits: String = part.trim_start().chars().take_while(char::is_ascii_digit).collect();
            lengths.push(digits.parse::<i64>().unwrap() / 10);
        }
    }
    lengths
}

/// One owner's time: both get keys, then the owner is killed, and one of those that are left takes over.
fn round(dice: &mut Dice, home: &Path, path: &Path, owner: &mut Terminal, other: &mut Terminal, length: i64) -> i64 {
    let mut n_sent = 0;
    let n_keys = dice.between(5, 40);
    for _ in 0..n_keys {
        if dice.is_percent(50) {
            owner.keys(b"+");
            n_sent += 1;
        } else {
            let key = *dice.one(&TRIED);
            other.keys(key.as_bytes());
        }
        if dice.is_percent(8) {
            owner.keys(b"s");
        }
        if dice.is_percent(3) {
            std::thread::sleep(Duration::from_millis(900));
        }
        std::thread::sleep(Duration::from_micros(dice.below(3_000) as u64));
        assert!(!owner.output().has_ended && !other.output().has_ended, "neither ends");
    }
    let expected = length + n_sent * STEP_CM;
    if dice.is_percent(50) {
        owner.must("all is shown", |output| shown_cm(output) == Some(expected));
    }
    owner.kill();
    owner.ends();
    let shown = shown_cm(&owner.output()).unwrap();
    let on_disk = lengths_on_disk(path);
    assert!(on_disk.iter().all(|cm| *cm >= LEAST_CM), "{on_disk:?}");
    assert!(on_disk[1..].is_sorted(), "the journal is the owner's alone: {on_disk:?}");
    let there = *on_disk.iter().max().unwrap();
    assert!((shown..=expected).contains(&there), "{shown} cm shown, {expected} cm sent, {there} cm on disk");
    assert!(aside(path).is_empty(), "{:?}", aside(path));
    let _ = home;
    there
}

/// No owner makes the strip shorter than it began.
const LEAST_CM: i64 = 1_000;

fn leave_layers(terminal: &mut Terminal) {
    for _ in 0..4 {
        terminal.keys(b"\x1b");
        std::thread::sleep(Duration::from_millis(20));
    }
    // An escape and what comes right after it may be one sequence: the next key is to be heard by itself.
    std::thread::sleep(Duration::from_millis(100));
}

/// Reaches for the garden; whether it got it.
fn takes_over(terminal: &mut Terminal) -> bool {
    terminal.keys(b"O");
    has_taken_over(terminal)
}

fn has_taken_over(terminal: &Terminal) -> bool {
    terminal.must("it has the garden, or not", |output| {
        let text = output.text();
        // An earlier reach for it, tried while the owner lived, may be heard only after its end: then it has it already.
        ["is yours", "came back", "still open", "no other program has this garden open"]
            .iter()
            .any(|it| text.contains(it))
    });
    !terminal.output().text().contains("still open")
}

#[test]
fn of_two_programs_only_one_writes_and_the_other_takes_over() {
    let (seed, n_rounds) = (size::seed(), size::count(3, 150));
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    let (mut n_taken_over, mut n_opened_anew) = (0, 0);
    let mut longest = 0;
    for number in size::trials(n_rounds, n_rounds) {
        let mut dice = Dice::of(seed, number);
        let _ = std::fs::remove_dir_all(home.path().join(".garden.ron.kept"));
        std::fs::write(&path, LONG_BED.replace("to_mm: 50000", "to_mm: 10000")).unwrap();
        let mut walk = || {
            let mut owner = start(home.path());
            let mut length = go_to_bed(&mut owner);
            let mut other = start(home.path());
            other.must("it looks on", is_read_only);
            go_to_bed(&mut other);
            for _ in 0..3 {
                length = round(&mut dice, home.path(), &path, &mut owner, &mut other, length);
                longest = longest.max(length);
                // A third is started at about the moment at which the second reaches for the garden: one of them has it.
                leave_layers(&mut other);
                let (third, has_second) = if dice.is_percent(50) {
                    let third = start(home.path());
                    std::thread::sleep(Duration::from_millis(dice.below(40) as u64));
                    (third, takes_over(&mut other))
                } else {
                    other.keys(b"O");
                    std::thread::sleep(Duration::from_micros(dice.below(2_000) as u64));
                    (start(home.path()), has_taken_over(&other))
                };
                third.must("the third is open", |output| output.text().contains("▸A1") || is_read_only(output));
                let has_third = !is_read_only(&third.output());
                assert!(has_second != has_third, "second has it: {has_second}, third has it: {has_third}");
                n_taken_over += u64::from(has_second);
                n_opened_anew += u64::from(has_third);
                (owner, other) = if has_second { (other, third) } else { (third, other) };
                assert_eq!(go_to_bed(&mut owner), length, "the new owner has all");
            }
        };
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(&mut walk));
        assert!(caught.is_ok(), "in round {number} of seed {seed}");
    }
    size::say(&format!(
        "two programs: {} owners killed, {n_taken_over} times taken over, {n_opened_anew} times a third was first; file and journal were the owner's alone; longest {longest} cm; seed {seed}",
        3 * n_rounds
    ));
}

/// Deletes the kept folder, whatever is written into it meanwhile.
fn delete_kept_folder(path: &Path) {
    let folder = path.with_file_name(".garden.ron.kept");
    while folder.exists() {
        let _ = std::fs::remove_dir_all(&folder);
    }
}

#[test]
fn a_kept_folder_that_is_deleted_leaves_the_garden_to_one_of_two_programs_and_no_edit_is_lost() {
    let (seed, n_rounds) = (size::seed(), size::count(2, 150));
    println!("seed {seed}");
    let (mut n_kept, mut n_lost, mut n_aside) = (0, 0, 0);
    for number in size::trials(n_rounds, n_rounds) {
        let mut walk = || {
            let mut dice = Dice::of(seed, number);
            let home = tempfile::tempdir().unwrap();
            let path = home.path().join("garden.ron");
            std::fs::write(&path, LONG_BED.replace("to_mm: 50000", "to_mm: 10000")).unwrap();
            let mut first = start(home.path());
            let length = go_to_bed(&mut first);
            let mut n_sent = 0;
            let press = |first: &mut Terminal, n: i64| {
                (0..n).for_each(|_| first.keys(b"+"));
                n
            };
            n_sent += press(&mut first, dice.between(0, 4));
            std::thread::sleep(Duration::from_millis(dice.below(1_000) as u64));
            delete_kept_folder(&path);
            if dice.is_percent(50) {
                n_sent += press(&mut first, dice.between(1, 3));
            }
            // The first looks after its lock every two seconds while nothing happens, and before each edit is written down.
            std::thread::sleep(Duration::from_millis(dice.below(2_500) as u64));
            let mut second = start(home.path());
            second.must("it is open", |output| output.text().contains("▸A1") || is_read_only(output));
            let is_first_owner = is_read_only(&second.output());
            n_sent += press(&mut first, dice.between(0, 3));
            if !is_first_owner {
                first.must("it noticed that it has lost the garden", is_read_only);
            }
            let shown = shown_cm(&first.output()).unwrap();
            let at_opening = go_to_bed(&mut second);
            assert!(
                is_read_only(&second.output()) == is_first_owner && is_read_only(&first.output()) != is_first_owner
            );
            let most = length + n_sent * STEP_CM;
            if is_first_owner {
                n_kept += 1;
                first.must("its edits go on", |output| shown_cm(output) == Some(most));
                first.kill();
                first.ends();
                assert_eq!(*lengths_on_disk(&path).iter().max().unwrap(), most);
                assert!(aside(&path).is_empty(), "{:?}", aside(&path));
            } else {
                n_lost += 1;
                second.keys(b"+");
                second.must("the edit of its owner", |output| shown_cm(output) == Some(at_opening + STEP_CM));
                first.kill();
                first.ends();
                second.kill();
                second.ends();
                assert_eq!(*lengths_on_disk(&path).iter().max().unwrap(), at_opening + STEP_CM);
                let put_aside: Vec<i64> = aside(&path).iter().map(|path| saved_cm(path)).collect();
                n_aside += put_aside.len();
                assert!(
                    put_aside.iter().chain([&at_opening]).any(|cm| *cm >= shown),
                    "{shown} cm shown; {at_opening} cm in the file, {put_aside:?} put aside"
                );
            }
        };
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(&mut walk));
        assert!(caught.is_ok(), "in round {number} of seed {seed}");
    }
    size::say(&format!(
        "kept folder deleted {n_rounds} times: {n_kept} times the first took its lock again, {n_lost} times another program had it by then \
         ({n_aside} times with edits put aside); one owner at a time, no edit lost; seed {seed}"
    ));
}
