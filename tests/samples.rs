//! Garden files as people and mishaps leave them: each is read, or refused with one message that says what, where
//! and what to do. Broken samples hold one fault each and are named for it.

// Functions that tests share are not tests to clippy.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

use std::fs;
use std::path::{Path, PathBuf};

use bedfellow::crops::Raised;
use bedfellow::garden::{Against, Ending, FORMAT, Garden, PlantingId, RealDates, limits};
use bedfellow::store;

/// Samples of a kind, by name.
fn samples(kind: &str) -> Vec<(String, PathBuf)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/samples").join(kind);
    let mut samples: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .map(|path| (path.file_stem().unwrap().to_str().unwrap().to_owned(), path))
        .collect();
    samples.sort();
    samples
}

/// What the program does with a file, in short: the garden, or what the person is told.
fn read(path: &Path) -> Result<Garden, String> {
    let file_name = path.file_name().unwrap().to_str().unwrap();
    let text = store::read_text(path, limits::FILE_BYTES).map_err(|error| {
        let folder = format!("{}/", path.parent().unwrap().display());
        error.to_string().replace(&folder, "")
    })?;
    Garden::from_ron(&text, file_name).map_err(|error| error.to_string())
}

#[test]
fn every_broken_sample_is_refused_with_its_message() {
    let samples = samples("broken");
    assert!(samples.len() > 40);
    for (name, path) in samples {
        let before = fs::read(&path).unwrap();
        let message = read(&path).expect_err(&name);
        assert!(message.chars().all(|c| c == '\n' || !bedfellow::units::text::is_unshowable(c)), "{name}: {message:?}");
        assert!(message.lines().all(|line| line.chars().count() < 400), "{name}: a line too long to read");
        assert!(message.lines().count() < 20, "{name}: too much to read");
        assert_eq!(fs::read(&path).unwrap(), before, "{name} is left as it was");
        insta::with_settings!({ prepend_module_to_snapshot => false, omit_expression => true }, {
            insta::assert_snapshot!(name, message);
        });
    }
}

#[test]
fn every_valid_sample_is_read_and_saved_the_same_twice() {
    let samples = samples("valid");
    assert!(samples.len() > 5);
    for (name, path) in samples {
        let garden = read(&path).unwrap_or_else(|message| panic!("{name}: {message}"));
        let saved = garden.to_ron();
        let again = Garden::from_ron(&saved, "again.ron").unwrap_or_else(|error| panic!("{name}: {error}\n{saved}"));
        assert_eq!(again, garden, "{name}");
        assert_eq!(again.to_ron(), saved, "{name}");
    }
}

#[test]
fn a_file_in_the_programs_own_hand_is_saved_byte_for_byte() {
    for name in ["every-field.ron", "small.ron", "own-crop.ron"] {
        let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/samples/valid").join(name);
        let text = fs::read_to_string(&path).unwrap();
        assert_eq!(Garden::from_ron(&text, name).unwrap().to_ron(), text, "{name}");
    }
}

#[test]
fn a_file_of_format_1_is_read_through_the_step() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/samples/valid/format-1.ron");
    let garden = read(&path).unwrap();
    assert_eq!((garden.format, garden.name.as_str()), (FORMAT, "raised: Direct"));
    let ways: Vec<_> = garden.plantings.iter().map(|planting| planting.raised).collect();
    assert_eq!(ways, [Raised::Module, Raised::InPlace, Raised::InPlace]);
    assert_eq!(garden.own_crops[0].seed.raised, [Raised::Module, Raised::InPlace]);
    let texts = [&garden.beds[0].notes, &garden.plantings[0].notes, &garden.plantings[2].variety];
    assert_eq!(texts, ["raised: Direct, (real: (sow: never))", "raised: Direct", "the \"raised: Direct\" kind"]);
    let against: Vec<_> = garden.accepted.iter().map(|accepted| (accepted.id.0, accepted.against.clone())).collect();
    let expected = [
        (4, Against::Planting(PlantingId(3))),
        (5, Against::Past { year: 2024, what: "shallot".to_owned() }),
        (6, Against::WeeksAfter(2027)),
        (7, Against::WeeksBefore(2027)),
        (8, Against::Hazard("clubroot".to_owned())),
        (9, Against::Nothing),
    ];
    assert_eq!(against, expected);
    assert_eq!(garden.accepted[1].reason, "against: \"p3\"");
    // What happened to the carrots, and to the leeks; nothing did to the kale.
    let day = |text: &str| -> Option<chrono::NaiveDate> { text.parse().ok() };
    let carrots = RealDates {
        sow: day("2027-03-28"),
        emerge: day("2027-04-19"),
        first_pick: day("2027-07-05"),
        last_pick: day("2027-08-02"),
        clear: day("2027-08-10"),
        ended: Some(Ending::Harvested),
        picked_g: 2_000,
        lost_plants: 20,
        ..RealDates::default()
    };
    let leeks = RealDates { plant: day("2027-06-07"), first_pick: day("2027-10-04"), ..RealDates::default() };
    let real: Vec<_> = garden.plantings.iter().map(|planting| garden.real_dates(planting.id)).collect();
    assert_eq!(real, [leeks, RealDates::default(), carrots]);
    assert_eq!(garden.happened.len(), 9);
    assert_eq!(garden.header_comment, "// A garden of format 1: what is sown in place was raised: Direct then.");
}

#[test]
fn marks_and_line_ends_of_other_systems_make_no_other_garden() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/samples/valid");
    let small = read(&folder.join("small.ron")).unwrap();
    for name in ["byte-order-mark.ron", "windows-line-ends.ron"] {
        assert_eq!(read(&folder.join(name)).unwrap(), small, "{name}");
    }
}

#[test]
fn a_single_line_of_ten_megabytes_is_not_printed() {
    let bed = "(id: \"B\", width_mm: 1, length_mm: 1),";
    let text = format!("(format: 2, beds: [{} nonsense here", bed.repeat(10_000_000 / bed.len()));
    let message = Garden::from_ron(&text, "long.ron").unwrap_err().to_string();
    assert!(message.len() < 2_000, "{} bytes", message.len());
    assert!(message.contains("long.ron:1:"), "{message}");
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_by_its_size() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("huge.ron");
    fs::File::create(&path).unwrap().set_len(100 * 1024 * 1024).unwrap();
    let message = read(&path).unwrap_err();
    assert_eq!(message, "huge.ron has 104857600 bytes; a file may have 33554432 at most; is it the right file?");
}
