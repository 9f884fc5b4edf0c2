//! Something that is no garden comes into the place of the file while it is open.

use std::path::Path;

use crate::keeping::place_leek;
use crate::sitting::{DOWN, ENTER, ESC, Sitting, Start, THREE_BEDS};

fn latin_1(path: &Path) {
    let text = THREE_BEDS.replace("Three beds", "Drei B");
    let mut bytes = text.into_bytes();
    let at = bytes.windows(6).position(|window| window == b"Drei B").unwrap();
    bytes[at + 5] = 0xe4;
    std::fs::write(path, bytes).unwrap();
}

fn folder(path: &Path) {
    std::fs::remove_file(path).unwrap();
    std::fs::create_dir(path).unwrap();
}

#[test]
fn a_file_that_cannot_be_read_any_more_is_noticed_while_nothing_is_edited_and_not_left_without_a_word() {
    for replace in [latin_1, folder] {
        let mut sitting = Start::on_garden(THREE_BEDS).open();
        sitting.sees("▸A1");
        replace(&sitting.path("garden.ron"));
        sitting.sees("The file cannot be read");
        sitting.sees("[file unreadable]");
        sitting.keys(ESC);
        sitting.sees_no_more("The file cannot be read");
        sitting.types("q", "leave (mine is put aside");
        // Mine in its place.
        sitting.keys(DOWN);
        sitting.types(ENTER, "saved; what stood there is kept as");
        sitting.keys("q");
        assert_eq!(sitting.ends().0, 0);
        assert_eq!(std::fs::read_to_string(sitting.path("garden.ron")).unwrap(), THREE_BEDS);
    }
}

#[test]
fn edits_made_just_before_the_file_became_unreadable_are_asked_about_and_can_be_put_aside() {
    for replace in [latin_1, folder] {
        let mut sitting = Start::on_garden(THREE_BEDS).open();
        sitting.sees("▸A1");
        place_leek(&mut sitting);
        replace(&sitting.path("garden.ron"));
        sitting.types("q", "leave (mine is put aside");
        sitting.keys(&DOWN.repeat(2));
        sitting.keys(ENTER);
        let (code, raw) = sitting.ends();
        assert_eq!(code, 0);
        assert!(String::from_utf8_lossy(&raw).contains("the garden as you left it is in"));
        assert!(put_aside(&sitting).iter().any(|text| text.contains("crop: \"leek\"")));
        let version = std::fs::read_dir(sitting.path(".garden.ron.kept/versions")).unwrap().next().unwrap().unwrap();
        assert_eq!(std::fs::read_to_string(version.path()).unwrap(), THREE_BEDS);
    }
}

fn put_aside(sitting: &Sitting) -> Vec<String> {
    let aside = std::fs::read_dir(sitting.path(".garden.ron.kept/aside")).unwrap();
    aside.filter_map(|entry| std::fs::read_to_string(entry.unwrap().path()).ok()).collect()
}

#[test]
fn edits_made_after_later_are_brought_back_by_key_when_the_terminal_was_closed() {
    let mut sitting = Start::on_garden(THREE_BEDS).open();
    sitting.sees("▸A1");
    let theirs = THREE_BEDS.replace("Three beds", "Three beds, by another hand");
    std::fs::write(sitting.path("garden.ron"), &theirs).unwrap();
    sitting.sees("The file has changed");
    sitting.keys(ESC);
    sitting.sees_no_more("The file has changed");
    place_leek(&mut sitting);
    sitting.signal("HUP");
    sitting.ends();
    let mut again = Start::beside(&sitting).open();
    again.sees("1 edit was not saved");
    again.keys(ENTER);
    again.sees_no_more("was not saved");
    again.types("V", "and what was put aside (1)");
    again.types("\x1b[F", "edits that did not fit the file: 1 edit");
    again.sees("Leek (p1): put in");
    again.types(ENTER, "R brings back what was put aside");
    again.types("R", "V has the one you left");
    again.sees("Leek");
    again.keys("q");
    assert_eq!(again.ends().0, 0);
    assert!(std::fs::read_to_string(again.path("garden.ron")).unwrap().contains("crop: \"leek\""));
}
