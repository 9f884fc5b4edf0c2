//! Links and other things in the place of what is kept: whatever stands there, nothing beyond it is touched, and the file goes on.

use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};

use super::*;

/// What belongs to somebody else: a letter, a journal of just these contents, what looks left over, versions.
fn foreign(path: &Path) -> PathBuf {
    let foreign = path.with_file_name("foreign");
    fs::create_dir(&foreign).unwrap();
    let disk = FaultyDisk::sound();
    let mut kept = open_on(path, &disk).kept;
    kept.append("planted").unwrap();
    kept.flush().unwrap();
    kill(kept, &disk);
    fs::rename(beside(path).join("journal"), foreign.join("journal")).unwrap();
    for name in ["letter", "lock", "unfinished-4711-0"] {
        fs::write(foreign.join(name), name).unwrap();
    }
    for n in 10..24 {
        fs::write(foreign.join(format!("20260301T0815{n}Z.ron")), n.to_string()).unwrap();
    }
    foreign
}

/// Everything in a folder, with what it holds and who may do what with it.
fn contents(folder: &Path) -> Vec<(PathBuf, String)> {
    let mut found: Vec<(PathBuf, String)> = names_in(folder)
        .into_iter()
        .map(|path| {
            let about = path.symlink_metadata().unwrap();
            let text = fs::read_to_string(&path).unwrap_or_default();
            (path, format!("{:o} {} {} {text}", about.mode(), about.uid(), about.mtime_nsec()))
        })
        .collect();
    found.sort();
    found
}

/// Opens, adds a record, saves, adds another, opens again. The file holds what was saved, and nothing that was planted was replayed.
fn sit(path: &Path, how: &str) {
    let mut opened = open(path);
    assert_eq!((&opened.records[..], &opened.trail.steps[..]), (&[][..], &[][..]), "{how}");
    assert!(opened.kept.access().is_writable(), "{how}: {:?}", opened.kept.access());
    for (minute, text) in [(1, "one\n"), (2, "one\ntwo\n")] {
        opened.kept.append("record").unwrap();
        let is_safe = opened.kept.flush().is_ok();
        assert!(is_safe || opened.kept.has_pending(), "{how}");
        opened.kept.let_part();
        opened.kept.save(text, at(minute), Save::Asked).unwrap_or_else(|error| panic!("{how}: {error}"));
        assert_eq!(fs::read_to_string(path).unwrap(), text, "{how}");
    }
    drop(opened);
    assert_eq!(open(path).text, "one\ntwo\n", "{how}");
}

#[test]
fn whatever_is_planted_where_nothing_beyond_it_is_touched() {
    let places = [
        "",
        "lock",
        "journal",
        // Of the contents that the file has.
        "trail-5-08a2e3a3",
        "versions",
        "versions/20260301T081512Z.ron",
        "aside",
        "aside/x",
        "unfinished-7-0",
    ];
    let plants =
        ["link", "link to the file", "link to a folder", "link to nothing", "second name", "pipe", "folder", "device"];
    for place in places {
        for plant in plants {
            let how = format!("{plant} as {place:?}");
            let (_folder, path) = file("base\n");
            let foreign = foreign(&path);
            fs::remove_dir_all(beside(&path)).unwrap();
            let at = beside(&path).join(place);
            let at = if place.is_empty() { beside(&path) } else { at };
            fs::create_dir_all(at.parent().unwrap()).unwrap();
            let name = if place == "journal" || place == "lock" { place } else { "letter" };
            match plant {
                "link" => symlink(foreign.join(name), &at).unwrap(),
                "link to the file" => symlink(&path, &at).unwrap(),
                "link to a folder" => symlink(&foreign, &at).unwrap(),
                "link to nothing" => symlink(foreign.join("nothing yet"), &at).unwrap(),
                "second name" => fs::hard_link(foreign.join(name), &at).unwrap(),
                "pipe" => make_pipe(&at),
                "folder" => fs::create_dir_all(at.join("within")).unwrap(),
                // Only a superuser may make one.
                _ => make_device(&at),
            }
            let before = contents(&foreign);
            sit(&path, &how);
            assert_eq!(contents(&foreign), before, "{how}");
        }
    }
}

#[test]
fn a_lock_that_is_the_file_itself_by_another_name_empties_nothing() {
    let (_folder, path) = file("base\n");
    fs::create_dir(beside(&path)).unwrap();
    fs::hard_link(&path, beside(&path).join("lock")).unwrap();
    let kept = open(&path).kept;
    let Access::Unguarded(why) = kept.access() else { panic!("{:?}", kept.access()) };
    assert_eq!(why, ".garden.ron.kept/lock is one of 2 names of the same file (hard links), so it is left alone");
    drop(kept);
    assert_eq!(fs::read_to_string(&path).unwrap(), "base\n");
    fs::remove_file(beside(&path).join("lock")).unwrap();
    symlink("../garden.ron", beside(&path).join("lock")).unwrap();
    let kept = open(&path).kept;
    let Access::Unguarded(why) = kept.access() else { panic!("{:?}", kept.access()) };
    assert_eq!(why, ".garden.ron.kept/lock is a link, and links are not followed there");
    drop(kept);
    assert_eq!(fs::read_to_string(&path).unwrap(), "base\n");
}

#[test]
fn a_kept_folder_that_is_a_link_is_refused_in_words_and_nothing_of_it_is_listed() {
    let (_folder, path) = file("base\n");
    let foreign = foreign(&path);
    fs::remove_dir_all(beside(&path)).unwrap();
    symlink(&foreign, beside(&path)).unwrap();
    assert_eq!(
        open(&path).kept.access(),
        &Access::Unguarded(".garden.ron.kept is a link, and links are not followed there".to_owned())
    );
    let listed = versions_of(&path).unwrap_err().to_string();
    assert!(listed.ends_with("versions: .garden.ron.kept is a link, and links are not followed there"), "{listed}");
    assert!(journal_of(&path, LIMIT).is_err());
    assert!(read_version_of(&path, 1, LIMIT).is_err());
}

#[test]
fn without_folders_for_versions_and_for_what_is_put_aside_that_is_said_once_at_the_opening() {
    let (_folder, path) = file("base\n");
    let foreign = foreign(&path);
    fs::rename(beside(&path).join("versions"), path.with_file_name("away")).unwrap();
    symlink(&foreign, beside(&path).join("versions")).unwrap();
    fs::write(beside(&path).join("aside"), "in the way").unwrap();
    let mut opened = open(&path);
    assert_eq!(opened.kept.access(), &Access::Ours);
    let said: Vec<String> = opened.notices.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            ".garden.ron.kept/versions is a link, and links are not followed there; nothing is kept in it",
            ".garden.ron.kept/aside is not a folder; nothing is kept in it",
        ]
    );
    let saved = opened.kept.save("new\n", at(1), Save::Asked).unwrap();
    assert!(saved.trouble.iter().all(|error| error.to_string().contains("versions is a link")), "{:?}", saved.trouble);
    assert!(!saved.trouble.is_empty() && saved.version.is_none());
    assert!(opened.kept.set_aside("mine", "x", at(1)).is_err());
}

#[test]
fn a_journal_by_another_name_is_not_replayed_and_stays() {
    let (_folder, path) = file("base\n");
    let foreign = foreign(&path);
    fs::hard_link(foreign.join("journal"), beside(&path).join("journal")).unwrap();
    let before = fs::read(foreign.join("journal")).unwrap();
    let mut opened = open(&path);
    assert_eq!(opened.records, [""; 0]);
    let Access::Unguarded(why) = opened.kept.access() else { panic!("{:?}", opened.kept.access()) };
    assert!(why.contains("journal is one of 2 names"), "{why}");
    assert!(matches!(open(&path).kept.access(), Access::ReadOnly(_)), "the lock is held all the same");
    opened.kept.append("one").unwrap();
    assert!(matches!(opened.kept.flush(), Err(StoreError::Unguarded { .. })));
    opened.kept.save("new\n", at(1), Save::Asked).unwrap();
    drop(opened);
    assert_eq!(fs::read(foreign.join("journal")).unwrap(), before);
    assert_eq!(fs::read(beside(&path).join("journal")).unwrap(), before);
    // Once it is out of the way, all is well.
    fs::remove_file(beside(&path).join("journal")).unwrap();
    assert_eq!(open(&path).kept.access(), &Access::Ours);
}

#[test]
fn what_comes_into_the_journals_place_while_it_is_open_is_not_written_to() {
    let (_folder, path) = file("base\n");
    let foreign = foreign(&path);
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    let before = contents(&foreign);
    fs::remove_file(beside(&path).join("journal")).unwrap();
    symlink(foreign.join("letter"), beside(&path).join("journal")).unwrap();
    kept.append("two").unwrap();
    let error = kept.flush().unwrap_err().to_string();
    assert!(error.ends_with("journal is a link, and links are not followed there"), "{error}");
    fs::remove_file(beside(&path).join("journal")).unwrap();
    kept.flush().unwrap();
    // The kept folder itself, then: what cannot be written down can still be saved.
    fs::rename(beside(&path), path.with_file_name("away")).unwrap();
    symlink(&foreign, beside(&path)).unwrap();
    kept.append("three").unwrap();
    assert!(kept.flush().is_err());
    let saved = kept.save("all\n", at(1), Save::Asked).unwrap();
    assert!(!saved.trouble.is_empty());
    drop(kept);
    assert_eq!(fs::read_to_string(&path).unwrap(), "all\n");
    assert_eq!(contents(&foreign), before);
}

#[test]
fn a_link_that_came_into_the_files_own_place_is_not_read_for_the_file() {
    let (_folder, path) = file("base\n");
    let secret = path.with_file_name("secret");
    fs::write(&secret, "a secret\n").unwrap();
    fs::set_permissions(&secret, fs::Permissions::from_mode(0o600)).unwrap();
    let mut kept = open(&path).kept;
    fs::remove_file(&path).unwrap();
    symlink("secret", &path).unwrap();
    assert!(matches!(kept.look(), Err(StoreError::LeadsElsewhere { .. })));
    for why in [Save::Asked, Save::Pause, Save::Replace] {
        assert!(matches!(kept.save("new\n", at(1), why), Err(SaveError::Store(StoreError::LeadsElsewhere { .. }))));
    }
    assert!(versions_of(&path).unwrap().is_empty(), "nothing of it is kept among the versions");
    assert_eq!(fs::read_to_string(&secret).unwrap(), "a secret\n");
}

#[test]
fn a_lock_that_is_taken_away_between_its_opening_and_its_locking_is_not_believed() {
    let (_folder, path) = file("base\n");
    drop(open(&path));
    let disk = FaultyDisk::sound();
    let lock = beside(&path).join("lock");
    disk.meanwhile("try_lock", move || fs::remove_file(lock).unwrap());
    let first = open_on(&path, &disk).kept;
    assert_eq!(first.access(), &Access::Ours);
    assert!(matches!(open(&path).kept.access(), Access::ReadOnly(_)), "a lock without a name keeps nobody out");
}

#[test]
fn links_that_come_between_a_look_and_the_use_lead_nowhere() {
    // The method before which the link comes, where, and to what.
    let cases = [
        ("open_lock", "lock", "letter"),
        ("try_lock", "lock", "letter"),
        ("open", "journal", "journal"),
        ("list", "", ""),
        ("create_new", "", ""),
        ("rename", "versions", ""),
        ("rename", "", ""),
        ("remove", "versions", ""),
        ("open_folder", "", ""),
        ("make_folder", "versions", ""),
    ];
    for (method, place, to) in cases {
        let how = format!("{place:?} before {method}");
        let (_folder, path) = file("base\n");
        let foreign = foreign(&path);
        for n in 1..=12 {
            open(&path).kept.save(&n.to_string(), at(n), Save::Asked).unwrap();
        }
        fs::write(&path, "base\n").unwrap();
        // Rights other than it should have, so that they are set again.
        fs::set_permissions(beside(&path), fs::Permissions::from_mode(0o711)).unwrap();
        let before = contents(&foreign);
        let disk = FaultyDisk::sound();
        let at_place = if place.is_empty() { beside(&path) } else { beside(&path).join(place) };
        let away = path.with_file_name("away");
        let to = if to.is_empty() { foreign.clone() } else { foreign.join(to) };
        // The journal is there only once something is written down, so it is moved at the second opening.
        disk.meanwhile(method, move || {
            fs::rename(&at_place, away).unwrap();
            symlink(to, at_place).unwrap();
        });
        for text in ["one\n", "two\n"] {
            let mut opened = open_on(&path, &disk);
            assert!(!opened.records.contains(&"planted".to_owned()), "{how}");
            if opened.kept.access().is_writable() {
                opened.kept.append("record").unwrap();
                let _ = opened.kept.flush();
                if opened.kept.save(text, at(20), Save::Asked).is_ok() {
                    assert_eq!(fs::read_to_string(&path).unwrap(), text, "{how}");
                }
            }
        }
        assert!(disk.calls().contains(&method), "{how}: it came");
        assert_eq!(contents(&foreign), before, "{how}");
    }
}

#[test]
fn only_what_is_named_like_left_overs_is_taken_for_them() {
    let (_folder, path) = file("base\n");
    drop(open(&path));
    let kept = ["unfinished-work", "unfinished-1", "unfinished-1-", "unfinished-1-x", "unfinished-1-2-3"];
    for name in kept.iter().chain(&["unfinished-1-2"]) {
        fs::write(beside(&path).join(name), "x").unwrap();
    }
    drop(open(&path));
    for name in kept {
        assert!(beside(&path).join(name).exists(), "{name}");
    }
    assert!(!beside(&path).join("unfinished-1-2").exists());
}

#[test]
fn a_file_with_other_names_is_parted_from_them_only_when_that_is_allowed() {
    let (folder, path) = file("base\n");
    let other = folder.path().join("other.ron");
    fs::hard_link(&path, &other).unwrap();
    assert_eq!(n_names(&path), 2);
    let mut kept = open(&path).kept;
    assert_eq!(kept.access(), &Access::Ours);
    kept.append("one").unwrap();
    kept.flush().unwrap();
    for why in [Save::Asked, Save::Pause, Save::Replace] {
        let error = kept.save("new\n", at(1), why).unwrap_err();
        assert!(matches!(error, SaveError::Linked { n_names: 2 }), "{error}");
    }
    assert_eq!(versions_of(&path).unwrap().len(), 1, "nothing was begun but to keep what the record is made upon");
    assert_eq!(kept.n_waiting(), 1);
    kept.let_part();
    kept.save("new\n", at(2), Save::Pause).unwrap();
    assert_eq!([&path, &other].map(|path| fs::read_to_string(path).unwrap()), ["new\n", "base\n"]);
    assert_eq!(n_names(&path), 1);
    // Asked anew when it has another name again, and once allowed it stays so until it is done.
    fs::hard_link(&path, folder.path().join("third.ron")).unwrap();
    assert!(matches!(kept.save("newer\n", at(3), Save::Asked), Err(SaveError::Linked { .. })));
    kept.let_part();
    fs::write(&path, "by the other name\n").unwrap();
    assert!(matches!(kept.save("newer\n", at(3), Save::Asked), Err(SaveError::Changed { .. })));
    kept.save("newer\n", at(3), Save::Replace).unwrap();
    assert_eq!(fs::read_to_string(folder.path().join("third.ron")).unwrap(), "by the other name\n");
}

#[test]
fn a_pipe_in_the_files_place_keeps_nobody_waiting() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    fs::remove_file(&path).unwrap();
    make_pipe(&path);
    assert_eq!(kept.look().unwrap(), Outside::Unreadable { why: "garden.ron is not a file".to_owned() });
    assert!(matches!(kept.save("x", at(1), Save::Asked), Err(SaveError::Unreadable { .. })));
    // Opened it does not wait either, should it come between the look and the opening.
    assert!(!RealDisk.about_open(&RealDisk.open(&path).unwrap()).unwrap().is_file());
}
