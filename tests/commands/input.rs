//! Input that cannot be used, streams that are closed, and starting without a terminal.

use std::fs;
use std::io::Read as _;
use std::process::Stdio;

use super::bench::{Bench, SMALL, keys};

#[test]
fn a_file_that_is_no_garden_is_refused_and_left_as_it_was() {
    let bench = Bench::new();
    let truncated = &SMALL.as_bytes()[..SMALL.len() / 2];
    let newer = SMALL.replace("format: 2", "format: 99");
    let newer_in_hex = SMALL.replace("format: 2", "format: 0x63");
    let newest = SMALL.replace("format: 2", "format: 99999999999999999999");
    let reversed = SMALL.replace("2027-11-30", "2027-02-30");
    let unknown_field = SMALL.replace("name:", "colour: 3, name:");
    let doubled = SMALL.replace("id: \"A2\"", "id: \"A1\"");
    let beyond = SMALL.replace("to_mm: 2400", "to_mm: 9900");
    let long = SMALL.replace("Small garden", &"n".repeat(10_000));
    for (what, bytes) in [
        ("truncated", truncated),
        ("empty", b"".as_slice()),
        ("binary", b"\x7fELF\x00\x01\xff\xfe".as_slice()),
        ("zero bytes", b"(\0\0\0)".as_slice()),
        ("newer", newer.as_bytes()),
        ("newer, in another writing", newer_in_hex.as_bytes()),
        ("newer than can be counted", newest.as_bytes()),
        ("a day that is not", reversed.as_bytes()),
        ("an unknown field", unknown_field.as_bytes()),
        ("two beds of one id", doubled.as_bytes()),
        ("a strip beyond its bed", beyond.as_bytes()),
        ("a name of 10,000 letters", long.as_bytes()),
        ("control characters", b"\x1b[31m(\x07".as_slice()),
    ] {
        bench.write("bad.ron", bytes);
        for words in
            ["check bad.ron", "free bad.ron", "fit bad.ron A1", "list bad.ron", "bad.ron", "crops --garden bad.ron"]
        {
            let said = bench.run(words);
            assert_eq!((said.code, said.out.as_str()), (2, ""), "{what}: {words}: {}", said.err);
            assert!(said.err.starts_with("error: ") && !said.err.starts_with("error: error"), "{what}: {}", said.err);
            assert!(said.err.contains("bad.ron"), "{what}: the file is named: {}", said.err);
            assert!(!said.err.contains("panicked"), "{what}: {}", said.err);
            assert!(said.err.chars().all(|sign| sign == '\n' || !sign.is_control()), "{what}: {:?}", said.err);
            assert_eq!(said.err.contains("newer bedfellow"), what.starts_with("newer"), "{what}: {}", said.err);
            assert!(said.err.chars().count() < 2_000, "{what}: a message, not a page: {}", said.err);
        }
        assert_eq!(fs::read(bench.path("bad.ron")).unwrap(), bytes, "{what}: the file was touched");
    }
}

#[test]
fn a_file_of_a_hundred_megabytes_is_refused_unread() {
    let bench = Bench::new();
    // A hole in a file takes no room on the disk.
    fs::File::create(bench.path("huge.ron")).unwrap().set_len(100 * 1024 * 1024).unwrap();
    bench.run("check huge.ron").is_refused("100 MB");
}

#[test]
fn files_and_folders_that_are_not_there_are_named() {
    let bench = Bench::with_small();
    fs::create_dir(bench.path("folder.ron")).unwrap();
    for words in ["check none.ron", "none.ron", "check folder.ron", "list small.ron --out nowhere/list.txt"] {
        bench.run(words).is_refused(words);
    }
    let slip = bench.run("chek");
    slip.is_refused("a slip for a command");
    assert!(slip.err.contains("--help") && slip.err.contains("did you mean `check`?"), "{}", slip.err);
    let slip = bench.run("chek small.ron");
    slip.is_refused("a slip for a command, with its file");
    assert_eq!(slip.err, "error: there is no command `chek`; did you mean `check`?\n");
    assert!(bench.run("--json xyzzyx small.ron").err.contains("bedfellow --help"));
    bench.run("small.ron check").is_refused("the file before the command");
}

#[test]
fn usage_that_is_wrong_is_one_line_and_help_is_whole() {
    let bench = Bench::new();
    for words in
        ["check", "reckon plant", "fit small.ron", "list --colour", "check a.ron b.ron", "--today soon check a.ron"]
    {
        let said = bench.run_args(&words.split(' ').collect::<Vec<_>>());
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words}: {}", said.err);
        assert_eq!(said.err.lines().count(), 1, "{words}: {}", said.err);
    }
    for words in [
        "--help",
        "demo --help",
        "new --help",
        "check --help",
        "free --help",
        "fit --help",
        "list --help",
        "crops --help",
    ] {
        let said = bench.run(words);
        assert_eq!((said.code, said.err.as_str()), (0, ""), "{words}");
        assert!(said.out.contains("Example"), "{words} has an example: {}", said.out);
    }
    for words in [
        "plants",
        "rotation",
        "family",
        "fit",
        "share",
        "dates",
        "emergence",
        "daylight",
        "radiation",
        "evaporation",
        "heat",
        "soak",
    ] {
        let said = bench.run(&format!("reckon {words} --help"));
        assert!(said.code == 0 && said.out.contains("Example"), "{words}: {}", said.out);
    }
    assert!(bench.run("--version").out.starts_with("bedfellow "));
}

#[test]
fn a_value_that_cannot_be_used_is_told_with_its_option_and_what_to_give() {
    let bench = Bench::new();
    for (words, told) in [
        ("list a.ron --from soon", "--from is `soon`; give a day as year-month-day, such as 2027-05-03"),
        ("list a.ron --to 9999-01-01", "--to is `9999-01-01`; give a day of the years 1900 to 2200"),
        (
            "reckon daylight --latitude 91 --date 2027-05-03",
            "--latitude is `91`; give a number from -90 to 90, south negative",
        ),
        (
            "reckon plants --bed 120 --layout grid --spacing 30",
            "--bed is `120`; give width across x length along in cm, such as 120x240",
        ),
        (
            "reckon plants --bed 120x240 --layout grid --spacing -5",
            "--spacing is `-5`; give a length in cm greater than 0",
        ),
        (
            "reckon plants --bed 120x240 --layout hexagons",
            "--layout is `hexagons`; give one of grid, offset, rows, drill, edge, broadcast",
        ),
        (
            "reckon dates leek --sow 2027-03-01 --cover igloo",
            "--cover is `igloo`; give one of open, fleece, mesh, cloche, tunnel, glass",
        ),
        ("reckon heat --base 5 --tmin 3 --tmax 14 --method middle", "--method is `middle`; give one of sine, mean"),
        ("new n.ron --bed A1", "--bed is `A1`; give an id and a size in cm, such as A1=120x240"),
        ("reckon rotation leek --return onion=many", "--return is `onion=many`; give a whole number from 0 to 100"),
        ("reckon share --alone 4,none --together 1,1", "--alone is `none`; give a number greater than 0"),
    ] {
        let said = bench.run(words);
        assert_eq!(
            (said.code, said.out.as_str(), said.err.as_str()),
            (2, "", format!("error: {told}\n").as_str()),
            "{words}"
        );
        let said = bench.run(&format!("{words} --json"));
        let fault: serde_json::Value = serde_json::from_str(&said.err).unwrap();
        assert_eq!((said.code, fault["error"].as_str()), (2, Some(told)), "{words}");
    }
}

#[test]
fn with_json_a_fault_is_one_line_of_json_on_standard_error() {
    let bench = Bench::with_small();
    bench.write("bad.ron", b"(\n  nonsense\n");
    for (words, told) in [
        ("check none.ron --json", "none.ron"),
        ("check bad.ron --json", "bad.ron"),
        ("--json free small.ron --bed Z9", "Z9"),
        ("chek small.ron --json", "`check`"),
        ("list small.ron --colour --json", "--colour"),
        ("reckon --json", "--help"),
    ] {
        let said = bench.run_args(&words.split(' ').collect::<Vec<_>>());
        assert_eq!((said.code, said.out.as_str()), (2, ""), "{words}: {}", said.err);
        assert_eq!(said.err.lines().count(), 1, "{words}: {}", said.err);
        let fault: serde_json::Value = serde_json::from_str(&said.err).unwrap();
        assert_eq!(keys(&fault), ["error"], "{words}");
        assert!(fault["error"].as_str().unwrap().contains(told), "{words}: {fault}");
    }
}

#[test]
fn a_reader_that_goes_away_is_a_clean_end() {
    let bench = Bench::with_small();
    for args in [&["list", "small.ron"][..], &["crops"], &["demo", "--print"], &["--help"]] {
        let mut child = bench.command().args(args).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        // Closed before the program can have written.
        drop(child.stdout.take());
        let status = child.wait().unwrap();
        let mut err = String::new();
        child.stderr.take().unwrap().read_to_string(&mut err).unwrap();
        assert_eq!((status.code(), err.as_str()), (Some(0), ""), "{args:?}");
    }
}

#[test]
fn a_closed_standard_error_is_no_panic() {
    let bench = Bench::new();
    let mut child = bench.command().args(["check", "none.ron"]).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stderr.take());
    assert_eq!(child.wait().unwrap().code(), Some(2));
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let bench = Bench::new();
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = bench.command().arg("crops").stdout(full).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).starts_with("error: cannot write"));
}

#[test]
fn without_a_terminal_the_full_screen_says_so_in_one_line() {
    let bench = Bench::with_small();
    for words in ["", "small.ron", "demo"] {
        let said = bench.run(words);
        said.is_refused(words);
        assert!(said.err.contains("terminal"), "{words}: {}", said.err);
    }
    bench.run("small.ron --json").is_refused("a screen as JSON");
    // Nothing was opened, so nothing is remembered.
    assert!(!bench.path("home").exists());
}

#[test]
fn the_garden_last_opened_is_asked_of_its_own_folder() {
    let bench = Bench::with_small();
    fs::create_dir(bench.path("home")).unwrap();
    let remembered = format!("{}\n", bench.path("small.ron").display());
    bench.write("home/last-garden", remembered.as_bytes());
    let said = bench.run("");
    said.is_refused("no terminal");
    assert!(said.err.contains("full screen"), "{}", said.err);
    bench.write("home/last-garden", b"/nowhere/gone.ron\n");
    let said = bench.run("");
    said.is_refused("gone");
    assert!(said.err.contains("gone.ron") && said.err.contains("no longer"), "{}", said.err);
    bench.write("home/last-garden", b"");
    bench.run("").is_refused("an empty memory");
}
