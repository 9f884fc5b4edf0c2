//! What can go wrong with a file, in words for the person who asked for it.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::holder::Holder;
use super::paths::shown_path;
use crate::units::text::short_name;

/// What went wrong with a file.
#[derive(Debug, thiserror::Error)]
#[error("{}", self.with_advice())]
pub enum StoreError {
    /// Cannot be read.
    Read {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A folder, pipe or device.
    NotAFile {
        /// What was given.
        path: PathBuf,
    },
    /// Larger than is ever needed.
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        size: u64,
        /// The limit.
        limit: u64,
    },
    /// Not UTF-8.
    NotText {
        /// The file.
        path: PathBuf,
        /// First bad byte, from 0.
        at: usize,
    },
    /// Cannot be written.
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The folder it should stand in is not there.
    NoFolder {
        /// The file.
        path: PathBuf,
        /// The folder.
        folder: PathBuf,
    },
    /// The file or its folder may not be written to.
    ReadOnly {
        /// The file.
        path: PathBuf,
        /// The file itself or its folder.
        what: PathBuf,
    },
    /// The file is somebody else's, who lets us only look at it.
    NotOurs {
        /// The file.
        path: PathBuf,
    },
    /// The folder is sticky, and the file somebody else's.
    Sticky {
        /// The file.
        path: PathBuf,
        /// The folder.
        folder: PathBuf,
    },
    /// Where the file's name leads is not where it led when it was opened: a link came or was changed.
    LeadsElsewhere {
        /// The file.
        path: PathBuf,
    },
    /// The disk is full.
    NoRoom {
        /// The file.
        path: PathBuf,
    },
    /// A new file was asked for, and one of that name stands there.
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// Another program has the file.
    Held {
        /// The file.
        path: PathBuf,
        /// Who has it.
        holder: Holder,
    },
    /// The file's journal is of a later format, so the file is only looked at.
    NewerJournal {
        /// The file.
        path: PathBuf,
        /// The journal's format.
        format: u32,
    },
    /// The file is only looked at here.
    Barred {
        /// The file.
        path: PathBuf,
        /// Why.
        why: String,
    },
    /// Neither lock nor journal can be had beside the file.
    Unguarded {
        /// The file.
        path: PathBuf,
        /// Why not.
        why: String,
    },
    /// A record of the journal is one line.
    NotOneLine {
        /// The file.
        path: PathBuf,
    },
    /// Edits that were put aside, while what they were made on is no longer kept.
    NoBase {
        /// The journal.
        path: PathBuf,
    },
    /// A journal damaged before its first edit.
    NothingGood {
        /// The journal.
        path: PathBuf,
    },
    /// There is no earlier version of that number.
    NoVersion {
        /// The file.
        path: PathBuf,
        /// What was asked for.
        number: usize,
        /// How many there are.
        n_versions: usize,
    },
}

impl StoreError {
    /// What is wrong, without the advice to save under another name.
    fn without_advice(&self) -> String {
        match self {
            Self::Read { path, source } => format!("cannot read {}: {source}", shown_path(path)),
            Self::NotAFile { path } => format!("{} is not a file", shown_path(path)),
            Self::TooLarge { path, size, limit } => {
                format!("{} has {size} bytes; a file may have {limit} at most; is it the right file?", shown_path(path))
            }
            Self::NotText { path, at } => {
                format!("{} is not text in UTF-8 (byte {at}); is it the right file?", shown_path(path))
            }
            Self::Write { path, source } => format!("cannot write {}: {source}", shown_path(path)),
            Self::NoFolder { path, folder } => {
                format!("cannot write {}: the folder {} is not there", shown_path(path), shown_path(folder))
            }
            Self::ReadOnly { path, what } => {
                let what = if what.as_os_str().is_empty() { "its folder".to_owned() } else { shown_path(what) };
                format!("cannot write {}: {what} is read-only", shown_path(path))
            }
            Self::NotOurs { path } => {
                format!("cannot write {}: it belongs to another user, who lets you only read it", shown_path(path))
            }
            Self::Sticky { path, folder } => format!(
                "cannot write {}: it belongs to another user, and in the folder {} you may not put your file in the place of another \
                user's (a sticky folder)",
                shown_path(path),
                shown_path(folder)
            ),
            Self::LeadsElsewhere { path } => {
                format!("{} leads to another file than when it was opened", shown_path(path))
            }
            Self::NoRoom { path } => {
                format!("cannot write {}: the disk is full; free some room or save elsewhere", shown_path(path))
            }
            Self::AlreadyThere { path } => format!("{} is there already; choose another name", shown_path(path)),
            Self::Held { path, holder } => {
                format!("{} is open in {holder}; close it there or save under another name", shown_path(path))
            }
            Self::NewerJournal { path, format } => format!(
                "the journal of {} is of format {format}, which a newer program wrote; open it with that one",
                shown_path(path)
            ),
            Self::Barred { path, why } => format!("{} is read-only here: {why}", shown_path(path)),
            Self::Unguarded { path, why } => format!(
                "edits of {} are not kept as they are made: {why}; save often, or under another name",
                shown_path(path)
            ),
            Self::NotOneLine { path } => format!("a record for the journal of {} holds a line break", shown_path(path)),
            Self::NoBase { path } => {
                format!("what the edits in {} were made on is no longer kept", shown_path(path))
            }
            Self::NothingGood { path } => format!("no edit in {} can be read", shown_path(path)),
            Self::NoVersion { path, number, n_versions } => {
                format!("{} has no earlier version {number}; {n_versions} are kept", shown_path(path))
            }
        }
    }

    fn with_advice(&self) -> String {
        let advice = match self {
            Self::NoFolder { .. }
            | Self::ReadOnly { .. }
            | Self::NotOurs { .. }
            | Self::LeadsElsewhere { .. }
            | Self::Barred { .. } => "; save under another name",
            Self::Sticky { .. } => "; save under another name, or in another folder",
            _ => "",
        };
        format!("{}{advice}", self.without_advice())
    }

    /// Why, in few words and without the whole path: for a line of the screen, which a long path would fill.
    pub fn reason(&self) -> String {
        let name = |path: &Path| short_name(path);
        match self {
            Self::Read { path, source } => format!("cannot read {}: {source}", name(path)),
            Self::NotAFile { path } => format!("{} is not a file", name(path)),
            Self::TooLarge { path, size, limit } => {
                format!("{} has {size} bytes; a file may have {limit} at most", name(path))
            }
            Self::NotText { path, at } => format!("{} is not text in UTF-8 (byte {at})", name(path)),
            Self::Write { path, source } => format!("{source}, writing {}", name(path)),
            Self::NoFolder { folder, .. } => format!("the folder {} is not there", name(folder)),
            Self::ReadOnly { what, .. } => match name(what).as_str() {
                // The folder that a bare name is in.
                "" => "its folder is read-only".to_owned(),
                name => format!("{name} is read-only"),
            },
            Self::NotOurs { .. } => "another user's file, which you may only read".to_owned(),
            Self::Sticky { .. } => "you may not replace another user's file in a sticky folder".to_owned(),
            Self::LeadsElsewhere { path } => format!("{} leads to another file now", name(path)),
            Self::NoRoom { path } => format!("the disk is full, writing {}", name(path)),
            Self::Held { path, holder } => format!("{} is open in {holder}", name(path)),
            Self::Barred { why, .. } | Self::Unguarded { why, .. } => why.clone(),
            Self::AlreadyThere { path } => format!("{} is there already", name(path)),
            Self::NewerJournal { format, .. } => format!("a newer program wrote its journal (format {format})"),
            Self::NotOneLine { .. } => "a record for its journal holds a line break".to_owned(),
            Self::NoVersion { number, n_versions, .. } => {
                format!("there is no earlier version {number}; {n_versions} are kept")
            }
            Self::NoBase { .. } => "what these edits were made on is no longer kept".to_owned(),
            Self::NothingGood { .. } => "none of its edits can be read".to_owned(),
        }
    }
}

/// A system's error in the grower's words where they can help.
pub(super) fn explained(path: &Path, folder: &Path, source: io::Error) -> StoreError {
    let path = path.to_owned();
    match source.kind() {
        ErrorKind::NotFound | ErrorKind::NotADirectory => StoreError::NoFolder { path, folder: folder.to_owned() },
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => {
            StoreError::ReadOnly { path, what: folder.to_owned() }
        }
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => StoreError::NoRoom { path },
        _ => StoreError::Write { path, source },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_reason_is_short_whatever_the_path() {
        let path = PathBuf::from(format!("/srv/{}/walled.ron", "gardens/".repeat(40)));
        let full = StoreError::NoRoom { path: path.clone() };
        assert_eq!(full.reason(), "the disk is full, writing walled.ron");
        let denied = StoreError::Write { path: path.clone(), source: io::Error::from(ErrorKind::PermissionDenied) };
        assert_eq!(denied.reason(), "permission denied, writing walled.ron");
        let named = StoreError::AlreadyThere { path: PathBuf::from(format!("/srv/{}.ron", "walled".repeat(40))) };
        assert_eq!(named.reason(), "walledwalledwa...ledwalled.ron is there already");
        for error in [
            StoreError::NotAFile { path: path.clone() },
            StoreError::TooLarge { path: path.clone(), size: 70_000_000, limit: 67_108_864 },
            StoreError::NotText { path: path.clone(), at: 12 },
            StoreError::NewerJournal { path: path.clone(), format: 2 },
            StoreError::NotOneLine { path: path.clone() },
            StoreError::NoVersion { path: path.clone(), number: 11, n_versions: 10 },
            StoreError::LeadsElsewhere { path: path.clone() },
        ] {
            assert!(error.reason().len() <= 70 && !error.reason().contains('/'), "{}", error.reason());
        }
        let gone = StoreError::NoFolder { folder: path.parent().unwrap().to_owned(), path };
        assert_eq!(gone.reason(), "the folder gardens is not there");
    }
}
