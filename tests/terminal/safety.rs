//! The first sitting, and a folder that cannot be written.

use crate::sitting::{CTRL_U, DOWN, ENTER, Start, THREE_BEDS, assert_restored};

#[test]
fn a_first_run_asks_and_d_opens_the_demo() {
    let mut sitting = Start::new().open();
    sitting.sees("No garden has been opened yet");
    sitting.types("d", "▸");
    sitting.sees_no_more("No garden has been opened yet");
    sitting.types("2", "Plantings");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
}

#[test]
fn a_first_run_asks_and_n_begins_a_garden_which_is_remembered() {
    let mut sitting = Start::new().open();
    sitting.sees("No garden has been opened yet");
    sitting.types("n", "File of the new garden");
    sitting.types(&format!("{CTRL_U}plot.ron"), "plot.ron");
    sitting.types(ENTER, "Where is the garden?");
    sitting.types(ENTER, "N lays out the first bed");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    assert!(std::fs::read_to_string(sitting.path("plot.ron")).unwrap().contains("format: 2"));
    let remembered = std::fs::read_to_string(sitting.home().join("last-garden")).unwrap();
    assert!(remembered.trim_end().ends_with("plot.ron"), "{remembered}");
}

#[test]
fn a_first_run_can_be_left_again() {
    let mut sitting = Start::new().open();
    sitting.sees("No garden has been opened yet");
    sitting.keys("q");
    let (code, raw) = sitting.ends();
    assert_eq!(code, 0);
    assert_restored(&raw);
}

/// The folder is taken away rather than locked: whoever may write anywhere would write into a locked one.
#[test]
fn what_cannot_be_saved_is_said_and_kept_until_another_name_is_given() {
    let start = Start::new();
    let mut sitting = {
        let folder = start.folder("shed");
        std::fs::write(folder.join("garden.ron"), THREE_BEDS).unwrap();
        start.argument("shed/garden.ron").open()
    };
    sitting.sees("▸A1");
    std::fs::remove_dir_all(sitting.path("shed")).unwrap();
    sitting.types("a", "Place a crop in A1");
    sitting.types("leek", "leek");
    sitting.types(ENTER, "Place Leek in A1");
    sitting.keys(ENTER);
    sitting.sees("The file is gone");
    // Where the folder is gone too it cannot be written again.
    sitting.types(ENTER, "not saved");
    // Leaving asks, and where nothing can be put aside it asks once more; any other key goes back.
    sitting.types("q", "leave (mine is put aside");
    sitting.types(&DOWN.repeat(2), "leave (mine");
    sitting.types(ENTER, "L yes");
    sitting.keys("n");
    sitting.sees_no_more("L yes");
    sitting.types("S", "Save");
    sitting.types(&format!("{CTRL_U}kept.ron"), "kept.ron");
    sitting.types(ENTER, "saved as");
    sitting.keys("q");
    assert_eq!(sitting.ends().0, 0);
    let text = std::fs::read_to_string(sitting.path("kept.ron")).unwrap();
    assert!(text.contains("crop: \"leek\""), "{text}");
}
