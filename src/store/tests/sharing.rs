//! Two programs and one file; a folder where nothing can be kept; what others do to the file.

use super::*;

#[test]
fn the_second_only_looks_and_takes_over_when_the_first_is_gone() {
    let (_folder, path) = file("base\n");
    let mut first = open(&path).kept;
    first.append("one").unwrap();
    first.flush().unwrap();
    let second = open(&path);
    let Access::ReadOnly(holder) = second.kept.access() else { panic!("{:?}", second.kept.access()) };
    assert_eq!((holder.process_id, holder.since.as_str()), (std::process::id(), "2027-03-01 08:15 UTC"));
    assert!(!second.kept.access().is_writable());
    assert_eq!(second.records, [""; 0]);
    assert_eq!(second.notices, [Notice::Elsewhere { n_records: 1 }]);
    let mut second = second.kept;
    let error = second.append("two").unwrap_err().to_string();
    assert!(
        error.contains("is open in process ") && error.contains(" since 2027-03-01 08:15 UTC; close it"),
        "{error}"
    );
    second.flush().unwrap();
    assert!(matches!(second.save("x", at(1), Save::Replace), Err(SaveError::Store(StoreError::Held { .. }))));
    assert!(matches!(second.discard(at(1)), Err(StoreError::Held { .. })));
    assert_eq!(second.take_over(at(2)).unwrap(), None);

    first.save("saved\n", at(3), Save::Asked).unwrap();
    first.append("three").unwrap();
    first.flush().unwrap();
    drop(first);
    let fresh = second.take_over(at(4)).unwrap().unwrap();
    assert_eq!((fresh.text.as_str(), fresh.records), ("saved\n", vec!["three".to_owned()]));
    assert_eq!(fresh.notices, [Notice::Waiting { n_records: 1 }]);
    assert_eq!(second.access(), &Access::Ours);
    assert_eq!(second.base_text(), "saved\n");
    second.append("four").unwrap();
    second.flush().unwrap();
    let Access::ReadOnly(holder) = open(&path).kept.access().clone() else { panic!() };
    assert_eq!(holder.since, "2027-03-01 08:19 UTC");
    drop(second);
    assert_eq!(fs::read_to_string(beside(&path).join("lock")).unwrap(), "");
    assert_eq!(open(&path).records, ["three", "four"]);
}

#[test]
fn the_text_of_a_killed_holder_locks_nobody_out() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    kill(open_on(&path, &disk).kept, &disk);
    assert_ne!(fs::read_to_string(beside(&path).join("lock")).unwrap(), "");
    assert_eq!(open(&path).kept.access(), &Access::Ours);
}

#[test]
fn of_a_holder_only_what_is_known_is_said() {
    let holder = |process_id, host: &str, since: &str| Holder { process_id, host: host.into(), since: since.into() };
    assert_eq!(holder(0, "", "").to_string(), "another program");
    assert_eq!(holder(12, "hedgehog", "noon").to_string(), "process 12 on hedgehog since noon");
    assert_eq!(holder(12, "a\u{1b}[2J", "").to_string(), "process 12 on a␛[2J");
}

#[test]
fn in_a_read_only_folder_the_file_is_opened_and_edits_are_not_called_safe() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    for method in ["make_folder", "create_new", "open_lock"] {
        disk.fail_every(method, ErrorKind::ReadOnlyFilesystem);
    }
    let mut kept = open_on(&path, &disk).kept;
    assert_eq!(kept.access(), &Access::Unguarded("the folder is read-only".to_owned()));
    assert!(kept.access().is_writable());
    kept.flush().unwrap();
    kept.append("one").unwrap();
    assert!(matches!(kept.flush(), Err(StoreError::Unguarded { why, .. }) if why == "the folder is read-only"));
    assert!(kept.has_pending());
    let error = kept.save("new\n", at(1), Save::Asked).unwrap_err();
    assert!(matches!(error, SaveError::Store(StoreError::ReadOnly { .. })), "{error}");
    assert!(matches!(kept.set_aside("mine", "x", at(1)), Err(StoreError::ReadOnly { .. })));
    assert!(!beside(&path).exists());
    // Once it may be written to, nothing is missing.
    disk.mend();
    kept.flush().unwrap();
    assert_eq!(kept.access(), &Access::Ours);
    kill(kept, &disk);
    assert_eq!(open(&path).records, ["one"]);
}

#[test]
fn without_locks_the_file_can_be_saved_and_its_versions_kept() {
    let (folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    disk.fail_every("try_lock", ErrorKind::Unsupported);
    let mut kept = open_on(&path, &disk).kept;
    assert_eq!(kept.access(), &Access::Unguarded("this file system has no locks".to_owned()));
    kept.append("one").unwrap();
    kept.flush().unwrap_err();
    let saved = kept.save("new\n", at(1), Save::Asked).unwrap();
    assert!(saved.trouble.is_empty(), "{:?}", saved.trouble);
    assert!(!kept.has_pending());
    assert_eq!(kept.read_version(2).unwrap(), "base\n");
    assert_eq!(fs::read_to_string(&path).unwrap(), "new\n");
    assert_eq!(names_in(folder.path()).len(), 2);
}

#[test]
fn a_look_reads_the_file_only_if_it_was_touched() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    let looked = |kept: &mut Kept| {
        let n_before = disk.n_calls();
        (kept.look().unwrap(), disk.calls()[n_before..].contains(&"read"))
    };
    assert_eq!(looked(&mut kept), (Outside::Same, false));
    fs::write(&path, "base\n").unwrap();
    assert_eq!(looked(&mut kept), (Outside::Same, true));
    assert_eq!(looked(&mut kept), (Outside::Same, false));
    kept.save("mine\n", at(1), Save::Asked).unwrap();
    assert_eq!(looked(&mut kept), (Outside::Same, false));
    // As long as ours, and by a new file in its place, as editors do.
    fs::write(path.with_extension("new"), "hers\n").unwrap();
    fs::rename(path.with_extension("new"), &path).unwrap();
    assert_eq!(looked(&mut kept), (Outside::Changed { text: "hers\n".to_owned() }, true));
    fs::remove_file(&path).unwrap();
    assert_eq!(looked(&mut kept), (Outside::Gone, false));
    fs::create_dir(&path).unwrap();
    assert_eq!(kept.look().unwrap(), Outside::Unreadable { why: "garden.ron is not a file".to_owned() });
}

#[test]
fn what_others_wrote_is_not_written_over_unless_it_was_seen_and_then_it_is_kept() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    fs::write(&path, "theirs\n").unwrap();
    for why in [Save::Asked, Save::Pause] {
        let error = kept.save("mine\n", at(1), why).unwrap_err();
        assert!(matches!(&error, SaveError::Changed { text } if text == "theirs\n"), "{error}");
    }
    assert_eq!(fs::read_to_string(&path).unwrap(), "theirs\n");
    kept.save("mine\n", at(1), Save::Replace).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine\n");
    let texts: Vec<String> = (1..=3).map(|number| kept.read_version(number).unwrap()).collect();
    assert_eq!(texts, ["mine\n", "theirs\n", "base\n"]);
    assert_eq!(kept.look().unwrap(), Outside::Same);
}

#[test]
fn what_others_wrote_and_cannot_be_kept_is_not_written_over() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    fs::write(&path, "theirs\n").unwrap();
    disk.fail_every("create_new", ErrorKind::StorageFull);
    assert!(matches!(kept.save("mine\n", at(1), Save::Replace), Err(SaveError::Store(StoreError::NoRoom { .. }))));
    assert_eq!(fs::read_to_string(&path).unwrap(), "theirs\n");
}

#[test]
fn a_file_that_is_gone_comes_back_when_asked_for() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    fs::remove_file(&path).unwrap();
    assert!(matches!(kept.save("mine\n", at(1), Save::Asked), Err(SaveError::Gone)));
    kept.save("mine\n", at(1), Save::Replace).unwrap();
    assert_eq!(fs::read_to_string(&path).unwrap(), "mine\n");
    drop(kept);
    let opened = open(&path);
    assert_eq!((opened.records.len(), opened.notices.len()), (0, 0));
}

#[test]
fn a_new_file_takes_no_others_place() {
    let folder = folder();
    let path = folder.path().join("garden.ron");
    write_whole_new(&path, b"first").unwrap();
    let error = write_whole_new(&path, b"second").unwrap_err();
    assert!(error.to_string().ends_with("garden.ron is there already; choose another name"), "{error}");
    assert_eq!(fs::read_to_string(&path).unwrap(), "first");
    assert_eq!(names_in(folder.path()), [path]);
    let nowhere = write_whole_new(&folder.path().join("gone").join("garden.ron"), b"x");
    assert!(matches!(nowhere, Err(StoreError::NoFolder { .. })));
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt, symlink};

    use super::*;

    #[test]
    fn what_is_kept_stands_beside_the_file_that_a_link_leads_to() {
        let (folder, path) = file("base\n");
        let elsewhere = tempfile::tempdir().unwrap();
        let link = elsewhere.path().join("link");
        symlink(&path, &link).unwrap();
        let mut kept = open(&link).kept;
        assert!(matches!(open(&path).kept.access(), Access::ReadOnly(_)), "one file has one lock");
        kept.append("one").unwrap();
        kept.flush().unwrap();
        kept.save("new\n", at(1), Save::Asked).unwrap();
        assert!(link.is_symlink());
        assert_eq!(fs::read_to_string(&path).unwrap(), "new\n");
        assert_eq!(names_in(elsewhere.path()), [link.as_path()]);
        assert_eq!(names_in(folder.path()).len(), 2);
        assert_eq!(versions_of(&link).unwrap(), versions_of(&path).unwrap());
    }

    #[test]
    fn what_is_kept_is_as_private_as_the_file() {
        let (_folder, path) = file("base\n");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
        let mut kept = open(&path).kept;
        kept.append("one").unwrap();
        kept.flush().unwrap();
        kept.save("new\n", at(1), Save::Asked).unwrap();
        let mut n_seen = 0;
        let mut folders = vec![path.clone(), beside(&path)];
        while let Some(path) = folders.pop() {
            let mode = fs::metadata(&path).unwrap().permissions().mode() & 0o777;
            assert_eq!(mode, if path.is_dir() { 0o700 } else { 0o600 }, "{path:?}");
            n_seen += 1;
            if path.is_dir() {
                folders.extend(names_in(&path));
            }
        }
        // File, folder, journal, lock, versions and two of them.
        assert_eq!(n_seen, 7);
        fs::remove_file(&path).unwrap();
        kept.save("again\n", at(2), Save::Replace).unwrap();
        assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
    }

    #[test]
    fn a_read_only_file_is_not_saved_over() {
        let (_folder, path) = file("base\n");
        let mut kept = open(&path).kept;
        fs::set_permissions(&path, fs::Permissions::from_mode(0o444)).unwrap();
        let error = kept.save("new\n", at(1), Save::Asked).unwrap_err();
        assert!(matches!(error, SaveError::Store(StoreError::ReadOnly { .. })), "{error}");
        assert_eq!(fs::read_to_string(&path).unwrap(), "base\n");
    }
}

#[cfg(unix)] // others refuse to delete what is open
#[test]
fn a_lock_that_was_taken_away_with_its_folder_or_alone_is_taken_again() {
    type Notices = fn(&mut Kept);
    let notice: [(&str, Notices); 3] = [
        ("an edit", |kept| {
            kept.append("two").unwrap();
            kept.flush().unwrap();
        }),
        ("a look", |kept| assert_eq!(kept.look().unwrap(), Outside::Same)),
        ("a save", |kept| {
            kept.save("saved\n", at(1), Save::Pause).unwrap();
        }),
    ];
    for is_alone in [false, true] {
        for (what, notice) in notice {
            let (_folder, path) = file("base\n");
            let mut kept = open(&path).kept;
            kept.append("one").unwrap();
            kept.flush().unwrap();
            if is_alone {
                fs::remove_file(beside(&path).join("lock")).unwrap();
            } else {
                fs::remove_dir_all(beside(&path)).unwrap();
            }
            notice(&mut kept);
            assert_eq!(kept.access(), &Access::Ours, "{what}");
            let second = open(&path).kept;
            let Access::ReadOnly(holder) = second.access() else { panic!("{what}: {:?}", second.access()) };
            assert_eq!(holder.process_id, std::process::id());
            assert_eq!(kept.aside().unwrap(), [], "{what}: what stood there was ours");
            assert!(!kept.versions().unwrap().is_empty(), "{what}: what the edits are made upon is a version again");
            drop(kept);
            let opened = open(&path);
            match what {
                "a save" => assert_eq!((opened.text.as_str(), opened.records.len()), ("saved\n", 0)),
                "an edit" => assert_eq!(opened.records, ["one", "two"]),
                _ => assert_eq!(opened.records, ["one"], "the journal came back with its folder"),
            }
        }
    }
}

#[cfg(unix)] // others refuse to delete what is open
#[test]
fn what_another_program_got_while_the_kept_folder_was_away_is_only_looked_at_and_not_written_over() {
    type Notices = fn(&mut Kept) -> bool;
    let notice: [(&str, Notices); 4] = [
        ("an edit", |kept| {
            kept.append("two").unwrap();
            matches!(kept.flush(), Err(StoreError::Held { .. }))
        }),
        ("a look", |kept| matches!(kept.look(), Ok(Outside::Same))),
        ("a save", |kept| {
            let saved = kept.save("mine\n", at(1), Save::Replace);
            matches!(saved, Err(SaveError::Store(StoreError::Held { .. })))
        }),
        ("giving up", |kept| matches!(kept.discard(at(1)), Err(StoreError::Held { .. }))),
    ];
    for (what, notice) in notice {
        let (_folder, path) = file("base\n");
        let mut first = open(&path).kept;
        first.append("one").unwrap();
        first.flush().unwrap();
        fs::remove_dir_all(beside(&path)).unwrap();
        let mut second = open(&path).kept;
        assert_eq!(second.access(), &Access::Ours, "{what}");
        second.append("theirs").unwrap();
        second.flush().unwrap();

        assert!(notice(&mut first), "{what}");
        assert!(matches!(first.access(), Access::ReadOnly(_)), "{what}: {:?}", first.access());
        assert!(matches!(first.append("three"), Err(StoreError::Held { .. })), "{what}");
        // What cannot be saved any more can be put aside.
        let aside = first.set_aside("mine", "mine\n", at(2)).unwrap();
        assert_eq!(fs::read_to_string(aside).unwrap(), "mine\n");
        drop(first);
        second.append("more").unwrap();
        second.flush().unwrap();
        drop(second);
        let opened = open(&path);
        assert_eq!((opened.text.as_str(), opened.records), ("base\n", vec!["theirs".to_owned(), "more".to_owned()]));
    }
}

#[cfg(unix)] // others refuse to delete what is open
#[test]
fn where_the_lock_cannot_be_taken_again_edits_are_not_called_safe_until_it_can() {
    let (_folder, path) = file("base\n");
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    kept.append("one").unwrap();
    kept.flush().unwrap();
    fs::remove_dir_all(beside(&path)).unwrap();
    disk.fail_every("make_folder", ErrorKind::StorageFull);
    kept.append("two").unwrap();
    assert!(matches!(kept.flush(), Err(StoreError::Unguarded { why, .. }) if why == "the disk is full"));
    assert_eq!(kept.access(), &Access::Unguarded("the disk is full".to_owned()));
    disk.mend();
    kept.flush().unwrap();
    assert_eq!(kept.access(), &Access::Ours);
    assert!(matches!(open(&path).kept.access(), Access::ReadOnly(_)));
    drop(kept);
    assert_eq!(open(&path).records, ["one", "two"]);
}

#[cfg(unix)] // others refuse to delete what is open
#[test]
fn edits_that_another_program_left_while_the_kept_folder_was_away_are_put_aside() {
    for n_before in [0, 1] {
        let (_folder, path) = file("base\n");
        let mut first = open(&path).kept;
        for _ in 0..n_before {
            first.append("one").unwrap();
            first.flush().unwrap();
        }
        fs::remove_dir_all(beside(&path)).unwrap();
        let disk = FaultyDisk::sound();
        let mut second = open_on(&path, &disk).kept;
        second.append("theirs").unwrap();
        second.flush().unwrap();
        kill(second, &disk);

        first.append("two").unwrap();
        first.flush().unwrap();
        let aside = first.aside().unwrap();
        assert_eq!(aside.iter().map(|aside| aside.what.as_str()).collect::<Vec<_>>(), ["other-journal"]);
        let holds = first.read_aside(&aside[0]).unwrap();
        assert_eq!(holds, Holds::Edits { base: "base\n".to_owned(), records: vec!["theirs".to_owned()] });
        drop(first);
        assert_eq!(open(&path).records, ["one", "two"][1 - n_before..]);
    }
}
