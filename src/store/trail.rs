//! The trail: the last steps that led to what a file holds, kept beside it so that they can be taken back on another day.
//!
//! It is written whole under a name of its own for each contents it leads to, `trail-1204-5e1c02aa`, before the file gets these contents.
//! So whichever the file has after an accident, the old or the new, its trail is there; once the file is saved the others go.
//!
//! ```text
//! bedfellow trail 1 to=1204-5e1c02aa steps=2
//! 3f0a9b77 17 text of a step
//! ```
//!
//! Newest first, and the checksum of a line is carried on from the line before as in a journal: from a damaged line on back the steps are
//! not handed over, those after it are.

use std::ffi::OsStr;
use std::fmt;
use std::io::ErrorKind;

use super::beside::Beside;
use super::disk::Disk;
use super::error::StoreError;
use super::lines::{Fingerprint, Line};
use super::whole;

/// What every trail begins with.
const BEGINS: &str = "bedfellow trail ";

/// The format written.
const FORMAT: u32 = 1;

/// What the names of trails begin with; the fingerprint of the contents follows.
const NAME: &str = "trail-";

/// The longest trail that is read; a starting value, wide of what is handed over to be kept.
const N_BYTES_MAX: u64 = 4 * 1024 * 1024;

/// The steps kept for what a file holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Trail {
    /// As they were handed over, newest first.
    pub steps: Vec<String>,
    /// Why there are no more, if more were kept.
    pub end: Option<TrailEnd>,
}

/// Why steps that were kept are not handed over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum TrailEnd {
    /// They lead to other contents than the file has.
    OtherContents,
    /// From a place on back they are not what was written.
    Damaged,
    /// A newer program wrote them.
    Newer {
        /// The trail's format.
        format: u32,
    },
    /// They cannot be read, and why.
    Unreadable(String),
}

/// In the grower's words, as what follows "nothing to undo".
impl fmt::Display for TrailEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OtherContents => {
                f.write_str("the file was changed since by something else, and earlier steps do not lead to it")
            }
            Self::Damaged => f.write_str("the steps kept before are damaged"),
            Self::Newer { format } => write!(f, "a newer bedfellow kept the steps before (trail format {format})"),
            Self::Unreadable(why) => write!(f, "the steps kept before cannot be read: {why}"),
        }
    }
}

fn name_of(contents: Fingerprint) -> String {
    format!("{NAME}{contents}")
}

fn is_name(name: &OsStr) -> bool {
    name.to_str().and_then(|name| name.strip_prefix(NAME)).is_some_and(|rest| rest.parse::<Fingerprint>().is_ok())
}

fn head(contents: Fingerprint, n_steps: usize) -> String {
    format!("{BEGINS}{FORMAT} to={contents} steps={n_steps}")
}

/// A trail as it is written.
pub(super) fn written(contents: Fingerprint, steps: &[String]) -> String {
    let mut text = head(contents, steps.len());
    let mut crc = crc32fast::hash(text.as_bytes());
    text.push('\n');
    for step in steps {
        let (line, after) = Line::Record(step.clone()).written(crc);
        text.push_str(&line);
        crc = after;
    }
    text
}

/// Reads the trail of these contents as far as it is good.
pub(super) fn read(bytes: &[u8], contents: Fingerprint) -> Trail {
    let ends = |end| Trail { steps: Vec::new(), end: Some(end) };
    let mut lines = bytes.split_inclusive(|byte| *byte == b'\n');
    let first = lines.next().and_then(|line| str::from_utf8(line.strip_suffix(b"\n")?).ok());
    let Some((format, rest)) = first.and_then(|first| first.strip_prefix(BEGINS)?.split_once(' ')) else {
        return ends(TrailEnd::Damaged);
    };
    if let Some(format) = format.parse().ok().filter(|format| *format > FORMAT) {
        return ends(TrailEnd::Newer { format });
    }
    let n_steps: Option<usize> = rest.split_once(" steps=").and_then(|(_, n)| n.parse().ok());
    // Only as we write it.
    let Some((head, n_steps)) = n_steps.map(|n| (head(contents, n), n)).filter(|(head, _)| Some(&**head) == first)
    else {
        return ends(TrailEnd::Damaged);
    };
    let mut trail = Trail::default();
    let mut crc = crc32fast::hash(head.as_bytes());
    for line in lines {
        let read = line.strip_suffix(b"\n").and_then(|line| Line::read(line, crc));
        let Some((Line::Record(step), after)) = read else { break };
        crc = after;
        trail.steps.push(step);
    }
    if trail.steps.len() != n_steps {
        trail.steps.truncate(n_steps);
        trail.end = Some(TrailEnd::Damaged);
    }
    trail
}

/// Keeps the steps that lead to these contents.
pub(super) fn keep(
    disk: &dyn Disk,
    beside: &Beside,
    contents: Fingerprint,
    steps: &[String],
) -> Result<(), StoreError> {
    if steps.iter().any(|step| step.contains('\n')) {
        return Err(StoreError::NotOneLine { path: beside.target.clone() });
    }
    beside.write_into(disk, &beside.folder, &name_of(contents), written(contents, steps).as_bytes()).map(drop)
}

/// The steps kept for these contents. A trail that others than those who may write the file could have put there is not read: its
/// steps would become the file's.
pub(super) fn find(disk: &dyn Disk, beside: &Beside, contents: Fingerprint) -> Trail {
    let ends = |end| Trail { steps: Vec::new(), end: Some(end) };
    let path = beside.folder.join(name_of(contents));
    let read_bytes = || {
        if !beside.is_there(disk).map_err(|source| StoreError::Read { path: path.clone(), source })? {
            return Ok(None);
        }
        let (bytes, about) = match whole::read_bytes(disk, &path, N_BYTES_MAX) {
            Err(StoreError::Read { source, .. }) if source.kind() == ErrorKind::NotFound => return Ok(None),
            read => read?,
        };
        beside.check_file(&path, &about).map_err(|source| StoreError::Read { path: path.clone(), source })?;
        Ok(Some(bytes))
    };
    match read_bytes() {
        Ok(Some(bytes)) => read(&bytes, contents),
        Ok(None) if names(disk, beside).next().is_some() => ends(TrailEnd::OtherContents),
        Ok(None) => Trail::default(),
        Err::<_, StoreError>(error) => ends(TrailEnd::Unreadable(error.reason())),
    }
}

/// Takes away all trails but that of these contents.
pub(super) fn drop_others(disk: &dyn Disk, beside: &Beside, but: Option<Fingerprint>) {
    let but = but.map(name_of);
    for name in names(disk, beside).filter(|name| but.as_deref() != Some(name)) {
        // One that stays leads to other contents, does no harm, and goes next time.
        let _ = disk.remove(&beside.folder.join(name));
    }
}

fn names(disk: &dyn Disk, beside: &Beside) -> impl Iterator<Item = String> {
    let all = disk.list(&beside.folder).unwrap_or_default().into_iter();
    all.filter(|name| is_name(name)).filter_map(|name| name.into_string().ok())
}
