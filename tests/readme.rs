//! The README is true: its commands run, its garden file opens, its pictures and its key table are there.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)] // a README that cannot be read is a failed test

use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;

use bedfellow::garden::Garden;

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn readme() -> String {
    fs::read_to_string(root().join("README.md")).unwrap()
}

/// The README's code blocks of a language; the empty word means those that name none.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let mut found = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        if let Some(named) = line.strip_prefix("```") {
            let block: Vec<&str> = lines.by_ref().take_while(|line| *line != "```").collect();
            if named == language {
                found.push(block.join("\n"));
            }
        }
    }
    found
}

/// Words of a command as a shell parts them: by spaces, double quotes hold together.
fn words(command: &str) -> Vec<String> {
    let mut words = vec![String::new()];
    let mut is_quoted = false;
    for sign in command.chars() {
        match sign {
            '"' => is_quoted = !is_quoted,
            ' ' if !is_quoted => words.push(String::new()),
            _ => words.last_mut().unwrap().push(sign),
        }
    }
    words.retain(|word| !word.is_empty());
    words
}

#[test]
fn the_crops_are_counted_as_the_book_has_them() {
    let n_crops = bedfellow::crops::CropBook::embedded().unwrap().crops().len();
    assert!(readme().contains(&format!("The book holds {n_crops} crops")), "{n_crops}");
}

#[test]
fn every_command_of_the_recipes_runs() {
    let folder = tempfile::tempdir().unwrap();
    let run = |arguments: &[String]| {
        Command::new(env!("CARGO_BIN_EXE_bedfellow"))
            .args(arguments)
            .current_dir(folder.path())
            .env("BEDFELLOW_HOME", folder.path())
            .output()
            .unwrap()
    };
    let demo = run(&["demo".to_owned(), "--print".to_owned()]);
    assert!(demo.status.success(), "{}", String::from_utf8_lossy(&demo.stderr));
    fs::write(folder.path().join("walled-garden.ron"), demo.stdout).unwrap();

    let mut n_run = 0;
    for command in blocks(&readme(), "").iter().flat_map(|block| block.lines()) {
        let words = words(command);
        let is_full_screen = words.len() == 2 && Path::new(&words[1]).extension().is_some();
        if words.first().map(String::as_str) != Some("bedfellow") || is_full_screen {
            continue;
        }
        let output = run(&words[1..]);
        let code = output.status.code();
        assert!(
            matches!(code, Some(0 | 1)),
            "`{command}` ends with {code:?}: {}",
            String::from_utf8_lossy(&output.stderr)
        );
        assert!(!output.stdout.is_empty() || words[1] == "new", "`{command}` says nothing");
        n_run += 1;
    }
    assert!(n_run >= 10, "only {n_run} commands were found in the README");
}

#[test]
fn the_garden_file_shown_opens_and_means_what_the_text_says() {
    let shown = blocks(&readme(), "ron");
    let garden =
        Garden::from_ron(shown.first().expect("a garden file"), "README.md").unwrap_or_else(|error| panic!("{error}"));
    assert_eq!((garden.beds.len(), garden.plantings.len(), garden.past.len()), (1, 2, 1));
}

#[test]
fn every_file_the_papers_link_to_is_there() {
    for page in ["README.md", "DEVELOPERS.md"] {
        let text = fs::read_to_string(root().join(page)).unwrap();
        for target in text.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
            // The pictures are checked where they are drawn.
            if !target.starts_with("http") && !target.starts_with("assets/screens/") {
                assert!(root().join(Path::new(target)).exists(), "{page} links to {target}, which is not there");
            }
        }
    }
}

/// A table between two marks of the README; with `UPDATE_README=1` in the environment it is written anew instead.
fn table_is(mark: &str, table: &str) {
    let text = readme();
    let (open, close) = (format!("<!-- {mark} -->\n"), format!("<!-- /{mark} -->"));
    let (before, rest) = text.split_once(&open).expect("the place of the table");
    let (shown, after) = rest.split_once(&close).expect("the end of the table");
    if std::env::var_os("UPDATE_README").is_some_and(|value| value == "1") {
        fs::write(root().join("README.md"), format!("{before}{open}{table}{close}{after}")).unwrap();
        return;
    }
    assert_eq!(shown, table, "run `UPDATE_README=1 cargo test --test readme` to write it anew");
}

/// One test for both, or two could write the page at once.
#[test]
fn the_tables_of_keys_and_limits_are_those_of_the_program() {
    table_is("keys", &bedfellow::tui::keys::key_table_markdown());
    table_is("keys in layers", &bedfellow::tui::keys::layer_table_markdown());
    let rows = bedfellow::garden::limits::in_words();
    let lines: Vec<String> = rows.iter().map(|(what, most)| format!("| {what} | {most} |\n")).collect();
    let lines = lines.concat();
    table_is("limits", &format!("| of | at most, or within |\n| --- | --- |\n{lines}"));
}
