//! The steps kept for what a file holds.

use super::super::lines::Fingerprint;
use super::*;

fn steps(texts: &[&str]) -> Vec<String> {
    texts.iter().map(|text| (*text).to_owned()).collect()
}

fn save(path: &Path, text: &str, trail: &[&str]) {
    let saved = open(path).kept.save_with_trail(text, &steps(trail), at(1), Save::Asked).unwrap();
    assert!(saved.trouble.is_empty(), "{:?}", saved.trouble);
}

fn trails(path: &Path) -> Vec<PathBuf> {
    let is_trail = |path: &PathBuf| path.file_name().unwrap().to_str().unwrap().starts_with("trail-");
    names_in(&beside(path)).into_iter().filter(is_trail).collect()
}

fn trail_of(path: &Path, text: &str) -> PathBuf {
    beside(path).join(format!("trail-{}", Fingerprint::of(text.as_bytes())))
}

fn ends(steps: &[&str], end: TrailEnd) -> Trail {
    Trail { steps: steps.iter().map(|text| (*text).to_owned()).collect(), end: Some(end) }
}

#[test]
fn steps_are_handed_over_for_the_contents_they_lead_to_and_for_no_others() {
    let (_folder, path) = file("base\n");
    assert_eq!(open(&path).trail, Trail::default());
    save(&path, "two\n", &["second", "first  €"]);
    assert_eq!(trails(&path), [trail_of(&path, "two\n")], "one stands there, under the name of what it leads to");
    assert_eq!(open(&path).trail, Trail { steps: steps(&["second", "first  €"]), end: None });
    fs::write(&path, "one\n").unwrap();
    let other = open(&path).trail;
    assert_eq!(other, ends(&[], TrailEnd::OtherContents));
    assert!(other.end.unwrap().to_string().contains("changed since by something else"));
    // Put back as it was, it is what they lead to again.
    fs::write(&path, "two\n").unwrap();
    assert_eq!(open(&path).trail.steps, ["second", "first  €"]);
    // A save that knows of none leaves none, not even of the same contents.
    for text in ["two\n", "three\n"] {
        save(&path, "two\n", &["second"]);
        save(&path, text, &[]);
        assert_eq!((trails(&path), open(&path).trail), (Vec::new(), Trail::default()), "{text:?}");
    }
}

/// The form on disk is a contract with trails already written.
#[test]
fn a_trail_looks_so() {
    let (_folder, path) = file("base\n");
    save(&path, "two\n", &["b", "a"]);
    let text = fs::read_to_string(trail_of(&path, "two\n")).unwrap();
    let lines: Vec<&str> = text.lines().collect();
    assert_eq!(lines[0], format!("bedfellow trail 1 to={} steps=2", Fingerprint::of(b"two\n")));
    let crc = |text: &str| format!("{:08x}", crc32fast::hash(text.as_bytes()));
    assert_eq!(lines[1], format!("{} 1 b", crc(&format!("{}1 b", lines[0]))));
    assert_eq!(lines[2], format!("{} 1 a", crc(&format!("{}1 b1 a", lines[0]))));
    assert_eq!(lines.len(), 3);
}

#[test]
fn of_a_damaged_trail_only_the_steps_before_the_damage_are_handed_over() {
    let (_folder, path) = file("base\n");
    let all = ["fourth", "third one", "", "first"];
    save(&path, "two\n", &all);
    let (at, whole) = (trail_of(&path, "two\n"), fs::read(trail_of(&path, "two\n")).unwrap());
    let contents = Fingerprint::of(b"two\n");
    let check = |bytes: &[u8], how: &str| {
        let read = super::super::trail::read(bytes, contents);
        assert!(all.starts_with(&read.steps.iter().map(String::as_str).collect::<Vec<_>>()), "{how}: {read:?}");
        assert!(read.end.is_some(), "{how}: {read:?}");
        read.steps.len()
    };
    let mut most = 0;
    for n in 0..whole.len() {
        check(&whole[..n], &format!("cut at {n}"));
        for change in [1, 0x20, 0x80] {
            let mut bytes = whole.clone();
            bytes[n] ^= change;
            most = most.max(check(&bytes, &format!("byte {n} changed by {change}")));
        }
    }
    assert_eq!(most, 3, "damage to the oldest costs it alone");
    let lines: Vec<&[u8]> = whole.split_inclusive(|byte| *byte == b'\n').collect();
    for n in 0..lines.len() {
        let without: Vec<u8> = [&lines[..n], &lines[n + 1..]].concat().concat();
        assert_eq!(check(&without, &format!("without line {n}")), n.saturating_sub(1));
        let twice: Vec<u8> = [&lines[..=n], &lines[n..]].concat().concat();
        if n < all.len() {
            assert_eq!(check(&twice, &format!("line {n} twice")), n);
        } else {
            // What follows the last is none of it, and nothing is missing.
            assert_eq!(super::super::trail::read(&twice, contents), Trail { steps: steps(&all), end: None });
        }
    }
    fs::write(&at, &whole[..whole.len() - 1]).unwrap();
    assert_eq!(open(&path).trail, ends(&all[..3], TrailEnd::Damaged));
    // A trail of other contents under this name.
    let other = super::super::trail::written(Fingerprint::of(b"other"), &steps(&all));
    fs::write(&at, other).unwrap();
    assert_eq!(open(&path).trail, ends(&[], TrailEnd::Damaged));
}

#[test]
fn one_of_a_newer_program_is_left_as_it_is() {
    let (_folder, path) = file("base\n");
    save(&path, "two\n", &["b", "a"]);
    let at = trail_of(&path, "two\n");
    let newer = fs::read_to_string(&at).unwrap().replace("trail 1", "trail 2");
    fs::write(&at, &newer).unwrap();
    assert_eq!(open(&path).trail, ends(&[], TrailEnd::Newer { format: 2 }));
    assert_eq!(fs::read_to_string(&at).unwrap(), newer);
}

#[test]
fn what_is_only_looked_at_has_none_until_it_is_taken_over() {
    let (_folder, path) = file("base\n");
    save(&path, "two\n", &["b", "a"]);
    let mut first = open(&path);
    let mut second = open(&path);
    assert!(matches!(second.kept.access(), Access::ReadOnly(_)));
    assert_eq!(second.trail, Trail::default());
    assert!(second.kept.save_with_trail("x\n", &steps(&["x"]), at(2), Save::Replace).is_err());
    first.kept.save_with_trail("three\n", &steps(&["c", "b", "a"]), at(2), Save::Asked).unwrap();
    drop(first);
    let fresh = second.kept.take_over(at(3)).unwrap().unwrap();
    assert_eq!(fresh.trail.steps, ["c", "b", "a"]);
}

#[test]
fn a_step_of_two_lines_is_not_kept_and_the_file_is_saved() {
    let (_folder, path) = file("base\n");
    let saved = open(&path).kept.save_with_trail("two\n", &steps(&["a\nb"]), at(1), Save::Asked).unwrap();
    assert!(matches!(saved.trouble[..], [StoreError::NotOneLine { .. }]), "{:?}", saved.trouble);
    assert_eq!((open(&path).text.as_str(), trails(&path)), ("two\n", Vec::new()));
}

#[test]
fn of_two_saves_that_a_kill_parts_from_their_end_each_has_its_trail() {
    // What a save does last is to take the old trail away; all before it leaves one for whichever contents the file has.
    let (_folder, path) = file("base\n");
    save(&path, "two\n", &["b", "a"]);
    let disk = FaultyDisk::sound();
    let mut kept = open_on(&path, &disk).kept;
    disk.fail_every("remove", ErrorKind::PermissionDenied);
    kept.save_with_trail("three\n", &steps(&["c", "b", "a"]), at(2), Save::Asked).unwrap();
    drop(kept);
    assert_eq!(trails(&path).len(), 2);
    for (text, expected) in [("two\n", steps(&["b", "a"])), ("three\n", steps(&["c", "b", "a"]))] {
        fs::write(&path, text).unwrap();
        assert_eq!(open(&path).trail, Trail { steps: expected, end: None });
    }
    // The next save clears up.
    save(&path, "four\n", &["d"]);
    assert_eq!(trails(&path), [trail_of(&path, "four\n")]);
}

#[test]
fn a_trail_may_be_kept_for_a_file_that_was_written_without() {
    let (_folder, path) = file("base\n");
    let mut kept = open(&path).kept;
    kept.keep_trail(&steps(&["b", "a"])).unwrap();
    drop(kept);
    assert_eq!(open(&path).trail.steps, ["b", "a"]);
}

#[cfg(all(unix, not(target_vendor = "apple")))]
#[test]
fn a_link_or_another_name_in_its_place_is_not_read() {
    for is_link in [true, false] {
        let (folder, path) = file("base\n");
        save(&path, "two\n", &["b", "a"]);
        let (at, elsewhere) = (trail_of(&path, "two\n"), folder.path().join("elsewhere"));
        fs::rename(&at, &elsewhere).unwrap();
        if is_link {
            std::os::unix::fs::symlink(&elsewhere, &at).unwrap();
        } else {
            fs::hard_link(&elsewhere, &at).unwrap();
        }
        let found = open(&path).trail;
        assert!(found.steps.is_empty() && matches!(found.end, Some(TrailEnd::Unreadable(_))), "{found:?}");
        // The next save takes the name alone.
        let before = fs::read(&elsewhere).unwrap();
        save(&path, "three\n", &["c"]);
        assert_eq!(trails(&path), [trail_of(&path, "three\n")]);
        assert_eq!(fs::read(&elsewhere).unwrap(), before);
    }
}

#[cfg(unix)]
#[test]
fn it_is_as_private_as_the_file() {
    use std::os::unix::fs::PermissionsExt as _;
    let (_folder, path) = file("base\n");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    save(&path, "two\n", &["b", "a"]);
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&trail_of(&path, "two\n")), mode(&versions_of(&path).unwrap()[0].path));
    assert_eq!(mode(&trail_of(&path, "two\n")) & 0o007, 0);
}
