//! Sizes, colours, signs and the cost of a frame.

use crate::sitting::{ENTER, ESC, Sitting, Start, last};

/// Numbers of every select-graphic-rendition sequence (ECMA-48, 8.3.117) in the bytes.
fn renditions(raw: &[u8]) -> Vec<u16> {
    let text = String::from_utf8_lossy(raw);
    let mut numbers = Vec::new();
    for part in text.split("\x1b[").skip(1) {
        let end = part.find(|c: char| c.is_ascii_alphabetic()).unwrap_or(0);
        if part[end..].starts_with('m') {
            numbers.extend(part[..end].split([';', ':']).filter_map(|number| number.parse::<u16>().ok()));
        }
    }
    numbers
}

fn is_colour(number: u16) -> bool {
    // 39, 49 and 59 put the terminal's own colours back.
    matches!(number, 30..=38 | 40..=48 | 58 | 90..=107)
}

/// Every screen, and a few layers over them.
fn visit_all(sitting: &mut Sitting, mut look: impl FnMut(&str, &Sitting)) {
    sitting.sees("Ground");
    look("Ground", sitting);
    for (key, words) in [("2", "Plantings"), ("3", "Year"), ("4", "/ searches"), ("5", "Findings")] {
        sitting.types(key, words);
        look(words, sitting);
    }
    sitting.types("w", "Why");
    look("why", sitting);
    sitting.keys(ESC);
    sitting.sees_no_more("Why");
    sitting.types("?", "Walk and time");
    look("help", sitting);
    sitting.keys(ESC);
    sitting.sees_no_more("Walk and time");
    sitting.types(":", "Esc back");
    look("finder", sitting);
    sitting.keys(ESC);
    sitting.sees_no_more("Esc back");
    sitting.types("1a", "Place a crop");
    sitting.types("leek", "leek");
    look("picker", sitting);
    sitting.types(ENTER, "Place Leek");
    look("form", sitting);
    sitting.keys(ESC);
    sitting.sees_no_more("Place Leek");
}

#[test]
fn a_window_made_too_small_says_so_and_made_larger_shows_the_screen_again() {
    let mut sitting = Start::on_demo().open();
    sitting.sees("q quit");
    // Once a key was taken, changes of size are listened to as well.
    sitting.types("]", "2027-W16");
    sitting.resize(20, 5);
    sitting.sees("needs 40×12");
    sitting.resize(80, 24);
    sitting.sees("q quit");
    sitting.resize(200, 50);
    sitting.sees("q quit");
    let widest = sitting.text().lines().map(|line| line.chars().count()).max().unwrap_or(0);
    assert!(widest > 100, "the wide window is used: {widest} cells");
    let columns = sitting.seen(|seen| seen.screen().size().1.get());
    assert_eq!(columns, 200);
}

#[test]
fn no_colour_is_sent_when_none_is_wanted_and_weight_and_reversal_stand_in() {
    let mut sitting = Start::on_demo().variable("NO_COLOR", "1").open();
    visit_all(&mut sitting, |_, _| ());
    sitting.keys("q");
    let (_, raw) = sitting.ends();
    let numbers = renditions(&raw);
    let colours: Vec<u16> = numbers.iter().copied().filter(|number| is_colour(*number)).collect();
    assert!(colours.is_empty(), "{colours:?}");
    assert!(numbers.contains(&7) && numbers.contains(&1), "neither reversed nor bold: {numbers:?}");
}

#[test]
fn colour_is_sent_when_nothing_speaks_against_it() {
    let sitting = Start::on_demo().open();
    sitting.sees("q quit");
    assert!(renditions(&sitting.raw()).into_iter().any(is_colour));
}

#[test]
fn asked_for_ascii_every_screen_and_layer_is_ascii() {
    let mut sitting = Start::on_demo().argument("--ascii").open();
    visit_all(&mut sitting, |place, sitting| {
        let text = sitting.text();
        let strange: Vec<char> = text.chars().filter(|c| !c.is_ascii()).collect();
        assert!(strange.is_empty(), "{place} shows {strange:?}\n{text}");
    });
}

#[test]
fn fifty_held_keys_cost_no_more_than_three_frames() {
    for screen in ["1", "2", "3"] {
        let mut sitting = Start::on_demo().open();
        sitting.types(screen, "q quit");
        sitting.types("]", "2027-W16");
        // A frame from nothing, as a change of size asks for.
        let before = sitting.raw().len();
        sitting.resize(81, 24);
        sitting.wait_until("a whole frame", |seen| {
            let fresh = &seen.raw[before..];
            last(fresh, b"\x1b[2J").is_some() && last(fresh, b"\x1b[?2026l") > last(fresh, b"\x1b[2J")
        });
        sitting.sees("quit");
        let n_frame = sitting.raw().len() - before;
        let before = sitting.raw().len();
        sitting.keys(&"]".repeat(50));
        // 2027 has 52 weeks: W16 and 50 weeks.
        sitting.sees("2028-W14");
        let n_after = sitting.raw().len() - before;
        assert!(n_after <= 3 * n_frame, "screen {screen}: {n_after} bytes for 50 keys, {n_frame} for one frame");
    }
}
