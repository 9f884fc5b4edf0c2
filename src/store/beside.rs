//! The hidden folder beside a file, in which everything kept for it stands.

use std::ffi::OsStr;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use super::Stamp;
use super::disk::{self, About, Disk, Kind};
use super::error::{StoreError, explained};
use super::paths::{self, shown_path};
use super::refused::{Refused, Why};
use super::rights::Rights;
use super::whole::{PRIVATE, Unfinished, behind_links, folder_of, not_renamed};

/// What the names of new files not yet finished begin with; a process and a number follow.
const UNFINISHED: &str = "unfinished-";

/// A file and the folder kept for it.
#[derive(Debug, Clone)]
pub(super) struct Beside {
    /// The file, links followed.
    pub(super) target: PathBuf,
    /// `.<file name>.kept` beside it.
    pub(super) folder: PathBuf,
    /// The file's own; what is kept has them too, but for what is private of the file.
    rights: Rights,
}

impl Beside {
    /// The folder of a file, whether it is there or not. Changes nothing.
    pub(super) fn of(disk: &dyn Disk, path: &Path) -> Result<Self, StoreError> {
        let target = behind_links(disk, path)?;
        let Some(name) = target.file_name() else { return Err(StoreError::NotAFile { path: path.to_owned() }) };
        let folder = target.with_file_name(paths::kept_name(name));
        let rights = match disk.about(&target) {
            Ok(about) => about.rights,
            Err(_) => {
                let folder = disk.about(folder_of(&target));
                folder.map(|folder| Rights::of_missing_file_in(folder.rights)).unwrap_or_default()
            }
        };
        Ok(Self { target, folder, rights })
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

    pub(super) fn aside(&self) -> PathBuf {
        self.folder.join("aside")
    }

    /// Of files in it.
    pub(super) fn rights(&self) -> Rights {
        self.rights.beside()
    }

    /// What has become of the file's rights since is followed, so that nothing kept for a file made private is open to others.
    pub(super) fn follow(&mut self, disk: &dyn Disk, about: &About) {
        if self.rights != about.rights {
            self.rights = about.rights;
            self.set_rights(disk);
        }
    }

    /// Why nothing can be written there though it is there, in words.
    pub(super) fn not_ours_to_write(&self) -> String {
        format!("you may not write to {}", shown_path(&paths::from_kept_folder_on(&self.folder)))
    }

    /// Whether the folder is there. An error if what stands there is no folder of ours, see [`Refused`].
    pub(super) fn is_there(&self, disk: &dyn Disk) -> io::Result<bool> {
        match disk.about(&self.folder) {
            Ok(about) => self.check_folder(&self.folder, &about).map(|()| true),
            Err(error) if error.kind() == ErrorKind::NotFound => Ok(false),
            Err(error) => Err(error),
        }
    }

    fn check_folder(&self, folder: &Path, about: &About) -> io::Result<()> {
        let why = match about.kind {
            Kind::Link => Why::Link,
            Kind::Folder if self.rights.may_come_from(disk::user(), about.rights) => return Ok(()),
            Kind::Folder => Why::Owner,
            Kind::File | Kind::Other => Why::NotAFolder,
        };
        Err(Refused::new(folder, why).into())
    }

    /// An error if an open file of the folder is not one that only we and those who may write the file have written.
    pub(super) fn check_file(&self, path: &Path, about: &About) -> io::Result<()> {
        let why = match about.kind {
            Kind::File if about.n_names > 1 => Why::OtherNames { n_names: about.n_names },
            Kind::File if self.rights.may_come_from(disk::user(), about.rights) => return Ok(()),
            Kind::File => Why::Owner,
            Kind::Link => Why::Link,
            Kind::Folder | Kind::Other => Why::NotAFile,
        };
        Err(Refused::new(path, why).into())
    }

    /// Makes the folder if it is not there.
    pub(super) fn make(&self, disk: &dyn Disk) -> io::Result<()> {
        self.make_folder(disk, &self.folder)
    }

    /// Made for us alone, then opened to whom it should be.
    fn make_folder(&self, disk: &dyn Disk, folder: &Path) -> io::Result<()> {
        match disk.make_folder(folder, 0o700) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => self.check_folder(folder, &disk.about(folder)?),
            Ok(()) => {
                // If it cannot be, whoever made it does so at the next opening.
                let _ = disk.open_folder(folder).and_then(|opened| self.rights().of_folder().give(disk, &opened));
                Ok(())
            }
            Err(error) => Err(error),
        }
    }

    /// Gives the folder and the folders in it the rights that they should have by now, where they are ours to give.
    pub(super) fn set_rights(&self, disk: &dyn Disk) {
        let wanted = self.rights().of_folder();
        for folder in [self.folder.clone(), self.versions(), self.aside()] {
            let Ok(about) = disk.about(&folder) else { continue };
            let is_ours = about.kind == Kind::Folder && [about.rights.owner, 0].contains(&disk::user());
            let is_as_wanted = about.rights.mode & 0o777 == wanted.mode && about.rights.group == wanted.group;
            if is_ours && !is_as_wanted {
                // What stays as it is was made by somebody whose wish that may be.
                let _ = disk.open_folder(&folder).and_then(|opened| wanted.give(disk, &opened));
            }
        }
    }

    /// What stands in the place of a folder within and is none.
    pub(super) fn not_folders(&self, disk: &dyn Disk) -> Vec<Refused> {
        let mut found = Vec::new();
        for folder in [self.versions(), self.aside()] {
            match disk.about(&folder).map(|about| about.kind) {
                Ok(Kind::Folder) | Err(_) => {}
                Ok(Kind::Link) => found.push(Refused::new(&folder, Why::Link)),
                Ok(Kind::File | Kind::Other) => found.push(Refused::new(&folder, Why::NotAFolder)),
            }
        }
        found
    }

    /// A new file in the folder, not yet under its name.
    pub(super) fn unfinished<'d>(&self, disk: &'d dyn Disk, mode: u32) -> io::Result<Unfinished<'d>> {
        self.make(disk)?;
        Unfinished::create(disk, &self.folder, UNFINISHED, mode)
    }

    /// Takes away what a killed save left unfinished. Only to be called with the lock.
    pub(super) fn clean(&self, disk: &dyn Disk) {
        for name in disk.list(&self.folder).unwrap_or_default() {
            let path = self.folder.join(&name);
            if is_unfinished(&name) && disk.about(&path).is_ok_and(|about| about.is_file()) {
                // One that stays takes room and does no harm.
                let _ = disk.remove(&path);
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
            let new = self.unfinished(disk, PRIVATE)?;
            self.make_folder(disk, folder)?;
            new.fill(bytes, Some(self.rights()))?;
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
        let path = self.free_name_aside(disk, what, now)?;
        let name = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
        self.write_into(disk, &self.aside(), &name, bytes)
    }

    /// Keeps what stands in the file's place under `aside/`, whatever it is, by giving it a name there.
    pub(super) fn move_aside(&self, disk: &dyn Disk, path: &Path, now: Stamp) -> Result<PathBuf, StoreError> {
        let folder = self.aside();
        let there = |error| explained(path, folder_of(&self.target), error);
        let about = disk.about(&self.target).map_err(there)?;
        // As for a file that is written over: its owner's wish counts for whoever may rename anything, too.
        if about.is_file() && about.is_read_only {
            return Err(StoreError::ReadOnly { path: path.to_owned(), what: self.target.clone() });
        }
        let made = self.make(disk).and_then(|()| self.make_folder(disk, &folder));
        made.map_err(|error| explained(&folder, &self.folder, error))?;
        let aside = self.free_name_aside(disk, "unreadable", now)?;
        disk.rename(&self.target, &aside).map_err(|error| not_renamed(disk, path, &self.target, error))?;
        let flushed = disk.flush_folder(&folder).and_then(|()| self.flush(disk));
        flushed.map_err(|error| {
            // Where it cannot go back to, it is kept all the same.
            let _ = disk.rename(&aside, &self.target);
            explained(&aside, &folder, error)
        })?;
        Ok(aside)
    }

    /// A path under `aside/` that nothing has yet.
    fn free_name_aside(&self, disk: &dyn Disk, what: &str, now: Stamp) -> Result<PathBuf, StoreError> {
        /// Of the words that say what it is; names have a limit.
        const N_CHARS: usize = 40;
        /// More of one second than a person makes.
        const N_TRIES: usize = 1000;
        let folder = self.aside();
        let plain = |sign: char| if is_plain(sign) { sign } else { '-' };
        let what: String = what.chars().take(N_CHARS).map(plain).collect();
        for number in 1..=N_TRIES {
            let name = match number {
                1 => format!("{}-{what}", now.for_file_name()),
                _ => format!("{}-{number}-{what}", now.for_file_name()),
            };
            let path = folder.join(&name);
            match disk.about(&path) {
                Ok(_) => {}
                Err(error) if error.kind() == ErrorKind::NotFound => return Ok(path),
                Err(source) => return Err(StoreError::Write { path, source }),
            }
        }
        Err(StoreError::AlreadyThere { path: folder.join(what) })
    }
}

/// Whether a sign may stand in the name of something put aside.
pub(super) fn is_plain(sign: char) -> bool {
    sign.is_alphanumeric() || matches!(sign, '.' | '_' | '-')
}

/// `unfinished-4711-0`, as we name them; somebody's own work is called otherwise.
fn is_unfinished(name: &OsStr) -> bool {
    let number = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let rest = name.to_str().and_then(|name| name.strip_prefix(UNFINISHED));
    rest.and_then(|rest| rest.split_once('-')).is_some_and(|(process, turn)| number(process) && number(turn))
}
