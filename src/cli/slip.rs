//! Which command was meant by a word that is none?

use std::ffi::{OsStr, OsString};
use std::path::Path;

use clap::CommandFactory as _;
use clap::error::ErrorKind;

use super::args::Cli;
use crate::units::text::{nearest as nearest_of, shown};

/// A word such as `chek`: no file, and not written like one.
pub fn is_bare_word(path: &Path) -> bool {
    path.extension().is_none() && path.components().count() == 1 && !path.exists()
}

/// The command nearest to a word, if one is near.
pub fn nearest(word: &str) -> Option<String> {
    let command = Cli::command();
    let names: Vec<&str> = command.get_subcommands().map(clap::Command::get_name).collect();
    nearest_of(word, names.iter().copied()).map(str::to_owned)
}

/// What to say where the first word is no command but was meant to be one: taken for a file, it would have left
/// the words after it to blame.
pub fn of_usage(err: &clap::Error, args: &[OsString]) -> Option<String> {
    if !matches!(err.kind(), ErrorKind::InvalidSubcommand | ErrorKind::UnknownArgument) {
        return None;
    }
    let word = first_word(args)?;
    let is_command = Cli::command().get_subcommands().any(|command| command.get_name() == word);
    if is_command || !is_bare_word(Path::new(word)) {
        return None;
    }
    let word = shown(&word.to_string_lossy()).into_owned();
    Some(match nearest(&word) {
        Some(command) => format!("there is no command `{word}`; did you mean `{command}`?"),
        None => format!("there is no command `{word}`; `bedfellow --help` lists the commands"),
    })
}

/// The first argument that is neither an option nor the value of one.
fn first_word(args: &[OsString]) -> Option<&OsStr> {
    let mut args = args.iter().skip(1);
    while let Some(arg) = args.next() {
        if arg == "--today" {
            args.next();
        } else if !arg.to_string_lossy().starts_with('-') {
            return Some(arg);
        }
    }
    None
}
