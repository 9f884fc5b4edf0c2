//! Which earlier versions are kept.

use super::*;

fn texts(path: &Path) -> Vec<String> {
    (1..=versions_of(path).unwrap().len()).map(|number| read_version_of(path, number, LIMIT).unwrap()).collect()
}

#[test]
fn ten_are_kept_and_the_oldest_go() {
    let (_folder, path) = file("0");
    let mut kept = open(&path).kept;
    for n in 1..=12 {
        let saved = kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
        assert_eq!(saved.version.unwrap().number, 1);
    }
    assert_eq!(texts(&path), ["12", "11", "10", "9", "8", "7", "6", "5", "4", "3"]);
    let versions = kept.versions().unwrap();
    assert_eq!(versions[0].stamp.to_string(), "2027-03-01 08:27 UTC");
    assert_eq!((versions[9].number, versions[9].n_bytes), (10, 1));
    assert_eq!(versions[9].path, beside(&path).join("versions").join("000004-20270301T081800Z.ron"));
    let error = kept.read_version(11).unwrap_err().to_string();
    assert!(error.ends_with("garden.ron has no earlier version 11; 10 are kept"), "{error}");
    assert!(matches!(kept.read_version(0), Err(StoreError::NoVersion { .. })));
}

#[test]
fn what_was_opened_goes_in_before_it_is_saved_over_with_the_time_it_was_written() {
    let (_folder, path) = file("opened");
    let written = std::time::UNIX_EPOCH + std::time::Duration::from_secs(1_700_000_000);
    File::options().write(true).open(&path).unwrap().set_modified(written).unwrap();
    let mut kept = open(&path).kept;
    kept.save("first", at(1), Save::Pause).unwrap();
    assert_eq!(texts(&path), ["first", "opened"]);
    // date -u -d @1700000000
    assert_eq!(versions_of(&path).unwrap()[1].stamp.to_string(), "2023-11-14 22:13 UTC");
    drop(kept);
    open(&path).kept.save("second", at(60), Save::Asked).unwrap();
    assert_eq!(texts(&path), ["second", "first", "opened"], "what is among them is not put in again");
}

#[test]
fn pauses_of_one_busy_time_share_a_version_and_what_was_asked_for_stays() {
    let (_folder, path) = file("0");
    let mut kept = open(&path).kept;
    for (minute, text, why, expected) in [
        (1, "1", Save::Pause, vec!["1", "0"]),
        (10, "2", Save::Pause, vec!["2", "0"]),
        (19, "3", Save::Pause, vec!["3", "0"]),
        (29, "4", Save::Pause, vec!["4", "3", "0"]),
        (30, "5", Save::Asked, vec!["5", "4", "3", "0"]),
        (31, "6", Save::Pause, vec!["6", "5", "4", "3", "0"]),
        (32, "7", Save::Pause, vec!["7", "5", "4", "3", "0"]),
    ] {
        kept.save(text, at(minute), why).unwrap();
        assert_eq!(texts(&path), expected, "minute {minute}");
    }
    drop(kept);
    open(&path).kept.save("8", at(33), Save::Pause).unwrap();
    assert_eq!(texts(&path)[..2], ["8", "7"], "another sitting's version stays");
}

#[test]
fn a_pause_version_that_was_then_asked_for_stays() {
    let (_folder, path) = file("0");
    let mut kept = open(&path).kept;
    kept.save("1", at(1), Save::Pause).unwrap();
    assert_eq!(kept.save("1", at(2), Save::Asked).unwrap().version, None);
    kept.save("2", at(3), Save::Pause).unwrap();
    assert_eq!(texts(&path), ["2", "1", "0"]);
}

#[test]
fn saves_of_one_second_and_of_a_clock_put_back_keep_their_order_and_what_the_clock_said() {
    let (_folder, path) = file("0");
    let mut kept = open(&path).kept;
    for (text, minute) in [("1", 5), ("2", 5), ("3", 1), ("4", 6)] {
        kept.save(text, at(minute), Save::Asked).unwrap();
    }
    assert_eq!(texts(&path), ["4", "3", "2", "1", "0"]);
    let stamps: Vec<Stamp> = versions_of(&path).unwrap()[..4].iter().map(|version| version.stamp).collect();
    assert_eq!(stamps, [at(6), at(1), at(5), at(5)]);
    assert!(beside(&path).join("versions").join("000004-20270301T081600Z.ron").exists());
}

#[test]
fn one_save_under_a_clock_far_ahead_leaves_later_stamps_right() {
    let (_folder, path) = file("0");
    let ahead = Stamp::from_file_name("22000101T000000Z").unwrap();
    let mut kept = open(&path).kept;
    kept.save("1", at(1), Save::Asked).unwrap();
    kept.save("2", ahead, Save::Pause).unwrap();
    // Two pauses after the clock was put right: the first does not take the place of what the wrong clock stamped.
    kept.save("3", at(2), Save::Pause).unwrap();
    kept.save("4", at(3), Save::Asked).unwrap();
    assert_eq!(texts(&path), ["4", "3", "2", "1", "0"]);
    let stamps: Vec<Stamp> = versions_of(&path).unwrap()[..4].iter().map(|version| version.stamp).collect();
    assert_eq!(stamps, [at(3), at(2), ahead, at(1)]);
    for n in 5..=13 {
        kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
    }
    assert_eq!(
        texts(&path),
        ["13", "12", "11", "10", "9", "8", "7", "6", "5", "4"],
        "the oldest go, whatever their stamp"
    );
}

#[test]
fn versions_named_by_their_stamp_alone_are_older_than_those_with_a_number() {
    let (_folder, path) = file("now");
    let folder = beside(&path).join("versions");
    fs::create_dir_all(&folder).unwrap();
    for (name, text) in [
        ("20270301T081500Z.ron", "a"),
        ("20270301T081500Z-2.ron", "b"),
        ("22000101T000000Z.ron", "c"),
        ("22000101T000000Z-10.ron", "e"),
        ("22000101T000000Z-9.ron", "d"),
    ] {
        fs::write(folder.join(name), text).unwrap();
    }
    open(&path).kept.save("next", at(1), Save::Asked).unwrap();
    assert_eq!(texts(&path), ["next", "now", "e", "d", "c", "b", "a"]);
    assert_eq!(versions_of(&path).unwrap()[0].stamp, at(1));
}

#[test]
fn foreign_names_among_the_versions_are_left_alone() {
    let (_folder, path) = file("0");
    let mut kept = open(&path).kept;
    kept.save("1", at(1), Save::Asked).unwrap();
    let folder = beside(&path).join("versions");
    for name in
        ["notes.txt", "20270301T081600Z-1.ron", "20270301.ron", "20271301T081600Z.ron", "1-20270301T081600Z.ron"]
    {
        fs::write(folder.join(name), "foreign").unwrap();
    }
    fs::create_dir(folder.join("20270401T081600Z.ron")).unwrap();
    for n in 2..15 {
        kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
    }
    assert_eq!(texts(&path).len(), 10);
    assert_eq!(names_in(&folder).len(), 16);
}

#[test]
fn a_file_never_kept_has_no_versions_and_nothing_is_made() {
    let (folder, path) = file("0");
    assert_eq!(versions_of(&path).unwrap(), []);
    assert_eq!(journal_of(&path, LIMIT).unwrap().n_records, 0);
    fs::remove_file(&path).unwrap();
    assert_eq!(versions_of(&path).unwrap(), []);
    assert!(names_in(folder.path()).is_empty());
}

#[test]
fn a_save_whose_version_cannot_be_kept_is_a_save_all_the_same() {
    let (_folder, path) = file("0");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    disk.fail_every("list", ErrorKind::PermissionDenied);
    let saved = kept.save("1", at(1), Save::Asked).unwrap();
    assert_eq!((saved.version, saved.trouble.len()), (None, 2));
    assert_eq!(fs::read_to_string(&path).unwrap(), "1");
    disk.mend();
    kept.save("2", at(2), Save::Asked).unwrap();
    assert_eq!(texts(&path), ["2", "1"], "what the disk refused is kept next time");
}
