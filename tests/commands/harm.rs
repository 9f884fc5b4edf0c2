//! Text from files, file names and arguments that would steer a terminal, turn a line round or hide.

use super::bench::{Bench, SMALL, Said};
use bedfellow::units::text::is_unshowable;

/// Invisible, and allowed in a file: soft hyphen, marks and spaces without width, annotations, tags, a lone joiner.
const UNSEEN: &str = "\u{ad}\u{61c}\u{200b}\u{200e}\u{2060}\u{feff}\u{fff9}\u{e0041}\u{200d}";

/// Nothing that a terminal would obey; line ends part lines and are all that is left.
fn assert_harmless(what: &str, said: &Said) {
    for (stream, text) in [("out", &said.out), ("err", &said.err)] {
        let bad = text.replace("\r\n", "\n").chars().find(|c| *c != '\n' && is_unshowable(*c));
        assert!(bad.is_none(), "{what}: standard {stream} has {bad:?}: {text:?}");
        assert!(!text.contains("r\u{200d}"), "{what}: a joiner that joins nothing");
    }
}

#[test]
fn unseen_characters_of_a_garden_are_shown_and_escaped() {
    let bench = Bench::new();
    // Every text of the file; the keys of crops stay, except of one that then no book knows.
    let garden = SMALL
        .replace("\"A", &format!("\"{UNSEEN}A"))
        .replace("Small garden", &format!("Small{UNSEEN}garden"))
        .replace("Blåvinter\",", &format!("Blåvinter{UNSEEN}\", notes: \"n\\n{UNSEEN}\","))
        .replace("\"carrot-maincrop", &format!("\"{UNSEEN}carrot"))
        .replace("what: \"", &format!("what: \"{UNSEEN}"))
        .replace(
            "past: [",
            &format!(
                "hazards_seen: [(bed: \"{UNSEEN}A1\", hazard: \"{UNSEEN}rot\", date: \"2026-05-01\", notes: \"{UNSEEN}\")],\n    \
                 accepted: [(rule: \"repeat\", planting: 5, reason: \"because{UNSEEN}\")],\n    past: ["
            ),
        )
        .replace("width_mm", &format!("name: \"by the wall{UNSEEN}\", notes: \"{UNSEEN}\", width_mm"));
    bench.write("small.ron", garden.as_bytes());
    let bed = format!("{UNSEEN}A1");
    for words in [
        &["check", "small.ron", "--why"][..],
        &["free", "small.ron"],
        &["fit", "small.ron", &bed],
        &["list", "small.ron", "--from", "2025-01-01", "--to", "2028-12-31"],
        &["export", "plantings", "small.ron"],
        &["crops", "--garden", "small.ron"],
        &["free", "small.ron", "--bed", "Z9"],
        &["fit", "small.ron", "\u{200b}"],
        &["reckon", "family", UNSEEN],
    ] {
        for json in [false, true] {
            let mut words = words.to_vec();
            words.extend(json.then_some("--json"));
            let said = bench.run_args(&words);
            let is_found = !words.contains(&"Z9") && !words.contains(&"\u{200b}") && words[0] != "reckon";
            assert_eq!(said.code != 2, is_found, "{words:?}: {}", said.err);
            assert_harmless(&format!("{words:?}"), &said);
            if json && said.code != 2 {
                assert!(serde_json::from_str::<serde_json::Value>(&said.out).is_ok(), "{words:?}");
            }
        }
    }
    let json = bench.json("export plantings small.ron", 0);
    assert!(
        json.as_array().unwrap().iter().any(|row| row["variety"] == format!("Blåvinter{UNSEEN}")),
        "JSON says the same text"
    );
}

#[test]
fn arguments_cannot_speak_in_lines_of_their_own() {
    let bench = Bench::with_small();
    let nasty = "x\u{1b}]0;owned\u{7}\u{9b}2J\nerror: all is lost\r\u{202e}\u{200b}";
    for words in [
        &[nasty][..],
        &["check", nasty],
        &["check", "small.ron", nasty],
        &[nasty, "small.ron"],
        &["free", "small.ron", "--bed", nasty],
        &["fit", "small.ron", nasty],
        &["list", "small.ron", "--from", nasty],
        &["list", "small.ron", "--out", "nowhere/x\u{1b}[2J\ny"],
        &["list", "small.ron", &format!("--{nasty}")],
        &["crops", nasty],
        &["crops", "--family", nasty],
        &["crops", "--garden", nasty],
        &["new", "n.ron", "--name", nasty],
        &["new", "n.ron", "--bed", nasty],
        &["new", &format!("nowhere/{nasty}.ron")],
        &["reckon", "family", nasty],
        &["reckon", nasty],
        &["reckon", "dates", nasty, "--sow", "2027-04-01"],
        &["reckon", "dates", "leek", "--sow", nasty],
        &["reckon", "rotation", nasty],
        &["reckon", "daylight", "--latitude", nasty, "--date", "2027-04-01"],
        &["--today", nasty, "check", "small.ron"],
    ] {
        for json in [false, true] {
            let mut words = words.to_vec();
            words.extend(json.then_some("--json"));
            let said = Said::of(&bench.command().args(&words).output().unwrap());
            said.is_refused(&format!("{words:?}"));
            assert_harmless(&format!("{words:?}"), &said);
        }
    }
}

#[cfg(unix)]
#[test]
fn a_file_whose_name_would_steer_is_read_written_and_shown_harmless() {
    let bench = Bench::with_small();
    let name = "a\u{1b}[2J\u{7}\n\u{202e}b\u{200b}.ron";
    bench.write(name, SMALL.as_bytes());
    bench.write(&format!("bad{name}"), b"(format: 2, nonsense");
    bench.write(&format!("new{name}"), SMALL.replace("format: 2", "format: 3").as_bytes());
    let (bad, newer, out) = (format!("bad{name}"), format!("new{name}"), format!("out{name}"));
    for (words, code) in [
        (&["check", name, "--today", "2026-09-01"][..], 1),
        (&["free", name], 0),
        (&["check", &bad], 2),
        (&["check", &newer], 2),
        (&["list", name, "--out", &out], 0),
        (&["list", name, "--out", &out], 2),
        (&["export", "plantings", name, "--out", &out, "--overwrite"], 0),
        (&["new", name], 2),
        (&["new", &format!("fresh{name}"), "--bed", "A1=120x240"], 0),
        (&[name], 2),
        (&["check", &format!("none{name}")], 2),
    ] {
        let said = bench.run_args(words);
        assert_eq!(said.code, code, "{words:?}: {}{}", said.out, said.err);
        assert_harmless(&format!("{words:?}"), &said);
        let n_lines = said.err.lines().filter(|line| line.contains(".ron")).count();
        assert!(code != 2 || n_lines <= 1, "{words:?}: {}", said.err);
    }
    let answer =
        Said::of(&bench.command().args(["list", name, "--out", &out, "--overwrite", "--json"]).output().unwrap());
    assert_harmless("JSON", &answer);
    assert_eq!(serde_json::from_str::<serde_json::Value>(&answer.out).unwrap()["file"], out.as_str());
    // The way to the garden last opened is shown too.
    std::fs::create_dir(bench.path("home")).unwrap();
    bench.write("home/last-garden", format!("{}\n", bench.path(&format!("gone{name}")).display()).as_bytes());
    let said = bench.run("");
    said.is_refused("gone");
    assert_harmless("last-garden", &said);
}

#[test]
fn weather_records_cannot_steer() {
    let bench = Bench::new();
    let climate = "climate: Weather(file: \"w.csv\"), currency:";
    bench.write("small.ron", SMALL.replace("currency:", climate).as_bytes());
    for csv in [
        "da\u{1b}[2Jte,tmin,tmax\n",
        "date,tmin,tmax\n2027\u{1b}]0;x\u{7},1,2\n",
        "date,tmin,tmax\n2027-01-01,\u{9b}31m,2\n",
        "date,tmin,tmin\u{202e},tmax\n2027-01-01,1,1,2\n",
        "\u{200b}\u{1b}c\n",
    ] {
        bench.write("w.csv", csv.as_bytes());
        for words in ["check small.ron", "check small.ron --json", "free small.ron"] {
            let said = bench.run(words);
            said.is_refused(words);
            assert_harmless(&format!("{csv:?}"), &said);
        }
    }
}
