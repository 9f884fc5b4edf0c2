//! What a command answers, and how it reaches the streams: whole, and never a panic on a closed pipe.

use std::borrow::Cow;
use std::io::{self, Write as _};
use std::process::ExitCode;

use anyhow::{Context as _, Result};
use serde::Serialize;

use super::Common;
use crate::export::Page;
use crate::units::text::{json_escaped, shown};

/// Cells in a line of an answer.
pub const ANSWER_WIDTH: usize = 100;

/// No breach was found.
const CLEAN: u8 = 0;
/// A breach was found.
const BREACH: u8 = 1;
/// The input cannot be used.
const UNUSABLE: u8 = 2;

/// Takes whole lines, or pieces of one line of JSON, and brings them to the reader.
pub type Say<'a> = dyn FnMut(&str) -> io::Result<()> + 'a;

/// Says an answer piece by piece.
type Tell = Box<dyn FnOnce(&mut Say<'_>) -> io::Result<()>>;

enum Body {
    Whole(String),
    /// Too long to be kept whole.
    Told(Tell),
}

/// What a command has to say.
pub struct Answer {
    body: Body,
    remarks: Vec<String>,
    has_breach: bool,
}

#[derive(Serialize)]
struct Fault<'a> {
    error: &'a str,
}

impl Answer {
    /// Text as it is.
    pub fn text(text: String) -> Self {
        Self::with_body(Body::Whole(text))
    }

    /// Told piece by piece, and never whole in memory, once it is asked for: for an answer that grows with the garden.
    pub fn told(tell: impl FnOnce(&mut Say<'_>) -> io::Result<()> + 'static) -> Self {
        Self::with_body(Body::Told(Box::new(tell)))
    }

    fn with_body(body: Body) -> Self {
        Self { body, remarks: Vec::new(), has_breach: false }
    }

    /// `value` as JSON, or what `write` puts on a page for a reader.
    pub fn of<T: Serialize>(common: &Common, value: &T, write: impl FnOnce(&mut Page)) -> Result<Self> {
        if common.is_json {
            let line = serde_json::to_string(value).context("the answer cannot be written as JSON")?;
            return Ok(Self::text(json_escaped(line) + "\n"));
        }
        let mut page = Page::new(ANSWER_WIDTH, common.is_ascii);
        write(&mut page);
        Ok(Self::text(page.into_text()))
    }

    /// With exit code 1 if there is a breach.
    #[must_use]
    pub fn with_breach(self, has_breach: bool) -> Self {
        Self { has_breach, ..self }
    }

    /// With a remark for standard error.
    #[must_use]
    pub fn with_remarks(mut self, remarks: Vec<String>) -> Self {
        self.remarks.extend(remarks);
        self
    }

    /// Its text alone, whole.
    pub fn into_text(self) -> String {
        let mut whole = String::new();
        match self.body {
            Body::Whole(text) => whole = text,
            Body::Told(tell) => {
                let mut say = |text: &str| {
                    whole.push_str(text);
                    Ok(())
                };
                // A string takes all.
                let _ = tell(&mut say);
            }
        }
        whole
    }

    /// Prints it. A reader that has gone away (`| head`) has had what it wanted.
    pub fn deliver(self, is_json: bool) -> ExitCode {
        for remark in &self.remarks {
            complain("note", remark);
        }
        let mut out = io::BufWriter::new(io::stdout().lock());
        let mut say = |text: &str| out.write_all(lines_shown(text).as_bytes());
        let said = match self.body {
            Body::Whole(text) => say(&text),
            Body::Told(tell) => tell(&mut say),
        };
        match said.and_then(|()| out.flush()) {
            Err(err) if err.kind() != io::ErrorKind::BrokenPipe => {
                fail(&format!("cannot write the answer to standard output: {err}"), is_json)
            }
            _ => ExitCode::from(if self.has_breach { BREACH } else { CLEAN }),
        }
    }
}

/// A fault with its causes; a cause that the fault has told already is not told again.
pub fn told(err: &anyhow::Error) -> String {
    let mut text = String::new();
    for cause in err.chain().map(ToString::to_string) {
        if text.is_empty() {
            text = cause;
        } else if !text.contains(&cause) {
            text = format!("{text}: {cause}");
        }
    }
    text.strip_prefix("error: ").map(str::to_owned).unwrap_or(text)
}

/// One fault, for the person, or as one line of JSON for a script.
pub fn fail(message: &str, is_json: bool) -> ExitCode {
    match serde_json::to_string(&Fault { error: &lines_shown(message) }) {
        // Without standard error there is nobody to tell.
        Ok(line) if is_json => drop(io::stderr().write_all((json_escaped(line) + "\n").as_bytes())),
        _ => complain("error", message),
    }
    ExitCode::from(UNUSABLE)
}

/// Help and version as clap writes them; a fault of usage in one line.
pub fn usage(err: &clap::Error, is_json: bool) -> ExitCode {
    use clap::error::ErrorKind;
    match err.kind() {
        ErrorKind::DisplayHelp | ErrorKind::DisplayVersion => Answer::text(err.to_string()).deliver(is_json),
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand if !is_json => {
            // Without standard error there is nobody to tell.
            let _ = io::stderr().write_all(lines_shown(&err.to_string()).as_bytes());
            ExitCode::from(UNUSABLE)
        }
        ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => fail("a command is missing; see --help", is_json),
        _ => fail(&one_line(&err.to_string()), is_json),
    }
}

/// The fault and the tip of a usage message, without the usage itself.
fn one_line(message: &str) -> String {
    let paragraphs = message.split("\n\n").map(|paragraph| {
        let lines: Vec<&str> = paragraph.lines().map(str::trim).collect();
        lines.join(" ")
    });
    let told: Vec<String> = paragraphs
        .filter(|text| !text.starts_with("Usage:") && !text.starts_with("For more information"))
        .map(|text| text.trim_start_matches("error: ").trim_start_matches("tip: ").to_owned())
        .filter(|text| !text.is_empty())
        .collect();
    format!("{}; see --help", told.join("; "))
}

/// A remark that does not wait for the answer.
pub fn note(message: &str) {
    complain("note", message);
}

/// Writes to standard error; if that is closed there is nobody to tell.
fn complain(kind: &str, message: &str) {
    let text = format!("{kind}: {}\n", message.trim_end_matches('\n'));
    let _ = io::stderr().write_all(lines_shown(&text).as_bytes());
}

/// The text with its lines kept and everything in them made harmless: the last gate before a stream. What comes from
/// outside has lost its line ends before.
fn lines_shown(text: &str) -> Cow<'_, str> {
    let is_harmless = text.split('\n').all(|line| matches!(shown(without_return(line)), Cow::Borrowed(_)));
    if is_harmless {
        return text.into();
    }
    let lines = text.split('\n').map(|line| {
        let kept = without_return(line);
        shown(kept).into_owned() + &line[kept.len()..]
    });
    lines.collect::<Vec<_>>().join("\n").into()
}

/// The return of a line end CRLF moves the cursor where the line end does anyway.
fn without_return(line: &str) -> &str {
    line.strip_suffix('\r').unwrap_or(line)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cause_is_told_once() {
        let err = anyhow::anyhow!("no such file").context("cannot read a.ron: no such file").context("--garden");
        assert_eq!(told(&err), "--garden: cannot read a.ron: no such file");
    }

    #[test]
    fn lines_stay_and_nothing_else_steers() {
        assert!(matches!(lines_shown("two\nlines\n"), Cow::Borrowed(_)));
        assert_eq!(lines_shown("a\u{1b}[2J\r\nb\tc\n"), "a␛[2J\r\nb␉c\n");
    }

    #[test]
    fn a_fault_of_usage_becomes_one_line_with_its_tip() {
        let message = "error: unrecognized subcommand 'plant'\n\n  tip: a similar subcommand exists: 'plants'\n\n\
                       Usage: bedfellow reckon <COMMAND>\n\nFor more information, try '--help'.\n";
        assert_eq!(
            one_line(message),
            "unrecognized subcommand 'plant'; a similar subcommand exists: 'plants'; see --help"
        );
    }
}
