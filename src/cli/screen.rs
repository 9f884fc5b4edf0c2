//! The way to the full screen: which garden, which terminal, and the demo in a temporary place.

use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::DemoArgs;
use super::{files, home, slip};
use crate::garden::Garden;
use crate::store;
use crate::tui::shell::{Found, Surroundings};
use crate::tui::{self, Start};
use crate::units::text::shown_path;

/// The demo garden, as it is delivered.
pub const DEMO: &str = include_str!("../../demo/walled-garden.ron");

const DEMO_FILE: &str = "walled-garden.ron";

/// How the full screen is to look and listen.
#[derive(Debug, Clone, Copy)]
pub struct Look {
    /// The mouse is listened to.
    pub has_mouse: bool,
}

/// Without a command: the garden named, the one last opened, or a first question.
pub fn open(common: &Common, look: Look, file: Option<PathBuf>) -> Result<Answer> {
    if common.is_json {
        bail!("the full screen has no JSON; use `bedfellow check FILE --json`, or free, fit, list or crops");
    }
    let start = match file {
        Some(path) => Start::Garden(Box::new(named(&path)?)),
        None => match home::last_garden() {
            Some(path) if path.exists() => Start::Garden(Box::new(found(&path)?)),
            Some(path) => {
                let path = crate::units::text::shown(&path.to_string_lossy()).into_owned();
                Start::FirstRun(Some(format!("the garden last opened, {path}, is no longer there")))
            }
            None => Start::FirstRun(None),
        },
    };
    if !has_terminal() {
        if let Start::FirstRun(Some(why)) = start {
            bail!("{why}; name its new place, as in `bedfellow FILE`");
        }
        if matches!(start, Start::FirstRun(None)) {
            bail!("no garden has been opened yet and there is no terminal to ask; see `bedfellow --help`");
        }
        bail!("the full screen needs a terminal; for plain text use `bedfellow check FILE`, or free, fit or list");
    }
    let farewell = show(common, look, start, remember)?;
    Ok(Answer::text(farewell.map_or_else(String::new, |words| words + "\n")))
}

fn named(path: &Path) -> Result<Found> {
    if slip::is_bare_word(path) {
        let word = shown_path(path);
        let meant = slip::nearest(&path.to_string_lossy())
            .map_or(String::new(), |command| format!("; did you mean `{command}`?"));
        bail!("there is no command and no file `{word}`{meant} (`bedfellow --help` lists the commands)");
    }
    found(path)
}

fn found(path: &Path) -> Result<Found> {
    tui::shell::find(path, files::weather_of)
}

#[derive(Serialize)]
struct DemoFile {
    file: String,
}

/// `demo`: a fresh copy of the demo garden in a temporary place.
pub fn demo(common: &Common, look: Look, args: &DemoArgs) -> Result<Answer> {
    if args.print {
        if common.is_json {
            let garden = Garden::from_ron(DEMO, DEMO_FILE)?;
            return Answer::of(common, &garden, |_| {});
        }
        return Ok(Answer::text(DEMO.to_owned()));
    }
    if common.is_json {
        // For scripts: the copy is made and named, not opened.
        let path = fresh_demo()?;
        return Answer::of(common, &DemoFile { file: path.display().to_string() }, |_| {});
    }
    if !has_terminal() {
        bail!("the full screen needs a terminal; `bedfellow demo --print` writes the demo garden as text");
    }
    let path = fresh_demo()?;
    let look = Look { has_mouse: look.has_mouse || args.mouse };
    // The demo is not the grower's garden: it is not what is opened next time.
    let farewell = show(common, look, Start::Garden(Box::new(found(&path)?)), |_| ())?;
    let farewell = farewell
        .unwrap_or_else(|| format!("the demo garden, with what you changed in it, is in {}", shown_path(&path)));
    Ok(Answer::text(farewell + "\n"))
}

/// Writes the demo into a new temporary folder, which stays for as long as the system keeps such folders.
fn fresh_demo() -> Result<PathBuf> {
    let folder = tempfile::Builder::new()
        .prefix("bedfellow-demo-")
        .tempdir()
        .context("cannot make a temporary folder for the demo")?;
    let path = folder.path().join(DEMO_FILE);
    store::write_whole(&path, DEMO.as_bytes())?;
    let _kept = folder.keep();
    Ok(path)
}

fn show(common: &Common, look: Look, start: Start, remember: fn(&Path)) -> Result<Option<String>> {
    let options = tui::Options { is_ascii: common.is_ascii, has_colour: has_colour(), has_mouse: look.has_mouse };
    tui::run(Surroundings {
        start,
        book: std::sync::Arc::clone(&common.book),
        today: common.today_and_doubt()?,
        options,
        copy_demo: fresh_demo,
        weather_of: files::weather_quietly,
        remember,
    })
}

/// What cannot be remembered is asked for next time; that is no reason not to open the garden now.
fn remember(garden: &Path) {
    let _ = home::remember(garden);
}

/// `NO_COLOR`, if it is set to anything, asks for none (no-color.org).
fn has_colour() -> bool {
    std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

fn has_terminal() -> bool {
    std::io::stdin().is_terminal() && std::io::stdout().is_terminal()
}
