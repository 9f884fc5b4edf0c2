//! Who has a file open.
//!
//! The lock is the system's, on a file of its own beside the one it guards, so it is let go when its process ends,
//! however that ends. The text in it only says who has it; a stale one locks nobody out.
//!
//! Whoever may only read the lock's file can still try it, and have it. Where not even that can be, another program may have the file
//! open unseen, so it is only looked at.

use std::fs::{File, TryLockError};
use std::io::{self, ErrorKind};
use std::path::Path;
use std::time::Duration;

use super::Stamp;
use super::beside::Beside;
use super::disk::{self, Disk};
use super::holder::Holder;
use super::refused::refused;
use super::whole::PRIVATE;

/// More bytes than the text of a lock has, or the name of a host.
const N_BYTES_READ: u64 = 1024;

/// A lock that is ours as long as it is open.
#[derive(Debug)]
pub(super) struct Lock {
    file: File,
    /// Whether we may say in it who has it; where we may only read it, it holds all the same.
    is_writable: bool,
}

/// What came of asking for a lock.
#[derive(Debug)]
pub(super) enum Taken {
    /// It is ours.
    Ours(Lock),
    /// Another program has it.
    Held(Holder),
    /// Nobody can have one here, and why.
    Impossible(String),
    /// Whether another program has it cannot be known, and why.
    Unknown(String),
}

/// Asks for the lock of a file, without waiting.
pub(super) fn take(disk: &dyn Disk, beside: &Beside, now: Stamp) -> Taken {
    match there_or_made(disk, beside) {
        Ok(lock) => tried(disk, beside, lock, Some(now)),
        Err(taken) => taken,
    }
}

/// The same, patiently: another program that only looks whether the lock is free has it for an instant, and so has a child between
/// its birth and the program it becomes. That is no holder. And one that is just being made may not be opened yet.
pub(super) fn take_patiently(disk: &dyn Disk, beside: &Beside, now: Stamp) -> Taken {
    /// Starting values: a twentieth of a second in all.
    const N_TRIES: u32 = 6;
    const PAUSE: Duration = Duration::from_millis(10);
    for _ in 1..N_TRIES {
        match take(disk, beside, now) {
            Taken::Held(_) | Taken::Unknown(_) => std::thread::sleep(PAUSE),
            taken => return taken,
        }
    }
    take(disk, beside, now)
}

/// Whether another program has the lock of a file that we may not write, and who; leaves nothing behind.
pub(super) fn holder(disk: &dyn Disk, beside: &Beside) -> Option<Holder> {
    match tried(disk, beside, there(disk, beside).ok().flatten()?, None) {
        Taken::Held(holder) => Some(holder),
        Taken::Ours(_) | Taken::Impossible(_) | Taken::Unknown(_) => None,
    }
}

/// Whether a lock could be had now. What stands in it stays.
pub(super) fn is_free(disk: &dyn Disk, beside: &Beside) -> bool {
    match there(disk, beside) {
        Ok(Some(lock)) => matches!(tried(disk, beside, lock, None), Taken::Ours(_)),
        Ok(None) | Err(Taken::Impossible(_)) => true,
        Err(_) => false,
    }
}

/// Whether a lock that is ours still has its name. One that was taken away, alone or with its folder, keeps nobody out.
pub(super) fn is_still_there(disk: &dyn Disk, beside: &Beside, lock: &Lock) -> bool {
    match disk.about(&beside.lock()) {
        Ok(there) => disk.about_open(&lock.file).map_or(true, |ours| there.is_same_file(&ours)),
        // Any other fault says nothing of the lock.
        Err(error) => !matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory),
    }
}

/// The lock's file, opened, where there is one; to be written, or at least to be read, which is enough for a lock of the whole file
/// (`flock`) on a local file system.
fn there(disk: &dyn Disk, beside: &Beside) -> Result<Option<Lock>, Taken> {
    let path = beside.lock();
    match beside.is_there(disk) {
        Ok(true) => {}
        Ok(false) => return Ok(None),
        Err(error) => return Err(not_opened(&error)),
    }
    let lock = match disk.open_lock(&path) {
        Ok(file) => Lock { file, is_writable: true },
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) if is_denied(&error) => match disk.open(&path) {
            Ok(file) => Lock { file, is_writable: false },
            Err(error) => return Err(not_opened(&error)),
        },
        Err(error) => return Err(not_opened(&error)),
    };
    let about = disk.about_open(&lock.file).map_err(|error| not_opened(&error))?;
    beside.check_file(&path, &about).map_err(|error| not_opened(&error))?;
    Ok(Some(lock))
}

fn there_or_made(disk: &dyn Disk, beside: &Beside) -> Result<Lock, Taken> {
    if let Some(lock) = there(disk, beside)? {
        return Ok(lock);
    }
    // There is none, so nobody has it; if it cannot be made, nobody like us can.
    let made = beside.make(disk).and_then(|()| {
        match disk.create_new(&beside.lock(), PRIVATE).and_then(|file| beside.rights().give(disk, &file)) {
            Err(error) if error.kind() == ErrorKind::AlreadyExists => Ok(()),
            made => made.map(drop),
        }
    });
    made.map_err(|error| Taken::Impossible(why_not(&error)))?;
    there(disk, beside)?.ok_or_else(|| Taken::Unknown(CHANGES.to_owned()))
}

/// Of a lock that was taken away or replaced as soon as it was opened.
const CHANGES: &str = "something else is changing its lock just now";

/// Tries the lock on an open file. With a moment it is kept and says since when.
fn tried(disk: &dyn Disk, beside: &Beside, lock: Lock, since: Option<Stamp>) -> Taken {
    match disk.try_lock(&lock.file) {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => {
            let text = disk.read(&lock.file, N_BYTES_READ).unwrap_or_default();
            return Taken::Held(Holder::read(&String::from_utf8_lossy(&text)));
        }
        Err(TryLockError::Error(error)) if disk::knows_no_locks(&error) => {
            return Taken::Impossible("this file system has no locks".to_owned());
        }
        Err(TryLockError::Error(error)) => return Taken::Unknown(format!("its lock cannot be tried: {error}")),
    }
    let Some(since) = since else { return Taken::Ours(lock) };
    // A lock on a file that has lost its name keeps nobody out.
    let is_still = match (disk.about(&beside.lock()), disk.about_open(&lock.file)) {
        (Ok(there), Ok(ours)) => there.is_same_file(&ours),
        _ => false,
    };
    if !is_still {
        return Taken::Unknown(CHANGES.to_owned());
    }
    if lock.is_writable {
        // Where the garden's group has changed since, so does the lock's.
        let _ = beside.rights().give(disk, &lock.file);
        let us = Holder { process_id: std::process::id(), host: host(disk), since: since.to_string() };
        // Without the text the lock holds all the same.
        let _ = disk.set_len(&lock.file, 0).and_then(|()| disk.write(&lock.file, us.written().as_bytes()));
    }
    Taken::Ours(lock)
}

/// Lets a lock go; its text is emptied first.
pub(super) fn let_go(disk: &dyn Disk, lock: Lock) {
    if lock.is_writable {
        // A text left behind blocks nobody.
        let _ = disk.set_len(&lock.file, 0);
    }
    drop(lock);
}

fn is_denied(error: &io::Error) -> bool {
    matches!(error.kind(), ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem)
}

/// What stands in the lock's place can be nobody's lock if it is refused; otherwise somebody may have it.
fn not_opened(error: &io::Error) -> Taken {
    match refused(error) {
        Some(refused) => Taken::Impossible(refused.to_string()),
        None => Taken::Unknown(format!("its lock cannot be tried: {error}")),
    }
}

fn why_not(error: &io::Error) -> String {
    match error.kind() {
        ErrorKind::PermissionDenied | ErrorKind::ReadOnlyFilesystem => "the folder is read-only".to_owned(),
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "the disk is full".to_owned(),
        _ => error.to_string(),
    }
}

/// What this machine is called; empty if it does not say.
fn host(disk: &dyn Disk) -> String {
    let read = |path: &str| {
        let file = disk.open(Path::new(path)).ok()?;
        let text = String::from_utf8(disk.read(&file, N_BYTES_READ).ok()?).ok()?;
        text.lines().next().map(|line| line.trim().to_owned()).filter(|line| !line.is_empty())
    };
    let told = |name| std::env::var(name).ok().filter(|text| !text.is_empty() && !text.contains(['\n', '\r']));
    read("/proc/sys/kernel/hostname")
        .or_else(|| read("/etc/hostname"))
        .or_else(|| told("HOSTNAME"))
        .or_else(|| told("COMPUTERNAME"))
        .unwrap_or_default()
}
