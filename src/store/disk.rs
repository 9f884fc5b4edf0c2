//! Every call to the file system that this room makes, so that tests can make each one fail.

use std::ffi::OsString;
use std::fmt;
use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

/// What the system says of a file without reading it. Two that are equal mean that nobody wrote the file in between.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// A file, neither folder nor pipe nor device.
    pub is_file: bool,
    /// Its length.
    pub n_bytes: u64,
    /// When it was last written, where the system says.
    pub modified: Option<SystemTime>,
    /// Who may do what with it.
    pub permissions: fs::Permissions,
    /// Device, inode, and seconds and nanoseconds of the last change of either; zeros where there are none.
    pub identity: [i64; 4],
}

impl About {
    fn of(about: &fs::Metadata) -> Self {
        Self {
            is_file: about.is_file(),
            n_bytes: about.len(),
            modified: about.modified().ok(),
            permissions: about.permissions(),
            identity: identity(about),
        }
    }

    /// The permission bits; read and write for everyone where the system has none (the user's mask still counts).
    pub fn mode(&self) -> u32 {
        mode(&self.permissions)
    }
}

/// The file system as this room sees it. One method is one call of the system, or as good as.
pub trait Disk: Send + fmt::Debug {
    /// What is at a path, links followed.
    fn about(&self, path: &Path) -> io::Result<About>;
    /// What an open file is, whatever has become of its name.
    fn about_open(&self, file: &File) -> io::Result<About>;
    /// Where a link leads.
    fn read_link(&self, path: &Path) -> io::Result<PathBuf>;
    /// Names in a folder, sorted.
    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>>;
    /// Makes one folder, with these permission bits as far as the user's mask allows.
    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()>;
    /// Opens for reading.
    fn open(&self, path: &Path) -> io::Result<File>;
    /// Reads to the end, but no more than `limit` bytes.
    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>>;
    /// Makes a file that must not be there yet, to be appended to.
    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File>;
    /// Opens for reading and writing; makes it if it is not there; leaves its contents.
    fn open_lock(&self, path: &Path, mode: u32) -> io::Result<File>;
    /// Takes the lock on an open file or says at once that another has it.
    fn try_lock(&self, file: &File) -> Result<(), TryLockError>;
    /// Writes all the bytes. After an error any part of them may stand in the file.
    fn write(&self, file: &File, bytes: &[u8]) -> io::Result<()>;
    /// Cuts a file to a length.
    fn set_len(&self, file: &File, n_bytes: u64) -> io::Result<()>;
    /// Sets who may do what with it.
    fn set_permissions(&self, file: &File, permissions: fs::Permissions) -> io::Result<()>;
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
        fs::metadata(path).map(|about| About::of(&about))
    }

    fn about_open(&self, file: &File) -> io::Result<About> {
        file.metadata().map(|about| About::of(&about))
    }

    fn read_link(&self, path: &Path) -> io::Result<PathBuf> {
        fs::read_link(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        let mut names =
            fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.file_name())).collect::<io::Result<Vec<_>>>()?;
        names.sort();
        Ok(names)
    }

    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        let mut builder = fs::DirBuilder::new();
        set_folder_mode(&mut builder, mode);
        builder.create(folder)
    }

    fn open(&self, path: &Path) -> io::Result<File> {
        File::open(path)
    }

    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>> {
        let mut bytes = Vec::new();
        file.take(limit).read_to_end(&mut bytes)?;
        Ok(bytes)
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File> {
        let mut options = OpenOptions::new();
        set_file_mode(&mut options, mode);
        options.append(true).create_new(true).open(path)
    }

    fn open_lock(&self, path: &Path, mode: u32) -> io::Result<File> {
        let mut options = OpenOptions::new();
        set_file_mode(&mut options, mode);
        options.read(true).write(true).create(true).truncate(false).open(path)
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

    fn set_permissions(&self, file: &File, permissions: fs::Permissions) -> io::Result<()> {
        file.set_permissions(permissions)
    }

    fn flush(&self, file: &File) -> io::Result<()> {
        file.sync_all()
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        fs::rename(from, to)
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        tempfile::TempPath::try_from_path(from)?.persist_noclobber(to).map_err(|error| error.error)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        fs::remove_file(path)
    }

    #[cfg(unix)]
    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        match File::open(folder)?.sync_all() {
            // Some file systems cannot flush a folder and say so.
            Err(error) if matches!(error.kind(), ErrorKind::InvalidInput | ErrorKind::Unsupported) => Ok(()),
            result => result,
        }
    }

    #[cfg(not(unix))]
    fn flush_folder(&self, _folder: &Path) -> io::Result<()> {
        Ok(())
    }
}

#[cfg(unix)]
fn identity(about: &fs::Metadata) -> [i64; 4] {
    use std::os::unix::fs::MetadataExt;
    [about.dev() as i64, about.ino() as i64, about.ctime(), about.ctime_nsec()]
}

#[cfg(not(unix))]
fn identity(_about: &fs::Metadata) -> [i64; 4] {
    [0; 4]
}

#[cfg(unix)]
fn mode(permissions: &fs::Permissions) -> u32 {
    use std::os::unix::fs::PermissionsExt;
    permissions.mode() & 0o7777
}

#[cfg(not(unix))]
fn mode(_permissions: &fs::Permissions) -> u32 {
    0o666
}

#[cfg(unix)]
fn set_file_mode(options: &mut OpenOptions, mode: u32) {
    use std::os::unix::fs::OpenOptionsExt;
    options.mode(mode);
}

#[cfg(not(unix))]
fn set_file_mode(_options: &mut OpenOptions, _mode: u32) {}

#[cfg(unix)]
fn set_folder_mode(builder: &mut fs::DirBuilder, mode: u32) {
    use std::os::unix::fs::DirBuilderExt;
    builder.mode(mode);
}

#[cfg(not(unix))]
fn set_folder_mode(_builder: &mut fs::DirBuilder, _mode: u32) {}
