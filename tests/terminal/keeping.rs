//! Nothing is lost: a program killed, two programs at once, a file changed or gone meanwhile.

use std::os::unix::fs::PermissionsExt as _;
use std::path::Path;
use std::process::Command;

use bedfellow::garden::Garden;

use crate::sitting::{CTRL_U, DOWN, ENTER, ESC, Sitting, Start, THREE_BEDS};

pub fn place_leek(sitting: &mut Sitting) {
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    sitting.places();
    sitting.sees("Leek");
}

fn saved(sitting: &Sitting) -> String {
    std::fs::read_to_string(sitting.path("garden.ron")).unwrap()
}

/// A file that may not be written over is saved by no pause, so that what comes back can only have come from the journal. Its
/// owner's wish counts for whoever may write anywhere, too.
fn lock_file(path: &Path, is_locked: bool) {
    let mode = if is_locked { 0o444 } else { 0o644 };
    std::fs::set_permissions(path, std::fs::Permissions::from_mode(mode)).unwrap();
}

fn run(sitting: &Sitting, args: &[&str]) -> (i32, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_bedfellow"))
        .args(args)
        .current_dir(sitting.home())
        .env("BEDFELLOW_HOME", sitting.home())
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (output.status.code().unwrap(), text(output.stdout), text(output.stderr))
}

#[test]
fn an_edit_that_was_shown_survives_kill_9() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    lock_file(&sitting.path("garden.ron"), true);
    place_leek(&mut sitting);
    sitting.signal("KILL");
    sitting.ends();
    assert_eq!(saved(&sitting), THREE_BEDS, "only the journal has it");
    lock_file(&sitting.path("garden.ron"), false);

    // The command line says that the file lacks something.
    let (_, out, err) = run(&sitting, &["free", "garden.ron", "--today", "2027-06-20"]);
    assert!(!out.to_lowercase().contains("leek"), "{out}");
    assert!(err.contains("1 edit is not in the file yet"), "{err}");

    let mut again = Start::beside(&sitting).open();
    again.sees("1 edit came back that was not saved when the program stopped");
    again.sees("place leek in A1");
    again.keys(ENTER);
    again.sees_no_more("came back");
    again.sees("Leek");
    // Undo works on what came back.
    again.types("u", "undone: place leek in A1");
    again.keys("q");
    assert_eq!(again.ends().0, 0);
    assert!(!saved(&again).contains("leek"), "{}", saved(&again));
}

#[test]
fn what_was_done_is_taken_back_on_another_day_unless_the_file_was_changed() {
    let mut first = Start::on_garden(THREE_BEDS).open();
    first.sees("▸A1");
    place_leek(&mut first);
    first.keys("q");
    assert_eq!(first.ends().0, 0);
    let with_leek = saved(&first);
    assert!(with_leek.contains("leek"), "{with_leek}");

    let mut second = Start::beside(&first).open();
    second.sees("Leek");
    second.types("u", "undone: place leek in A1");
    second.sees_no_more("Leek ");
    second.types("u", "nothing to undo");
    second.keys("q");
    assert_eq!(second.ends().0, 0);
    let before = Garden::from_ron(THREE_BEDS, "garden.ron").unwrap().to_ron();
    assert_eq!(saved(&second), before);

    let mut third = Start::beside(&second).open();
    third.sees("▸A1");
    place_leek(&mut third);
    third.keys("q");
    third.ends();
    std::fs::write(third.path("garden.ron"), with_leek.replace("Three beds", "Four beds")).unwrap();
    let mut fourth = Start::beside(&third).open();
    fourth.types("u", "nothing to undo; the file was changed");
    fourth.sees("Leek");
    fourth.keys("q");
    assert_eq!(fourth.ends().0, 0);
    assert!(saved(&fourth).contains("leek") && saved(&fourth).contains("Four beds"));
}

#[test]
fn the_reason_is_read_whatever_the_length_of_a_path() {
    let mut sitting = Start::on_garden(THREE_BEDS).size(80, 24).open();
    sitting.sees("▸A1");
    sitting.types("S", "Save as");
    let folder = "upper terrace/".repeat(12);
    sitting.keys(&format!("{CTRL_U}/{folder}walled.ron{ENTER}"));
    sitting.sees("not saved: the folder upper terrace is not there");
    std::fs::create_dir_all(sitting.path(&folder)).unwrap();
    sitting.types("S", "Save as");
    let there = sitting.path(&folder).join("walled.ron");
    sitting.keys(&format!("{CTRL_U}{}{ENTER}", there.display()));
    sitting.sees("/.../walled.ron");
    assert!(there.exists());
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}

#[test]
fn killed_at_any_moment_after_an_edit_was_shown_it_is_there_again() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    place_leek(&mut sitting);
    sitting.signal("KILL");
    sitting.ends();
    let mut again = Start::beside(&sitting).open();
    // Saved at a pause before it was killed, or brought back from the journal.
    again.wait_until("the garden is opened", |seen| seen.text().contains("Leek") || seen.text().contains("came back"));
    again.keys(ENTER);
    again.types("1", "Leek");
    again.types("2", "Leek");
    again.keys("q");
    assert_eq!(again.ends().0, 0);
    assert!(saved(&again).contains("crop: \"leek\""), "{}", saved(&again));
}

#[test]
fn a_second_program_only_looks_and_takes_over_when_the_first_was_killed() {
    let mut first = Start::on_garden(THREE_BEDS).open();
    first.sees("▸A1");
    let mut second = Start::beside(&first).open();
    second.sees("This garden is open elsewhere");
    second.sees(&format!("process {}", first.process_id()));
    second.keys(ENTER);
    second.sees("[read-only]");
    second.types("a", "place crop: open elsewhere");
    second.types("N", "new bed: open elsewhere");
    second.types("O", "still open elsewhere");
    second.types("5", "Findings");
    second.types("1", "▸A1");

    // What the first has saved is shown.
    place_leek(&mut first);
    second.sees("Leek");

    // An edit that is in the journal only.
    lock_file(&first.path("garden.ron"), true);
    first.types("u", "not saved");
    first.signal("KILL");
    first.ends();
    lock_file(&second.path("garden.ron"), false);
    second.sees("O takes it over");
    second.types("O", "1 edit came back");
    second.sees("taken back: place leek in A1");
    second.keys(ENTER);
    second.sees_no_more("came back");
    second.sees_no_more("[read-only]");
    place_leek(&mut second);
    second.keys("q");
    assert_eq!(second.ends().0, 0);
    assert_eq!(saved(&second).matches("crop: \"leek\"").count(), 1, "{}", saved(&second));
}

#[test]
fn a_hidden_folder_that_was_deleted_comes_back_with_its_lock() {
    let mut first = Start::on_garden(THREE_BEDS).open();
    first.sees("▸A1");
    let kept = first.path(".garden.ron.kept");
    std::fs::remove_dir_all(&kept).unwrap();
    // By itself, at the next look at the file.
    Sitting::wait_for("the lock is there again", || kept.join("lock").exists());
    std::fs::remove_dir_all(&kept).unwrap();
    // And before an edit is written down.
    place_leek(&mut first);
    let mut second = Start::beside(&first).open();
    second.sees("This garden is open elsewhere");
    second.keys(ENTER);
    second.sees("[read-only]");
    second.keys("q");
    assert_eq!(second.ends().0, 0);
    first.keys("q");
    assert_eq!(first.ends().0, 0);
    assert!(saved(&first).contains("crop: \"leek\""));
}

#[test]
fn a_garden_that_another_program_got_while_its_hidden_folder_was_away_is_read_only_and_edits_are_put_aside() {
    let mut first = Start::on_garden(THREE_BEDS).open();
    first.sees("▸A1");
    lock_file(&first.path("garden.ron"), true);
    place_leek(&mut first);
    first.sees("not saved");
    first.signal("STOP");
    Sitting::wait_for("it is stopped", || first.is_stopped());
    std::fs::remove_dir_all(first.path(".garden.ron.kept")).unwrap();
    lock_file(&first.path("garden.ron"), false);
    let mut second = Start::beside(&first).open();
    second.sees("▸A1");
    first.signal("CONT");
    first.sees("read-only: your edits are put aside");
    first.sees("[read-only]");
    first.types("a", "place crop: open elsewhere");
    first.keys("q");
    assert_eq!(first.ends().0, 0);

    // What the first had is brought back by the second.
    second.types("V", "your garden");
    second.keys("\x03");
    assert_eq!(second.ends().0, 0);
    let (code, out, err) = run(&second, &["versions", "garden.ron", "--bring-back", "1"]);
    assert_eq!(code, 0, "{out}{err}");
    assert!(saved(&second).contains("crop: \"leek\""));
}

#[test]
fn a_read_only_garden_can_be_saved_under_another_name_and_edited_there() {
    let mut first = Start::on_garden(THREE_BEDS).open();
    first.sees("▸A1");
    let mut second = Start::beside(&first).open();
    second.sees("This garden is open elsewhere");
    second.keys(ENTER);
    second.types("S", "Save as");
    second.types(ENTER, "the file the other program has open");
    second.types("S", "Save as");
    second.types(&format!("{CTRL_U}own.ron"), "own.ron");
    second.types(ENTER, "saved as own.ron");
    second.sees_no_more("[read-only]");
    place_leek(&mut second);
    second.keys("q");
    assert_eq!(second.ends().0, 0);
    assert!(std::fs::read_to_string(second.path("own.ron")).unwrap().contains("crop: \"leek\""));
    first.keys("q");
    assert_eq!(first.ends().0, 0);
    assert_eq!(saved(&first), THREE_BEDS);
}

/// The same garden with another name, as an editor or a version control tool would put it in the place of the first.
fn replaced() -> String {
    THREE_BEDS.replace("Three beds", "Three beds, by another hand")
}

#[test]
fn a_file_replaced_meanwhile_is_asked_about_and_neither_side_is_lost() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    std::fs::write(sitting.path("garden.ron"), replaced()).unwrap();
    place_leek(&mut sitting);
    sitting.sees("The file has changed");
    assert_eq!(saved(&sitting), replaced(), "nothing was written over");
    sitting.types(ENTER, "What differs");
    sitting.sees("mine: Leek");
    sitting.sees("theirs: the garden's name: changed");
    sitting.keys(ENTER);
    sitting.sees_no_more("What differs");
    // Later: nothing is saved at pauses, and the top line goes on saying so.
    sitting.keys(ESC);
    sitting.sees_no_more("The file has changed");
    sitting.sees("[file changed]");
    sitting.types("s", "The file has changed");
    sitting.keys(DOWN);
    sitting.types(ENTER, "saved");
    sitting.sees_no_more("[file changed]");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting).contains("crop: \"leek\""), "{}", saved(&sitting));

    // Theirs is an earlier version, and the command line brings it back.
    let (code, out, _) = run(&sitting, &["versions", "garden.ron"]);
    assert_eq!(code, 0);
    assert!(out.contains("as the file is now"), "{out}");
    let (_, json, _) = run(&sitting, &["versions", "garden.ron", "--json"]);
    let listed: serde_json::Value = serde_json::from_str(&json).unwrap();
    let by_another = listed["versions"].as_array().unwrap().iter().find(|version| {
        let changes = version["changed_since"].to_string();
        changes.contains("the garden's name") && changes.contains("put in")
    });
    let number = by_another.unwrap()["number"].to_string();
    let (code, out, err) = run(&sitting, &["versions", "garden.ron", "--restore", &number]);
    assert_eq!(code, 0, "{out}{err}");
    assert_eq!(saved(&sitting), replaced());
}

#[test]
fn theirs_can_be_taken_and_mine_is_put_aside() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    std::fs::write(sitting.path("garden.ron"), replaced()).unwrap();
    place_leek(&mut sitting);
    sitting.sees("The file has changed");
    sitting.keys(&format!("{DOWN}{DOWN}"));
    sitting.types(ENTER, "Yours is put aside in");
    sitting.keys(ENTER);
    sitting.sees_no_more("Leek");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting), replaced());
    let aside = std::fs::read_dir(sitting.path(".garden.ron.kept/aside")).unwrap();
    let texts: Vec<String> = aside.map(|entry| std::fs::read_to_string(entry.unwrap().path()).unwrap()).collect();
    assert!(texts.iter().any(|text| text.contains("crop: \"leek\"") && text.contains("format: 2")), "{texts:?}");
}

#[test]
fn a_file_deleted_meanwhile_is_asked_about_and_written_again() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    std::fs::remove_file(sitting.path("garden.ron")).unwrap();
    place_leek(&mut sitting);
    sitting.sees("The file is gone");
    assert!(!sitting.path("garden.ron").exists());
    sitting.types(ENTER, "saved");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting).contains("crop: \"leek\""), "{}", saved(&sitting));
}

#[test]
fn leaving_with_the_file_changed_puts_the_garden_aside_and_says_where() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    std::fs::write(sitting.path("garden.ron"), replaced()).unwrap();
    place_leek(&mut sitting);
    sitting.sees("The file has changed");
    sitting.keys(ESC);
    sitting.sees_no_more("The file has changed");
    sitting.types("q", "leave (mine is put aside");
    sitting.keys(&DOWN.repeat(4));
    sitting.keys(ENTER);
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    assert!(String::from_utf8_lossy(&raw).contains("the garden as you left it is in"));
    assert_eq!(saved(&sitting), replaced());
}

#[test]
fn an_earlier_version_is_gone_back_to_on_the_screen() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    place_leek(&mut sitting);
    sitting.types("s", "saved");
    sitting.types("V", "Earlier versions");
    sitting.types(DOWN, "Changed since then");
    sitting.sees("Leek (p1): put in");
    sitting.types(ENTER, "R goes back to the garden of");
    sitting.types("R", "back at the garden of");
    sitting.sees_no_more("Leek");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting), THREE_BEDS);
}

#[test]
fn a_garden_that_has_vanished_since_last_time_leads_to_the_first_question() {
    let start = Start::new();
    let mut sitting = {
        let folder = start.folder("state");
        std::fs::write(folder.join("last-garden"), "/nowhere/garden.ron\n").unwrap();
        let home = folder.to_str().unwrap().to_owned();
        start.variable("BEDFELLOW_HOME", &home).open()
    };
    sitting.sees("No garden has been opened yet");
    sitting.sees("/nowhere/garden.ron, is no longer there");
    sitting.types("d", "▸");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}
