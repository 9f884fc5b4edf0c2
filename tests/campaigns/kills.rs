//! The program is killed at random instants while edits stream in. Every edit that a whole frame has shown must be there
//! when the garden is opened again.

use std::path::Path;
use std::time::{Duration, Instant};

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE, STEP_CM, aside, open, saved_cm, shown_cm};
use crate::size;
use crate::terminal::Terminal;

/// What goes on when the program is killed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Moment {
    /// Edits stream in.
    Edits,
    /// Edits are taken back.
    Undos,
    /// The garden is saved because it was asked for.
    Save,
    /// The garden is saved at a pause.
    Pause,
    /// The program saves and leaves.
    Leaving,
    /// The program has just been started, with a journal to replay.
    Opening,
}

const MOMENTS: [(Moment, usize); 6] = [
    (Moment::Edits, 40),
    (Moment::Undos, 10),
    (Moment::Save, 22),
    (Moment::Pause, 8),
    (Moment::Leaving, 10),
    (Moment::Opening, 10),
];

/// Keys pressed one after the other that each change the length the same way.
struct Stream {
    base_cm: i64,
    way: i64,
    n_sent: i64,
}

impl Stream {
    fn key(&self) -> &'static [u8] {
        if self.way > 0 { b"+" } else { b"-" }
    }

    /// How many keys' edits a length shows.
    fn n_in(&self, cm: i64) -> i64 {
        (cm - self.base_cm) * self.way / STEP_CM
    }

    fn press(&mut self, terminal: &mut Terminal, key: &[u8]) {
        terminal.keys(key);
        self.n_sent += 1;
    }

    /// Waits until all that was sent is shown.
    fn is_shown(&self, terminal: &Terminal) {
        let expected = self.base_cm + self.way * STEP_CM * self.n_sent;
        terminal.must(&format!("a length of {expected} cm"), |output| shown_cm(output) == Some(expected));
    }
}

fn wait_us(dice: &mut Dice, least: i64, greatest: i64) {
    std::thread::sleep(Duration::from_micros(dice.between(least, greatest) as u64));
}

fn moment(dice: &mut Dice) -> Moment {
    let mut throw = dice.below(100);
    for (moment, weight) in MOMENTS {
        if throw < weight {
            return moment;
        }
        throw -= weight;
    }
    Moment::Edits
}

/// Whether a kill left a new file (of the garden, a version or the journal) that had not got its name yet.
fn has_unfinished(path: &Path) -> bool {
    let beside = std::fs::read_dir(path.with_file_name(".garden.ron.kept"));
    let names = beside.into_iter().flatten().map(|entry| entry.unwrap().file_name());
    names.into_iter().any(|name| name.to_string_lossy().starts_with("unfinished-"))
}

/// One life of the program up to its killing; what must be there afterwards: the stream, and how many of its edits were shown.
fn life(dice: &mut Dice, moment: Moment, home: &Path, path: &Path) -> (Stream, i64) {
    let (mut terminal, length) = open(home, path);
    let way = if length > 9_000 || (length > 1_000 && dice.is_percent(50)) { -1 } else { 1 };
    let mut stream = Stream { base_cm: length, way, n_sent: 0 };
    let key = stream.key();
    match moment {
        Moment::Edits | Moment::Opening => {
            let until = Instant::now() + Duration::from_micros(dice.between(0, 60_000) as u64);
            while Instant::now() < until && stream.n_sent < 60 {
                stream.press(&mut terminal, key);
                if dice.is_percent(70) {
                    wait_us(dice, 0, 6_000);
                }
            }
        }
        Moment::Undos => {
            let n = dice.between(1, 8);
            (0..n).for_each(|_| stream.press(&mut terminal, key));
            stream.is_shown(&terminal);
            stream = Stream { base_cm: length + n * way * STEP_CM, way: -way, n_sent: 0 };
            for _ in 0..dice.between(1, n) {
                stream.press(&mut terminal, b"u");
                wait_us(dice, 0, 3_000);
            }
        }
        Moment::Save => {
            for _ in 0..dice.between(1, 4) {
                stream.press(&mut terminal, key);
            }
            if dice.is_percent(50) {
                stream.is_shown(&terminal);
            }
            terminal.keys(b"s");
            if dice.is_percent(30) {
                // Edits on the heels of the save.
                stream.press(&mut terminal, key);
            }
            wait_us(dice, 0, 15_000);
        }
        Moment::Pause => {
            for _ in 0..dice.between(1, 4) {
                stream.press(&mut terminal, key);
            }
            stream.is_shown(&terminal);
            // A pause is 800 ms of the program's own time.
            wait_us(dice, 785_000, 825_000);
        }
        Moment::Leaving => {
            for _ in 0..dice.between(1, 4) {
                stream.press(&mut terminal, key);
            }
            terminal.keys(b"q");
            wait_us(dice, 0, 15_000);
        }
    }
    terminal.kill();
    terminal.ends();
    let shown = shown_cm(&terminal.output()).map_or(0, |cm| stream.n_in(cm));
    assert!((0..=stream.n_sent).contains(&shown), "{shown} of {} edits shown", stream.n_sent);
    (stream, shown)
}

#[test]
fn every_edit_that_was_shown_outlives_the_program() {
    let (seed, n_kills) = (size::seed(), size::count(8, 1_200));
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join("garden.ron");
    std::fs::write(&path, LONG_BED).unwrap();
    let (mut n_shown, mut n_sent, mut n_more, mut n_from_file) = (0, 0, 0, 0);
    let mut n_half_written = 0;
    let mut kills = std::collections::HashMap::new();
    for number in 0..n_kills {
        let mut dice = Dice::of(seed, number);
        // A short run makes each once before chance takes over.
        let moment = MOMENTS.get(number as usize).map_or_else(|| moment(&mut dice), |(moment, _)| *moment);
        *kills.entry(moment).or_insert(0) += 1;
        let (stream, shown) = life(&mut dice, moment, home.path(), &path);
        n_half_written += u64::from(has_unfinished(&path));
        if moment == Moment::Opening {
            // And once more while what it left is being replayed.
            let mut terminal = Terminal::open(home.path(), &["garden.ron"], SIZE, false);
            wait_us(&mut dice, 0, 60_000);
            terminal.kill();
            terminal.ends();
        }
        let in_file = saved_cm(&path);
        let (terminal, length) = open(home.path(), &path);
        let there = stream.n_in(length);
        assert!(
            (shown..=stream.n_sent).contains(&there),
            "kill {number} of seed {seed}, at {moment:?}: {shown} edits were shown, {} were sent, {there} are there ({length} cm)",
            stream.n_sent
        );
        assert!(aside(&path).is_empty(), "kill {number} of seed {seed}, at {moment:?}: {:?}", aside(&path));
        // Some are killed again as soon as they show what they have, so that journals grow over many lives.
        drop(terminal);
        n_shown += shown;
        n_sent += stream.n_sent;
        n_more += there - shown;
        n_from_file += u64::from(in_file == length);
        if size::is_long() && number % 100 == 99 {
            size::say(&format!("kills: {} of {n_kills}", number + 1));
        }
    }
    let (terminal, length) = open(home.path(), &path);
    leave(terminal);
    assert_eq!(saved_cm(&path), length, "leaving saves what was brought back");
    size::say(&format!(
        "kills: {n_kills} kills (and as many again just after opening), {n_sent} edits sent, {n_shown} shown, none of these lost, {n_more} more were there; {n_from_file} times the file had all, else the journal; {n_half_written} left a file half written; {kills:?}; seed {seed}"
    ));
    assert!(n_shown > 0 && n_shown < n_sent);
}

/// Leaves by `q`, which saves.
fn leave(mut terminal: Terminal) {
    terminal.keys(b"q");
    terminal.ends();
    assert_eq!(terminal.ending().code, 0, "{}", terminal.output().tail_text());
}
