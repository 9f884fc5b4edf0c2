//! How text gets to the disk and stays there: written whole, kept with a journal, a lock and earlier versions.
//!
//! Nothing here knows what the text means. [`write_whole`] and [`read_text`] are for single files; [`Kept`] is for one
//! that is worked on for a while and must survive whatever happens in between.

use std::path::Path;

mod beside;
pub mod disk;
mod error;
pub mod faulty;
mod journal;
mod kept;
mod lines;
mod lock;
mod notice;
mod stamp;
mod versions;
mod whole;

pub use disk::{Disk, RealDisk};
pub use error::StoreError;
pub use journal::{Waiting, journal_of};
pub use kept::{Access, Fresh, Kept, Opened, Outside, Save, SaveError, Saved};
pub use lock::Holder;
pub use notice::Notice;
pub use stamp::Stamp;
pub use versions::{Version, read_version_of, versions_of};

/// Reads a text file of at most `limit` bytes. A larger one is not read at all.
///
/// # Errors
/// See [`StoreError`].
pub fn read_text(path: &Path, limit: u64) -> Result<String, StoreError> {
    whole::read_real(path, limit)
}

/// Writes a file whole: beside, flushed, renamed, the folder flushed. Keeps the mode, follows a link.
///
/// # Errors
/// See [`StoreError`]; the old file is then as it was. Only if the last step fails, flushing the folder, does the new
/// one stand already.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    whole::write(&RealDisk, path, bytes)
}

/// Writes a file as [`write_whole`] does, but only if nothing has that name: [`StoreError::AlreadyThere`] otherwise.
///
/// # Errors
/// See [`StoreError`].
pub fn write_whole_new(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    whole::write_new(&RealDisk, path, bytes)
}

#[cfg(test)]
mod tests;
