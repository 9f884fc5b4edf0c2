//! What was put aside beside a file: listed, and read as what it is. Nothing here is ever deleted by the program.

use std::ffi::OsStr;
use std::fmt;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::Stamp;
use super::beside::{Beside, is_plain};
use super::disk::{Disk, RealDisk};
use super::error::StoreError;
use super::lines::{self, Fingerprint, Found, Journalled, Tail};
use super::versions;
use super::whole;

/// What the contents that edits put aside were made upon are called there.
pub(super) const BASE: &str = "base";

/// One thing put aside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PutAside {
    /// 1 is the newest.
    pub number: usize,
    /// When it was put aside.
    pub stamp: Stamp,
    /// What it is, as its name says: `mine`, `of-other-contents`.
    pub what: String,
    /// Its length; 0 if it is no file.
    pub n_bytes: u64,
    /// Where it stands.
    pub path: PathBuf,
}

/// What something put aside holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Holds {
    /// A text of its own.
    Text(String),
    /// Edits, to be made in order upon a text.
    Edits {
        /// That text.
        base: String,
        /// The edits.
        records: Vec<String>,
    },
}

/// In the grower's words.
impl fmt::Display for PutAside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self.what.as_str() {
            "mine" => "your garden",
            "of-other-contents" => "edits that did not fit the file",
            "not-saved" => "edits not saved here",
            "damaged" => "a damaged journal",
            "does-not-fit" => "a journal that stopped fitting",
            "other-journal" | "no-journal" => "what stood in the journal's place",
            "unreadable" => "what stood in the file's place",
            BASE => "what edits were made upon",
            other => other,
        })
    }
}

/// What was put aside beside a file, newest first, without its lock.
///
/// # Errors
/// See [`StoreError`].
pub fn aside_of(path: &Path, limit_bytes: u64) -> Result<Vec<PutAside>, StoreError> {
    let disk = &RealDisk;
    list(disk, &Beside::of(disk, path)?, limit_bytes)
}

/// What one thing put aside beside a file holds.
///
/// # Errors
/// It cannot be read, is a journal of which nothing is good, or what its edits were made on is no longer kept.
pub fn read_aside_of(path: &Path, aside: &PutAside, limit_bytes: u64) -> Result<Holds, StoreError> {
    let disk = &RealDisk;
    read(disk, &Beside::of(disk, path)?, aside, limit_bytes)
}

/// Everything there that bears such a name as we give, contents that serve edits there left out: those are told with the edits.
pub(super) fn list(disk: &dyn Disk, beside: &Beside, limit_bytes: u64) -> Result<Vec<PutAside>, StoreError> {
    let all = everything(disk, beside)?;
    let bases: Vec<&PutAside> = all.iter().filter(|aside| aside.what == BASE).collect();
    let mut serving: Vec<PathBuf> = Vec::new();
    if !bases.is_empty() {
        for aside in all.iter().filter(|aside| aside.what != BASE) {
            let Some(Found::Journal(journal)) = journal_in(disk, aside, limit_bytes) else { continue };
            let of_it = bases.iter().filter(|base| first_after(disk, &journal, base, limit_bytes).is_some());
            serving.extend(of_it.map(|base| base.path.clone()));
        }
    }
    let mut listed: Vec<PutAside> = all.into_iter().filter(|aside| !serving.contains(&aside.path)).collect();
    for (aside, number) in listed.iter_mut().zip(1..) {
        aside.number = number;
    }
    Ok(listed)
}

fn everything(disk: &dyn Disk, beside: &Beside) -> Result<Vec<PutAside>, StoreError> {
    let folder = beside.aside();
    match beside.is_there(disk) {
        Ok(true) => {}
        Ok(false) => return Ok(Vec::new()),
        Err(source) => return Err(StoreError::Read { path: folder, source }),
    }
    let names = match disk.list(&folder) {
        Ok(names) => names,
        Err(error) if matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory) => return Ok(Vec::new()),
        Err(source) => return Err(StoreError::Read { path: folder, source }),
    };
    let mut found = Vec::new();
    for name in names {
        let Some((stamp, turn, what)) = read_name(&name) else { continue };
        let path = folder.join(name);
        // Somebody may just have taken it away.
        let Ok(about) = disk.about(&path) else { continue };
        let n_bytes = if about.is_file() { about.n_bytes } else { 0 };
        found.push((turn, PutAside { number: 0, stamp, what, n_bytes, path }));
    }
    found.sort_by_key(|(turn, aside)| std::cmp::Reverse((aside.stamp, *turn)));
    Ok(found.into_iter().map(|(_, aside)| aside).collect())
}

/// As [`read_aside_of`].
pub(super) fn read(disk: &dyn Disk, beside: &Beside, aside: &PutAside, limit_bytes: u64) -> Result<Holds, StoreError> {
    let (bytes, _) = whole::read_bytes(disk, &aside.path, limit_bytes)?;
    let Found::Journal(journal) = lines::read(&bytes) else {
        return whole::text_of(&aside.path, bytes).map(Holds::Text);
    };
    let versions = versions::list(disk, beside).unwrap_or_default();
    let with_version = versions::latest_of(disk, &versions, &journal, limit_bytes);
    let with_aside = everything(disk, beside)?.into_iter().filter(|other| other.what == BASE).filter_map(|base| {
        let first = first_after(disk, &journal, &base, limit_bytes)?;
        Some((base.path, first))
    });
    // The later contents have led to by all edits before.
    let found = with_aside.chain(with_version.map(|(version, first)| (version.path.clone(), first)));
    let Some((base, first)) = found.max_by_key(|(_, first)| *first) else {
        return Err(StoreError::NoBase { path: aside.path.clone() });
    };
    let records: Vec<String> = journal.records_from(first).map(str::to_owned).collect();
    if records.is_empty() && journal.tail == Tail::Damaged {
        return Err(StoreError::NothingGood { path: aside.path.clone() });
    }
    Ok(Holds::Edits { base: whole::read_text(disk, &base, limit_bytes)?.0, records })
}

fn journal_in(disk: &dyn Disk, aside: &PutAside, limit_bytes: u64) -> Option<Found> {
    let (bytes, _) = whole::read_bytes(disk, &aside.path, limit_bytes).ok()?;
    Some(lines::read(&bytes))
}

/// The line of a journal after which its records belong to these contents.
fn first_after(disk: &dyn Disk, journal: &Journalled, base: &PutAside, limit_bytes: u64) -> Option<usize> {
    if !journal.contents().any(|(contents, _)| contents.n_bytes() == base.n_bytes) {
        return None;
    }
    let (bytes, _) = whole::read_bytes(disk, &base.path, limit_bytes).ok()?;
    journal.first_to_replay(Fingerprint::of(&bytes))
}

/// Keeps contents that edits put aside are made upon, unless they stand there already.
pub(super) fn keep_base(disk: &dyn Disk, beside: &Beside, bytes: &[u8], now: Stamp) -> Result<(), StoreError> {
    let is_there = everything(disk, beside)?
        .iter()
        .filter(|aside| aside.what == BASE && aside.n_bytes == bytes.len() as u64)
        .any(|aside| whole::read_bytes(disk, &aside.path, aside.n_bytes).is_ok_and(|(there, _)| there == bytes));
    if !is_there {
        beside.put_aside(disk, BASE, bytes, now)?;
    }
    Ok(())
}

/// `20270301T081500Z-mine` and `20270301T081500Z-2-mine`: when, which of one second, and what.
fn read_name(name: &OsStr) -> Option<(Stamp, u32, String)> {
    let (stamp, rest) = name.to_str()?.split_once('-')?;
    // Other names are none of ours, and may hold anything.
    let stamp = Stamp::from_file_name(stamp).filter(|_| rest.chars().all(is_plain))?;
    let numbered = rest.split_once('-').and_then(|(turn, what)| Some((turn.parse().ok()?, what)));
    let (turn, what) = numbered.unwrap_or((1, rest));
    Some((stamp, turn, what.to_owned()))
}
