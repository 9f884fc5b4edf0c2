//! How text gets to the disk and stays there: written whole, kept with a journal, a lock and earlier versions.
//!
//! Nothing here knows what the text means. [`write_whole`] and [`read_text`] are for single files; [`Kept`] is for one
//! that is worked on for a while and must survive whatever happens in between.
//!
//! What is kept for a file `garden.ron` (links followed first) stands beside it in one hidden folder:
//!
//! ```text
//! .garden.ron.kept/
//!     lock                        held while the file is open; says by whom
//!     journal                     edits not saved yet, one a line
//!     trail-1204-5e1c02aa         the last steps that led to the contents of that fingerprint, one a line
//!     versions/000012-20270301T081500Z.ron
//!     aside/20270301T081500Z-damaged
//!     unfinished-4711-0           a new file before it gets its name
//! ```
//!
//! # Why nothing is lost
//!
//! The journal names the contents its records are made upon, by their fingerprint. With the first record those become a version, and
//! stay one as long as records wait: whatever takes the file's place, both are there. Going back to that version
//! ([`Kept::open_for`]) leaves the journal as it is; opening other contents puts the journal aside, with a copy of what it is made
//! upon. A save goes:
//!
//! 1. a mark in the journal: the records so far are in contents with this fingerprint; flushed
//! 2. the trail of the new contents, beside that of the old ones; flushed
//! 3. a new file in the kept folder; flushed
//! 4. renamed over the old one, the folder flushed
//! 5. the new contents among the versions
//! 6. an empty journal of the new contents, by a new file that takes the old one's name
//! 7. all trails but the new one taken away
//!
//! Until 4 the file holds the old contents, and all records are replayed on them. From 4 to 6 it holds those marked, and
//! the records after the mark are replayed. If the disk refuses the mark, the save goes on all the same: what a kill
//! before 6 then leaves is a journal of neither contents, which is put aside, with all its records in the file. If it refuses the
//! trail, the save goes on as well, and what led to the new contents can be taken back in this sitting alone.
//!
//! An append that fails is cut off again; a flush that fails leaves the file in doubt, and the next one writes the whole
//! journal to a new file. Until one succeeds the records are in memory, and [`Kept::flush`] says so.
//!
//! A lock holds only as long as it has its name. So before anything is written beside the file, and at each look at it, the name is asked
//! for: if it was deleted, alone or with the folder, the lock is taken anew, and where another program has it by then the file is only
//! looked at from then on.

use std::path::Path;

mod aside;
mod beside;
pub mod disk;
mod error;
#[cfg(test)]
#[path = "tests/faulty.rs"]
pub(crate) mod faulty;
mod giving;
mod guard;
mod holder;
mod journal;
mod kept;
mod lines;
mod lock;
mod notice;
mod opening;
mod paths;
mod refused;
pub mod rights;
mod saving;
mod stamp;
mod trail;
mod versions;
mod whole;
mod within;

pub use aside::{Holds, PutAside, aside_of, read_aside_of};
use disk::About;
pub use disk::{Disk, RealDisk};
pub use error::StoreError;
pub use holder::Holder;
pub use journal::{Waiting, journal_of};
pub use kept::{Access, Fresh, Kept, Opened, Outside};
pub use notice::Notice;
pub use rights::NotKept;
pub use saving::{Save, SaveError, Saved};
pub use stamp::Stamp;
pub use trail::{Trail, TrailEnd};
pub use versions::{Version, read_version_of, versions_of};

/// Reads a text file of at most `limit` bytes. A larger one is not read at all.
///
/// # Errors
/// See [`StoreError`].
pub fn read_text(path: &Path, limit: u64) -> Result<String, StoreError> {
    whole::read_real(path, limit)
}

/// Writes a file whole: beside, flushed, renamed, the folder flushed. Keeps owner, group and mode as far as the system lets us and gives
/// what of them it did not; follows a link. Of a file with several names, see [`n_names`], only this one is what was written.
///
/// # Errors
/// See [`StoreError`]; the old file is then as it was. Only if the last step fails, flushing the folder, does the new
/// one stand already.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<NotKept, StoreError> {
    whole::write(&RealDisk, path, bytes)
}

/// Writes a file as [`write_whole`] does, but only if nothing has that name: [`StoreError::AlreadyThere`] otherwise.
///
/// # Errors
/// See [`StoreError`].
pub fn write_whole_new(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    whole::write_new(&RealDisk, path, bytes)
}

/// How many names (hard links) a file has; 0 if there is none. To write one whole parts it from the others.
pub fn n_names(path: &Path) -> u64 {
    RealDisk.about(path).ok().filter(About::is_file).map_or(0, |about| about.n_names)
}

#[cfg(test)]
mod tests;
