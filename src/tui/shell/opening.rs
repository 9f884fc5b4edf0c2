//! Opening a garden file with its lock and journal: the session it gives, and what the grower is told about it.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use super::clock::now;
use crate::climate::Weather;
use crate::crops::CropBook;
use crate::garden::{Garden, Undo, limits};
use crate::season::{Plan, Replayed, Sitting};
use crate::store::{self, Access, Fresh, Holder, Kept, Notice, Opened, RealDisk, TrailEnd, Waiting};
use crate::tui::Session;
use crate::tui::layers::notices::{self, Line};
use crate::tui::session::{HeldBy, Keeping};
use crate::words::counted;

/// A garden file opened and read.
#[derive(Debug)]
pub struct Found {
    /// Its path, as given.
    pub path: PathBuf,
    /// The file with its journal.
    pub opened: Opened,
    /// The garden in it.
    pub garden: Garden,
    /// The weather records it names.
    pub weather: Option<Arc<Weather>>,
}

/// Reads the weather records that the garden of a file names.
pub type WeatherOf = fn(&Garden, &Path) -> anyhow::Result<Option<Arc<Weather>>>;

/// Opens a garden file with its lock and journal, and reads it. Nothing is created beside a file that holds no garden.
///
/// # Errors
/// The file cannot be read, or its contents contradict each other. The message is that of the room which read it, and names
/// earlier versions if there are any.
pub fn find(path: &Path, weather_of: WeatherOf) -> anyhow::Result<Found> {
    let name = path.display().to_string();
    let read = |text: &str| Garden::from_ron(text, &name);
    let text = store::read_text(path, limits::FILE_BYTES).map_err(|error| with_way_back(error.into(), path))?;
    let garden = read(&text).map_err(|error| with_way_back(error.into(), path))?;
    let opened = Kept::open(path, limits::FILE_BYTES, now(), Box::new(RealDisk))?;
    // Another program may have saved before we got the lock.
    let garden = if opened.text == text { garden } else { read(&opened.text)? };
    let weather = weather_of(&garden, path)?;
    Ok(Found { path: path.to_owned(), opened, garden, weather })
}

/// Says why a file cannot be used, and how to go back to an earlier version if there is one.
fn with_way_back(error: anyhow::Error, path: &Path) -> anyhow::Error {
    let n = store::versions_of(path).map_or(0, |versions| versions.len());
    if n == 0 {
        return error;
    }
    let versions = counted(n as u64, "earlier version of it is", "earlier versions of it are");
    let name = crate::units::text::as_argument(&path.to_string_lossy());
    if let Ok(Waiting { n_records, is_for_file: false, for_version: Some(number) }) =
        store::journal_of(path, limits::FILE_BYTES)
    {
        let edits = counted(n_records as u64, "edit waits", "edits wait");
        return anyhow::anyhow!(
            "{}\nhelp: {versions} kept, and {edits} for version {number}: `bedfellow versions --restore {number} {name}` goes back to it, \
             and with it they come back; `bedfellow versions {name}` lists",
            error.to_string().trim_end()
        );
    }
    anyhow::anyhow!(
        "{}\nhelp: {versions} kept; `bedfellow versions {name}` lists, `bedfellow versions --restore 1 {name}` goes back",
        error.to_string().trim_end()
    )
}

/// The session on an opened file, the file itself, and what the grower is to be told about it.
pub(super) fn begin(found: Found, book: &Arc<CropBook>, today: NaiveDate) -> (Kept, Session, Vec<Line>) {
    let Found { path, opened, garden, weather } = found;
    let Opened { mut kept, records, trail, notices: said, .. } = opened;
    let (sitting, replayed) = Sitting::reopened(garden, book, weather, Undo::of_kept(trail.steps), &records);
    let mut session = Session::reopened(sitting, path, today);
    session.end_undo_for(why_it_ends(trail.end).as_deref());
    let mut lines = Vec::new();
    stand(&mut session, kept.access(), &mut lines);
    tell_replay(replayed, records.len(), &mut kept, &mut lines);
    tell(&said, &mut lines);
    (kept, session, lines)
}

/// Whether a text is a garden: only then may it be kept as a version.
pub(super) fn is_garden(text: &str) -> bool {
    Garden::from_ron(text, "it").is_ok()
}

/// Puts a doubt about the clock before whatever else is told at an opening.
pub(super) fn with_doubt(doubt: Option<&str>, lines: Vec<Line>) -> Vec<Line> {
    let mut told: Vec<Line> = doubt.map(|why| Line::trouble(&sentence(why))).into_iter().collect();
    if !lines.is_empty() {
        apart(&mut told);
    }
    told.extend(lines);
    told
}

/// Notes the state of the file in the session, and tells the grower if it is unusual.
fn stand(session: &mut Session, access: &Access, lines: &mut Vec<Line>) {
    session.keeping = Keeping::default();
    match access {
        Access::Ours => {}
        Access::ReadOnly(holder) => {
            let held = held_by(holder);
            lines.extend(notices::open_elsewhere(&held));
            session.keeping.held_by = Some(held);
        }
        Access::Barred(why) => {
            lines.extend(notices::barred(why));
            session.keeping.barred = Some(barred(why));
        }
        Access::NewerJournal { format } => {
            lines.extend(notices::newer_journal(*format));
            session.keeping.newer_journal = Some(format!(
                "its journal was written by a newer bedfellow (format {format}); S saves it under another name"
            ));
        }
        Access::Unguarded(why) => {
            lines.extend(notices::unguarded(why));
            session.keeping.unguarded = Some(why.clone());
        }
    }
}

/// Passes on the notices of the store; edits that waited in the journal are listed by title.
pub(super) fn tell(said: &[Notice], lines: &mut Vec<Line>) {
    for notice in said.iter().filter(|notice| !matches!(notice, Notice::Waiting { .. })) {
        apart(lines);
        lines.push(Line::trouble(&sentence(&notice.to_string())));
    }
}

/// The session on a file that was reread when it was taken over.
pub(super) fn begin_again(fresh: &Fresh, kept: &mut Kept, session: &mut Session, plan: Plan) -> Vec<Line> {
    let mut lines = Vec::new();
    session.show_instead(plan);
    session.go_on_with(Undo::of_kept(fresh.trail.steps.clone()));
    session.end_undo_for(why_it_ends(fresh.trail.end.clone()).as_deref());
    stand(session, kept.access(), &mut lines);
    tell_replay(session.replay(&fresh.records), fresh.records.len(), kept, &mut lines);
    tell(&fresh.notices, &mut lines);
    lines
}

fn why_it_ends(end: Option<TrailEnd>) -> Option<String> {
    end.map(|end| end.to_string())
}

/// Lists the journal's edits that were replayed, and cuts the journal off after them.
fn tell_replay(replayed: Replayed, n_records: usize, kept: &mut Kept, lines: &mut Vec<Line>) {
    if !replayed.titles.is_empty() {
        lines.extend(notices::came_back(&replayed.titles));
    }
    if let Some((place, why)) = replayed.stopped {
        apart(lines);
        let n = counted((n_records - place) as u64, "edit of the journal was", "edits of the journal were");
        lines.push(Line::trouble(&format!("{n} not made again: {why}.")));
        match kept.stop_replay_at(place, now()) {
            // The record is readable; it just does not apply.
            Notice::Damaged { aside: Some(aside), .. } => {
                lines.push(Line::plain(&format!("The whole journal is kept as {}", shown(&aside))));
            }
            other => tell(&[other], lines),
        }
    }
}

/// Whoever holds the lock, as the screen names them.
pub(super) fn held_by(holder: &Holder) -> HeldBy {
    let who = holder.to_string();
    let reason = format!("open elsewhere; S saves it under another name ({who})");
    HeldBy { who, reason, has_gone: false }
}

/// Why edits are refused in a read-only garden, and what can be done about it.
pub(super) fn barred(why: &str) -> String {
    format!("{why}; S saves it under another name")
}

fn apart(lines: &mut Vec<Line>) {
    if !lines.is_empty() {
        lines.push(Line::plain(""));
    }
}

/// With a capital and a full stop.
fn sentence(words: &str) -> String {
    let mut signs = words.chars();
    let first = signs.next().map(|first| first.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", signs.as_str())
}

/// A path made safe to show: file names come from outside just as contents do.
pub(super) fn shown(path: &Path) -> String {
    crate::units::text::shown(&path.to_string_lossy()).into_owned()
}
