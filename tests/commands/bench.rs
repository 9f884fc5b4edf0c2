//! Runs the program in a folder of its own, with an environment of its own.

use std::fs;
use std::path::PathBuf;
use std::process::{Command, Output};

use serde_json::Value;

/// The day on which every test takes place.
pub const TODAY: &str = "2027-05-03";

/// A small garden with one bed of each kind of trouble; every file written by hand.
pub const SMALL: &str = include_str!("small.ron");

/// A folder to run the program in.
pub struct Bench {
    folder: tempfile::TempDir,
}

/// What the program said.
pub struct Said {
    pub out: String,
    pub err: String,
    pub code: i32,
}

impl Bench {
    /// An empty folder.
    pub fn new() -> Self {
        Self { folder: tempfile::tempdir().unwrap() }
    }

    /// A folder with the small garden in `small.ron`.
    pub fn with_small() -> Self {
        let bench = Self::new();
        bench.write("small.ron", SMALL.as_bytes());
        bench
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, bytes: &[u8]) {
        fs::write(self.path(name), bytes).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The program with nothing of the developer's own environment.
    pub fn command(&self) -> Command {
        let mut command = Command::new(env!("CARGO_BIN_EXE_bedfellow"));
        command
            .env_clear()
            .env("BEDFELLOW_HOME", self.path("home"))
            .env("TMPDIR", self.folder.path())
            .env("TMP", self.folder.path())
            .current_dir(self.folder.path());
        command
    }

    /// Runs it with words parted by spaces; `~` stands for a space within a word.
    pub fn run(&self, words: &str) -> Said {
        let args: Vec<String> = words.split_whitespace().map(|word| word.replace('~', " ")).collect();
        let args: Vec<&str> = args.iter().map(String::as_str).collect();
        self.run_args(&args)
    }

    /// Runs it with these arguments, on [`TODAY`] unless they name another day.
    pub fn run_args(&self, args: &[&str]) -> Said {
        let today: &[&str] = if args.contains(&"--today") { &[] } else { &["--today", TODAY] };
        Said::of(&self.command().args(args).args(today).output().unwrap())
    }

    /// Runs it and reads its JSON; the exit code must be the one expected.
    pub fn json(&self, words: &str, code: i32) -> Value {
        let said = self.run(&format!("{words} --json"));
        assert_eq!(said.code, code, "{words}: {}{}", said.out, said.err);
        assert_eq!(said.out.lines().count(), 1, "{words}: JSON is one line: {}", said.out);
        serde_json::from_str(&said.out).unwrap_or_else(|err| panic!("{words}: {err}: {}", said.out))
    }
}

impl Said {
    pub fn of(output: &Output) -> Self {
        Self {
            out: String::from_utf8(output.stdout.clone()).unwrap(),
            err: String::from_utf8(output.stderr.clone()).unwrap(),
            code: output.status.code().expect("the program ended by itself"),
        }
    }

    /// Unusable input: nothing on standard output, one line on standard error (JSON with `--json`), and no trace of a panic.
    pub fn is_refused(&self, what: &str) {
        assert_eq!(self.code, 2, "{what}: {}{}", self.out, self.err);
        assert_eq!(self.out, "", "{what}");
        let is_fault = self.err.starts_with("error: ") || self.err.starts_with("{\"error\":\"");
        assert!(is_fault, "{what}: {}", self.err);
        assert_eq!(self.err.lines().count(), 1, "{what}: {}", self.err);
        assert!(!self.err.contains("panicked"), "{what}: {}", self.err);
    }
}

/// The keys of an object, in order of letters.
pub fn keys(value: &Value) -> Vec<&str> {
    let mut keys: Vec<&str> = value.as_object().unwrap().keys().map(String::as_str).collect();
    keys.sort_unstable();
    keys
}

/// Asserts that an object has each of the keys.
pub fn has_keys(value: &Value, wanted: &[&str]) {
    let keys = keys(value);
    for key in wanted {
        assert!(keys.contains(key), "no `{key}` in {keys:?}");
    }
}
