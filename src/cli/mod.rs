//! The command line: reads arguments, asks the rooms below, prints an answer, says the exit code.
//!
//! What day it is comes from here or from the full screen, and nowhere below is it asked. No arithmetic of the trade lives here.

mod answer;
mod args;
mod check;
mod crops;
mod crops_page;
mod export;
mod files;
mod fit;
mod free;
mod home;
mod list;
mod read;
mod reckon;
mod screen;
mod slip;
mod versions;
mod words;

use std::ffi::OsString;
use std::process::ExitCode;
use std::sync::Arc;

use anyhow::{Context as _, Error, Result, bail};
use chrono::NaiveDate;

pub use reckon::sequence;

use answer::Answer;
use args::{Cli, Command, Reckon};

use crate::crops::CropBook;
use crate::tui::shell::{self, Today};
use crate::units::text::as_argument;

/// What every command may ask for.
struct Common {
    /// The day that stands for today, if one was given.
    given_day: Option<NaiveDate>,
    is_ascii: bool,
    is_json: bool,
    book: Arc<CropBook>,
}

impl Common {
    /// Today. If it is probably not the right day, that is said on standard error.
    fn today(&self) -> Result<NaiveDate> {
        let Today { day, doubt } = self.today_and_doubt()?;
        if let Some(doubt) = doubt {
            answer::note(&doubt);
        }
        Ok(day)
    }

    /// The same, saying nothing.
    fn today_and_doubt(&self) -> Result<Today> {
        self.given_day.map_or_else(|| shell::today().map_err(Error::msg), |day| Ok(Today::given(day)))
    }
}

/// Runs the program with the given arguments.
pub fn run(args: impl IntoIterator<Item = OsString>) -> ExitCode {
    let args: Vec<OsString> = args.into_iter().collect();
    // Faults of usage are told as JSON too, so it is looked for before anything is read.
    let is_json = args.iter().skip(1).take_while(|arg| *arg != "--").any(|arg| arg == "--json");
    let cli = match args::parse(&args) {
        Ok(cli) => cli,
        Err(err) => {
            return match read::told(&err).or_else(|| slip::of_usage(&err, &args)) {
                Some(message) => answer::fail(&message, is_json),
                None => answer::usage(&err, is_json),
            };
        }
    };
    let book = CropBook::embedded().context("the crop book does not hold together");
    match book.and_then(|book| respond(cli, &Arc::new(book))) {
        Ok(answer) => answer.deliver(is_json),
        Err(err) => answer::fail(&answer::told(&err), is_json),
    }
}

/// What a run would print, without printing it and with a book that is read already: the answer, or the complaint.
/// For checks that make very many runs.
///
/// # Errors
/// The complaint, in words.
pub fn rehearse(args: impl IntoIterator<Item = OsString>, book: &Arc<CropBook>) -> Result<String, String> {
    let args: Vec<OsString> = args.into_iter().collect();
    let cli = args::parse(&args).map_err(|err| read::told(&err).unwrap_or_else(|| err.to_string()))?;
    respond(cli, book).map(Answer::into_text).map_err(|err| answer::told(&err))
}

fn respond(cli: Cli, book: &Arc<CropBook>) -> Result<Answer> {
    let common = Common { given_day: cli.today, is_ascii: cli.ascii, is_json: cli.json, book: Arc::clone(book) };
    let look = screen::Look { has_mouse: cli.mouse };
    match (cli.command, cli.file) {
        (Some(_), Some(file)) => {
            bail!("give the file after the command, as in `bedfellow check {}`", as_argument(&file.to_string_lossy()))
        }
        (None, file) => screen::open(&common, look, file),
        (Some(command), None) => match command {
            Command::Demo(args) => screen::demo(&common, look, &args),
            Command::New(args) => files::new(&common, &args),
            Command::Check(args) => check::run(&common, &args),
            Command::Free(args) => free::run(&common, &args),
            Command::Fit(args) => fit::run(&common, &args),
            Command::List(args) => list::run(&common, &args),
            Command::Export(what) => export::run(&common, &what),
            Command::Versions(args) => versions::run(&common, &args),
            Command::Crops(args) => crops::run(&common, &args),
            Command::Reckon(reckon) => match *reckon {
                Reckon::Plants(args) => reckon::plants(&common, &args),
                Reckon::Rotation(args) => reckon::rotation(&common, &args),
                Reckon::Family(args) => reckon::family(&common, &args),
                Reckon::Fit(args) => reckon::fit(&common, &args),
                Reckon::Share(args) => reckon::share(&common, &args),
                Reckon::Dates(args) => reckon::dates(&common, &args),
                Reckon::Daylight(args) => reckon::daylight(&common, &args),
                Reckon::Radiation(args) => reckon::radiation(&common, &args),
                Reckon::Evaporation(args) => reckon::evaporation(&common, &args),
                Reckon::Heat(args) => reckon::heat(&common, &args),
                Reckon::Emergence(args) => reckon::emergence(&common, &args),
                Reckon::Soak(args) => reckon::soak(&common, &args),
            },
        },
    }
}
