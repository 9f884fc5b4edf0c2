//! Going back where something that cannot be read, or nothing, stands in the place of the garden's file.

use std::fs::{self, File};
use std::path::Path;
use std::process::Command;

use bedfellow::garden::{Edit, Garden, limits, replay};
use bedfellow::store::versions_of;

use super::bench::{Bench, has_keys};
use super::versions::{open, three_saves, wait_in_journal};

const KINDS: [&str; 7] = ["latin 1", "utf 16", "binary", "too large", "folder", "pipe", "missing"];

fn replace(path: &Path, kind: &str) {
    fs::remove_file(path).unwrap();
    match kind {
        "latin 1" => fs::write(path, b"Apfelb\xe4ume\n").unwrap(),
        "utf 16" => fs::write(path, b"\xff\xfe(\0\n\0").unwrap(),
        "binary" => fs::write(path, [0x7f, 0x80, 0, 0xff]).unwrap(),
        // A sparse file.
        "too large" => File::create(path).unwrap().set_len(limits::FILE_BYTES + 1).unwrap(),
        "folder" => {
            fs::create_dir(path).unwrap();
            fs::write(path.join("letter"), "to somebody").unwrap();
        }
        "pipe" => assert!(Command::new("mkfifo").arg(path).status().unwrap().success()),
        _ => {}
    }
}

/// The garden as it opens, with what its journal adds.
fn opens_as(path: &Path) -> Garden {
    let opened = open(path);
    let mut garden = Garden::from_ron(&opened.text, "it").unwrap();
    replay(&mut garden, &opened.records).unwrap();
    garden
}

#[test]
fn the_command_that_the_message_names_brings_back_file_and_edits() {
    for kind in KINDS {
        let bench = Bench::new();
        let [_, _, third] = three_saves(&bench);
        wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
        let path = bench.path("plot.ron");
        replace(&path, kind);
        let said = bench.run("plot.ron");
        assert_eq!(said.code, 2, "{kind}: {}", said.err);
        let named = "`bedfellow versions --restore 1 plot.ron` goes back to it";
        assert!(said.err.contains("1 edit waits for version 1") && said.err.contains(named), "{kind}: {}", said.err);
        assert_eq!(bench.json("versions plot.ron", 0)["versions"].as_array().unwrap().len(), 3, "{kind}");

        let answer = bench.json("versions --restore 1 plot.ron", 0);
        assert_eq!(bench.read("plot.ron"), third, "{kind}");
        assert_eq!((&answer["n_edits_kept"], &answer["n_edits_waiting"]), (&0.into(), &1.into()), "{kind}");
        match (kind, answer["put_aside"].as_str()) {
            ("missing", aside) => assert_eq!(aside, None),
            (_, aside) => {
                let aside = bench.path(aside.unwrap());
                match kind {
                    "folder" => assert_eq!(fs::read_to_string(aside.join("letter")).unwrap(), "to somebody"),
                    "latin 1" => assert_eq!(fs::read(aside).unwrap(), b"Apfelb\xe4ume\n"),
                    "too large" => assert_eq!(fs::metadata(aside).unwrap().len(), limits::FILE_BYTES + 1),
                    _ => assert!(fs::symlink_metadata(aside).is_ok()),
                }
            }
        }
        assert_eq!(opens_as(&path).name, "Waiting", "{kind}");
    }
}

#[test]
fn another_version_is_gone_back_to_and_the_edits_of_the_journal_are_put_aside() {
    for kind in KINDS {
        let bench = Bench::new();
        let [first, ..] = three_saves(&bench);
        wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
        let path = bench.path("plot.ron");
        replace(&path, kind);
        let said = bench.run("versions --restore 3 plot.ron");
        assert_eq!(said.code, 0, "{kind}: {}", said.err);
        assert!(said.err.contains("1 edit was not saved") && said.err.contains("of-other-contents"), "{}", said.err);
        assert_eq!(bench.read("plot.ron"), first, "{kind}");
        assert!(open(&path).records.is_empty());
    }
}

#[test]
fn edits_that_wait_for_a_version_come_back_with_it_though_a_good_file_stands_there() {
    let bench = Bench::new();
    let [_, _, third] = three_saves(&bench);
    wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
    let theirs = Garden::empty("Theirs").to_ron();
    bench.write("plot.ron", theirs.as_bytes());
    let said = bench.run("versions --restore 1 plot.ron");
    assert_eq!(said.code, 0, "{}", said.err);
    assert!(said.out.contains("made upon it and not saved yet: 1 edit;"), "{}", said.out);
    assert!(said.out.contains("what the file held before is among the earlier versions"), "{}", said.out);
    assert_eq!(bench.read("plot.ron"), third);
    assert_eq!(opens_as(&bench.path("plot.ron")).name, "Waiting");
    let versions = versions_of(&bench.path("plot.ron")).unwrap();
    assert!(versions.iter().any(|version| fs::read_to_string(&version.path).unwrap() == theirs));
}

#[test]
fn what_was_private_is_private_again() {
    use std::os::unix::fs::PermissionsExt as _;
    let bench = Bench::new();
    three_saves(&bench);
    let path = bench.path("plot.ron");
    fs::set_permissions(&path, fs::Permissions::from_mode(0o600)).unwrap();
    wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
    open(&path)
        .kept
        .save(&Garden::empty("Four").to_ron(), bedfellow::tui::shell::now(), bedfellow::store::Save::Asked)
        .unwrap();
    replace(&path, "folder");
    assert_eq!(bench.run("versions --restore 1 plot.ron").code, 0);
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o600);
}

#[test]
fn edits_put_aside_at_an_opening_are_listed_with_what_they_change_and_brought_back() {
    for kind in ["", "latin 1", "folder", "missing"] {
        let bench = Bench::new();
        three_saves(&bench);
        wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
        let path = bench.path("plot.ron");
        let theirs = Garden::empty("Theirs").to_ron();
        fs::write(&path, &theirs).unwrap();
        drop(open(&path));
        let listed = bench.json("versions plot.ron", 0);
        let aside = &listed["aside"][0];
        has_keys(
            aside,
            &[
                "number",
                "put_aside",
                "what",
                "path",
                "n_beds",
                "n_plantings",
                "n_edits",
                "is_now",
                "would_change",
                "error",
            ],
        );
        assert_eq!(
            (&aside["number"], &aside["n_edits"], &listed["waiting"]),
            (&1.into(), &1.into(), &serde_json::Value::Null)
        );
        let said = bench.run("versions plot.ron");
        assert!(said.out.contains("put aside, to be brought back by --bring-back and its number"), "{}", said.out);
        assert!(said.out.contains("edits that did not fit the file: 1 edit, 1 bed, 0 plantings"), "{}", said.out);
        assert!(said.out.contains("would change"), "{}", said.out);
        if !kind.is_empty() {
            replace(&path, kind);
        }
        let answer = bench.json("versions plot.ron --bring-back 1", 0);
        has_keys(&answer, &["file", "back_at", "n_edits_kept", "n_edits_waiting", "put_aside"]);
        assert_eq!(opens_as(&path).name, "Waiting", "{kind}");
        if kind.is_empty() {
            let versions = versions_of(&path).unwrap();
            assert!(versions.iter().any(|version| fs::read_to_string(&version.path).unwrap() == theirs));
        }
    }
    let bench = Bench::new();
    three_saves(&bench);
    bench.run("versions plot.ron --bring-back 1").is_refused("nothing was put aside");
}

#[test]
fn edits_that_wait_for_a_version_are_told_in_the_list() {
    let bench = Bench::new();
    three_saves(&bench);
    wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
    replace(&bench.path("plot.ron"), "folder");
    let listed = bench.json("versions plot.ron", 0);
    assert_eq!((&listed["waiting"]["n_edits"], &listed["waiting"]["for_version"]), (&1.into(), &1.into()));
    let said = bench.run("versions plot.ron");
    assert!(said.out.contains("1 edit waits in the journal for version 1: --restore 1 brings it back"), "{}", said.out);
}

#[test]
fn edits_that_wait_for_the_file_as_it_is_are_told_in_the_list_too() {
    let bench = Bench::new();
    three_saves(&bench);
    wait_in_journal(&bench, Edit::Rename("Waiting".to_owned()));
    let listed = bench.json("versions plot.ron", 0);
    assert_eq!((&listed["waiting"]["n_edits"], &listed["waiting"]["is_for_file"]), (&1.into(), &true.into()));
    let said = bench.run("versions plot.ron").out;
    assert!(said.contains("1 edit waits in the journal: opening the garden full screen brings it back"), "{said}");
}

#[test]
fn a_garden_with_a_slip_in_it_is_put_aside_when_one_goes_back() {
    let bench = Bench::new();
    let [first, ..] = three_saves(&bench);
    let slip = first.replacen("site:", "site", 1);
    fs::write(bench.path("plot.ron"), &slip).unwrap();
    let answer = bench.json("versions --restore 3 plot.ron", 0);
    assert_eq!(bench.read("plot.ron"), first);
    assert_eq!(fs::read_to_string(bench.path(answer["put_aside"].as_str().unwrap())).unwrap(), slip);
}
