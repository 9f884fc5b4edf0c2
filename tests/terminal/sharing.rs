//! A garden's file that others have a part in: links planted beside it, other names of it, a wish that it stay as it is.

use std::os::unix::fs::{PermissionsExt as _, symlink};

use crate::sitting::{CTRL_U, DOWN, ENTER, Sitting, Start, THREE_BEDS};

fn place_leek(sitting: &mut Sitting) {
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    sitting.places();
    sitting.sees("Leek");
}

fn saved(sitting: &Sitting, name: &str) -> String {
    std::fs::read_to_string(sitting.path(name)).unwrap()
}

#[test]
fn a_lock_that_is_a_link_is_said_and_empties_nothing() {
    let start = Start::on_garden(THREE_BEDS);
    let kept = start.folder(".garden.ron.kept");
    std::fs::write(kept.join("../victim"), "somebody else's\n").unwrap();
    symlink("../victim", kept.join("lock")).unwrap();
    let mut sitting = start.open();
    sitting.sees("There is no journal and no lock here:");
    sitting.sees(".garden.ron.kept/lock is a link");
    sitting.keys(ENTER);
    sitting.sees_no_more("Before you go on");
    sitting.sees("[no journal]");
    place_leek(&mut sitting);
    sitting.types("s", "saved");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting, "garden.ron").contains("crop: \"leek\""));
    assert_eq!(saved(&sitting, "victim"), "somebody else's\n");
}

#[test]
fn a_garden_with_another_name_becomes_a_file_of_its_own_only_when_that_is_chosen() {
    let start = Start::on_garden(THREE_BEDS);
    let folder = start.folder("beside");
    std::fs::hard_link(folder.join("../garden.ron"), folder.join("other.ron")).unwrap();
    let mut sitting = start.open();
    sitting.sees("▸A1");
    place_leek(&mut sitting);
    // At the pause.
    sitting.sees("The file has other names");
    sitting.sees("one of 2 names of the same file");
    assert_eq!(saved(&sitting, "garden.ron"), THREE_BEDS);
    sitting.keys("\x1b");
    sitting.sees_no_more("The file has other names");
    sitting.sees("[not saved]");
    // Left like that, the journal has it.
    sitting.types("q", "leave (the journal holds every edit");
    sitting.keys(&DOWN.repeat(2));
    sitting.keys(ENTER);
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting, "garden.ron"), THREE_BEDS);

    let mut again = Start::beside(&sitting).open();
    again.sees("1 edit came back");
    again.keys(ENTER);
    again.sees_no_more("came back");
    again.sees("The file has other names");
    again.keys(DOWN);
    again.types(ENTER, "saved");
    again.keys("q");
    assert_eq!(again.ends().0, 0);
    assert!(saved(&again, "garden.ron").contains("crop: \"leek\""));
    assert_eq!(saved(&again, "beside/other.ron"), THREE_BEDS);
}

#[test]
fn a_garden_that_may_not_be_written_is_looked_at_and_saved_under_another_name() {
    let start = Start::on_garden(THREE_BEDS);
    let folder = start.folder("beside");
    std::fs::set_permissions(folder.join("../garden.ron"), std::fs::Permissions::from_mode(0o444)).unwrap();
    let mut sitting = start.open();
    sitting.sees("This garden is read-only here: the file is read-only.");
    sitting.keys(ENTER);
    sitting.sees("[read-only]");
    sitting.types("a", "place crop: the file is read-only");
    sitting.types("O", "still read-only: the file is read-only");
    sitting.types("S", "Save as");
    sitting.types(&format!("{CTRL_U}own.ron"), "own.ron");
    sitting.types(ENTER, "saved as own.ron");
    sitting.sees_no_more("[read-only]");
    place_leek(&mut sitting);
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(saved(&sitting, "own.ron").contains("crop: \"leek\""));
    assert_eq!(saved(&sitting, "garden.ron"), THREE_BEDS);
    assert!(!sitting.path(".garden.ron.kept").exists());
}

#[test]
fn a_name_of_several_is_said_before_it_is_saved_over() {
    let start = Start::on_garden(THREE_BEDS);
    let folder = start.folder("beside");
    std::fs::write(folder.join("../old.ron"), THREE_BEDS.replace("Three beds", "Of old")).unwrap();
    std::fs::hard_link(folder.join("../old.ron"), folder.join("other.ron")).unwrap();
    let mut sitting = start.open();
    sitting.sees("▸A1");
    sitting.types("S", "Save as");
    sitting.types(&format!("{CTRL_U}old.ron"), "old.ron");
    sitting.types(ENTER, "one of several names");
    sitting.types("O", "saved as old.ron");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert_eq!(saved(&sitting, "old.ron"), THREE_BEDS);
    assert!(saved(&sitting, "beside/other.ron").contains("Of old"));
}

#[test]
fn a_folder_is_refused_as_a_name_to_save_under_before_anything_is_asked() {
    let start = Start::on_garden(THREE_BEDS);
    start.folder("beside");
    let mut sitting = start.open();
    sitting.sees("▸A1");
    sitting.types("S", "Save as");
    sitting.types(&format!("{CTRL_U}beside"), "beside");
    sitting.types(ENTER, "not saved: beside is a folder; give the name of a file");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}
