//! For tests: a disk on which any call can be made to fail, the process to die, or the power to go.

use std::collections::HashMap;
use std::ffi::OsString;
use std::fs::{self, File, TryLockError};
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

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
    /// What is lost if the power goes.
    unflushed: Unflushed,
    meanwhile: Option<Meanwhile>,
}

/// What somebody else does just before the next call of a method.
struct Meanwhile(&'static str, Box<dyn FnOnce() + Send>);

impl std::fmt::Debug for Meanwhile {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "before {}", self.0)
    }
}

#[derive(Debug, Clone, Copy)]
struct Fault {
    which: Which,
    kind: ErrorKind,
    is_power_cut: bool,
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
        self.add(Which::Call(n), kind, false);
    }

    /// Makes a call and every later one fail, as when the disk is full and stays so. A write leaves half its bytes.
    pub fn fail_from(&self, n: usize, kind: ErrorKind) {
        self.add(Which::From(n), kind, false);
    }

    /// Makes every call of one method of [`Disk`] fail, by its name: `"create_new"`, `"write"`.
    pub fn fail_every(&self, method: &'static str, kind: ErrorKind) {
        self.add(Which::Method(method), kind, false);
    }

    /// Ends the process in a call: it fails, after half its bytes if it is a write, and none comes after it.
    pub fn die_at(&self, n: usize) {
        self.add(Which::From(n), ErrorKind::Other, false);
    }

    /// Cuts the power in a call: as [`die_at`](Self::die_at), and contents and names that were not flushed are lost.
    pub fn cut_power_at(&self, n: usize) {
        self.add(Which::From(n), ErrorKind::Other, true);
    }

    /// Has somebody else do something just before the next call of a method: between a look at a file and its use, say.
    pub fn meanwhile(&self, method: &'static str, act: impl FnOnce() + Send + 'static) {
        self.state().meanwhile = Some(Meanwhile(method, Box::new(act)));
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

    fn add(&self, which: Which, kind: ErrorKind, is_power_cut: bool) {
        self.state().faults.push(Fault { which, kind, is_power_cut });
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Counts a call; an error if it is to fail, and whether part of it is done first.
    fn call(&self, method: &'static str) -> Result<(), (io::Error, bool)> {
        let mut state = self.state();
        if let Some(Meanwhile(_, act)) = state.meanwhile.take_if(|meanwhile| meanwhile.0 == method) {
            act();
        }
        let number = state.calls.len();
        state.calls.push(method);
        let hit = |fault: &&Fault| match fault.which {
            Which::Call(n) => n == number,
            Which::From(n) => n <= number,
            Which::Method(name) => name == method,
        };
        let Some(fault) = state.faults.iter().find(hit).copied() else { return Ok(()) };
        if fault.is_power_cut {
            state.unflushed.lose();
        }
        let is_dead = fault.kind == ErrorKind::Other && !matches!(fault.which, Which::From(n) if n == number);
        Err((fault.kind.into(), !is_dead && !fault.is_power_cut))
    }

    fn checked(&self, method: &'static str) -> io::Result<()> {
        self.call(method).map_err(|(error, _)| error)
    }

    /// Lets what would be lost be noted after a call that was made.
    fn note<T>(&self, done: io::Result<T>, note: impl FnOnce(&mut Unflushed, &T)) -> io::Result<T> {
        if let Ok(value) = &done {
            note(&mut self.state().unflushed, value);
        }
        done
    }
}

/// What is in the system's memory alone.
#[derive(Debug, Default)]
struct Unflushed {
    /// Files by device and inode, and how much of each is on the disk.
    files: HashMap<[i64; 2], (File, u64)>,
    /// Names made or changed, in order.
    names: Vec<Name>,
}

#[derive(Debug)]
enum Name {
    /// A file or folder was made.
    Made(PathBuf),
    /// A file got a name that another, of these contents, may have had.
    Renamed { from: PathBuf, to: PathBuf, before: Option<Vec<u8>> },
}

impl Unflushed {
    fn made(&mut self, path: &Path, file: &File) {
        self.names.push(Name::Made(path.to_owned()));
        self.reached(file, |_| 0);
    }

    /// How much of a file is on the disk from now on, of its length.
    fn reached(&mut self, file: &File, n_bytes: impl FnOnce(u64) -> u64) {
        if let (Ok(about), Ok(clone)) = (RealDisk.about_open(file), file.try_clone()) {
            let key = [about.identity[0], about.identity[1]];
            self.files.insert(key, (clone, n_bytes(about.n_bytes)));
        }
    }

    fn flushed_folder(&mut self, folder: &Path) {
        self.names.retain(|name| match name {
            Name::Made(path) | Name::Renamed { to: path, .. } => folder_of(path) != folder,
        });
    }

    /// The power goes. Files taken away do not come back, which nothing depends on.
    fn lose(&mut self) {
        for (file, n_bytes) in std::mem::take(&mut self.files).into_values() {
            if file.metadata().is_ok_and(|about| about.len() > n_bytes) {
                let _ = file.set_len(n_bytes);
            }
        }
        for name in std::mem::take(&mut self.names).into_iter().rev() {
            let _ = match name {
                Name::Made(path) if path.is_dir() => fs::remove_dir_all(path),
                Name::Made(path) => fs::remove_file(path),
                Name::Renamed { from, to, before } => fs::rename(&to, from).and_then(|()| match before {
                    Some(bytes) => fs::write(to, bytes),
                    None => Ok(()),
                }),
            };
        }
    }
}

impl Disk for FaultyDisk {
    fn about(&self, path: &Path) -> io::Result<About> {
        self.checked("about").and_then(|()| RealDisk.about(path))
    }

    fn about_open(&self, file: &File) -> io::Result<About> {
        self.checked("about_open").and_then(|()| RealDisk.about_open(file))
    }

    fn read_link(&self, path: &Path) -> io::Result<PathBuf> {
        self.checked("read_link").and_then(|()| RealDisk.read_link(path))
    }

    fn may_write(&self, path: &Path) -> bool {
        self.checked("may_write").is_ok() && RealDisk.may_write(path)
    }

    fn list(&self, folder: &Path) -> io::Result<Vec<OsString>> {
        self.checked("list").and_then(|()| RealDisk.list(folder))
    }

    fn make_folder(&self, folder: &Path, mode: u32) -> io::Result<()> {
        self.checked("make_folder")?;
        self.note(RealDisk.make_folder(folder, mode), |unflushed, ()| {
            unflushed.names.push(Name::Made(folder.to_owned()));
        })
    }

    fn open_folder(&self, folder: &Path) -> io::Result<File> {
        self.checked("open_folder").and_then(|()| RealDisk.open_folder(folder))
    }

    fn open(&self, path: &Path) -> io::Result<File> {
        self.checked("open").and_then(|()| RealDisk.open(path))
    }

    fn read(&self, file: &File, limit: u64) -> io::Result<Vec<u8>> {
        self.checked("read").and_then(|()| RealDisk.read(file, limit))
    }

    fn create_new(&self, path: &Path, mode: u32) -> io::Result<File> {
        self.checked("create_new")?;
        self.note(RealDisk.create_new(path, mode), |unflushed, file| unflushed.made(path, file))
    }

    fn open_lock(&self, path: &Path) -> io::Result<File> {
        self.checked("open_lock").and_then(|()| RealDisk.open_lock(path))
    }

    fn try_lock(&self, file: &File) -> Result<(), TryLockError> {
        self.checked("try_lock").map_err(TryLockError::Error).and_then(|()| RealDisk.try_lock(file))
    }

    fn write(&self, file: &File, bytes: &[u8]) -> io::Result<()> {
        match self.call("write") {
            Ok(()) => RealDisk.write(file, bytes),
            Err((error, is_begun)) => {
                if is_begun {
                    RealDisk.write(file, &bytes[..bytes.len() / 2])?;
                }
                Err(error)
            }
        }
    }

    fn set_len(&self, file: &File, n_bytes: u64) -> io::Result<()> {
        self.checked("set_len").and_then(|()| RealDisk.set_len(file, n_bytes))
    }

    fn set_owner(&self, file: &File, owner: Option<u32>, group: Option<u32>) -> io::Result<()> {
        self.checked("set_owner").and_then(|()| RealDisk.set_owner(file, owner, group))
    }

    fn set_mode(&self, file: &File, mode: u32) -> io::Result<()> {
        self.checked("set_mode").and_then(|()| RealDisk.set_mode(file, mode))
    }

    fn flush(&self, file: &File) -> io::Result<()> {
        self.checked("flush")?;
        // It is this disk that says what is lost, so the real one need not be waited for.
        self.note(Ok(()), |unflushed, ()| unflushed.reached(file, |n_bytes| n_bytes))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.checked("rename")?;
        let before = fs::read(to).ok();
        self.note(RealDisk.rename(from, to), |unflushed, ()| {
            unflushed.names.push(Name::Renamed { from: from.to_owned(), to: to.to_owned(), before });
        })
    }

    fn rename_new(&self, from: &Path, to: &Path) -> io::Result<()> {
        self.checked("rename_new")?;
        self.note(RealDisk.rename_new(from, to), |unflushed, ()| {
            unflushed.names.push(Name::Renamed { from: from.to_owned(), to: to.to_owned(), before: None });
        })
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        self.checked("remove").and_then(|()| RealDisk.remove(path))
    }

    fn flush_folder(&self, folder: &Path) -> io::Result<()> {
        self.checked("flush_folder")?;
        self.note(folder.metadata().map(|_| ()), |unflushed, ()| unflushed.flushed_folder(folder))
    }
}

/// The folder a file stands in.
fn folder_of(path: &Path) -> &Path {
    path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."))
}
