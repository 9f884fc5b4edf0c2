//! Something that cannot be read comes into the file's place while it is open: nothing of ours goes with it.

use super::*;

/// What may come into a file's place, and why it cannot be read.
const KINDS: [(&str, &str); 6] = [
    ("latin 1", "garden.ron is not text in UTF-8 (byte 1)"),
    ("utf 16", "garden.ron is not text in UTF-8 (byte 0)"),
    ("binary", "garden.ron is not text in UTF-8 (byte 2)"),
    ("folder", "garden.ron is not a file"),
    ("pipe", "garden.ron is not a file"),
    ("too large", "garden.ron has 10001 bytes; a file may have 10000 at most"),
];

fn replace(path: &Path, kind: &str) {
    fs::remove_file(path).unwrap();
    match kind {
        "latin 1" => fs::write(path, b"B\xe4ume\n").unwrap(),
        "utf 16" => fs::write(path, b"\xff\xfea\0\n\0").unwrap(),
        "binary" => fs::write(path, b"\x7fE\x80\0\0").unwrap(),
        "folder" => {
            fs::create_dir(path).unwrap();
            fs::write(path.join("letter"), "to somebody").unwrap();
        }
        "pipe" => make_pipe(path),
        _ => fs::write(path, "x".repeat(LIMIT as usize + 1)).unwrap(),
    }
}

fn versions(path: &Path) -> Vec<String> {
    (1..=versions_of(path).unwrap().len()).map(|number| read_version_of(path, number, LIMIT).unwrap()).collect()
}

#[test]
fn what_records_are_made_upon_is_a_version_with_the_first_of_them() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    assert!(versions(&path).is_empty(), "nothing is kept of a file that is only looked at");
    for record in ["one", "two"] {
        kept.append(record).unwrap();
        kept.flush().unwrap();
        assert_eq!(versions(&path), ["base\n"]);
    }
    kept.save("saved\n", at(1), Save::Pause).unwrap();
    kept.append("three").unwrap();
    kept.flush().unwrap();
    assert_eq!(versions(&path), ["saved\n", "base\n"]);
}

#[test]
fn what_cannot_be_read_is_noticed_not_written_over_and_put_aside_when_asked() {
    for (kind, why) in KINDS {
        let (_folder, path) = file("base\n");
        let disk = FaultyDisk::sound();
        let mut kept = open_on(&path, &disk).kept;
        kept.append("one").unwrap();
        kept.flush().unwrap();
        replace(&path, kind);
        assert_eq!(kept.look().unwrap(), Outside::Unreadable { why: why.to_owned() }, "{kind}");
        for reason in [Save::Asked, Save::Pause] {
            let error = kept.save("base\none\n", at(1), reason).unwrap_err();
            assert!(matches!(&error, SaveError::Unreadable { why: said } if said == why), "{kind}: {error}");
        }
        // Killed here: the file cannot be read, and all of ours can.
        let waiting = Waiting { n_records: 1, is_for_file: false, for_version: Some(1) };
        assert_eq!(journal_of(&path, LIMIT).unwrap(), waiting, "{kind}");
        assert_eq!(versions(&path), ["base\n"], "{kind}");

        let saved = kept.save("base\none\n", at(1), Save::Replace).unwrap();
        assert_eq!(fs::read_to_string(&path).unwrap(), "base\none\n", "{kind}");
        let aside = saved.aside.unwrap();
        assert_eq!(aside, beside(&path).join("aside/20270301T081600Z-unreadable"), "{kind}");
        match kind {
            "folder" => assert_eq!(fs::read_to_string(aside.join("letter")).unwrap(), "to somebody"),
            "pipe" => assert!(!fs::symlink_metadata(aside).unwrap().is_file()),
            "latin 1" => assert_eq!(fs::read(aside).unwrap(), b"B\xe4ume\n"),
            _ => assert!(fs::metadata(aside).unwrap().is_file()),
        }
        kill(kept, &disk);
        let opened = open(&path);
        assert_eq!((opened.text.as_str(), opened.records.len(), opened.notices.len()), ("base\none\n", 0, 0), "{kind}");
    }
}

#[test]
fn killed_in_any_call_while_it_is_put_aside_all_of_ours_is_there() {
    for (kind, _) in KINDS {
        for later in 0.. {
            let (_folder, path) = file("base\n");
            let disk = FaultyDisk::sound();
            let mut kept = open_on(&path, &disk).kept;
            kept.append("one").unwrap();
            kept.flush().unwrap();
            replace(&path, kind);
            let n_before = disk.n_calls();
            let last = n_before + later;
            disk.die_at(last);
            let _ = kept.save("base\none\n", at(1), Save::Replace);
            let is_done = disk.n_calls() <= last;
            kill(kept, &disk);
            let is_saved = fs::symlink_metadata(&path).is_ok_and(|about| about.is_file())
                && read_text(&path, LIMIT).is_ok_and(|text| text == "base\none\n");
            let waiting = journal_of(&path, LIMIT).unwrap();
            let waits = waiting == Waiting { n_records: 1, is_for_file: false, for_version: Some(1) };
            assert!(is_saved || waits && versions(&path) == ["base\n"], "{kind}, call {later}: {waiting:?}");
            if is_done {
                break;
            }
        }
    }
}

#[test]
fn what_records_are_made_upon_is_not_let_go_for_what_came_into_its_place() {
    for later in 0.. {
        let (_folder, path) = file("0");
        let mut kept = open(&path).kept;
        for n in 1..=9 {
            kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
        }
        drop(kept);
        // Somebody goes back to the oldest by hand, edits it, and something else comes.
        fs::write(&path, "0").unwrap();
        let disk = FaultyDisk::sound();
        let mut kept = open_on(&path, &disk).kept;
        kept.append("one").unwrap();
        kept.flush().unwrap();
        fs::write(&path, "theirs").unwrap();
        let last = disk.n_calls() + later;
        disk.die_at(last);
        let _ = kept.save("0one", at(20), Save::Replace);
        let is_done = disk.n_calls() <= last;
        kill(kept, &disk);
        let is_saved = fs::read_to_string(&path).unwrap() == "0one";
        assert!(is_saved || versions(&path).contains(&"0".to_owned()), "call {later}: {:?}", versions(&path));
        if is_done {
            assert_eq!(versions(&path).len(), 10, "afterwards there are ten again");
            break;
        }
    }
}

#[test]
fn a_version_taken_away_while_edits_wait_is_kept_again() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    fs::remove_dir_all(beside(&path)).unwrap();
    kept.append("two").unwrap();
    kept.flush().unwrap();
    assert_eq!(versions(&path), ["base\n"]);
}

#[test]
fn without_a_place_for_versions_edits_are_safe_all_the_same_and_it_is_said() {
    let (_folder, path) = file("base\n");
    fs::create_dir(beside(&path)).unwrap();
    fs::write(beside(&path).join("versions"), "no folder").unwrap();
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    assert!(kept.base_trouble().is_some());
    kill(kept, &disk);
    assert_eq!(open(&path).records, ["one"]);
}

/// Edits upon contents that something else has taken the place of, and then the file opened: they are put aside.
fn with_edits_put_aside() -> (tempfile::TempDir, PathBuf) {
    let (folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    for record in ["one", "two"] {
        kept.append(record).unwrap();
    }
    kept.flush().unwrap();
    kill(kept, &disk);
    fs::write(&path, "theirs\n").unwrap();
    assert!(matches!(open(&path).notices[..], [Notice::OtherBase { n_records: 2, base_version: Some(_), .. }]));
    (folder, path)
}

fn edits(base: &str, records: &[&str]) -> Holds {
    Holds::Edits { base: base.to_owned(), records: records.iter().map(|&record| record.to_owned()).collect() }
}

#[test]
fn edits_put_aside_are_listed_and_read_with_what_they_were_made_upon() {
    let (_folder, path) = with_edits_put_aside();
    let listed = aside_of(&path, LIMIT).unwrap();
    assert_eq!(listed.len(), 1, "what they were made upon is told with them: {listed:?}");
    assert_eq!((listed[0].number, listed[0].what.as_str(), listed[0].stamp), (1, "of-other-contents", at(0)));
    assert_eq!(listed[0].to_string(), "edits that did not fit the file");
    assert_eq!(read_aside_of(&path, &listed[0], LIMIT).unwrap(), edits("base\n", &["one", "two"]));
    // Versions are let go in time; what was put aside is not.
    let mut kept = open(&path).kept;
    for n in 1..=11 {
        kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
    }
    assert!(!versions(&path).contains(&"base\n".to_owned()));
    assert_eq!(kept.read_aside(&kept.aside().unwrap()[0]).unwrap(), edits("base\n", &["one", "two"]));
}

#[test]
fn everything_put_aside_is_listed_newest_first_and_told_for_what_it_is() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.set_aside("mine", "my garden", at(1)).unwrap();
    kept.append("one").unwrap();
    kept.discard(at(2)).unwrap();
    drop(kept);
    fs::remove_file(&path).unwrap();
    fs::create_dir(&path).unwrap();
    let mut kept = Kept::open_for(&path, "base\n".to_owned(), LIMIT, at(3), Box::new(RealDisk)).unwrap().kept;
    kept.put_back(at(3)).unwrap();
    fs::write(beside(&path).join("aside/letter"), "to somebody").unwrap();
    fs::write(beside(&path).join("aside/20270301T080000Z-damaged"), "bedfellow journal 1 base=3-00000000\nbroken\n")
        .unwrap();
    let listed = aside_of(&path, LIMIT).unwrap();
    let told: Vec<(usize, String)> = listed.iter().map(|aside| (aside.number, aside.to_string())).collect();
    let expected = ["what stood in the file's place", "edits not saved here", "your garden", "a damaged journal"];
    assert_eq!(told, (1..).zip(expected.map(str::to_owned)).collect::<Vec<_>>());
    let read = |at: usize| read_aside_of(&path, &listed[at], LIMIT);
    assert!(matches!(read(0), Err(StoreError::NotAFile { .. })));
    assert_eq!(read(1).unwrap(), edits("base\n", &["one"]));
    assert_eq!(read(2).unwrap(), Holds::Text("my garden".to_owned()));
    assert!(matches!(read(3), Err(StoreError::NoBase { .. })));
}

#[test]
fn what_is_put_back_lets_edits_made_upon_it_wait_and_puts_others_aside() {
    for (text, n_waiting, n_aside) in [("base\n", 2, 0), ("another\n", 0, 1)] {
        let (_folder, path) = file("base\n");
        let disk = FaultyDisk::sound();
        let mut kept = open_on(&path, &disk).kept;
        for record in ["one", "two"] {
            kept.append(record).unwrap();
        }
        kept.flush().unwrap();
        kill(kept, &disk);
        fs::write(&path, "theirs\n").unwrap();
        let opened = Kept::open_for(&path, text.to_owned(), LIMIT, at(1), Box::new(RealDisk)).unwrap();
        assert_eq!(opened.records.len(), n_waiting);
        let mut kept = opened.kept;
        kept.put_back(at(1)).unwrap();
        drop(kept);
        let opened = open(&path);
        assert_eq!((opened.text.as_str(), opened.records.len()), (text, n_waiting));
        assert_eq!(aside_of(&path, LIMIT).unwrap().len(), n_aside);
        assert!(versions(&path).contains(&"theirs\n".to_owned()), "what stood there is a version");
    }
}

#[test]
fn a_link_put_among_what_was_put_aside_is_not_followed() {
    let (folder, path) = with_edits_put_aside();
    let secret = folder.path().join("secret");
    fs::write(&secret, "a secret").unwrap();
    std::os::unix::fs::symlink(&secret, beside(&path).join("aside/20270302T080000Z-mine")).unwrap();
    let listed = aside_of(&path, LIMIT).unwrap();
    assert_eq!(listed[0].what, "mine");
    let error = read_aside_of(&path, &listed[0], LIMIT).unwrap_err().to_string();
    assert!(error.contains("is a link"), "{error}");
}

#[test]
fn text_that_is_nothing_of_ours_is_put_aside_and_pushes_no_version_out() {
    for puts_back in [false, true] {
        let (_folder, path) = file("base\n");
        let mut kept = open(&path).kept;
        kept.know_ours(|text| !text.contains("slip"));
        kept.append("one").unwrap();
        kept.flush().unwrap();
        fs::write(&path, "a slip\n").unwrap();
        let saved =
            if puts_back { kept.put_back(at(1)).unwrap() } else { kept.save("mine\n", at(1), Save::Replace).unwrap() };
        assert_eq!(fs::read_to_string(saved.aside.unwrap()).unwrap(), "a slip\n");
        let listed = versions(&path);
        assert!(!listed.iter().any(|text| text.contains("slip")), "{listed:?}");
        // What somebody else wrote well becomes a version.
        fs::write(&path, "theirs\n").unwrap();
        let saved = kept.save("again\n", at(2), Save::Replace).unwrap();
        assert!(saved.aside.is_none() && versions(&path).contains(&"theirs\n".to_owned()));
    }
}

#[test]
fn records_let_go_do_not_come_back() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    kept.let_records_go().unwrap();
    drop(kept);
    let opened = open(&path);
    assert!(opened.records.is_empty() && opened.notices.is_empty(), "{:?}", opened.notices);
}
