//! How the disk reaches what stands in a kept folder: from the folder's own name on, through no link.
//!
//! A repository, an archive or a member of a shared folder may bring links there, or put one in the place of a file between a look
//! at it and its use. So every call goes from the folder that holds the kept one down name by name, each opened relative to the one
//! before and refused if it is a link (POSIX `openat` with `O_NOFOLLOW`). Whatever comes and goes meanwhile, what is opened stands in
//! the kept folder.
//!
//! Systems without these calls look at each name first, which leaves an instant between the look and the use.

#[cfg(unix)]
pub(super) use unix::*;

#[cfg(unix)]
mod unix {
    use std::ffi::{OsStr, OsString};
    use std::fs::File;
    use std::io;
    use std::os::fd::{AsFd, OwnedFd};
    use std::path::{Path, PathBuf};

    use rustix::fs::{AtFlags, CWD, Dir, FileType, Mode, OFlags, Stat};
    use rustix::io::Errno;

    use crate::store::paths::{Within, of};
    use crate::store::refused::{Refused, Why};

    /// A folder on the way. Where the system lets us, without the right to list it.
    #[cfg(any(target_os = "linux", target_os = "android"))]
    const ON_THE_WAY: OFlags = OFlags::PATH.union(OFlags::DIRECTORY).union(OFlags::CLOEXEC);
    #[cfg(not(any(target_os = "linux", target_os = "android")))]
    const ON_THE_WAY: OFlags = OFlags::DIRECTORY.union(OFlags::CLOEXEC);

    /// Waits for no pipe's other end and takes no terminal.
    const PLAIN: OFlags = OFlags::NOFOLLOW.union(OFlags::CLOEXEC).union(OFlags::NONBLOCK).union(OFlags::NOCTTY);

    impl<'p> Within<'p> {
        /// The folder in which the last name stands, opened, and that name.
        fn parent(&self) -> io::Result<(OwnedFd, &'p OsStr)> {
            let mut at = rustix::fs::openat(CWD, self.top, ON_THE_WAY, Mode::empty())?;
            let Some((last, before)) = self.names.split_last() else { return Err(io::ErrorKind::NotFound.into()) };
            for (n, name) in before.iter().enumerate() {
                at = rustix::fs::openat(&at, *name, ON_THE_WAY | OFlags::NOFOLLOW, Mode::empty())
                    .map_err(|error| self.explained(error, &at, n, Why::NotAFolder))?;
            }
            Ok((at, *last))
        }

        /// An error for the name of that place: what stands there, if that is what is wrong.
        fn explained(&self, error: Errno, folder: &OwnedFd, n: usize, otherwise: Why) -> io::Error {
            if !matches!(error, Errno::LOOP | Errno::NOTDIR | Errno::ISDIR | Errno::NXIO | Errno::MLINK) {
                return error.into();
            }
            let is_link = rustix::fs::statat(folder, self.names[n], AtFlags::SYMLINK_NOFOLLOW)
                .is_ok_and(|stat| FileType::from_raw_mode(stat.st_mode).is_symlink());
            self.refused(n, if is_link { Why::Link } else { otherwise })
        }

        fn refused(&self, n: usize, why: Why) -> io::Error {
            let path: PathBuf = self.names[..=n].iter().collect();
            Refused::new(&path, why).into()
        }

        /// What stands there, no link followed.
        pub(in crate::store) fn stat(&self) -> io::Result<Stat> {
            let (folder, name) = self.parent()?;
            Ok(rustix::fs::statat(&folder, name, AtFlags::SYMLINK_NOFOLLOW)?)
        }

        /// Opens a file that is there; only a file.
        pub(in crate::store) fn open(&self, writes: bool) -> io::Result<File> {
            let (folder, name) = self.parent()?;
            let last = self.names.len() - 1;
            // Asked before opening: opening a device may already do something.
            let stat = rustix::fs::statat(&folder, name, AtFlags::SYMLINK_NOFOLLOW)?;
            match FileType::from_raw_mode(stat.st_mode) {
                FileType::RegularFile => {}
                FileType::Symlink => return Err(self.refused(last, Why::Link)),
                _ => return Err(self.refused(last, Why::NotAFile)),
            }
            let way = if writes { OFlags::RDWR } else { OFlags::RDONLY };
            let file = rustix::fs::openat(&folder, name, way | PLAIN, Mode::empty())
                .map_err(|error| self.explained(error, &folder, last, Why::NotAFile))?;
            // And after, since another may stand there by now.
            if FileType::from_raw_mode(rustix::fs::fstat(&file)?.st_mode) != FileType::RegularFile {
                return Err(self.refused(last, Why::NotAFile));
            }
            Ok(file.into())
        }

        /// Opens a folder that is there.
        pub(in crate::store) fn open_folder(&self) -> io::Result<File> {
            let (folder, name) = self.parent()?;
            let flags = OFlags::RDONLY | OFlags::DIRECTORY | OFlags::NOFOLLOW | OFlags::CLOEXEC;
            let opened = rustix::fs::openat(&folder, name, flags, Mode::empty())
                .map_err(|error| self.explained(error, &folder, self.names.len() - 1, Why::NotAFolder))?;
            Ok(opened.into())
        }

        /// Makes a file that must not be there yet, to be appended to.
        pub(in crate::store) fn create_new(&self, mode: u32) -> io::Result<File> {
            let (folder, name) = self.parent()?;
            let flags = OFlags::WRONLY | OFlags::APPEND | OFlags::CREATE | OFlags::EXCL | PLAIN;
            Ok(rustix::fs::openat(&folder, name, flags, Mode::from_raw_mode(mode as _))?.into())
        }

        /// Makes one folder.
        pub(in crate::store) fn make_folder(&self, mode: u32) -> io::Result<()> {
            let (folder, name) = self.parent()?;
            Ok(rustix::fs::mkdirat(&folder, name, Mode::from_raw_mode(mode as _))?)
        }

        /// Names in the folder.
        pub(in crate::store) fn list(&self) -> io::Result<Vec<OsString>> {
            use std::os::unix::ffi::OsStringExt as _;
            let mut names = Vec::new();
            for entry in Dir::new(self.open_folder()?)? {
                let name = entry?.file_name().to_bytes().to_vec();
                if name != b"." && name != b".." {
                    names.push(OsString::from_vec(name));
                }
            }
            Ok(names)
        }

        /// Takes a name away, whatever has it but a folder.
        pub(in crate::store) fn remove(&self) -> io::Result<()> {
            let (folder, name) = self.parent()?;
            Ok(rustix::fs::unlinkat(&folder, name, AtFlags::empty())?)
        }

        /// Whether we may write there.
        pub(in crate::store) fn may_write(&self) -> bool {
            self.parent().is_ok_and(|(folder, name)| {
                is_granted(rustix::fs::accessat(&folder, name, rustix::fs::Access::WRITE_OK, AtFlags::empty()))
            })
        }
    }

    /// Whether that is no refusal; what is not there, or cannot be asked, is met again at its use.
    pub(in crate::store) fn is_granted(asked: rustix::io::Result<()>) -> bool {
        !matches!(asked, Err(Errno::ACCESS | Errno::PERM | Errno::ROFS))
    }

    /// Renames between paths of which either may lead into a kept folder.
    pub(in crate::store) fn rename(from: &Path, to: &Path) -> io::Result<()> {
        let (from_folder, from) = opened(from)?;
        let (to_folder, to) = opened(to)?;
        let from_folder = from_folder.as_ref().map_or(CWD, AsFd::as_fd);
        let to_folder = to_folder.as_ref().map_or(CWD, AsFd::as_fd);
        Ok(rustix::fs::renameat(from_folder, from, to_folder, to)?)
    }

    /// What a path is relative to; a plain path is as it is.
    fn opened(path: &Path) -> io::Result<(Option<OwnedFd>, &Path)> {
        match of(path) {
            Some(within) => within.parent().map(|(folder, name)| (Some(folder), Path::new(name))),
            None => Ok((None, path)),
        }
    }
}

#[cfg(not(unix))]
mod elsewhere {
    use std::io;
    use std::path::PathBuf;

    use crate::store::paths::Within;
    use crate::store::refused::{Refused, Why};

    impl Within<'_> {
        /// The whole path, if none of its names is a link.
        pub(in crate::store) fn checked(&self) -> io::Result<PathBuf> {
            let mut path = self.top.to_owned();
            for name in &self.names {
                path.push(name);
                if path.is_symlink() {
                    return Err(Refused::new(&path, Why::Link).into());
                }
            }
            Ok(path)
        }
    }
}
