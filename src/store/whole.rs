//! A file is read whole and written whole: written beside, flushed, renamed.
//!
//! The sequence (write a new file, flush it, rename it over the old one, flush the folder) is what POSIX `rename`
//! promises to be atomic: whoever looks sees the old file or the new one, never a part. It holds on local file systems;
//! a network share may promise less. A new file gets the old one's owner, group and mode, see [`rights`](super::rights).

use std::fs::File;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::disk::{self, About, Disk, Kind, RealDisk};
use super::error::{StoreError, explained};
use super::refused::{Refused, Why};
use super::rights::{NotKept, Rights};

/// Permission bits of a new file, as of any other: what the user's mask leaves of them.
pub(super) const USUAL_MODE: u32 = 0o666;

/// Permission bits of a new file until it is known whose it is to be.
pub(super) const PRIVATE: u32 = 0o600;

/// What the names of new files not yet finished begin with, beside other people's files.
pub(super) const UNFINISHED: &str = ".unfinished-";

/// Reads a text file of at most `limit` bytes. A larger one is not read at all.
///
/// # Errors
/// See [`StoreError`].
pub(super) fn read_text(disk: &dyn Disk, path: &Path, limit: u64) -> Result<(String, About), StoreError> {
    let (bytes, about) = read_bytes(disk, path, limit)?;
    Ok((text_of(path, bytes)?, about))
}

/// The bytes of a file as text.
pub(super) fn text_of(path: &Path, bytes: Vec<u8>) -> Result<String, StoreError> {
    String::from_utf8(bytes)
        .map_err(|error| StoreError::NotText { path: path.to_owned(), at: error.utf8_error().valid_up_to() })
}

/// Reads a file of at most `limit` bytes, with what the system said of it before.
pub(super) fn read_bytes(disk: &dyn Disk, path: &Path, limit: u64) -> Result<(Vec<u8>, About), StoreError> {
    let wrong = |source| StoreError::Read { path: path.to_owned(), source };
    // Asked before opening: opening a pipe would wait for its other end.
    let about = disk.about(path).map_err(wrong)?;
    match about.kind {
        Kind::File => {}
        Kind::Link => return Err(wrong(Refused::new(path, Why::Link).into())),
        Kind::Folder | Kind::Other => return Err(StoreError::NotAFile { path: path.to_owned() }),
    }
    let too_large = |size| StoreError::TooLarge { path: path.to_owned(), size, limit };
    if about.n_bytes > limit {
        return Err(too_large(about.n_bytes));
    }
    let file = disk.open(path).map_err(wrong)?;
    // Another may stand there by now. Asked before reading: what is written while we read will then be seen.
    let about = disk.about_open(&file).map_err(wrong)?;
    if !about.is_file() {
        return Err(StoreError::NotAFile { path: path.to_owned() });
    }
    // It may have grown since.
    let bytes = disk.read(&file, limit.saturating_add(1)).map_err(wrong)?;
    if bytes.len() as u64 > limit {
        return Err(too_large(bytes.len() as u64));
    }
    Ok((bytes, about))
}

/// The file that a chain of links ends at, whether it is there or not.
pub(super) fn behind_links(disk: &dyn Disk, path: &Path) -> Result<PathBuf, StoreError> {
    /// As many as Linux follows.
    const N_LINKS: usize = 40;
    let mut target = path.to_owned();
    for _ in 0..N_LINKS {
        match disk.read_link(&target) {
            Ok(next) => target = target.parent().unwrap_or(Path::new("")).join(next),
            // No link, or nothing there.
            Err(_) => return Ok(target),
        }
    }
    let source = io::Error::other("its links form a loop");
    Err(StoreError::Write { path: path.to_owned(), source })
}

/// The folder a file stands in.
pub(super) fn folder_of(path: &Path) -> &Path {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}

/// What stands where a file is to be written; `None` if nothing does.
pub(super) fn about_target(disk: &dyn Disk, path: &Path, target: &Path) -> Result<Option<About>, StoreError> {
    match disk.about(target) {
        Ok(about) if !about.is_file() => Err(StoreError::NotAFile { path: path.to_owned() }),
        // Renaming over it would get round the owner's wish.
        Ok(about) if about.is_read_only => Err(StoreError::ReadOnly { path: path.to_owned(), what: target.to_owned() }),
        Ok(about) if !disk.may_write(target) => {
            if about.rights.owner != disk::user() && about.rights.shuts_out_others() {
                return Err(StoreError::NotOurs { path: path.to_owned() });
            }
            Err(StoreError::ReadOnly { path: path.to_owned(), what: target.to_owned() })
        }
        Ok(about) => Ok(Some(about)),
        Err(error) if error.kind() == ErrorKind::NotFound => Ok(None),
        Err(error) => Err(explained(path, folder_of(target), error)),
    }
}

/// Why a new file could not be given a name, in the grower's words where they can help.
pub(super) fn not_renamed(disk: &dyn Disk, path: &Path, target: &Path, source: io::Error) -> StoreError {
    let folder = folder_of(target);
    if source.kind() == ErrorKind::PermissionDenied && is_stuck(disk, target) {
        return StoreError::Sticky { path: path.to_owned(), folder: folder.to_owned() };
    }
    explained(path, folder, source)
}

/// Whether a file is another user's and stands in a sticky folder that is another's too, so that we may not put one in its place.
pub(super) fn is_stuck(disk: &dyn Disk, target: &Path) -> bool {
    let (Ok(around), Ok(old)) = (disk.about(folder_of(target)), disk.about(target)) else { return false };
    around.rights.is_sticky() && ![0, around.rights.owner, old.rights.owner].contains(&disk::user())
}

/// Writes a file whole: beside, flushed, renamed, the folder flushed. Keeps owner, group and mode as far as the system lets us, and
/// says what of them it did not; follows a link. Of a file with several names only this one is what was written.
pub(super) fn write(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<NotKept, StoreError> {
    let target = behind_links(disk, path)?;
    let folder = folder_of(&target);
    let wrong = |source: io::Error| explained(path, folder, source);
    let about = about_target(disk, path, &target)?;
    let (beside, not_kept) = Unfinished::write(disk, folder, bytes, about.map(|about| about.rights)).map_err(wrong)?;
    beside.rename(&target).map_err(|source| not_renamed(disk, path, &target, source))?;
    flush(disk, path, folder)?;
    Ok(not_kept)
}

/// Writes a file that must not be there yet, whole.
pub(super) fn write_new(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let target = behind_links(disk, path)?;
    let folder = folder_of(&target);
    let wrong = |source: io::Error| match source.kind() {
        ErrorKind::AlreadyExists => StoreError::AlreadyThere { path: path.to_owned() },
        _ => explained(path, folder, source),
    };
    // A link that leads nowhere has the name as well.
    if target != path || disk.about(&target).is_ok() {
        return Err(StoreError::AlreadyThere { path: path.to_owned() });
    }
    let (beside, _) = Unfinished::write(disk, folder, bytes, None).map_err(wrong)?;
    beside.rename_new(&target).map_err(wrong)?;
    flush(disk, path, folder)
}

fn flush(disk: &dyn Disk, path: &Path, folder: &Path) -> Result<(), StoreError> {
    disk.flush_folder(folder).map_err(|source| StoreError::Write { path: path.to_owned(), source })
}

/// Permission bits with which a new file is made: one that takes another's place is its maker's alone until it has that one's rights.
pub(super) fn mode_at_first(replaces: Option<Rights>) -> u32 {
    if replaces.is_some() { PRIVATE } else { USUAL_MODE }
}

/// A new file not yet under its name. Taken away again if it never gets it.
#[derive(Debug)]
pub(super) struct Unfinished<'d> {
    disk: &'d dyn Disk,
    path: PathBuf,
    file: Option<File>,
}

impl<'d> Unfinished<'d> {
    /// Writes and flushes a new file in a folder, with the rights of the one it will replace.
    pub(super) fn write(
        disk: &'d dyn Disk,
        folder: &Path,
        bytes: &[u8],
        replaces: Option<Rights>,
    ) -> io::Result<(Self, NotKept)> {
        let new = Self::create(disk, folder, UNFINISHED, mode_at_first(replaces))?;
        let not_kept = new.fill(bytes, replaces)?;
        Ok((new, not_kept))
    }

    /// Makes an empty one whose name begins so.
    pub(super) fn create(disk: &'d dyn Disk, folder: &Path, prefix: &str, mode: u32) -> io::Result<Self> {
        /// More than are ever left over.
        const N_TRIES: u32 = 10_000;
        let id = std::process::id();
        for number in 0..N_TRIES {
            let path = folder.join(format!("{prefix}{id}-{number}"));
            match disk.create_new(&path, mode) {
                Ok(file) => return Ok(Self { disk, path, file: Some(file) }),
                Err(error) if error.kind() == ErrorKind::AlreadyExists => {}
                Err(error) => return Err(error),
            }
        }
        Err(ErrorKind::AlreadyExists.into())
    }

    /// Writes its contents, says whose it is, and brings it to the disk. Without rights it stays as it was made.
    pub(super) fn fill(&self, bytes: &[u8], rights: Option<Rights>) -> io::Result<NotKept> {
        let Some(file) = &self.file else { return Ok(NotKept::default()) };
        self.disk.write(file, bytes)?;
        let not_kept = rights.map_or(Ok(NotKept::default()), |rights| rights.give(self.disk, file))?;
        self.disk.flush(file)?;
        Ok(not_kept)
    }

    /// Gives it its name, over whatever has it. The file stays open for appending.
    pub(super) fn rename(mut self, to: &Path) -> io::Result<Option<File>> {
        self.disk.rename(&self.path, to)?;
        Ok(self.file.take())
    }

    /// Gives it its name unless something has it.
    pub(super) fn rename_new(mut self, to: &Path) -> io::Result<()> {
        self.disk.rename_new(&self.path, to)?;
        self.file = None;
        Ok(())
    }
}

impl Drop for Unfinished<'_> {
    fn drop(&mut self) {
        if self.file.take().is_some() {
            // Nothing can be done if it stays.
            let _ = self.disk.remove(&self.path);
        }
    }
}

/// As [`super::read_text`].
pub(super) fn read_real(path: &Path, limit: u64) -> Result<String, StoreError> {
    read_text(&RealDisk, path, limit).map(|(text, _)| text)
}
