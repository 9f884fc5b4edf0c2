//! Signals at random instants. What ends the program leaves terminal and edits as they should be and shows as what ended it;
//! what stops it for a while, even where it cannot be heard, leaves it as it was once it goes on.

use std::time::Duration;

use rustix::process::Signal;

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, open, shown_cm};
use crate::size;
use crate::terminal::{Modes, Output, Terminal};

/// Signals that end a program, and how the system tells of one that they ended.
const ENDING: [(Signal, &str); 13] = [
    (Signal::HUP, "Hangup"),
    (Signal::INT, "Interrupt"),
    (Signal::QUIT, "Quit"),
    (Signal::ABORT, "Abort"),
    (Signal::PIPE, "Broken pipe"),
    (Signal::ALARM, "Alarm clock"),
    (Signal::TERM, "Terminated"),
    (Signal::USR1, "User defined signal 1"),
    (Signal::USR2, "User defined signal 2"),
    (Signal::XCPU, "CPU time limit exceeded"),
    (Signal::VTALARM, "Virtual timer expired"),
    (Signal::PROF, "Profiling timer expired"),
    (Signal::IO, "code 157"),
];

/// Panics unless the program was ended by that signal and the terminal is as it was.
fn assert_ended_by(terminal: &mut Terminal, words: &str, trial: &str) {
    terminal.ends();
    let ending = terminal.ending();
    // A signal that ends nothing on other systems shows as shells tell one.
    let told = ending.signal.clone().unwrap_or_else(|| format!("code {}", ending.code));
    let is_so = if cfg!(target_os = "linux") { told.starts_with(words) } else { ending.code != 0 };
    assert!(is_so, "{trial}: {ending:?} for {words}: {}", terminal.output().tail_text());
    terminal.assert_restored();
}

#[test]
fn a_signal_that_ends_the_program_loses_nothing_and_leaves_the_terminal_as_it_was() {
    let (seed, n) = (size::seed(), ENDING.len() as u64);
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    std::fs::write(&path, LONG_BED).unwrap();
    let (mut n_signals, mut n_shown) = (0, 0);
    for number in size::trials(n, 1_300) {
        let mut dice = Dice::of(seed, number);
        let (signal, words) = ENDING[(number % n) as usize];
        let trial = format!("trial {number} of seed {seed}");
        let (mut terminal, length) = open(home.path(), &path);
        let way = if length > 9_000 { -1 } else { 1 };
        let n_sent = dice.between(1, 6);
        for _ in 0..n_sent {
            terminal.keys(if way > 0 { b"+" } else { b"-" });
        }
        if dice.is_percent(50) {
            let all = length + way * n_sent * STEP_CM;
            terminal.must(&format!("{trial}: {all} cm"), |output| shown_cm(output) == Some(all));
        } else {
            std::thread::sleep(Duration::from_micros(dice.between(0, 20_000) as u64));
        }
        let shown = shown_cm(&terminal.output()).map_or(0, |cm| (cm - length) * way / STEP_CM);
        terminal.signal(signal);
        assert_ended_by(&mut terminal, words, &trial);
        let (mut again, there) = open(home.path(), &path);
        let there = (there - length) * way / STEP_CM;
        assert!((shown..=n_sent).contains(&there), "{trial}: {shown} of {n_sent} were shown, {there} are there");
        // And once more while it has just begun; two of them do something else before it hears them.
        if dice.is_percent(50) && !matches!(signal, Signal::PIPE | Signal::IO) {
            again.keys(b"q");
            again.ends();
            again = Terminal::open(home.path(), &["garden.ron"], SIZE, false);
            std::thread::sleep(Duration::from_micros(dice.between(0, 60_000) as u64));
        }
        again.signal(signal);
        assert_ended_by(&mut again, words, &trial);
        (n_signals, n_shown) = (n_signals + 2, n_shown + shown);
        if size::is_long() && number % 100 == 99 {
            size::say(&format!("signals: {} trials", number + 1));
        }
    }
    size::say(&format!(
        "signals: {n_signals} signals of {n} kinds, {n_shown} edits shown before, all there afterwards; each time the terminal as it was; seed {seed}"
    ));
}

/// Whether keys come one by one, are not echoed and make no signals.
fn is_raw(terminal: &Terminal) -> bool {
    let lines = terminal.lines();
    let has = |flag: &str| lines.split(|sign: char| !sign.is_ascii_uppercase()).any(|word| word == flag);
    !["ICANON", "ECHO", "ISIG", "IEXTEN"].into_iter().any(has)
}

fn is_set_up(output: &Output, n_frames: u64) -> bool {
    output.n_frames > n_frames && output.modes.alternate_screen && output.modes.bracketed_paste
}

#[test]
fn stopped_in_any_way_it_goes_on_with_every_mode_and_a_whole_picture() {
    let seed = size::seed();
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    std::fs::write(&path, LONG_BED).unwrap();
    let (mut terminal, mut length) = open(home.path(), &path);
    let mut n_cooked = 0;
    for number in size::trials(6, 600) {
        let mut dice = Dice::of(seed, number);
        let trial = format!("trial {number} of seed {seed}");
        // STOP cannot be heard; TSTP gives the terminal back first, and the key does the same.
        match number % 3 {
            0 => terminal.signal(Signal::STOP),
            1 => terminal.signal(Signal::TSTP),
            _ => terminal.keys(b"\x1a"),
        }
        while !terminal.is_stopped() {
            std::thread::sleep(Duration::from_millis(1));
        }
        if number % 3 > 0 {
            // The program is stopped before its last bytes are read here.
            terminal.must(&format!("{trial}: the terminal given back"), |output| output.modes == Modes::default());
            terminal.assert_restored();
        }
        let is_cooked = dice.is_percent(60);
        if is_cooked {
            terminal.set_as_shells_do();
            terminal.lines_before = terminal.lines();
            n_cooked += 1;
        }
        let n_frames = terminal.output().n_frames;
        terminal.signal(Signal::CONT);
        terminal.must(&format!("{trial}: set up and drawn again"), |output| is_set_up(output, n_frames));
        // What is typed works, and the line is raw: a key is heard without Enter.
        let way = if length > 9_000 { -1 } else { 1 };
        terminal.keys(if way > 0 { b"+" } else { b"-" });
        length += way * STEP_CM;
        terminal.must(&format!("{trial}: a length of {length} cm"), |output| shown_cm(output) == Some(length));
        assert!(is_raw(&terminal), "{trial}: cooked before {is_cooked}: {}", terminal.lines());
    }
    terminal.keys(b"q");
    terminal.ends();
    assert_eq!(terminal.ending().code, 0);
    terminal.assert_restored();
    size::say(&format!(
        "signals: stopped and continued {} times, {n_cooked} times with the line set by a shell meanwhile; seed {seed}",
        size::count(6, 600)
    ));
}

/// An Enter that is typed before the program has set the line comes as a line feed.
#[test]
fn a_program_opened_after_a_kill_leaves_when_it_is_told_to() {
    let seed = size::seed();
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    std::fs::write(&path, LONG_BED).unwrap();
    let (mut slowest, mut n_notices) = (Duration::ZERO, 0);
    for number in size::trials(6, 600) {
        let mut dice = Dice::of(seed, number);
        let (mut terminal, length) = open(home.path(), &path);
        for _ in 0..dice.between(1, 6) {
            terminal.keys(if length > 9_000 { b"-" } else { b"+" });
        }
        std::thread::sleep(Duration::from_micros(dice.between(0, 20_000) as u64));
        terminal.kill();
        terminal.ends();
        let mut again = Terminal::open(home.path(), &["garden.ron"], SIZE, true);
        match number % 3 {
            // Before it can have done anything.
            0 => {}
            1 => std::thread::sleep(Duration::from_micros(dice.between(0, 60_000) as u64)),
            _ => again.must("the first frame", |output| output.n_frames > 0),
        }
        let from = std::time::Instant::now();
        // Enter closes what came back, if something did.
        again.keys(b"\rq");
        again.ends();
        slowest = slowest.max(from.elapsed());
        n_notices += u64::from(again.output().tail_text().contains("came back"));
        assert_eq!(again.ending().code, 0, "trial {number} of seed {seed}: {}", again.output().tail_text());
    }
    size::say(&format!(
        "signals: {} times opened after a kill and left, slowest {} ms, {n_notices} times with edits that came back; seed {seed}",
        size::count(6, 600),
        slowest.as_millis()
    ));
}
