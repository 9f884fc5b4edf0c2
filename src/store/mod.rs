//! How bytes reach the disk whole: write beside, flush, rename. Knows nothing of what they mean.
//!
//! The sequence (write a new file in the same folder, flush it, rename it over the old one, flush the folder) is what
//! POSIX `rename` promises to be atomic: whoever looks sees the old file or the new one, never a part. It holds on local
//! file systems; a network share may promise less.
//!
//! The journal of lines and the lock of an open file belong here too, beside [`write_whole`].

mod whole_new;

use std::fs::{self, File};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use crate::units::text::shown;

pub use whole_new::write_whole_new;

/// What went wrong with a file.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// Cannot be read.
    #[error("cannot read {}: {source}", shown_path(path))]
    Read {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// A folder, pipe or device.
    #[error("{} is not a file", shown_path(path))]
    NotAFile {
        /// What was given.
        path: PathBuf,
    },
    /// Larger than is ever needed.
    #[error("{} has {size} bytes; a file may have {limit} at most; is it the right file?", shown_path(path))]
    TooLarge {
        /// The file.
        path: PathBuf,
        /// Its size.
        size: u64,
        /// The limit.
        limit: u64,
    },
    /// Not UTF-8.
    #[error("{} is not text in UTF-8 (byte {at}); is it the right file?", shown_path(path))]
    NotText {
        /// The file.
        path: PathBuf,
        /// First bad byte, from 0.
        at: usize,
    },
    /// There is one by that name already, and it may not be written over.
    #[error("{} is there already; choose another name", shown_path(path))]
    AlreadyThere {
        /// The file.
        path: PathBuf,
    },
    /// Cannot be written.
    #[error("cannot write {}: {source}", shown_path(path))]
    Write {
        /// The file.
        path: PathBuf,
        /// Why.
        source: io::Error,
    },
    /// The folder it should stand in is not there.
    #[error(
        "cannot write {}: the folder {} is not there; save under another name",
        shown_path(path),
        shown_path(folder)
    )]
    NoFolder {
        /// The file.
        path: PathBuf,
        /// The folder.
        folder: PathBuf,
    },
    /// The file or its folder may not be written to.
    #[error("cannot write {}: {} is read-only; save under another name", shown_path(path), shown_path(what))]
    ReadOnly {
        /// The file.
        path: PathBuf,
        /// The file itself or its folder.
        what: PathBuf,
    },
    /// The disk is full.
    #[error("cannot write {}: the disk is full; free some room or save elsewhere", shown_path(path))]
    NoRoom {
        /// The file.
        path: PathBuf,
    },
}

/// File names come from outside as much as contents do.
fn shown_path(path: &Path) -> String {
    shown(&path.to_string_lossy()).into_owned()
}

/// Reads a text file of at most `limit` bytes. A larger one is not read at all.
///
/// # Errors
/// See [`StoreError`].
pub fn read_text(path: &Path, limit: u64) -> Result<String, StoreError> {
    let wrong = |source| StoreError::Read { path: path.to_owned(), source };
    // Asked before opening: opening a pipe would wait for its other end.
    let about = fs::metadata(path).map_err(wrong)?;
    if !about.is_file() {
        return Err(StoreError::NotAFile { path: path.to_owned() });
    }
    let too_large = |size| StoreError::TooLarge { path: path.to_owned(), size, limit };
    if about.len() > limit {
        return Err(too_large(about.len()));
    }
    let mut bytes = Vec::with_capacity(usize::try_from(about.len()).unwrap_or_default());
    // It may have grown since.
    File::open(path).and_then(|file| file.take(limit.saturating_add(1)).read_to_end(&mut bytes)).map_err(wrong)?;
    if bytes.len() as u64 > limit {
        return Err(too_large(bytes.len() as u64));
    }
    String::from_utf8(bytes)
        .map_err(|error| StoreError::NotText { path: path.to_owned(), at: error.utf8_error().valid_up_to() })
}

/// Writes a file whole: beside, flushed, renamed, the folder flushed. Keeps the mode, follows a link.
///
/// # Errors
/// See [`StoreError`]; the old file is then as it was. Only if the last step fails, flushing the folder, does the new
/// one stand already.
pub fn write_whole(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let target = behind_links(path).map_err(|source| StoreError::Write { path: path.to_owned(), source })?;
    let folder = match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    };
    let wrong = |source: io::Error| explained(path, folder, source);
    let mode = match fs::metadata(&target) {
        Ok(about) if !about.is_file() => return Err(StoreError::NotAFile { path: path.to_owned() }),
        // Renaming over it would get round the owner's wish.
        Ok(about) if about.permissions().readonly() => {
            return Err(StoreError::ReadOnly { path: path.to_owned(), what: target });
        }
        Ok(about) => Some(about.permissions()),
        Err(error) if error.kind() == ErrorKind::NotFound => None,
        Err(error) => return Err(wrong(error)),
    };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".unfinished-");
    set_usual_mode(&mut builder);
    let mut beside = builder.tempfile_in(folder).map_err(wrong)?;
    beside.write_all(bytes).map_err(wrong)?;
    if let Some(mode) = mode {
        beside.as_file().set_permissions(mode).map_err(wrong)?;
    }
    beside.as_file().sync_all().map_err(wrong)?;
    beside.persist(&target).map_err(|error| wrong(error.error))?;
    flush_folder(folder).map_err(|source| StoreError::Write { path: path.to_owned(), source })
}

/// The file that a chain of links ends at, whether it is there or not.
fn behind_links(path: &Path) -> io::Result<PathBuf> {
    /// As many as Linux follows.
    const N_LINKS: usize = 40;
    let mut target = path.to_owned();
    for _ in 0..N_LINKS {
        match fs::read_link(&target) {
            Ok(next) => target = target.parent().unwrap_or(Path::new("")).join(next),
            // No link, or nothing there.
            Err(_) => return Ok(target),
        }
    }
    Err(io::Error::other("its links lead round in a circle"))
}

/// A system's error in the grower's words where they can help.
fn explained(path: &Path, folder: &Path, source: io::Error) -> StoreError {
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

/// Lets a new file be read and written by whom the user's mask allows, as any other file.
#[cfg(unix)]
fn set_usual_mode(builder: &mut tempfile::Builder<'_, '_>) {
    use std::os::unix::fs::PermissionsExt;
    builder.permissions(fs::Permissions::from_mode(0o666));
}

#[cfg(not(unix))]
fn set_usual_mode(_builder: &mut tempfile::Builder<'_, '_>) {}

/// Makes the rename itself durable.
#[cfg(unix)]
fn flush_folder(folder: &Path) -> io::Result<()> {
    match File::open(folder)?.sync_all() {
        // Some file systems cannot flush a folder and say so.
        Err(error) if matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
        result => result,
    }
}

#[cfg(not(unix))]
fn flush_folder(_folder: &Path) -> io::Result<()> {
    Ok(())
}

#[cfg(test)]
mod tests;
