//! The hidden folder beside a file, in which everything kept for it stands.

use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::Stamp;
use super::disk::{About, Disk};
use super::error::{StoreError, explained};
use super::whole::{Unfinished, behind_links, folder_of};

/// What the names of new files not yet finished begin with.
const UNFINISHED: &str = "unfinished-";

/// A file and the folder kept for it.
#[derive(Debug, Clone)]
pub(super) struct Beside {
    /// The file, links followed.
    pub(super) target: PathBuf,
    /// `.<file name>.kept` beside it.
    pub(super) folder: PathBuf,
    /// Permission bits of what is kept: as private as the file, but ours to write.
    mode: u32,
}

impl Beside {
    /// The folder of a file, whether it is there or not. Changes nothing.
    pub(super) fn of(disk: &dyn Disk, path: &Path) -> Result<Self, StoreError> {
        let target = behind_links(disk, path)?;
        let Some(name) = target.file_name() else { return Err(StoreError::NotAFile { path: path.to_owned() }) };
        let mut kept = std::ffi::OsString::from(".");
        kept.push(name);
        kept.push(".kept");
        let folder = target.with_file_name(kept);
        let mode = disk.about(&target).as_ref().map_or(0o666, About::mode) & 0o666 | 0o600;
        Ok(Self { target, folder, mode })
    }

    pub(super) fn journal(&self) -> PathBuf {
        self.folder.join("journal")
    }

    pub(super) fn lock(&self) -> PathBuf {
        self.folder.join("lock")
    }

    pub(super) fn versions(&self) -> PathBuf {
        self.folder.join("versions")
    }

    /// Permission bits of files in it.
    pub(super) fn mode(&self) -> u32 {
        self.mode
    }

    /// Makes the folder if it is not there.
    pub(super) fn make(&self, disk: &dyn Disk) -> io::Result<()> {
        self.make_folder(disk, &self.folder)
    }

    /// Who may read a folder may look into it.
    fn make_folder(&self, disk: &dyn Disk, folder: &Path) -> io::Result<()> {
        match disk.make_folder(folder, self.mode | (self.mode & 0o444) >> 2) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(()),
            result => result,
        }
    }

    /// A new file in the folder, not yet under its name.
    pub(super) fn unfinished<'d>(&self, disk: &'d dyn Disk, mode: u32) -> io::Result<Unfinished<'d>> {
        self.make(disk)?;
        Unfinished::create(disk, &self.folder, UNFINISHED, mode)
    }

    /// Takes away what a killed save left unfinished. Only to be called with the lock.
    pub(super) fn clean(&self, disk: &dyn Disk) {
        for name in disk.list(&self.folder).unwrap_or_default() {
            if name.to_string_lossy().starts_with(UNFINISHED) {
                // One that stays takes room and does no harm.
                let _ = disk.remove(&self.folder.join(name));
            }
        }
    }

    /// Writes a file whole into a folder within the folder, durable with all the folders on the way.
    pub(super) fn write_into(
        &self,
        disk: &dyn Disk,
        folder: &Path,
        name: &str,
        bytes: &[u8],
    ) -> Result<PathBuf, StoreError> {
        let path = folder.join(name);
        let written = || {
            let new = self.unfinished(disk, self.mode)?;
            self.make_folder(disk, folder)?;
            new.fill(bytes, None)?;
            new.rename(&path)?;
            disk.flush_folder(folder)?;
            self.flush(disk)
        };
        written().map_err(|error| explained(&path, folder, error))?;
        Ok(path)
    }

    /// Makes names in the folder, and the folder's own, durable.
    pub(super) fn flush(&self, disk: &dyn Disk) -> io::Result<()> {
        disk.flush_folder(&self.folder)?;
        disk.flush_folder(folder_of(&self.folder))
    }

    /// Keeps bytes under `aside/`, under a name that nothing has yet.
    pub(super) fn put_aside(
        &self,
        disk: &dyn Disk,
        what: &str,
        bytes: &[u8],
        now: Stamp,
    ) -> Result<PathBuf, StoreError> {
        /// Of the words that say what it is; names have a limit.
        const N_CHARS: usize = 40;
        /// More of one second than a person makes.
        const N_TRIES: usize = 1000;
        let folder = self.folder.join("aside");
        let plain = |c: char| if c.is_alphanumeric() || c == '.' || c == '_' { c } else { '-' };
        let what: String = what.chars().take(N_CHARS).map(plain).collect();
        for number in 1..=N_TRIES {
            let name = match number {
                1 => format!("{}-{what}", now.for_file_name()),
                _ => format!("{}-{number}-{what}", now.for_file_name()),
            };
            match disk.about(&folder.join(&name)) {
                Ok(_) => {}
                Err(error) if error.kind() == ErrorKind::NotFound => {
                    return self.write_into(disk, &folder, &name, bytes);
                }
                Err(source) => return Err(StoreError::Write { path: folder.join(name), source }),
            }
        }
        Err(StoreError::AlreadyThere { path: folder.join(what) })
    }
}
