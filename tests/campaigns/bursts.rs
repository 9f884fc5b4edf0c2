//! Bursts of keys in one go, with and without a change of size at the same instant. Every key counts: the week that is shown at the
//! end is the sum of all of them, and a sequence that is taken for its letters adds another week.

use bedfellow::units::Week;

use crate::dice::Dice;
use crate::lengths::{LONG_BED, SIZE};
use crate::size;
use crate::terminal::Terminal;

/// Keys, and by how many weeks each of them steps. An arrow steps by none; its letters would.
const KEYS: [(&[u8], i64); 11] = [
    (b"]", 1),
    (b"[", -1),
    (b".", 1),
    (b",", -1),
    (b"}", 4),
    (b"{", -4),
    (b"\x1b[6~", 4),
    (b"\x1b[5~", -4),
    (b"\x1b[C", 0),
    (b"\x1bOD", 0),
    (b"\x1b[1;5C", 0),
];

/// Weeks from the first one that are not left.
const N_WEEKS: i64 = 60;

const SIZES: [(u16, u16); 4] = [SIZE, (80, 24), (120, 40), (200, 50)];

/// Keys of at least so many bytes, and the weeks from today to which they lead from `week`.
fn burst(dice: &mut Dice, n_bytes: usize, mut week: i64) -> (Vec<u8>, i64) {
    let mut bytes = Vec::with_capacity(n_bytes + 8);
    while bytes.len() < n_bytes {
        let (key, step) = *dice.one(&KEYS);
        if (week + step).abs() <= N_WEEKS {
            bytes.extend_from_slice(key);
            week += step;
        }
    }
    (bytes, week)
}

fn label(weeks: i64) -> String {
    let monday = chrono::NaiveDate::from_ymd_opt(2027, 4, 12).unwrap();
    format!("{} ", Week::of(monday + chrono::Duration::weeks(weeks)))
}

/// From one byte to a hundred thousand, small ones as often as large ones.
fn n_bytes(dice: &mut Dice) -> usize {
    10_f64.powf(dice.real(0.0, 5.0)) as usize
}

#[test]
fn every_key_of_a_burst_is_heard_whatever_size_the_terminal_gets_meanwhile() {
    let (seed, per_sitting) = (size::seed(), 6);
    println!("seed {seed}");
    let home = tempfile::tempdir().unwrap();
    std::fs::write(home.path().join("garden.ron"), LONG_BED).unwrap();
    let (mut n_bursts, mut n_resized, mut n_typed) = (0, 0, 0);
    for number in size::trials(4, 500) {
        let mut dice = Dice::of(seed, number);
        let mut terminal = Terminal::open(home.path(), &["garden.ron"], SIZE, true);
        terminal.must("the garden is open", |output| output.text().contains(&label(0)));
        let mut week = 0;
        for _ in 0..per_sitting {
            let n_bytes = n_bytes(&mut dice);
            let (bytes, at) = burst(&mut dice, n_bytes, week);
            let new_size = dice.is_percent(60).then(|| *dice.one(&SIZES));
            let is_taken = terminal.burst(&bytes, new_size);
            assert!(is_taken, "trial {number} of seed {seed}: of {} bytes not all are read", bytes.len());
            week = at;
            let what =
                format!("trial {number} of seed {seed}: {} after {} bytes, {new_size:?}", label(week), bytes.len());
            terminal.must(&what, |output| output.text().contains(&label(week)));
            (n_bursts, n_resized, n_typed) =
                (n_bursts + 1, n_resized + u64::from(new_size.is_some()), n_typed + bytes.len());
        }
        // The last key together with a size.
        assert!(terminal.burst(b"q", Some(*dice.one(&SIZES))));
        terminal.ends();
        assert_eq!(terminal.ending().code, 0, "{}", terminal.output().tail_text());
        terminal.assert_restored();
        if size::is_long() && number % 50 == 49 {
            size::say(&format!("bursts: {} sittings", number + 1));
        }
    }
    size::say(&format!(
        "bursts: {n_bursts} bursts of {n_typed} bytes in all, {n_resized} of them with a size at the same instant, and as many sittings left by a key with a size; all were heard; seed {seed}"
    ));
}
