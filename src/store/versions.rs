//! Earlier versions of a file: the last ten that were saved.

use std::ffi::OsStr;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::Stamp;
use super::beside::Beside;
use super::disk::{About, Disk, RealDisk};
use super::error::StoreError;
use super::lines::{Fingerprint, Journalled};
use super::whole;

/// How many are kept; a starting value.
const N_KEPT: usize = 10;

/// One earlier version.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Version {
    /// 1 is the newest.
    pub number: usize,
    /// When it was kept.
    pub stamp: Stamp,
    /// Its length.
    pub n_bytes: u64,
    /// Where it stands.
    pub path: PathBuf,
}

/// The versions kept of a file, newest first, without its lock. None if the file was never kept.
///
/// # Errors
/// See [`StoreError`].
pub fn versions_of(path: &Path) -> Result<Vec<Version>, StoreError> {
    list(&RealDisk, &Beside::of(&RealDisk, path)?)
}

/// The text of one version of a file, without its lock. 1 is the newest.
///
/// # Errors
/// [`StoreError::NoVersion`], or what [`read_text`](super::read_text) says.
pub fn read_version_of(path: &Path, number: usize, limit_bytes: u64) -> Result<String, StoreError> {
    read(&RealDisk, &Beside::of(&RealDisk, path)?, path, number, limit_bytes)
}

/// As [`versions_of`].
pub(super) fn list(disk: &dyn Disk, beside: &Beside) -> Result<Vec<Version>, StoreError> {
    let folder = beside.versions();
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
        let Some(named) = Named::read(&name) else { continue };
        let path = folder.join(name);
        // Somebody may just have removed it; a folder or a link is none of ours.
        let Some(about) = disk.about(&path).ok().filter(About::is_file) else { continue };
        found.push((named, Version { number: 0, stamp: named.stamp, n_bytes: about.n_bytes, path }));
    }
    found.sort_by_key(|(named, _)| std::cmp::Reverse(*named));
    let numbered = (1..).zip(found).map(|(number, (_, version))| Version { number, ..version });
    Ok(numbered.collect())
}

/// As [`read_version_of`].
pub(super) fn read(
    disk: &dyn Disk,
    beside: &Beside,
    path: &Path,
    number: usize,
    limit_bytes: u64,
) -> Result<String, StoreError> {
    let versions = list(disk, beside)?;
    match number.checked_sub(1).and_then(|at| versions.get(at)) {
        Some(version) => whole::read_text(disk, &version.path, limit_bytes).map(|(text, _)| text),
        None => Err(StoreError::NoVersion { path: path.to_owned(), number, n_versions: versions.len() }),
    }
}

/// The version that holds these bytes.
pub(super) fn holding<'v>(disk: &dyn Disk, versions: &'v [Version], bytes: &[u8]) -> Option<&'v Version> {
    let n_bytes = bytes.len() as u64;
    versions
        .iter()
        .filter(|version| version.n_bytes == n_bytes)
        .find(|version| whole::read_bytes(disk, &version.path, n_bytes).is_ok_and(|(read, _)| read == bytes))
}

/// The latest contents that a journal passed through and a version holds: that version, and the line of the journal after which
/// records belong to it.
pub(super) fn latest_of<'a>(
    disk: &dyn Disk,
    versions: &'a [Version],
    journal: &Journalled,
    limit_bytes: u64,
) -> Option<(&'a Version, usize)> {
    // Each is read once, and not for each of the contents: a journal may have passed through very many.
    let of = |version: &'a Version| {
        let (read, _) = whole::read_bytes(disk, &version.path, limit_bytes).ok()?;
        Some((Fingerprint::of(&read), version))
    };
    let held: Vec<(Fingerprint, &Version)> = versions.iter().filter_map(of).collect();
    journal.contents().find_map(|(wanted, first)| {
        let (_, version) = held.iter().find(|(fingerprint, _)| *fingerprint == wanted)?;
        Some((*version, first))
    })
}

/// Which versions make room for a new one.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Room<'p> {
    /// Goes, however many there are.
    pub(super) replaces: Option<&'p Path>,
    /// Stays, even if it is the oldest beyond ten.
    pub(super) spares: Option<&'p Path>,
}

/// Keeps bytes as the newest version and lets the oldest beyond ten go. The newest version, and whether it is new: none is made if
/// the newest holds the same.
pub(super) fn keep(
    disk: &dyn Disk,
    beside: &Beside,
    bytes: &[u8],
    now: Stamp,
    room: Room<'_>,
) -> Result<(Version, bool), StoreError> {
    let before = list(disk, beside)?;
    if let Some(same) = holding(disk, &before[..before.len().min(1)], bytes) {
        return Ok((same.clone(), false));
    }
    let newest = before.first().and_then(|newest| Named::read(newest.path.file_name()?));
    let order = newest.map_or(0, |newest| newest.order).saturating_add(1);
    let extension = beside.target.extension().map(|text| format!(".{}", text.to_string_lossy())).unwrap_or_default();
    let name = format!("{order:06}-{}{extension}", now.for_file_name());
    let path = beside.write_into(disk, &beside.versions(), &name, bytes)?;
    let (gone, stay): (Vec<&Version>, Vec<&Version>) =
        before.iter().partition(|version| room.replaces == Some(version.path.as_path()));
    let beyond = stay.into_iter().skip(N_KEPT - 1).filter(|version| room.spares != Some(version.path.as_path()));
    for old in gone.into_iter().chain(beyond) {
        // One that stays is let go next time.
        let _ = disk.remove(&old.path);
    }
    Ok((Version { number: 1, stamp: now, n_bytes: bytes.len() as u64, path }, true))
}

/// What the name of a version says, in the order in which they were kept: `000012-20270301T081500Z.ron`.
///
/// The first number goes up with each version, and decides. The stamp is what the clock said, and clocks are put right. Versions named
/// by their stamp alone and, of several within one second, by which it is (`20270301T081500Z-2.ron`), are older than any with a number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Named {
    /// 0 where the name has none.
    order: u64,
    stamp: Stamp,
    turn: u32,
}

impl Named {
    fn read(name: &OsStr) -> Option<Self> {
        let stem = name.to_str()?.split('.').next()?;
        let Some((first, second)) = stem.split_once('-') else {
            return Some(Self { order: 0, stamp: Stamp::from_file_name(stem)?, turn: 1 });
        };
        if let Some(stamp) = Stamp::from_file_name(first) {
            return Some(Self { order: 0, stamp, turn: second.parse().ok().filter(|turn| *turn > 1)? });
        }
        let order = first.parse().ok().filter(|order| *order > 0 && format!("{order:06}") == first)?;
        Some(Self { order, stamp: Stamp::from_file_name(second)?, turn: 1 })
    }
}
