//! Earlier versions of a file: the last ten that were saved.

use std::path::{Path, PathBuf};

use super::Stamp;
use super::error::StoreError;

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
pub fn versions_of(_path: &Path) -> Result<Vec<Version>, StoreError> {
    Ok(Vec::new())
}

/// The text of one version of a file, without its lock. 1 is the newest.
///
/// # Errors
/// [`StoreError::NoVersion`], or what [`read_text`](super::read_text) says.
pub fn read_version_of(path: &Path, number: usize, _limit_bytes: u64) -> Result<String, StoreError> {
    Err(StoreError::NoVersion { path: path.to_owned(), number, n_versions: 0 })
}
