//! Earlier versions from the command line, and what waits in the journal of a garden.

use std::path::Path;

use bedfellow::garden::{Edit, Garden, How, Record, limits};
use bedfellow::store::{Kept, Opened, RealDisk, Save, Stamp};
use bedfellow::tui::shell::now;

use super::bench::{Bench, has_keys};

pub fn open(file: &Path) -> Opened {
    Kept::open(file, limits::FILE_BYTES, now(), Box::new(RealDisk)).unwrap()
}

/// A garden saved under three names one after the other; the last is in the file.
pub fn three_saves(bench: &Bench) -> [String; 3] {
    bench.run("new plot.ron --name One --bed A1=120x240");
    let first = bench.read("plot.ron");
    let mut kept = open(&bench.path("plot.ron")).kept;
    let named = |name: &str| {
        let mut garden = Garden::from_ron(&first, "plot.ron").unwrap();
        Edit::Rename(name.to_owned()).apply_to(&mut garden).unwrap();
        garden.to_ron()
    };
    let texts = [first.clone(), named("Two"), named("Three")];
    for text in &texts[1..] {
        kept.save(text, now(), Save::Asked).unwrap();
    }
    texts
}

#[test]
fn a_save_under_a_clock_far_ahead_is_said_and_the_next_one_has_its_own_time() {
    let bench = Bench::new();
    let [first, second, third] = three_saves(&bench);
    let file = bench.path("plot.ron");
    let ahead = Stamp::from_file_name("22000101T000000Z").unwrap();
    open(&file).kept.save(&first, ahead, Save::Asked).unwrap();
    open(&file).kept.save(&second, now(), Save::Asked).unwrap();
    let answer = bench.json("versions plot.ron", 0);
    let told = |key: &str| -> Vec<String> {
        answer["versions"].as_array().unwrap().iter().map(|version| version[key].to_string()).collect()
    };
    assert_eq!(told("is_yet_to_come"), ["false", "true", "false", "false", "false"]);
    assert_eq!(told("is_now"), ["true", "false", "false", "true", "false"]);
    assert!(told("saved")[0] < told("saved")[1], "{answer}");
    let out = bench.run("versions plot.ron").out;
    let said = "2  2200-01-01 00:00 UTC";
    assert!(out.contains(said) && out.matches("that time is yet to come: the clock was wrong").count() == 1, "{out}");
    assert_eq!(bench.run("versions plot.ron --restore 3").code, 0);
    assert_eq!(bench.read("plot.ron"), third, "the numbers are those of the list");
}

/// An edit that was written down and not saved.
pub fn wait_in_journal(bench: &Bench, edit: Edit) {
    let mut kept = open(&bench.path("plot.ron")).kept;
    let record = Record { how: How::Made, title: "rename".to_owned(), edit };
    kept.append(&record.to_line().unwrap()).unwrap();
    kept.flush().unwrap();
}

#[test]
fn versions_are_listed_newest_first_with_what_has_changed_since() {
    let bench = Bench::new();
    three_saves(&bench);
    let answer = bench.json("versions plot.ron", 0);
    has_keys(&answer, &["file", "versions"]);
    let versions = answer["versions"].as_array().unwrap();
    assert_eq!(versions.len(), 3);
    for (version, number) in versions.iter().zip(1..) {
        let keys = [
            "number",
            "saved",
            "is_yet_to_come",
            "n_bytes",
            "n_beds",
            "n_plantings",
            "is_now",
            "changed_since",
            "error",
        ];
        has_keys(version, &keys);
        assert_eq!(version["is_yet_to_come"], false);
        assert_eq!(version["number"], number);
        assert_eq!((version["n_beds"].as_u64(), version["n_plantings"].as_u64()), (Some(1), Some(0)));
        assert_eq!(version["is_now"], number == 1);
    }
    assert_eq!(versions[1]["changed_since"][0]["changes"][0], "the garden's name: changed");
    let said = bench.run("versions plot.ron");
    assert_eq!(said.code, 0);
    assert!(said.out.contains("3 earlier versions") && said.out.contains("as the file is now"), "{}", said.out);
    assert!(said.out.contains("since then outside of beds: the garden's name: changed"), "{}", said.out);
}

#[test]
fn a_version_is_gone_back_to_and_what_was_there_is_a_version() {
    let bench = Bench::new();
    let [first, _, third] = three_saves(&bench);
    let answer = bench.json("versions plot.ron --restore 3", 0);
    has_keys(&answer, &["file", "back_at", "n_edits_kept", "n_edits_waiting", "put_aside"]);
    assert_eq!(bench.read("plot.ron"), first);
    let kept = open(&bench.path("plot.ron")).kept;
    let texts: Vec<String> = (1..=kept.versions().unwrap().len()).map(|n| kept.read_version(n).unwrap()).collect();
    assert!(texts.contains(&third));
    drop(kept);
    bench.run("versions plot.ron --restore 99").is_refused("a version that there is not");
    bench.run("versions nowhere.ron").is_refused("a file that is not there");
    assert_eq!(bench.read("plot.ron"), first);
}

#[test]
fn edits_that_wait_are_said_and_kept_in_a_version_before_going_back() {
    let bench = Bench::new();
    let [first, _, third] = three_saves(&bench);
    wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
    for command in ["check plot.ron", "free plot.ron", "list plot.ron", "free plot.ron --json"] {
        let said = bench.run(command);
        assert_eq!(said.code, 0, "{command}");
        assert!(said.err.contains("1 edit is not in the file yet"), "{command}: {}", said.err);
    }
    assert_eq!(bench.read("plot.ron"), third, "looking changes nothing");
    let answer = bench.json("versions plot.ron --restore 3", 0);
    assert_eq!(answer["n_edits_kept"], 1);
    assert_eq!(bench.read("plot.ron"), first);
    let opened = open(&bench.path("plot.ron"));
    assert!(opened.records.is_empty());
    let kept = opened.kept;
    let texts: Vec<String> = (1..=kept.versions().unwrap().len()).map(|n| kept.read_version(n).unwrap()).collect();
    assert!(texts.iter().any(|text| text.contains("Waiting")), "{texts:?}");
}

#[test]
fn a_garden_that_is_open_is_not_gone_back_to() {
    let bench = Bench::new();
    let [_, _, third] = three_saves(&bench);
    let _open = open(&bench.path("plot.ron"));
    let said = bench.run("versions plot.ron --restore 3");
    said.is_refused("a garden that is open");
    assert!(said.err.contains("is open in process"), "{}", said.err);
    assert_eq!(bench.read("plot.ron"), third);
}

#[test]
fn a_spoilt_or_deleted_file_is_brought_back_and_its_message_says_how() {
    let bench = Bench::new();
    let [_, _, third] = three_saves(&bench);
    let file = bench.path("plot.ron");
    std::fs::write(&file, "spoilt").unwrap();
    assert_eq!(bench.json("versions plot.ron", 0)["versions"].as_array().unwrap().len(), 3);
    let said = bench.run("plot.ron");
    assert_eq!(said.code, 2, "{}", said.err);
    assert!(said.err.contains("`bedfellow versions --restore 1 plot.ron` goes back"), "{}", said.err);
    assert_eq!(bench.run("versions plot.ron --restore 1").code, 0);
    assert_eq!(bench.read("plot.ron"), third);
    std::fs::remove_file(&file).unwrap();
    assert_eq!(bench.run("versions plot.ron --restore 1").code, 0);
    assert_eq!(bench.read("plot.ron"), third);
}

#[test]
fn nothing_is_put_beside_a_file_that_holds_no_garden() {
    let bench = Bench::new();
    std::fs::write(bench.path("notes.txt"), "leeks, onions").unwrap();
    assert_eq!(bench.run("notes.txt").code, 2);
    assert!(!bench.path(".notes.txt.kept").exists());
}

#[cfg(unix)]
mod unix {
    use std::os::unix::fs::{PermissionsExt as _, symlink};

    use super::*;

    #[test]
    fn over_other_names_of_the_file_nothing_is_restored() {
        let bench = Bench::new();
        let texts = three_saves(&bench);
        std::fs::hard_link(bench.path("plot.ron"), bench.path("other.ron")).unwrap();
        let said = bench.run("versions plot.ron --restore 3");
        assert_eq!((said.code, said.out.as_str()), (2, ""));
        assert!(said.err.contains("plot.ron is one of 2 names of the same file (hard links)"), "{}", said.err);
        assert_eq!([bench.read("plot.ron"), bench.read("other.ron")], [texts[2].clone(), texts[2].clone()]);
        // As it is said, so it is done.
        std::fs::rename(bench.path("plot.ron"), bench.path("plot-2.ron")).unwrap();
        let said = bench.run("versions plot.ron --restore 3");
        assert_eq!(said.code, 0, "{}", said.err);
        assert_eq!([bench.read("plot.ron"), bench.read("other.ron")], [texts[0].clone(), texts[2].clone()]);
    }

    #[test]
    fn a_kept_folder_that_is_a_link_is_neither_listed_nor_restored_from() {
        let bench = Bench::new();
        three_saves(&bench);
        std::fs::rename(bench.path(".plot.ron.kept"), bench.path("foreign")).unwrap();
        symlink("foreign", bench.path(".plot.ron.kept")).unwrap();
        for words in ["versions plot.ron", "versions plot.ron --restore 3"] {
            let said = bench.run(words);
            assert_eq!((said.code, said.out.as_str()), (2, ""), "{words}");
            assert!(said.err.contains(".plot.ron.kept is a link, and links are not followed there"), "{}", said.err);
        }
    }

    #[test]
    fn a_file_that_may_not_be_written_is_not_restored() {
        let bench = Bench::new();
        let texts = three_saves(&bench);
        std::fs::set_permissions(bench.path("plot.ron"), std::fs::Permissions::from_mode(0o444)).unwrap();
        let said = bench.run("versions plot.ron --restore 3");
        assert_eq!(said.code, 2);
        assert!(said.err.contains("plot.ron is left as it is: the file is read-only"), "{}", said.err);
        assert_eq!(bench.read("plot.ron"), texts[2]);
    }
}
