//! How bytes reach the disk whole: write beside, flush, rename. Knows nothing of gardens.

use std::path::{Path, PathBuf};

/// What went wrong with a file.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Cannot be read.
    #[error("cannot read {}: {source}", path.display())]
    Read {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// Larger than is ever needed.
    #[error("{} has {size} bytes; a file may have {limit} at most", path.display())]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        size: u64,
        /// The limit.
        limit: u64,
    },
    /// Not UTF-8.
    #[error("{} is not text in UTF-8 (byte {at}); is it the right file?", path.display())]
    NotText {
        /// The file.
        path: PathBuf,
        /// First bad byte.
        at: usize,
    },
    /// Cannot be written.
    #[error("cannot write {}: {source}", path.display())]
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        source: std::io::Error,
    },
}

/// Reads a text file of at most `limit` bytes.
///
/// # Errors
/// See [`StoreError`].
pub fn read_text(path: &Path, limit: u64) -> Result<String, StoreError> {
    let _ = (path, limit);
    unimplemented!()
}

/// Writes a file whole: beside, flushed, renamed, the folder flushed. Keeps the mode, follows a link.
///
/// # Errors
/// See [`StoreError`]; the old file is then as it was.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let _ = (path, bytes);
    unimplemented!()
}
