//! The terminal is given back as it was, whatever ends the program or stops it for a while.

use std::process::{Command, Stdio};

use crate::sitting::{CTRL_C, CTRL_Z, Sitting, Start, THREE_BEDS, TODAY, assert_restored, last};

#[test]
fn q_leaves_with_code_0_and_the_terminal_as_it_was() {
    let mut sitting = Start::on_demo().argument("--mouse").open();
    sitting.sees("Ground");
    assert!(last(&sitting.raw(), b"\x1b[?1000h").is_some(), "the mouse was asked for");
    sitting.keys("q");
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    assert_restored(&raw);
}

#[test]
fn ctrl_c_leaves_with_code_0_from_any_layer() {
    for keys in ["", "?", ":", "a", "5w", "2e", "p"] {
        let mut sitting = Start::on_demo().open();
        sitting.sees("Ground");
        sitting.keys(keys);
        sitting.keys(CTRL_C);
        let (code, raw) = sitting.ends();
        assert_eq!(code, 0, "after {keys:?}");
        assert_restored(&raw);
    }
}

#[cfg(debug_assertions)]
#[test]
fn a_panic_restores_the_terminal_and_its_message_can_be_read() {
    let mut sitting = Start::on_demo().variable("BEDFELLOW_PANIC_KEY", "1").open();
    sitting.sees("Ground");
    sitting.keys("!");
    let (code, raw) = sitting.ends();
    assert_ne!(code, 0);
    assert_restored(&raw);
    let message = last(&raw, b"a panic was asked for");
    assert!(message > last(&raw, b"\x1b[?1049l"), "the message comes after the alternate screen was left");
}

#[test]
fn a_termination_signal_saves_the_edits_and_restores_the_terminal() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types("\r", "Place Leek in A1");
    sitting.places();
    sitting.signal("TERM");
    let (_, raw) = sitting.ends();
    assert_restored(&raw);
    let text = std::fs::read_to_string(sitting.path("garden.ron")).unwrap();
    assert!(text.contains("crop: \"leek\""), "{text}");
}

#[test]
fn stopped_it_gives_the_terminal_back_and_continued_it_draws_again() {
    let mut sitting = Start::on_demo().open();
    sitting.sees("Ground");
    sitting.keys(CTRL_Z);
    Sitting::wait_for("the process stops", || sitting.is_stopped());
    sitting.wait_until("the modes are undone", |seen| !seen.screen().alternate_screen() && !seen.raw.is_empty());
    assert_restored(&sitting.raw());
    sitting.signal("CONT");
    sitting.wait_until("drawn again", |seen| seen.screen().alternate_screen() && seen.text().contains("Ground"));
    sitting.types("?", "Keys of Ground");
    sitting.keys(CTRL_C);
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    assert_restored(&raw);
}

#[test]
fn when_the_terminal_goes_the_program_goes_with_its_edits_saved() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types("\r", "Place Leek in A1");
    sitting.places();
    sitting.terminal_goes();
    sitting.ends();
    let text = std::fs::read_to_string(sitting.path("garden.ron")).unwrap();
    assert!(text.contains("crop: \"leek\""), "{text}");
}

#[test]
fn without_a_terminal_it_says_so_in_one_line_and_exits_2() {
    let home = tempfile::tempdir().unwrap();
    for arguments in [&["demo"][..], &[]] {
        let answer = Command::new(env!("CARGO_BIN_EXE_bedfellow"))
            .args(["--today", TODAY])
            .args(arguments)
            .env_clear()
            .env("BEDFELLOW_HOME", home.path())
            .current_dir(home.path())
            .stdin(Stdio::null())
            .output()
            .unwrap();
        assert_eq!(answer.status.code(), Some(2), "{arguments:?}");
        assert_eq!(answer.stdout, b"");
        let message = String::from_utf8(answer.stderr).unwrap();
        assert_eq!(message.lines().count(), 1, "{message}");
        assert!(message.contains("terminal"), "{message}");
    }
}

#[test]
fn in_a_terminal_that_is_not_its_own_it_works_and_ends_with_it() {
    let mut sitting = Start::on_garden(THREE_BEDS).without_controlling_terminal().open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types("\r", "Place Leek in A1");
    sitting.places();
    // No signal tells of another size; the next frame has it.
    sitting.resize(100, 30);
    sitting.types("2", "Plantings");
    sitting.keys("q");
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    assert_restored(&raw);

    // Nor does one tell that it is gone. Before any garden is open nothing else would notice it.
    let mut sitting = Start::new().without_controlling_terminal().open();
    sitting.sees("No garden has been opened yet");
    sitting.terminal_goes();
    sitting.ends();
}

#[test]
fn with_one_stream_turned_away_it_says_so_in_one_line() {
    for line in ["\"$BEDFELLOW\" demo </dev/null", "\"$BEDFELLOW\" demo >out.txt", "\"$BEDFELLOW\" demo <&-"] {
        let mut sitting = Start::shell(&format!("{line}; echo code $?")).open();
        let (_, raw) = sitting.ends();
        let text = String::from_utf8(raw).unwrap();
        let lines: Vec<&str> = text.lines().collect();
        assert!(matches!(lines[..], [message, "code 2"] if message.contains("needs a terminal")), "{line}: {text:?}");
    }
}

#[test]
fn a_terminal_of_an_absurd_size_is_drawn_in_part_and_said_so() {
    let mut sitting = Start::on_garden(THREE_BEDS).size(65_535, 65_535).open();
    sitting.sees("the terminal reports 65535×65535 cells; 1000×500 of them are drawn");
    sitting.sees("▸A1");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);

    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.resize(65_535, 40);
    sitting.sees("the terminal reports 65535×40 cells; 1000×40 of them are drawn");
    // Said once; the next key has the line again.
    sitting.types("2", "Nothing is planted");
    sitting.sees_no_more("of them are drawn");
    sitting.resize(80, 24);
    sitting.types("1", "▸A1");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}

#[test]
fn a_terminal_that_tells_no_size_or_of_one_cell_is_lived_with() {
    let mut sitting = Start::on_garden(THREE_BEDS).size(0, 0).open();
    sitting.sees("▸A1");
    sitting.resize(1, 1);
    sitting.wait_until("one cell", |seen| seen.text().contains('4'));
    sitting.resize(0, 0);
    sitting.types("2", "Nothing is planted");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    let mut sitting = Start::on_garden(THREE_BEDS).size(1, 1).open();
    sitting.wait_until("one cell", |seen| seen.text().contains('4'));
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}

#[test]
fn what_ends_it_shows_outside_as_what_ended_it() {
    for (signal, number) in [("TERM", 15), ("HUP", 1), ("QUIT", 3), ("USR1", 10)] {
        // The line of a shell that started it: its exit code is 128 and the signal.
        let line = "\"$BEDFELLOW\" --today 2027-04-15 demo & echo $! >pid; fg >/dev/null; echo code $?";
        let mut sitting = Start::shell(&format!("set -m; ulimit -c 0; {line}")).open();
        sitting.sees("Ground");
        let id = std::fs::read_to_string(sitting.path("pid")).unwrap();
        let status = std::process::Command::new("kill").args([&format!("-{signal}"), id.trim()]).status();
        assert!(status.unwrap().success());
        let (_, raw) = sitting.ends();
        assert_restored(&raw);
        let text = String::from_utf8_lossy(&raw).into_owned();
        assert!(text.contains(&format!("code {}", 128 + number)), "{signal}: {text:?}");
    }
}

/// The system sends a signal that ends a program at the write that would make a file too long.
#[test]
fn a_file_that_may_not_grow_is_said_and_ends_nothing() {
    let mut sitting = Start::shell("ulimit -f 1; \"$BEDFELLOW\" --today 2027-04-15 garden.ron").open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types("\r", "Place Leek in A1");
    sitting.places();
    sitting.sees("not saved");
    sitting.types("2", "Plantings");
    sitting.types("q", "L yes");
    sitting.keys("L");
    let (_, raw) = sitting.ends();
    assert_restored(&raw);
}

/// A line feed, as Enter comes that is typed before the terminal is set up.
#[test]
fn enter_closes_what_came_back_however_early_it_is_typed() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types("\r", "Place Leek in A1");
    sitting.places();
    sitting.signal("KILL");
    sitting.ends();
    let mut again = Start::beside(&sitting).open();
    again.keys("\r");
    again.wait_until("the garden is open", |seen| seen.text().contains("▸A1") && seen.text().contains("Leek"));
    again.sees_no_more("came back");
    again.keys("q");
    assert_eq!(again.ends().0, 0);
}
