//! Every call to the file system that this room makes, so that tests can make each one fail.

use std::ffi::OsString;
use std::fmt;
use std::fs::{self, File, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::rights::Rights;

/// What the system says of a file without reading it. Two that are equal mean that nobody wrote the file in between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// What it is.
    pub kind: Kind,
    /// Its length.
    pub n_bytes: u64,
    /// When it was last written, where the system says.
    pub modified: Option<SystemTime>,
    /// Nobody may write it, its owner included.
    pub is_read_only: bool,
    /// Whose it is, and who may do what with it.
    pub rights: Rights,
    /// How many names it has.
    pub n_names: u64,
    /// Device, inode, and seconds and nanoseconds of the last change of either; zeros where there are none.
    pub identity: [i64; 4],
}

/// What has a name.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A file.
    File,
    /// A folder.
    Folder,
    /// A link that was not followed.
    Link,
    /// A pipe, a device, a socket.
    Other,
}

impl About {
    fn of(about: &fs::Metadata) -> Self {
        let kind = match about.file_type() {
            kind if kind.is_file() => Kind::File,
            kind if kind.is_dir() => Kind::Folder,
            kind if kind.is_symlink() => Kind::Link,
            _ => Kind::Other,
        };
        let (rights, n_names, identity) = system::numbers(about);
        Self {
            kind,
            n_bytes: about.len(),
            modified: about.modified().ok(),
            is_read_only: about.permissions().readonly(),
            rights,
            n_names,
            identity,
        }
    }

    /// Whether it is a file, neither folder nor pipe nor device.
    pub fn is_file(&self) -> bool {
        self.kind == Kind::File
    }

    /// Whether both are the same file, whatever has become of it.
    pub fn is_same_file(&self, other: &Self) -> bool {
        self.identity[..2] == other.identity[..2]
    }
}

/// The file system as this room sees it. One method is one call of the system, or as good as.
///
/// A path to a kept folder or into one is reached through no link from that folder's name on; any other is reached as usual.
pub trait Disk: Send + fmt::Debug {
    /// What is at a path, links followed; within a kept folder a link itself.
    fn about(&self, path: &Path) -> io::Result<About>;
    /// What an open file is, whatever has become of its name.
    fn about_open(&self, file: &File) -> io::Result<About>;
    /// Where a link leads.
    fn read_link(&self, path: &Path) -> io::Result<PathBuf>;
    /// Whether the system forbids us nothing about writing what stands there.
    fn may_write(&self, path: &Path) -> bool;
    /// Names in a folder, sorted.
    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>>;
    /// Makes one folder, with these permission bits as far as the user's mask allows.
    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()>;
    /// Opens a folder, to ask what it is and to say whose it is.
    fn open_folder(&self, folder: &Path) -> io::Result<File>;
    /// Opens for reading.
    fn open(&self, path: &Path) -> io::Result<File>;
    /// Reads to the end, but no more than `limit` bytes.
    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>>;
    /// Makes a file that must not be there yet, to be appended to.
    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File>;
    /// Opens a file that is there for reading and writing; leaves its contents.
    fn open_lock(&self, path: &Path) -> io::Result<File>;
    /// Takes the lock on an open file or says at once that another has it.
    fn try_lock(&self, file: &File) -> Result<(), TryLockError>;
    /// Writes all the bytes. After an error any part of them may stand in the file.
    fn write(&self, file: &File, bytes: &[u8]) -> io::Result<()>;
    /// Cuts a file to a length.
    fn set_len(&self, file: &File, n_bytes: u64) -> io::Result<()>;
    /// Sets whose it is, as far as that is given.
    fn set_owner(&self, file: &File, owner: Option<u32>, group: Option<u32>) -> io::Result<()>;
    /// Sets who may do what with it.
    fn set_mode(&self, file: &File, mode: u32) -> io::Result<()>;
    /// Brings contents and length of a file to the disk itself.
    fn flush(&self, file: &File) -> io::Result<()>;
    /// Renames, over whatever has the new name.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Renames, or fails with `AlreadyExists` if something has the new name; `from` may then be gone.
    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()>;
    /// Takes a file away.
    fn remove(&self, path: &Path) -> io::Result<()>;
    /// Makes names made, changed or removed in a folder durable.
    fn flush_folder(&self, folder: &Path) -> io::Result<()>;
}

/// The disk itself.
#[derive(Debug, Clone, Copy, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn about(&self, path: &Path) -> io::Result<About> {
        system::about(path)
    }

    fn about_open(&self, file: &File) -> io::Result<About> {
        file.metadata().map(|about| About::of(&about))
    }

    fn read_link(&self, path: &Path) -> io::Result<PathBuf> {
        fs::read_link(path)
    }

    fn may_write(&self, path: &Path) -> bool {
        system::may_write(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let mut names = system::list(folder)?;
        names.sort();
        Ok(names)
    }

    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        system::make_folder(folder, mode)
    }

    fn open_folder(&self, folder: &Path) -> io::Result<File> {
        system::open_folder(folder)
    }

    fn open(&self, path: &Path) -> io::Result<File> {
        system::open(path, false)
    }

    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        file.take(limit).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File> {
        system::create_new(path, mode)
    }

    fn open_lock(&self, path: &Path) -> io::Result<File> {
        system::open(path, true)
    }

    fn try_lock(&self, file: &File) -> Result<(), TryLockError> {
        file.try_lock()
    }

    fn write(&self, mut file: &File, bytes: &[u8]) -> io::Result<()> {
        file.write_all(bytes)
    }

    fn set_len(&self, file: &File, n_bytes: u64) -> io::Result<()> {
        file.set_len(n_bytes)
    }

    fn set_owner(&self, file: &File, owner: Option<u32>, group: Option<u32>) -> io::Result<()> {
        system::set_owner(file, owner, group)
    }

    fn set_mode(&self, file: &File, mode: u32) -> io::Result<()> {
        system::set_mode(file, mode)
    }

    fn flush(&self, file: &File) -> io::Result<()> {
        file.sync_all()
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        system::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        tempfile::TempPath::try_from_path(from)?.persist_noclobber(to).map_err(|error| error.error)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        system::remove(path)
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        match system::flush_folder(folder) {
            // Some file systems cannot flush a folder and say so.
            Err(error) if matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
            result => result,
        }
    }
}

/// The user this process acts for; 0 where there are no users.
pub(super) fn user() -> u32 {
    system::user()
}

/// Whether this is how a file system says that it has no locks: not at all, or for want of a service.
pub(super) fn knows_no_locks(error: &io::Error) -> bool {
    error.kind() == ErrorKind::Unsupported || system::has_no_lock_left(error)
}

#[cfg(unix)]
mod system {
    use std::ffi::OsString;
    use std::fs::{self, File, OpenOptions};
    use std::io;
    use std::os::unix::fs::{DirBuilderExt as _, MetadataExt as _, OpenOptionsExt as _, PermissionsExt as _};
    use std::path::Path;
    use std::time::{Duration, SystemTime};

    use rustix::fs::{FileType, OFlags, Stat};

    use super::{About, Kind};
    use crate::store::rights::Rights;
    use crate::store::{paths, within};

    pub(super) fn user() -> u32 {
        rustix::process::geteuid().as_raw()
    }

    pub(super) fn has_no_lock_left(error: &io::Error) -> bool {
        error.raw_os_error() == Some(rustix::io::Errno::NOLCK.raw_os_error())
    }

    pub(super) fn numbers(about: &fs::Metadata) -> (Rights, u64, [i64; 4]) {
        let rights = Rights { owner: about.uid(), group: about.gid(), mode: about.mode() & 0o7777 };
        (rights, about.nlink(), [about.dev() as i64, about.ino() as i64, about.ctime(), about.ctime_nsec()])
    }

    pub(super) fn about(path: &Path) -> io::Result<About> {
        match paths::of(path) {
            Some(within) => within.stat().map(|stat| about_stat(&stat)),
            None => fs::metadata(path).map(|about| About::of(&about)),
        }
    }

    #[allow(clippy::unnecessary_cast)] // these numbers have other types on other systems
    fn about_stat(stat: &Stat) -> About {
        let kind = match FileType::from_raw_mode(stat.st_mode) {
            FileType::RegularFile => Kind::File,
            FileType::Directory => Kind::Folder,
            FileType::Symlink => Kind::Link,
            _ => Kind::Other,
        };
        let mode = stat.st_mode as u32 & 0o7777;
        let nanoseconds = Duration::from_nanos(stat.st_mtime_nsec as u64);
        let seconds = Duration::from_secs((stat.st_mtime as i64).unsigned_abs());
        let modified = if (stat.st_mtime as i64) < 0 {
            SystemTime::UNIX_EPOCH.checked_sub(seconds)
        } else {
            SystemTime::UNIX_EPOCH.checked_add(seconds)
        };
        About {
            kind,
            n_bytes: stat.st_size as u64,
            modified: modified.and_then(|moment| moment.checked_add(nanoseconds)),
            is_read_only: mode & 0o222 == 0,
            rights: Rights { owner: stat.st_uid as u32, group: stat.st_gid as u32, mode },
            n_names: stat.st_nlink as u64,
            identity: [stat.st_dev as i64, stat.st_ino as i64, stat.st_ctime as i64, stat.st_ctime_nsec as i64],
        }
    }

    pub(super) fn may_write(path: &Path) -> bool {
        match paths::of(path) {
            Some(within) => within.may_write(),
            None => within::is_granted(rustix::fs::access(path, rustix::fs::Access::WRITE_OK)),
        }
    }

    pub(super) fn list(folder: &Path) -> io::Result<Vec<OsString>> {
        match paths::of(folder) {
            Some(within) => within.list(),
            None => fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.file_name())).collect(),
        }
    }

    pub(super) fn make_folder(folder: &Path, mode: u32) -> io::Result<()> {
        match paths::of(folder) {
            Some(within) => within.make_folder(mode),
            None => fs::DirBuilder::new().mode(mode).create(folder),
        }
    }

    pub(super) fn open_folder(folder: &Path) -> io::Result<File> {
        match paths::of(folder) {
            Some(within) => within.open_folder(),
            None => File::open(folder),
        }
    }

    pub(super) fn open(path: &Path, writes: bool) -> io::Result<File> {
        match paths::of(path) {
            Some(within) => within.open(writes),
            None => {
                // Waits for no pipe's other end.
                let flags = OFlags::NONBLOCK.union(OFlags::NOCTTY).bits();
                OpenOptions::new().read(true).write(writes).custom_flags(flags as _).open(path)
            }
        }
    }

    pub(super) fn create_new(path: &Path, mode: u32) -> io::Result<File> {
        match paths::of(path) {
            Some(within) => within.create_new(mode),
            None => OpenOptions::new().append(true).create_new(true).mode(mode).open(path),
        }
    }

    pub(super) fn set_owner(file: &File, owner: Option<u32>, group: Option<u32>) -> io::Result<()> {
        std::os::unix::fs::fchown(file, owner, group)
    }

    pub(super) fn set_mode(file: &File, mode: u32) -> io::Result<()> {
        file.set_permissions(fs::Permissions::from_mode(mode))
    }

    pub(super) fn rename(from: &Path, to: &Path) -> io::Result<()> {
        within::rename(from, to)
    }

    pub(super) fn remove(path: &Path) -> io::Result<()> {
        match paths::of(path) {
            Some(within) => within.remove(),
            None => fs::remove_file(path),
        }
    }

    pub(super) fn flush_folder(folder: &Path) -> io::Result<()> {
        open_folder(folder)?.sync_all()
    }
}

#[cfg(not(unix))]
mod system {
    use std::ffi::OsString;
    use std::fs::{self, File, OpenOptions};
    use std::io;
    use std::path::{Path, PathBuf};

    use super::About;
    use crate::store::paths;
    use crate::store::rights::Rights;

    pub(super) fn user() -> u32 {
        0
    }

    pub(super) fn has_no_lock_left(_error: &io::Error) -> bool {
        false
    }

    pub(super) fn numbers(_about: &fs::Metadata) -> (Rights, u64, [i64; 4]) {
        (Rights::default(), 1, [0; 4])
    }

    /// The path, if it leads through no link of a kept folder.
    fn checked(path: &Path) -> io::Result<PathBuf> {
        paths::of(path).map_or_else(|| Ok(path.to_owned()), |within| within.checked())
    }

    pub(super) fn about(path: &Path) -> io::Result<About> {
        let is_within = paths::of(path).is_some();
        let about = if is_within { fs::symlink_metadata(path) } else { fs::metadata(path) };
        about.map(|about| About::of(&about))
    }

    pub(super) fn may_write(path: &Path) -> bool {
        fs::metadata(path).is_ok_and(|about| !about.permissions().readonly())
    }

    pub(super) fn list(folder: &Path) -> io::Result<Vec<OsString>> {
        fs::read_dir(checked(folder)?)?.map(|entry| entry.map(|entry| entry.file_name())).collect()
    }

    pub(super) fn make_folder(folder: &Path, _mode: u32) -> io::Result<()> {
        fs::create_dir(folder)
    }

    pub(super) fn open_folder(folder: &Path) -> io::Result<File> {
        File::open(checked(folder)?)
    }

    pub(super) fn open(path: &Path, writes: bool) -> io::Result<File> {
        OpenOptions::new().read(true).write(writes).open(checked(path)?)
    }

    pub(super) fn create_new(path: &Path, _mode: u32) -> io::Result<File> {
        OpenOptions::new().append(true).create_new(true).open(checked(path)?)
    }

    pub(super) fn set_owner(_file: &File, _owner: Option<u32>, _group: Option<u32>) -> io::Result<()> {
        Ok(())
    }

    pub(super) fn set_mode(_file: &File, _mode: u32) -> io::Result<()> {
        Ok(())
    }

    pub(super) fn rename(from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    pub(super) fn remove(path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    pub(super) fn flush_folder(_folder: &Path) -> io::Result<()> {
        Ok(())
    }
}
