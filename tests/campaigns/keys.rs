//! Random keys, pastes, clicks and sizes of the terminal against the real program.

use std::time::Duration;

use bedfellow::garden::Garden;
use bedfellow::tui::keys::{COMMANDS, Command, Key};
use rustix::process::Signal;

use crate::dice::Dice;
use crate::size;
use crate::terminal::{DEADLINE, Terminal};

const GARDENS: [&str; 2] =
    [include_str!("../../demo/walled-garden.ron"), include_str!("../samples/valid/every-field.ron")];

/// Longest wait for the frame that shows what keys did; some keys are nobody's and bring no frame.
const FRAME: Duration = Duration::from_millis(60);

/// Longest wait for the program to give its terminal back, or not.
const SUSPENSION: Duration = Duration::from_millis(400);

/// What the sequences of a terminal are to the program.
fn bytes_of(key: Key) -> Vec<u8> {
    let text = match key {
        Key::Char(sign) => return sign.to_string().into_bytes(),
        Key::Ctrl(letter) => return vec![letter as u8 & 0x1f],
        Key::Up => "\x1b[A",
        Key::Down => "\x1b[B",
        Key::Right => "\x1b[C",
        Key::Left => "\x1b[D",
        Key::Enter => "\r",
        Key::Esc => "\x1b",
        Key::Tab => "\t",
        Key::BackTab => "\x1b[Z",
        Key::PageUp => "\x1b[5~",
        Key::PageDown => "\x1b[6~",
        Key::Home => "\x1b[H",
        Key::End => "\x1b[F",
        Key::Delete => "\x1b[3~",
        Key::Backspace => "\x7f",
    };
    text.as_bytes().to_vec()
}

/// Keys of no command, chords and sequences of other terminals.
const ODD: [&str; 26] = [
    "\x1bOP",
    "\x1b[15~",
    "\x1b[24~",
    "\x1b[2~",
    "\x1b[1;2A",
    "\x1b[1;5C",
    "\x1b[1;3D",
    "\x1ba",
    "\x1bq",
    "\x1b\r",
    "\x01",
    "\x05",
    "\x0b",
    "\x17",
    "\x18",
    "\x1c",
    "\x1d",
    "\x00",
    "\x1b[97;5u",
    "\x1b[I",
    "\x1b[O",
    "\x1b[<64;4;4M",
    "\x1b[M !!",
    "\x1b[200~",
    "\x1b[201~",
    "\x1b[?1;2c",
];

const TYPED: [&str; 20] = [
    "leek",
    "salad onion",
    "potato",
    "A1",
    "a",
    "e",
    "120",
    "0",
    "-5",
    "99999999999",
    "2027-06-01",
    "2027-02-30",
    "ä",
    "漢",
    "🥕",
    "e\u{301}",
    " ",
    "x",
    "4",
    "½",
];

const PASTED: [&str; 7] =
    ["leek", "two\nlines\r\nand more", "\t\u{7}\u{0}", "120", "漢字🥕", "\x1b[A", "2027-06-01 2027-07-01"];

/// Something to type. A slash is typed only where it searches: in the name of a file it could lead out of the home.
fn stroke(dice: &mut Dice, (columns, rows): (u16, u16)) -> Vec<u8> {
    match dice.below(100) {
        0..58 => loop {
            let row = dice.one(COMMANDS);
            let key = *dice.one(row.keys);
            let is_slash = key == Key::Char('/');
            let is_seldom = matches!(row.command, Command::Quit | Command::Suspend) && !dice.is_percent(10);
            if !is_slash && !is_seldom {
                return bytes_of(key);
            }
        },
        58..66 => bytes_of(*dice.one(&[Key::Enter, Key::Esc, Key::Tab, Key::Down, Key::Up])),
        66..82 => dice.one(&TYPED).as_bytes().to_vec(),
        82..86 => dice.one(&ODD).as_bytes().to_vec(),
        86..90 => format!("\x1b[200~{}\x1b[201~", dice.one(&PASTED)).into_bytes(),
        90..95 => {
            // Terminals count from 1.
            let (column, row) = (1 + dice.below(usize::from(columns) + 3), 1 + dice.below(usize::from(rows) + 3));
            let button = dice.one(&[0, 0, 0, 1, 2, 32, 64, 65]);
            format!("\x1b[<{button};{column};{row}{}", dice.one(&["M", "M", "m"])).into_bytes()
        }
        95..97 => {
            let key = *dice.one(&[Key::Backspace, Key::Delete, Key::Home, Key::End, Key::Left]);
            bytes_of(key).repeat(dice.below(30))
        }
        97 => b"yLn".to_vec(),
        _ => (0..dice.below(6)).map(|_| dice.below(256) as u8).filter(|byte| *byte != b'/').collect(),
    }
}

fn terminal_size(dice: &mut Dice) -> (u16, u16) {
    match dice.below(6) {
        0 => (dice.between(1, 12) as u16, dice.between(1, 6) as u16),
        1 => (300, 100),
        2 => (80, 24),
        _ => (dice.between(1, 300) as u16, dice.between(1, 100) as u16),
    }
}

#[derive(Default)]
#[allow(clippy::struct_field_names)] // counts are named so
struct Tally {
    n_keys: u64,
    n_resizes: u64,
    n_restarts: u64,
    n_suspended: u64,
}

/// One run: that many strokes in one garden, with as many starts of the program as they take.
fn run(dice: &mut Dice, n_strokes: u64, tally: &mut Tally) {
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    std::fs::write(&path, dice.one(&GARDENS)).unwrap();
    let mut n_left = n_strokes;
    while n_left > 0 {
        let mut size = terminal_size(dice);
        let arguments = if dice.is_percent(50) { vec!["--mouse", "garden.ron"] } else { vec!["garden.ron"] };
        let mut terminal = Terminal::open(home.path(), &arguments, size, false);
        terminal.must("the first frame", |output| output.n_frames > 0);
        while n_left > 0 && !terminal.output().has_ended {
            n_left -= 1;
            if dice.is_percent(5) {
                size = terminal_size(dice);
                terminal.resize(size);
                tally.n_resizes += 1;
                if dice.is_percent(50) {
                    continue;
                }
            }
            tally.n_keys += 1;
            let n_frames = terminal.output().n_frames;
            let keys = stroke(dice, size);
            // What is typed while the program has given its terminal back is the shell's: Ctrl-S would hold all output.
            let may_suspend = keys.contains(&0x1a);
            if dice.is_percent(2) {
                search(dice, &mut terminal);
            } else {
                terminal.keys(&keys);
            }
            // Now and then a burst: the next stroke does not wait for the frame.
            if may_suspend || !dice.is_percent(20) {
                let longest = if may_suspend { SUSPENSION } else { FRAME };
                terminal.waits(longest, |output| output.n_frames > n_frames || !output.modes.alternate_screen);
            }
            continue_if_stopped(&mut terminal, tally);
        }
        leave(&mut terminal, tally);
        let output = terminal.output();
        assert!(!output.has_panicked, "a panic: {}", output.tail_text());
        drop(output);
        terminal.ends();
        let ending = terminal.ending();
        assert!(ending.code == 0 && ending.signal.is_none(), "{ending:?}: {}", terminal.output().tail_text());
        terminal.assert_restored();
        tally.n_restarts += 1;
        let text = std::fs::read_to_string(&path).unwrap();
        let garden = Garden::from_ron(&text, "garden.ron");
        assert!(garden.is_ok(), "the garden file no longer opens: {}", garden.unwrap_err());
    }
}

/// Leaves every layer for the crop book and searches there.
fn search(dice: &mut Dice, terminal: &mut Terminal) {
    for _ in 0..6 {
        let n_frames = terminal.output().n_frames;
        terminal.keys(b"\x1b");
        terminal.waits(FRAME, |output| output.n_frames > n_frames);
    }
    terminal.keys(format!("4/{}\r", dice.one(&TYPED)).as_bytes());
}

/// A program that has given its terminal back for a while is called back.
fn continue_if_stopped(terminal: &mut Terminal, tally: &mut Tally) {
    if terminal.output().modes.alternate_screen || terminal.output().has_ended {
        return;
    }
    // It stops, or it ends; both take a moment.
    let until = std::time::Instant::now() + DEADLINE;
    while !terminal.ends_within(Duration::from_millis(5)) {
        if terminal.is_stopped() {
            tally.n_suspended += 1;
            terminal.assert_restored();
            terminal.signal(Signal::CONT);
            terminal.must("the screen is set up again", |output| output.modes.alternate_screen);
            return;
        }
        if terminal.output().modes.alternate_screen {
            return;
        }
        if std::time::Instant::now() > until {
            let tail = terminal.output().tail_text();
            panic!("the screen is left, and the program neither stops nor ends; last bytes {tail:?}");
        }
    }
}

/// Leaves by Ctrl-C from wherever it is. A question about what would be lost takes the first for no.
fn leave(terminal: &mut Terminal, tally: &mut Tally) {
    for _ in 0..20 {
        if terminal.ends_within(Duration::ZERO) {
            return;
        }
        // A paste that was begun is ended, and what was half a sequence is past.
        terminal.keys(b"\x1b[201~");
        terminal.keys(b"\x03");
        if terminal.ends_within(Duration::from_millis(300)) {
            return;
        }
        continue_if_stopped(terminal, tally);
    }
    panic!("Ctrl-C does not leave; last bytes {:?}", terminal.output().tail_text());
}

#[test]
fn random_keys_and_sizes_never_bring_it_down() {
    let (seed, n_strokes) = (size::seed(), if size::is_long() { 2_000 } else { 250 });
    let mut tally = Tally::default();
    println!("seed {seed}");
    for number in size::trials(1, 50) {
        let mut dice = Dice::of(seed, number);
        let caught = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| run(&mut dice, n_strokes, &mut tally)));
        assert!(caught.is_ok(), "in run {number} of seed {seed}");
        if size::is_long() {
            size::say(&format!("keys: run {number} done"));
        }
    }
    let Tally { n_keys, n_resizes, n_restarts, n_suspended } = tally;
    size::say(&format!(
        "keys: {n_keys} strokes and {n_resizes} sizes in {} runs, left and opened again {n_restarts} times, suspended {n_suspended} times; seed {seed}",
        size::count(1, 50)
    ));
    assert!(n_keys > n_strokes / 2 && n_resizes > 0);
}
