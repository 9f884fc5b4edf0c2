//! What in a kept folder is left alone: links, pipes, files with other names, things of somebody else's.

use std::error::Error;
use std::fmt;
use std::io;
use std::path::{Path, PathBuf};

use super::paths::{from_kept_folder_on, shown_path};

/// Something in a place where the program keeps its own files; it is neither followed nor read nor written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Refused {
    /// From the kept folder's name on.
    what: PathBuf,
    why: Why,
}

/// Why it is left alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Why {
    /// Through a link in there anybody's file could be emptied.
    Link,
    /// The same file has other names, so what is written here is written there.
    OtherNames {
        /// How many names it has in all.
        n_names: u64,
    },
    /// A folder, pipe or device.
    NotAFile,
    /// Anything but a folder.
    NotAFolder,
    /// Its owner may not write the file it would be kept for.
    Owner,
}

impl Refused {
    pub(super) fn new(path: &Path, why: Why) -> Self {
        Self { what: from_kept_folder_on(path), why }
    }
}

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let what = shown_path(&self.what);
        match self.why {
            Why::Link => write!(f, "{what} is a link, and links are not followed there"),
            Why::OtherNames { n_names } => {
                write!(f, "{what} is one of {n_names} names of the same file (hard links), so it is left alone")
            }
            Why::NotAFile => write!(f, "{what} is not a file"),
            Why::NotAFolder => write!(f, "{what} is not a folder"),
            Why::Owner => write!(f, "{what} belongs to somebody who may not write the file it is kept for"),
        }
    }
}

impl Error for Refused {}

impl From<Refused> for io::Error {
    fn from(refused: Refused) -> Self {
        Self::other(refused)
    }
}

/// What was refused, if that is what the error is about.
pub(super) fn refused(error: &io::Error) -> Option<&Refused> {
    error.get_ref()?.downcast_ref()
}
