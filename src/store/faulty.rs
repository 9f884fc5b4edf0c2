//! For tests: a disk on which any call can be made to fail.

use std::ffi::OsString;
use std::fs::{File, Permissions, TryLockError};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};

use super::disk::{About, Disk, RealDisk};

/// For tests: the real disk, with faults. Clones share their faults and counts, so that one can be handed over and the
/// other kept to set them.
#[derive(Debug, Clone, Default)]
pub struct FaultyDisk {
    state: Arc<Mutex<State>>,
}

#[derive(Debug, Default)]
struct State {
    calls: Vec<&'static str>,
    faults: Vec<Fault>,
}

#[derive(Debug, Clone, Copy)]
struct Fault {
    which: Which,
    kind: ErrorKind,
}

#[derive(Debug, Clone, Copy)]
enum Which {
    /// One call, counted from 0.
    Call(usize),
    /// That call and every later one.
    From(usize),
    /// Every call of a method of [`Disk`].
    Method(&'static str),
}

impl FaultyDisk {
    /// Without faults.
    pub fn sound() -> Self {
        Self::default()
    }

    /// Makes one call fail, counted from 0 over the disk's whole life. A write leaves half its bytes first.
    pub fn fail_at(&self, n: usize, kind: ErrorKind) {
        self.state().faults.push(Fault { which: Which::Call(n), kind });
    }

    /// Makes a call and every later one fail, as if the process had died in it. A write leaves half its bytes first.
    pub fn die_at(&self, n: usize) {
        self.state().faults.push(Fault { which: Which::From(n), kind: ErrorKind::Other });
    }

    /// Makes every call of one method of [`Disk`] fail, by its name: `"create_new"`, `"write"`.
    pub fn fail_every(&self, method: &'static str, kind: ErrorKind) {
        self.state().faults.push(Fault { which: Which::Method(method), kind });
    }

    /// Takes all faults away.
    pub fn mend(&self) {
        self.state().faults.clear();
    }

    /// How many calls there were.
    pub fn n_calls(&self) -> usize {
        self.state().calls.len()
    }

    /// The names of all calls, in order.
    pub fn calls(&self) -> Vec<&'static str> {
        self.state().calls.clone()
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(std::sync::PoisonError::into_inner)
    }

    /// Counts a call; an error if it is to fail.
    fn call(&self, method: &'static str) -> io::Result<()> {
        let mut state = self.state();
        let number = state.calls.len();
        state.calls.push(method);
        let hit = |fault: &&Fault| match fault.which {
            Which::Call(n) => n == number,
            Which::From(n) => n <= number,
            Which::Method(name) => name == method,
        };
        match state.faults.iter().find(hit) {
            Some(fault) => Err(fault.kind.into()),
            None => Ok(()),
        }
    }
}

impl Disk for FaultyDisk {
    fn about(&self, path: &Path) -> io::Result<About> {
        self.call("about").and_then(|()| RealDisk.about(path))
    }

    fn about_open(&self, file: &File) -> io::Result<About> {
        self.call("about_open").and_then(|()| RealDisk.about_open(file))
    }

    fn read_link(&self, path: &Path) -> io::Result<PathBuf> {
        self.call("read_link").and_then(|()| RealDisk.read_link(path))
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        self.call("list").and_then(|()| RealDisk.list(folder))
    }

    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        self.call("make_folder").and_then(|()| RealDisk.make_folder(folder, mode))
    }

    fn open(&self, path: &Path) -> io::Result<File> {
        self.call("open").and_then(|()| RealDisk.open(path))
    }

    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>> {
        self.call("read").and_then(|()| RealDisk.read(file, limit))
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File> {
        self.call("create_new").and_then(|()| RealDisk.create_new(path, mode))
    }

    fn open_lock(&self, path: &Path, mode: u32) -> io::Result<File> {
        self.call("open_lock").and_then(|()| RealDisk.open_lock(path, mode))
    }

    fn try_lock(&self, file: &File) -> Result<(), TryLockError> {
        self.call("try_lock").map_err(TryLockError::Error).and_then(|()| RealDisk.try_lock(file))
    }

    fn write(&self, file: &File, bytes: &[u8]) -> io::Result<()> {
        if let Err(error) = self.call("write") {
            RealDisk.write(file, &bytes[..bytes.len() / 2])?;
            return Err(error);
        }
        RealDisk.write(file, bytes)
    }

    fn set_len(&self, file: &File, n_bytes: u64) -> io::Result<()> {
        self.call("set_len").and_then(|()| RealDisk.set_len(file, n_bytes))
    }

    fn set_permissions(&self, file: &File, permissions: Permissions) -> io::Result<()> {
        self.call("set_permissions").and_then(|()| RealDisk.set_permissions(file, permissions))
    }

    fn flush(&self, file: &File) -> io::Result<()> {
        self.call("flush").and_then(|()| RealDisk.flush(file))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.call("rename").and_then(|()| RealDisk.rename(from, to))
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.call("rename_new").and_then(|()| RealDisk.rename_new(from, to))
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.call("remove").and_then(|()| RealDisk.remove(path))
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        self.call("flush_folder").and_then(|()| RealDisk.flush_folder(folder))
    }
}
