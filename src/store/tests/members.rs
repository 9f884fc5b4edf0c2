//! Members of a group, each with an account of their own, and a file that they share. Users are played by threads, whose ids are their
//! own on Linux; only a superuser may do that, so elsewhere these tests say that they are skipped.

use std::os::unix::fs::{MetadataExt, PermissionsExt, chown};

use rustix::process::{Gid, Uid};
use rustix::thread::{set_thread_groups, set_thread_res_gid, set_thread_res_uid};

use super::*;

/// Numbers that no account of the machine should have; nothing is owed to them but their difference.
const ANN: u32 = 61_001;
const BEN: u32 = 61_002;
/// Not a member.
const EVE: u32 = 61_003;
const GARDENERS: u32 = 61_100;

/// Whether users can be played; says so if not.
fn can_play(test: &str) -> bool {
    let can = rustix::process::geteuid().is_root();
    if !can {
        eprintln!("{test}: skipped, it takes a superuser to act as several users");
    }
    can
}

/// Acts as a user.
fn as_user<T: Send>(user: u32, act: impl FnOnce() -> T + Send) -> T {
    std::thread::scope(|scope| {
        let acting = scope.spawn(|| {
            let groups: &[Gid] = if user == EVE { &[] } else { &[Gid::from_raw(GARDENERS)] };
            set_thread_groups(groups).unwrap();
            // Each has a first group of their own.
            let (uid, gid) = (Uid::from_raw(user), Gid::from_raw(user));
            set_thread_res_gid(gid, gid, gid).unwrap();
            set_thread_res_uid(uid, uid, uid).unwrap();
            act()
        });
        acting.join().unwrap_or_else(|panic| std::panic::resume_unwind(panic))
    })
}

/// A file in a shared folder: of Ann, the group's, with these permission bits.
fn shared(folder_mode: u32, file_mode: u32) -> (tempfile::TempDir, PathBuf) {
    let (folder, path) = file("base\n");
    chown(folder.path(), Some(0), Some(GARDENERS)).unwrap();
    fs::set_permissions(folder.path(), fs::Permissions::from_mode(folder_mode)).unwrap();
    chown(&path, Some(ANN), Some(GARDENERS)).unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(file_mode)).unwrap();
    (folder, path)
}

fn rights(path: &Path) -> (u32, u32, u32) {
    let about = fs::symlink_metadata(path).unwrap();
    (about.uid(), about.gid(), about.mode() & 0o777)
}

fn set_mode(path: &Path, mode: u32) {
    fs::set_permissions(path, fs::Permissions::from_mode(mode)).unwrap();
}

/// Opens, writes a record down and leaves it at that.
fn with_record(path: &Path) -> Kept {
    let mut kept = open(path).kept;
    assert_eq!(kept.access(), &Access::Ours);
    kept.append("one").unwrap();
    kept.flush().unwrap();
    kept
}

fn is_free_for_ben(kept: &mut Kept) -> bool {
    as_user(BEN, move || kept.is_free())
}

#[test]
fn what_is_kept_has_the_files_group_and_is_open_to_it() {
    if !can_play("what_is_kept_has_the_files_group_and_is_open_to_it") {
        return;
    }
    for folder_mode in [0o2775, 0o775] {
        for (file_mode, kept_mode) in [(0o664, 0o664), (0o660, 0o660), (0o600, 0o600), (0o644, 0o644)] {
            let (_folder, path) = shared(folder_mode, file_mode);
            as_user(ANN, || {
                let mut kept = with_record(&path);
                kept.save("new\n", at(1), Save::Asked).unwrap();
                kept.set_aside("mine", "x", at(1)).unwrap();
                kept.append("two").unwrap();
                kept.flush().unwrap();
            });
            let mut folders = vec![beside(&path)];
            let mut n_seen = 0;
            while let Some(folder) = folders.pop() {
                assert_eq!(rights(&folder), (ANN, GARDENERS, kept_mode | (kept_mode & 0o444) >> 2), "{folder:?}");
                for path in names_in(&folder) {
                    n_seen += 1;
                    if path.is_dir() {
                        folders.push(path);
                    } else {
                        assert_eq!(rights(&path), (ANN, GARDENERS, kept_mode), "{path:?}");
                    }
                }
            }
            // Lock, journal, two folders, two versions, one thing aside.
            assert_eq!(n_seen, 7);
            assert_eq!(rights(&path), (ANN, GARDENERS, file_mode));
        }
    }
}

#[test]
fn the_second_member_is_told_who_has_it_and_nothing_live_is_replayed() {
    if !can_play("the_second_member_is_told_who_has_it_and_nothing_live_is_replayed") {
        return;
    }
    // As it should be, and as the user's mask of an older program left it: folder and lock closed to the group.
    for closed in [None, Some((0o755, 0o644)), Some((0o555, 0o444))] {
        let (_folder, path) = shared(0o2775, 0o664);
        let kept = as_user(ANN, || with_record(&path));
        if let Some((folder_mode, lock_mode)) = closed {
            set_mode(&beside(&path).join("lock"), lock_mode);
            set_mode(&beside(&path).join("journal"), lock_mode);
            set_mode(&beside(&path), folder_mode);
        }
        let mut second = as_user(BEN, || open(&path));
        let Access::ReadOnly(holder) = second.kept.access() else { panic!("{:?}", second.kept.access()) };
        assert_eq!(holder.process_id, std::process::id());
        assert_eq!((second.records.len(), &second.notices[..]), (0, &[Notice::Elsewhere { n_records: 1 }][..]));
        assert!(!is_free_for_ben(&mut second.kept));
        assert_eq!(as_user(BEN, || second.kept.take_over(at(2)).unwrap()), None);
        as_user(ANN, || drop(kept));
        assert!(is_free_for_ben(&mut second.kept));
        let fresh = as_user(BEN, || second.kept.take_over(at(3)).unwrap()).unwrap();
        assert_eq!(fresh.records, ["one"], "now it is left over");
        // And where Ben can write nothing down, he still keeps Ann out as long as he has it.
        match (closed, second.kept.access()) {
            (None, Access::Ours) => {}
            (Some(_), Access::Unguarded(why)) => assert_eq!(why, "you may not write to .garden.ron.kept"),
            other => panic!("{other:?}"),
        }
        let third = as_user(ANN, || open(&path));
        assert!(matches!(third.kept.access(), Access::ReadOnly(_)), "{:?}", third.kept.access());
        as_user(BEN, || drop(second));
        drop(as_user(ANN, || open(&path)));
        if closed.is_some_and(|(folder_mode, _)| folder_mode == 0o555) {
            // Closed to herself as well, it stays as she wants it.
            continue;
        }
        // Otherwise she has opened it to the group by that.
        assert_eq!(rights(&beside(&path)), (ANN, GARDENERS, 0o775));
        assert_eq!(rights(&beside(&path).join("lock")), (ANN, GARDENERS, 0o664));
    }
}

#[test]
fn a_lock_that_cannot_be_tried_makes_the_file_read_only() {
    if !can_play("a_lock_that_cannot_be_tried_makes_the_file_read_only") {
        return;
    }
    for (folder_mode, lock_mode) in [(0o755, 0o600), (0o700, 0o664)] {
        let (_folder, path) = shared(0o2775, 0o664);
        let kept = as_user(ANN, || with_record(&path));
        set_mode(&beside(&path).join("lock"), lock_mode);
        set_mode(&beside(&path), folder_mode);
        let mut second = as_user(BEN, || open(&path)).kept;
        let Access::Barred(why) = second.access() else { panic!("{:?}", second.access()) };
        assert!(why.starts_with("its lock cannot be tried: Permission denied"), "{why}");
        assert!(matches!(second.append("two"), Err(StoreError::Barred { .. })));
        assert!(matches!(second.save("x\n", at(1), Save::Replace), Err(SaveError::Store(StoreError::Barred { .. }))));
        assert_eq!(as_user(BEN, || second.take_over(at(2)).unwrap()), None);
        as_user(ANN, || drop(kept));
        drop(as_user(ANN, || open(&path)));
        let fresh = as_user(BEN, || second.take_over(at(3)).unwrap()).unwrap();
        assert_eq!((fresh.records, second.access()), (vec!["one".to_owned()], &Access::Ours));
    }
}

#[test]
fn who_may_not_write_the_file_only_looks_and_leaves_nothing_in_the_way() {
    if !can_play("who_may_not_write_the_file_only_looks_and_leaves_nothing_in_the_way") {
        return;
    }
    let (folder, path) = shared(0o2775, 0o644);
    let mut kept = as_user(BEN, || open(&path)).kept;
    assert_eq!(kept.access(), &Access::Barred("you may not write the file".to_owned()));
    assert_eq!(names_in(folder.path()), [path.as_path()]);
    assert!(matches!(as_user(BEN, || write_whole(&path, b"x")), Err(StoreError::NotOurs { .. })));
    let owner = as_user(ANN, || with_record(&path));
    assert!(matches!(as_user(BEN, || open(&path)).kept.access(), Access::ReadOnly(_)), "that it is open is told");
    as_user(ANN, || drop(owner));
    let looks = as_user(BEN, || open(&path));
    assert_eq!((looks.records.len(), looks.notices), (0, vec![Notice::NotShown { n_records: 1 }]));
    // Allowed to write it, Ben may have it.
    set_mode(&path, 0o664);
    as_user(ANN, || drop(open(&path)));
    let fresh = as_user(BEN, || kept.take_over(at(1)).unwrap()).unwrap();
    assert_eq!((fresh.records, kept.access()), (vec!["one".to_owned()], &Access::Ours));
}

#[test]
fn owner_group_and_mode_are_kept_as_far_as_the_system_lets_us() {
    if !can_play("owner_group_and_mode_are_kept_as_far_as_the_system_lets_us") {
        return;
    }
    let not_kept = |owner, group| NotKept { owner, group };
    // A member keeps group and mode; who they were is said.
    for mode in [0o664, 0o660] {
        let (_folder, path) = shared(0o775, mode);
        let saved = as_user(BEN, || open(&path).kept.save("new\n", at(1), Save::Asked).unwrap());
        assert_eq!((saved.not_kept, rights(&path)), (not_kept(true, false), (BEN, GARDENERS, mode)));
        let saved = as_user(BEN, || open(&path).kept.save("newer\n", at(2), Save::Asked).unwrap());
        assert_eq!(saved.not_kept, not_kept(false, false), "said once");
        assert_eq!(as_user(ANN, || open(&path)).kept.access(), &Access::Ours, "what Ben keeps Ann may write");
    }
    // The owner, who is in no group: the new file has her first one.
    let (_folder, path) = shared(0o777, 0o664);
    chown(&path, Some(EVE), Some(GARDENERS)).unwrap();
    let saved = as_user(EVE, || open(&path).kept.save("new\n", at(1), Save::Asked).unwrap());
    assert_eq!((saved.not_kept, rights(&path)), (not_kept(false, true), (EVE, EVE, 0o644)));
    // Somebody whom the mode alone lets write: the group may no more than before, and everybody else neither.
    for (mode, left) in [(0o646, 0o644), (0o666, 0o666), (0o606, 0o600)] {
        let (_folder, path) = shared(0o777, mode);
        assert_eq!(as_user(EVE, || write_whole(&path, b"new\n").unwrap()), not_kept(true, true));
        assert_eq!(rights(&path), (EVE, EVE, left));
    }
    // A superuser keeps all, and leaves nothing of their own in the way.
    let (_folder, path) = shared(0o2775, 0o640);
    let saved = {
        let mut kept = with_record(&path);
        kept.save("new\n", at(1), Save::Asked).unwrap()
    };
    assert_eq!((saved.not_kept, rights(&path)), (not_kept(false, false), (ANN, GARDENERS, 0o640)));
    for name in ["", "lock", "journal", "versions"] {
        assert_eq!(rights(&beside(&path).join(name)).0, ANN, "{name}");
    }
    assert_eq!(as_user(ANN, || open(&path)).kept.access(), &Access::Ours);
}

#[test]
fn a_new_file_is_at_no_instant_open_to_more_than_the_old_one() {
    if !can_play("a_new_file_is_at_no_instant_open_to_more_than_the_old_one") {
        return;
    }
    let (_folder, path) = shared(0o775, 0o640);
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    let n_before = disk.n_calls();
    kept.save("new\n", at(1), Save::Asked).unwrap();
    let calls = disk.calls();
    let (owner, mode) = (|call: &&str| *call == "set_owner", |call: &&str| *call == "set_mode");
    assert!(calls[n_before..].iter().position(owner).unwrap() < calls[n_before..].iter().position(mode).unwrap());
    for method in ["write", "set_owner", "set_mode", "flush"] {
        let (_folder, path) = shared(0o775, 0o664);
        let mut kept = open_on(&path, &disk).kept;
        disk.fail_every(method, ErrorKind::TimedOut);
        disk.fail_every("remove", ErrorKind::TimedOut);
        let _ = kept.save("new\n", at(1), Save::Asked);
        for left in names_in(&beside(&path)) {
            if left.to_string_lossy().contains("unfinished") {
                let (owner, group, mode) = rights(&left);
                assert!(
                    mode == 0o600 || (owner, group, mode) == (ANN, GARDENERS, 0o664),
                    "{method}: {left:?} {mode:o}"
                );
            }
        }
        disk.mend();
    }
}

#[test]
fn a_file_made_private_makes_what_is_kept_private() {
    if !can_play("a_file_made_private_makes_what_is_kept_private") {
        return;
    }
    let (_folder, path) = shared(0o2775, 0o664);
    as_user(ANN, || {
        let mut kept = with_record(&path);
        set_mode(&path, 0o600);
        assert_eq!(kept.look().unwrap(), Outside::Same);
        assert_eq!(rights(&beside(&path)), (ANN, GARDENERS, 0o700));
        kept.save("private\n", at(1), Save::Asked).unwrap();
        assert_eq!(rights(&beside(&path).join("journal")), (ANN, GARDENERS, 0o600));
    });
    set_mode(&path, 0o660);
    set_mode(&beside(&path), 0o777);
    drop(as_user(ANN, || open(&path)));
    assert_eq!(rights(&beside(&path)), (ANN, GARDENERS, 0o770));
    assert_eq!(rights(&beside(&path).join("versions")), (ANN, GARDENERS, 0o770));
}

#[test]
fn a_sticky_folder_is_called_that_and_not_read_only() {
    if !can_play("a_sticky_folder_is_called_that_and_not_read_only") {
        return;
    }
    let (folder, path) = shared(0o3775, 0o664);
    let Opened { mut kept, notices, .. } = as_user(BEN, || open(&path));
    assert_eq!(kept.access(), &Access::Ours);
    assert_eq!(notices, [Notice::CannotReplace { folder: folder.path().to_owned() }], "said before work is put in");
    let error = as_user(BEN, || kept.save("new\n", at(1), Save::Asked)).unwrap_err();
    assert!(
        matches!(&error, SaveError::Store(StoreError::Sticky { folder: named, .. }) if named == folder.path()),
        "{error}"
    );
    let words = "you may not put your file in the place of another user's (a sticky folder); save under another name";
    assert!(error.to_string().contains(words), "{error}");
    assert!(matches!(as_user(BEN, || write_whole(&path, b"x")), Err(StoreError::Sticky { .. })));
    as_user(BEN, || drop(kept));
    // Its owner may, and hears nothing of it; a folder that is not sticky but closed is read-only as before.
    assert_eq!(as_user(ANN, || open(&path)).notices, []);
    as_user(ANN, || open(&path).kept.save("new\n", at(1), Save::Asked).unwrap());
    set_mode(folder.path(), 0o755);
    let error = as_user(BEN, || write_whole(&path, b"x")).unwrap_err();
    assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
    // In a folder like /tmp a file that others may not write is not read-only either: it is another user's.
    let (folder, path) = shared(0o1777, 0o644);
    let error = as_user(EVE, || write_whole(&path, b"x")).unwrap_err();
    assert!(error.to_string().contains("it belongs to another user, who lets you only read it; save under"), "{error}");
    set_mode(&path, 0o666);
    let opened = as_user(EVE, || open(&path));
    assert_eq!(opened.notices, [Notice::CannotReplace { folder: folder.path().to_owned() }]);
    let error = as_user(EVE, || write_whole(&path, b"x")).unwrap_err();
    assert!(matches!(error, StoreError::Sticky { .. }), "{error}");
    as_user(EVE, || drop(opened));
    // Nobody may write it, whoever it belongs to.
    set_mode(&path, 0o444);
    for user in [ANN, EVE] {
        let error = as_user(user, || write_whole(&path, b"x")).unwrap_err();
        assert!(matches!(error, StoreError::ReadOnly { .. }), "{error}");
    }
}

#[test]
fn what_somebody_who_may_not_write_the_file_planted_is_left_alone() {
    if !can_play("what_somebody_who_may_not_write_the_file_planted_is_left_alone") {
        return;
    }
    // A folder like /tmp, and a kept folder that was there first, with a journal of just these contents.
    let (_folder, path) = shared(0o1777, 0o644);
    let journal = as_user(ANN, || {
        drop(with_record(&path));
        fs::read(beside(&path).join("journal")).unwrap()
    });
    fs::remove_dir_all(beside(&path)).unwrap();
    as_user(EVE, || {
        fs::create_dir(beside(&path)).unwrap();
        set_mode(&beside(&path), 0o777);
        for name in ["journal", "lock", "unfinished-1-1"] {
            fs::write(beside(&path).join(name), &journal).unwrap();
            set_mode(&beside(&path).join(name), 0o666);
        }
    });
    let why = ".garden.ron.kept belongs to somebody who may not write the file it is kept for";
    let mut opened = as_user(ANN, || open(&path));
    assert_eq!((opened.kept.access(), opened.records.len()), (&Access::Unguarded(why.to_owned()), 0));
    as_user(ANN, || opened.kept.save("new\n", at(1), Save::Asked).unwrap());
    assert_eq!((fs::read_to_string(&path).unwrap().as_str(), rights(&path)), ("new\n", (ANN, GARDENERS, 0o644)));
    for name in ["journal", "lock", "unfinished-1-1"] {
        assert_eq!(fs::read(beside(&path).join(name)).unwrap(), journal, "{name}");
    }
    assert_eq!(names_in(&beside(&path)).len(), 3);
    assert!(as_user(ANN, || versions_of(&path)).is_err());
    // In a kept folder that is her own, but open to everybody, the same goes for lock and journal.
    drop(opened);
    chown(beside(&path), Some(ANN), Some(GARDENERS)).unwrap();
    let opened = as_user(ANN, || open(&path));
    let Access::Unguarded(why) = opened.kept.access() else { panic!("{:?}", opened.kept.access()) };
    assert!(why.contains("lock belongs to somebody who may not"), "{why}");
    assert_eq!(opened.records.len(), 0);
    drop(opened);
    fs::remove_file(beside(&path).join("lock")).unwrap();
    fs::write(&path, "base\n").unwrap();
    let opened = as_user(ANN, || open(&path));
    let Access::Unguarded(why) = opened.kept.access() else { panic!("{:?}", opened.kept.access()) };
    assert!(why.contains("journal belongs to somebody who may not"), "{why}");
    assert_eq!(opened.records.len(), 0);
}

#[test]
fn in_a_folder_without_room_for_the_kept_one_nothing_waiting_is_replayed_without_the_lock() {
    if !can_play("in_a_folder_without_room_for_the_kept_one_nothing_waiting_is_replayed_without_the_lock") {
        return;
    }
    // The journal came with a copy, the lock did not, and the folder is closed: nobody can tell whose it is.
    let (_folder, path) = shared(0o2775, 0o664);
    as_user(ANN, || drop(with_record(&path)));
    fs::remove_file(beside(&path).join("lock")).unwrap();
    set_mode(&beside(&path), 0o555);
    let mut opened = as_user(BEN, || open(&path));
    assert_eq!((opened.records.len(), &opened.notices[..]), (0, &[Notice::NotShown { n_records: 1 }][..]));
    opened.kept.append("two").unwrap();
    // Nor is it written over once the folder is open again.
    set_mode(&beside(&path), 0o775);
    let error = as_user(BEN, || opened.kept.flush()).unwrap_err().to_string();
    assert!(error.contains("holds edits that are not shown here"), "{error}");
    as_user(BEN, || drop(opened));
    assert_eq!(as_user(ANN, || open(&path)).records, ["one"]);
}
