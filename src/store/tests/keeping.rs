//! What opening finds and says.

use super::*;

/// A file whose journal holds these records, flushed, after a kill.
fn with_records(records: &[&str]) -> (tempfile::TempDir, PathBuf) {
    let (folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    for record in records {
        kept.append(record).unwrap();
    }
    kept.flush().unwrap();
    kill(kept, &disk);
    (folder, path)
}

fn journal(path: &Path) -> PathBuf {
    beside(path).join("journal")
}

#[test]
fn a_file_just_opened_has_nothing_to_say_and_no_journal() {
    let (_folder, path) = file("base\n");
    let opened = open(&path);
    assert_eq!((opened.text.as_str(), opened.records, opened.notices), ("base\n", Vec::new(), Vec::new()));
    assert_eq!(opened.kept.access(), &Access::Ours);
    assert_eq!(opened.kept.base_text(), "base\n");
    assert_eq!(names_in(&beside(&path)), [beside(&path).join("lock")]);
}

#[test]
fn what_is_no_file_leaves_nothing_beside_it() {
    let folder = folder();
    let missing = Kept::open(&folder.path().join("garden.ron"), LIMIT, at(0), Box::new(RealDisk));
    assert!(matches!(missing, Err(StoreError::Read { .. })));
    let is_folder = Kept::open(folder.path(), LIMIT, at(0), Box::new(RealDisk));
    assert!(matches!(is_folder, Err(StoreError::NotAFile { .. })));
    assert!(names_in(folder.path()).is_empty());
}

#[test]
fn records_not_saved_are_handed_over_and_counted() {
    let (_folder, path) = with_records(&["one", "", "three  €"]);
    assert_eq!(journal_of(&path, LIMIT).unwrap(), Waiting { n_records: 3, is_for_file: true, for_version: None });
    let opened = open(&path);
    assert_eq!(opened.records, ["one", "", "three  €"]);
    assert_eq!(opened.notices, [Notice::Waiting { n_records: 3 }]);
    assert_eq!(opened.notices[0].to_string(), "3 edits were not saved last time and are taken from the journal");
}

#[test]
fn a_record_of_two_lines_is_refused() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    assert!(matches!(kept.append("one\ntwo"), Err(StoreError::NotOneLine { .. })));
    assert!(!kept.has_pending());
}

#[test]
fn a_torn_record_is_dropped_and_said_once() {
    let (_folder, path) = with_records(&["one", "two"]);
    let bytes = fs::read(journal(&path)).unwrap();
    fs::write(journal(&path), &bytes[..bytes.len() - 2]).unwrap();
    let opened = open(&path);
    assert_eq!(opened.records, ["one"]);
    // "xxxxxxxx 3 two\n" has 15 bytes.
    assert_eq!(opened.notices, [Notice::Waiting { n_records: 1 }, Notice::TornRecord { n_bytes: 13 }]);
    drop(opened);
    assert_eq!(open(&path).notices, [Notice::Waiting { n_records: 1 }]);
}

#[test]
fn a_damaged_journal_is_kept_whole_and_replayed_up_to_the_damage() {
    let (_folder, path) = with_records(&["one", "two", "three"]);
    let damaged = fs::read_to_string(journal(&path)).unwrap().replace("two", "tvo");
    fs::write(journal(&path), &damaged).unwrap();
    let mut opened = open(&path);
    assert_eq!(opened.records, ["one"]);
    let aside = beside(&path).join("aside").join("20270301T081500Z-damaged");
    let notice = Notice::Damaged { n_good: 1, aside: Some(aside.clone()) };
    assert_eq!(opened.notices, [Notice::Waiting { n_records: 1 }, notice]);
    assert_eq!(fs::read_to_string(&aside).unwrap(), damaged);
    opened.kept.append("new").unwrap();
    opened.kept.flush().unwrap();
    drop(opened);
    let opened = open(&path);
    assert_eq!(opened.records, ["one", "new"]);
    assert_eq!(opened.notices, [Notice::Waiting { n_records: 2 }]);
}

#[test]
fn a_damaged_journal_that_cannot_be_kept_is_not_written_over() {
    let (_folder, path) = with_records(&["one", "two", "three"]);
    let damaged = fs::read_to_string(journal(&path)).unwrap().replace("two", "tvo");
    fs::write(journal(&path), &damaged).unwrap();
    let disk = FaultyDisk::sound();
    disk.fail_every("create_new", ErrorKind::StorageFull);
    let mut opened = open_on(&path, &disk);
    assert_eq!(opened.notices[1], Notice::Damaged { n_good: 1, aside: None });
    opened.kept.append("new").unwrap();
    assert!(matches!(opened.kept.flush(), Err(StoreError::NoRoom { .. })));
    assert_eq!(fs::read_to_string(journal(&path)).unwrap(), damaged);
    disk.mend();
    opened.kept.flush().unwrap();
    assert_eq!(names_in(&beside(&path).join("aside")).len(), 1);
    kill(opened.kept, &disk);
    assert_eq!(open(&path).records, ["one", "new"]);
}

#[test]
fn a_record_that_does_not_fit_ends_the_replay() {
    let (_folder, path) = with_records(&["one", "two", "three"]);
    let before = fs::read(journal(&path)).unwrap();
    let mut opened = open(&path);
    let notice = opened.kept.stop_replay_at(1, at(3));
    let aside = beside(&path).join("aside").join("20270301T081800Z-does-not-fit");
    assert_eq!(notice, Notice::Damaged { n_good: 1, aside: Some(aside.clone()) });
    assert_eq!(fs::read(aside).unwrap(), before);
    opened.kept.append("new").unwrap();
    opened.kept.flush().unwrap();
    drop(opened);
    assert_eq!(open(&path).records, ["one", "new"]);
}

#[test]
fn a_journal_of_other_contents_is_kept_with_the_version_it_belongs_to() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.save("saved\n", at(1), Save::Asked).unwrap();
    kept.append("one").unwrap();
    kept.flush().unwrap();
    kill(kept, &disk);
    fs::write(&path, "other\n").unwrap();
    assert_eq!(journal_of(&path, LIMIT).unwrap(), Waiting { n_records: 1, is_for_file: false, for_version: Some(1) });
    let opened = open(&path);
    assert_eq!((opened.text.as_str(), opened.records.len()), ("other\n", 0));
    let aside = beside(&path).join("aside").join("20270301T081500Z-of-other-contents");
    let version = beside(&path).join("versions").join("000002-20270301T081600Z.ron");
    let notice = Notice::OtherBase { n_records: 1, aside: Some(aside.clone()), base_version: Some(version) };
    assert_eq!(opened.notices, [notice]);
    assert!(fs::read_to_string(aside).unwrap().ends_with(" 3 one\n"));
    drop(opened);
    assert_eq!(open(&path).notices, []);
}

#[test]
fn a_file_changed_elsewhere_after_all_was_saved_is_nothing_to_speak_of() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    kept.save("saved\n", at(1), Save::Asked).unwrap();
    drop(kept);
    fs::write(&path, "other\n").unwrap();
    let opened = open(&path);
    assert_eq!((opened.text.as_str(), opened.notices), ("other\n", Vec::new()));
}

#[test]
fn what_stands_in_the_journals_place_and_is_none_is_kept() {
    for text in ["", "bedfellow jour", "a letter\n"] {
        let (_folder, path) = file("base\n");
        drop(open(&path));
        fs::write(journal(&path), text).unwrap();
        assert_eq!(journal_of(&path, LIMIT).unwrap().n_records, 0);
        let opened = open(&path);
        let aside = beside(&path).join("aside").join("20270301T081500Z-no-journal");
        assert_eq!(opened.notices, [Notice::NoJournal { aside: Some(aside.clone()) }]);
        assert_eq!(fs::read_to_string(aside).unwrap(), text);
        drop(opened);
        assert_eq!(open(&path).notices, []);
    }
}

#[test]
fn a_newer_journal_is_left_alone_and_the_file_only_looked_at() {
    let (_folder, path) = file("base\n");
    drop(open(&path));
    let text = "bedfellow journal 2 somehow\n";
    fs::write(journal(&path), text).unwrap();
    let mut kept = open(&path).kept;
    assert_eq!(kept.access(), &Access::NewerJournal { format: 2 });
    assert!(matches!(kept.append("one"), Err(StoreError::NewerJournal { format: 2, .. })));
    let error = kept.save("new\n", at(1), Save::Asked).unwrap_err();
    assert!(matches!(error, SaveError::Store(StoreError::NewerJournal { .. })), "{error}");
    assert!(matches!(journal_of(&path, LIMIT), Err(StoreError::NewerJournal { .. })));
    drop(kept);
    assert_eq!(fs::read_to_string(journal(&path)).unwrap(), text);
    assert_eq!(fs::read_to_string(&path).unwrap(), "base\n");
}

#[test]
fn a_journal_that_cannot_be_read_is_not_written_over() {
    let (_folder, path) = with_records(&["one"]);
    let before = fs::read(journal(&path)).unwrap();
    fs::remove_file(journal(&path)).unwrap();
    fs::create_dir(journal(&path)).unwrap();
    let mut opened = open(&path);
    assert!(matches!(opened.kept.access(), Access::Unguarded(why) if why.ends_with("journal is not a file")));
    fs::remove_dir(journal(&path)).unwrap();
    fs::write(journal(&path), &before).unwrap();
    opened.kept.append("two").unwrap();
    let error = opened.kept.flush().unwrap_err();
    assert!(error.to_string().contains("holds edits that are not shown here"), "{error}");
    assert_eq!(fs::read(journal(&path)).unwrap(), before);
}

#[test]
fn left_overs_of_a_killed_save_are_taken_away_and_nothing_else() {
    let (folder, path) = file("base\n");
    drop(open(&path));
    fs::write(beside(&path).join("unfinished-4711-0"), "half").unwrap();
    fs::write(beside(&path).join("letter"), "to somebody").unwrap();
    fs::write(folder.path().join("unfinished-work"), "of somebody").unwrap();
    drop(open(&path));
    assert!(!beside(&path).join("unfinished-4711-0").exists());
    assert!(beside(&path).join("letter").exists() && folder.path().join("unfinished-work").exists());
}

#[test]
fn leaving_without_saving_keeps_the_records_aside() {
    let (_folder, path) = with_records(&["one"]);
    let mut kept = open(&path).kept;
    kept.append("two").unwrap();
    let aside = kept.discard(at(5)).unwrap().unwrap();
    let text = fs::read_to_string(&aside).unwrap();
    assert!(text.contains(" 3 one\n") && text.ends_with(" 3 two\n"), "{text}");
    assert!(!kept.has_pending());
    assert_eq!(kept.discard(at(5)).unwrap(), None);
    drop(kept);
    let opened = open(&path);
    assert_eq!((opened.records.len(), opened.notices.len()), (0, 0));
}

#[test]
fn a_text_set_aside_never_takes_the_place_of_another() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    let one = kept.set_aside("theirs: a/b", "one", at(0)).unwrap();
    let two = kept.set_aside("theirs: a/b", "two", at(0)).unwrap();
    assert_eq!(one, beside(&path).join("aside").join("20270301T081500Z-theirs--a-b"));
    assert_eq!(two, beside(&path).join("aside").join("20270301T081500Z-2-theirs--a-b"));
    assert_eq!([one, two].map(|path| fs::read_to_string(path).unwrap()), ["one", "two"]);
}

#[test]
fn notices_are_said_in_plain_words() {
    let aside = || Some(PathBuf::from("aside/x"));
    let said = [
        Notice::Waiting { n_records: 1 },
        Notice::Elsewhere { n_records: 2 },
        Notice::TornRecord { n_bytes: 13 },
        Notice::Damaged { n_good: 1, aside: aside() },
        Notice::Damaged { n_good: 0, aside: None },
        Notice::OtherBase { n_records: 2, aside: aside(), base_version: Some("versions/y".into()) },
        Notice::OtherBase { n_records: 1, aside: None, base_version: None },
        Notice::NoJournal { aside: aside() },
    ];
    insta::assert_snapshot!(said.map(|notice| notice.to_string()).join("\n"), @r"
    1 edit was not saved last time and is taken from the journal
    2 edits were made there that are not saved yet and not shown here
    the journal ended within an edit that was never confirmed; its 13 bytes are dropped
    the journal cannot be read after its first edit; it is kept as aside/x
    the journal cannot be read from its start on; it could not be put aside and stays where it is
    2 edits were not saved, and the file was changed elsewhere since, so they do not fit; the journal is kept as aside/x, from where V on the screen and `bedfellow versions` bring them back
    1 edit was not saved, and the file was changed elsewhere since, so it does not fit; the journal could not be put aside and stays where it is
    what stands in the journal's place is no journal; it is kept as aside/x
    ");
}
