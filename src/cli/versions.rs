//! `versions`: earlier versions of a garden file and what was put aside beside it, and going back to one.

use std::path::Path;

use anyhow::{Context as _, Result, bail};
use serde::Serialize;

use super::Common;
use super::answer::Answer;
use super::args::VersionsArgs;
use crate::export::Page;
use crate::garden::{Differences, Garden, limits, replay};
use crate::store::{self, Access, Kept, Notice, Opened, PutAside, RealDisk, Save, SaveError, Saved};
use crate::tui::layers::versions::{YET_TO_COME, bytes};
use crate::tui::shell::{FromAside, garden_aside, now};
use crate::units::text::shown_path;
use crate::words::counted;

/// Places told of each version on paper; `--json` tells all.
const N_PLACES_TOLD: usize = 6;

#[derive(Serialize)]
struct Listed {
    file: String,
    waiting: Option<Waits>,
    versions: Vec<Told>,
    aside: Vec<ToldAside>,
}

/// Edits of the journal that are not in the file.
#[derive(Serialize)]
struct Waits {
    n_edits: usize,
    /// They are made upon what the file holds now.
    is_for_file: bool,
    for_version: Option<usize>,
}

#[derive(Serialize)]
struct ToldAside {
    number: usize,
    put_aside: String,
    what: String,
    path: String,
    n_beds: Option<usize>,
    n_plantings: Option<usize>,
    n_edits: Option<usize>,
    is_now: bool,
    would_change: Vec<Place>,
    error: Option<String>,
}

#[derive(Serialize)]
struct Told {
    number: usize,
    saved: String,
    is_yet_to_come: bool,
    n_bytes: u64,
    n_beds: Option<usize>,
    n_plantings: Option<usize>,
    is_now: bool,
    changed_since: Vec<Place>,
    error: Option<String>,
}

#[derive(Serialize)]
struct Place {
    place: String,
    changes: Vec<String>,
}

#[derive(Serialize)]
struct Restored {
    file: String,
    back_at: String,
    n_edits_kept: usize,
    n_edits_waiting: usize,
    put_aside: Option<String>,
}

/// Lists the versions and what was put aside, or goes back to one.
pub fn run(common: &Common, args: &VersionsArgs) -> Result<Answer> {
    match (args.restore, args.bring_back) {
        (Some(number), _) => restore(common, &args.file, number),
        (None, Some(number)) => bring_back(common, &args.file, number),
        (None, None) => list(common, &args.file),
    }
}

fn list(common: &Common, file: &Path) -> Result<Answer> {
    let versions = store::versions_of(file)?;
    // What stands in that folder's place and is left alone takes nothing from the versions.
    let aside = store::aside_of(file, limits::FILE_BYTES).unwrap_or_default();
    if versions.is_empty() && aside.is_empty() {
        // A name that was mistyped is no garden without versions.
        store::read_text(file, limits::FILE_BYTES)?;
    }
    // Without a readable file there is nothing to compare with; its versions matter all the more.
    let text = store::read_text(file, limits::FILE_BYTES).ok();
    let current = text.and_then(|text| Garden::from_ron(&text, "it").ok());
    let mut told = Vec::with_capacity(versions.len());
    for version in versions {
        let text = store::read_text(&version.path, limits::FILE_BYTES).map_err(anyhow::Error::from);
        let garden = text.and_then(|text| Ok(Garden::from_ron(&text, "it")?));
        told.push(Told {
            number: version.number,
            saved: version.stamp.to_string(),
            is_yet_to_come: version.stamp.is_after(now()),
            n_bytes: version.n_bytes,
            n_beds: garden.as_ref().ok().map(|garden| garden.beds.len()),
            n_plantings: garden.as_ref().ok().map(|garden| garden.plantings.len()),
            is_now: garden.as_ref().is_ok_and(|garden| current.as_ref() == Some(garden)),
            changed_since: match (&garden, &current) {
                (Ok(garden), Some(current)) => places(common, &Differences::from_to(garden, current)),
                _ => Vec::new(),
            },
            error: garden.err().map(|error| format!("{error:#}").lines().next().unwrap_or_default().to_owned()),
        });
    }
    let aside = aside.iter().map(|aside| told_aside(common, file, aside, current.as_ref())).collect();
    let waiting = store::journal_of(file, limits::FILE_BYTES).ok().filter(|waiting| waiting.n_records > 0);
    let waiting = waiting.map(|waiting| Waits {
        n_edits: waiting.n_records,
        is_for_file: waiting.is_for_file,
        for_version: waiting.for_version,
    });
    let listed = Listed { file: file.display().to_string(), waiting, versions: told, aside };
    Answer::of(common, &listed, |page| write(page, &listed))
}

fn told_aside(common: &Common, file: &Path, aside: &PutAside, now: Option<&Garden>) -> ToldAside {
    let read = store::read_aside_of(file, aside, limits::FILE_BYTES);
    let found = read.map_err(|error| error.reason()).and_then(|holds| {
        garden_aside(holds).map_err(|error| format!("{error:#}").lines().next().unwrap_or_default().to_owned())
    });
    let edits = found.as_ref().map_or_else(|_| String::new(), FromAside::edits);
    let garden = found.as_ref().ok().map(|found| &found.garden);
    ToldAside {
        number: aside.number,
        put_aside: aside.stamp.to_string(),
        what: format!("{aside}{edits}"),
        path: aside.path.display().to_string(),
        n_beds: garden.map(|garden| garden.beds.len()),
        n_plantings: garden.map(|garden| garden.plantings.len()),
        n_edits: found.as_ref().ok().and_then(|found| found.n_edits),
        is_now: garden.is_some_and(|garden| now == Some(garden)),
        would_change: match (now, garden) {
            (Some(now), Some(garden)) => places(common, &Differences::from_to(now, garden)),
            _ => Vec::new(),
        },
        error: found.err(),
    }
}

fn places(common: &Common, found: &Differences) -> Vec<Place> {
    let name_of = |id: &str| common.book.crop(id).map(|crop| crop.name.clone());
    let place = |part: &crate::garden::Part| Place {
        place: part.place.words(),
        changes: part.mine.iter().map(|change| change.words(&name_of)).collect(),
    };
    found.parts.iter().map(place).collect()
}

fn write(page: &mut Page, listed: &Listed) {
    let n = listed.versions.len() as u64;
    page.pieces(&[&format!("{}:", listed.file), &counted(n, "earlier version", "earlier versions")]);
    for told in &listed.versions {
        page.blank();
        let holds = holds_words(told.n_beds, told.n_plantings).unwrap_or_else(|| "cannot be read".to_owned());
        let now = if told.is_now { ", as the file is now" } else { "" };
        let head = format!("{}, {}, {holds}{now}", told.saved, bytes(told.n_bytes));
        page.paragraph(&format!("{:>4}  ", told.number), UNDER, &head);
        if told.is_yet_to_come {
            page.paragraph(UNDER, UNDER, YET_TO_COME);
        }
        if let Some(error) = &told.error {
            page.paragraph(UNDER, UNDER, error);
        }
        write_places(page, "since then ", &told.changed_since);
    }
    if let Some(waiting) = &listed.waiting {
        page.blank();
        let edits = counted(waiting.n_edits as u64, "edit waits", "edits wait");
        let them = them(waiting.n_edits);
        page.paragraph(
            "",
            "",
            &match waiting.for_version {
                _ if waiting.is_for_file => {
                    format!("{edits} in the journal: opening the garden full screen brings {them} back")
                }
                Some(number) => {
                    format!(
                        "{edits} in the journal for version {number}: --restore {number} brings {them} back with it"
                    )
                }
                None => format!("{edits} in the journal for something that is no longer kept"),
            },
        );
    }
    if listed.aside.is_empty() {
        return;
    }
    page.blank();
    page.line("put aside, to be brought back by --bring-back and its number:");
    for told in &listed.aside {
        page.blank();
        let holds = holds_words(told.n_beds, told.n_plantings).map_or_else(String::new, |words| format!(", {words}"));
        let now = if told.is_now { ", as the file is now" } else { "" };
        let head = format!("{}, {}{holds}{now}", told.put_aside, told.what);
        page.paragraph(&format!("{:>4}  ", told.number), UNDER, &head);
        page.pieces(&[&format!("{UNDER}{}", told.path)]);
        if let Some(error) = &told.error {
            page.paragraph(UNDER, UNDER, error);
        }
        write_places(page, "would change ", &told.would_change);
    }
}

const UNDER: &str = "      ";

fn them(n: usize) -> &'static str {
    if n == 1 { "it" } else { "them" }
}

fn holds_words(n_beds: Option<usize>, n_plantings: Option<usize>) -> Option<String> {
    let beds = counted(n_beds? as u64, "bed", "beds");
    Some(format!("{beds}, {}", counted(n_plantings? as u64, "planting", "plantings")))
}

fn write_places(page: &mut Page, before: &str, places: &[Place]) {
    for place in places.iter().take(N_PLACES_TOLD) {
        page.paragraph(UNDER, UNDER, &format!("{before}{}: {}", place.place, place.changes.join("; ")));
    }
    let n_more = places.len().saturating_sub(N_PLACES_TOLD);
    if n_more > 0 {
        page.paragraph(UNDER, UNDER, &format!("and in {}", counted(n_more as u64, "more place", "more places")));
    }
}

fn restore(common: &Common, file: &Path, number: usize) -> Result<Answer> {
    let versions = store::versions_of(file)?;
    let n = versions.len();
    let Some(version) = versions.into_iter().find(|version| version.number == number) else {
        bail!("{} has no earlier version {number}; `bedfellow versions` lists the {n} it has", shown_path(file));
    };
    let text = store::read_text(&version.path, limits::FILE_BYTES)?;
    Garden::from_ron(&text, &version.path.display().to_string())?;
    let again = format!("the garden of {}", version.stamp);
    go_to(common, file, text, version.stamp.to_string(), &again)
}

fn bring_back(common: &Common, file: &Path, number: usize) -> Result<Answer> {
    let aside = store::aside_of(file, limits::FILE_BYTES)?;
    let n = aside.len();
    let Some(aside) = aside.into_iter().find(|aside| aside.number == number) else {
        bail!(
            "{} has nothing put aside under {number}; `bedfellow versions` lists the {n} there are",
            shown_path(file)
        );
    };
    let found = garden_aside(store::read_aside_of(file, &aside, limits::FILE_BYTES)?)
        .with_context(|| format!("{} cannot be brought back", shown_path(&aside.path)))?;
    let again = format!("what was put aside {}, {aside}{},", aside.stamp, found.edits());
    go_to(common, file, found.garden.to_ron(), aside.stamp.to_string(), &again)
}

/// Writes a garden into the file, whatever stands there; `again` says which.
fn go_to(common: &Common, file: &Path, text: String, back_at: String, again: &str) -> Result<Answer> {
    let mut restored =
        Restored { file: file.display().to_string(), back_at, n_edits_kept: 0, n_edits_waiting: 0, put_aside: None };
    let mut remarks = Vec::new();
    // What cannot be opened, or has a journal made upon something else, is put out of the way without being opened.
    let is_for_file = store::journal_of(file, limits::FILE_BYTES).map_or(true, |waiting| waiting.is_for_file);
    let was_there = std::fs::symlink_metadata(file).is_ok();
    if is_for_file && store::read_text(file, limits::FILE_BYTES).is_ok_and(|text| is_garden(&text)) {
        restored.n_edits_kept = go_back(file, &text, &mut remarks)?;
    } else {
        put_back(file, text, &mut restored, &mut remarks)?;
    }
    let answer = Answer::of(common, &restored, |page| {
        page.pieces(&[&restored.file, &format!("is {again} again")]);
        let edits = |n: usize| counted(n as u64, "edit", "edits");
        if restored.n_edits_kept > 0 {
            page.line(&format!(
                "{} that waited in the journal went into the version before it",
                edits(restored.n_edits_kept)
            ));
        }
        if restored.n_edits_waiting > 0 {
            page.line(&format!(
                "made upon it and not saved yet: {}; opening it brings {} back",
                edits(restored.n_edits_waiting),
                them(restored.n_edits_waiting)
            ));
        }
        match &restored.put_aside {
            Some(aside) => page.pieces(&["what stood there could not be read and is kept as", aside]),
            None if was_there => page.line("what the file held before is among the earlier versions"),
            None => {}
        }
    })?;
    Ok(answer.with_remarks(remarks))
}

/// An error in words unless the file is ours to write.
fn check_ours(kept: &Kept, file: &Path) -> Result<()> {
    match kept.access() {
        Access::Ours => Ok(()),
        Access::ReadOnly(holder) => bail!("{} is open in {holder}; close it there first", shown_path(file)),
        Access::NewerJournal { format } => {
            bail!(
                "a newer bedfellow has edits waiting for {} (journal format {format}); use that one",
                shown_path(file)
            )
        }
        Access::Barred(why) => bail!("{} is left as it is: {why}", shown_path(file)),
        Access::Unguarded(why) => bail!("{} cannot be locked, so it is left as it is: {why}", shown_path(file)),
    }
}

/// Writes a version into the place of whatever stands there, or of nothing. Edits that wait for just that version go on waiting.
fn put_back(file: &Path, text: String, restored: &mut Restored, remarks: &mut Vec<String>) -> Result<()> {
    let Opened { mut kept, records, notices, .. } =
        Kept::open_for(file, text, limits::FILE_BYTES, now(), Box::new(RealDisk))?;
    kept.know_ours(is_garden);
    check_ours(&kept, file)?;
    tell(&notices, remarks);
    let saved = told(kept.put_back(now()), file, remarks)?;
    restored.n_edits_waiting = records.len();
    restored.put_aside = saved.aside.map(|path| shown_path(&path));
    Ok(())
}

/// Whether a text is a garden of ours, so that it may become a version.
fn is_garden(text: &str) -> bool {
    Garden::from_ron(text, "it").is_ok()
}

fn tell(notices: &[Notice], remarks: &mut Vec<String>) {
    let told = |notice: &&Notice| !matches!(notice, Notice::Waiting { .. });
    remarks.extend(notices.iter().filter(told).map(ToString::to_string));
}

/// Writes a version into a file that is there; what the journal still holds is saved as a version first. Returns how many edits
/// that was.
fn go_back(file: &Path, text: &str, remarks: &mut Vec<String>) -> Result<usize> {
    let Opened { mut kept, text: before, records, notices, .. } =
        Kept::open(file, limits::FILE_BYTES, now(), Box::new(RealDisk))?;
    check_ours(&kept, file)?;
    tell(&notices, remarks);
    let mut n_kept = 0;
    if !records.is_empty() {
        n_kept = match Garden::from_ron(&before, "it") {
            Ok(mut garden) => {
                let (n_kept, is_whole) = match replay(&mut garden, &records) {
                    Ok(made) => (made.len(), true),
                    Err((place, _)) => (place, false),
                };
                if !is_whole {
                    remarks.push(kept.stop_replay_at(n_kept, now()).to_string());
                }
                save(&mut kept, &garden.to_ron(), file, remarks)?;
                n_kept
            }
            Err(_) => {
                remarks.push(kept.stop_replay_at(0, now()).to_string());
                0
            }
        };
    }
    save(&mut kept, text, file, remarks)?;
    Ok(n_kept)
}

fn save(kept: &mut Kept, text: &str, file: &Path, remarks: &mut Vec<String>) -> Result<()> {
    told(kept.save(text, now(), Save::Asked), file, remarks).map(drop)
}

/// What is to be told of a save; why there was none.
fn told(saved: Result<Saved, SaveError>, file: &Path, remarks: &mut Vec<String>) -> Result<Saved> {
    match saved {
        Ok(saved) => {
            if saved.not_kept.is_any() {
                remarks.push(format!("{}: {}", shown_path(file), saved.not_kept));
            }
            remarks.extend(saved.trouble.iter().map(ToString::to_string));
            Ok(saved)
        }
        Err(SaveError::Linked { n_names }) => bail!(
            "{} is one of {n_names} names of the same file (hard links), and going back would part it from the others; \
             rename it first, then the version is written to a new file of that name",
            shown_path(file)
        ),
        Err(SaveError::Store(error)) => Err(error.into()),
        Err(_) => Err(anyhow::anyhow!("something else is changing the file just now")).context("nothing is restored"),
    }
}
