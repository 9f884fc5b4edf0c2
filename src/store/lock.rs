//! Who has a file open.
//!
//! The lock is the system's, on a file of its own beside the one it guards, so it is let go when its process ends,
//! however that ends. The text in it only says who has it; a stale one locks nobody out.

use std::fmt;
use std::fs::{File, TryLockError};
use std::io::{self, ErrorKind};
use std::path::Path;
use std::time::Duration;

use super::Stamp;
use super::beside::Beside;
use super::disk::Disk;
use crate::units::text::cut;

/// More than a lock's text has, or a host's name.
const N_BYTES_READ: u64 = 1024;

/// The program that has a file open, as it wrote itself down. Any of it may be unknown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Holder {
    /// Its process; 0 if it is not known.
    pub process_id: u32,
    /// The machine it runs on; empty if it is not known.
    pub host: String,
    /// Since when, as it was written: `2027-03-01 08:15 UTC`; empty if it is not known.
    pub since: String,
}

/// `process 4711 on hedgehog since 2027-03-01 08:15 UTC`, or what of it is known.
impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        /// Longer than any host's name; the rest is not the lock's.
        const N_CHARS: usize = 64;
        match self.process_id {
            0 => f.write_str("another program")?,
            id => write!(f, "process {id}")?,
        }
        if !self.host.is_empty() {
            write!(f, " on {}", cut(&self.host, N_CHARS))?;
        }
        if !self.since.is_empty() {
            write!(f, " since {}", cut(&self.since, N_CHARS))?;
        }
        Ok(())
    }
}

impl Holder {
    /// One fact a line: process, host, since.
    fn written(&self) -> String {
        format!("{}\n{}\n{}\n", self.process_id, self.host, self.since)
    }

    fn read(text: &str) -> Self {
        let mut lines = text.lines();
        Self {
            process_id: lines.next().and_then(|line| line.parse().ok()).unwrap_or_default(),
            host: lines.next().unwrap_or_default().to_owned(),
            since: lines.next().unwrap_or_default().to_owned(),
        }
    }
}

/// What came of asking for a lock.
#[derive(Debug)]
pub(super) enum Taken {
    /// It is ours as long as the file is open.
    Ours(File),
    /// Another program has it.
    Held(Holder),
    /// There can be none here, and why.
    Impossible(String),
}

/// Asks for the lock of a file, without waiting.
pub(super) fn take(disk: &dyn Disk, beside: &Beside, now: Stamp) -> Taken {
    take_in(disk, beside, now, |file| disk.try_lock(file))
}

/// The same, patiently: another program that only looks whether the lock is free has it for an instant, and so has a child between
/// its birth and the program it becomes. That is no holder.
pub(super) fn take_patiently(disk: &dyn Disk, beside: &Beside, now: Stamp) -> Taken {
    /// Starting values: a twentieth of a second in all.
    const N_TRIES: u32 = 6;
    const PAUSE: Duration = Duration::from_millis(10);
    take_in(disk, beside, now, |file| {
        for _ in 1..N_TRIES {
            match disk.try_lock(file) {
                Err(TryLockError::WouldBlock) => std::thread::sleep(PAUSE),
                answer => return answer,
            }
        }
        disk.try_lock(file)
    })
}

fn take_in(
    disk: &dyn Disk,
    beside: &Beside,
    now: Stamp,
    lock: impl FnOnce(&File) -> Result<(), TryLockError>,
) -> Taken {
    let file = match beside.make(disk).and_then(|()| disk.open_lock(&beside.lock(), beside.mode())) {
        Ok(file) => file,
        Err(error) => return Taken::Impossible(why_not(&error)),
    };
    match lock(&file) {
        Ok(()) => {
            let us = Holder { process_id: std::process::id(), host: host(disk), since: now.to_string() };
            // Without the text the lock holds all the same.
            let _ = disk.set_len(&file, 0).and_then(|()| disk.write(&file, us.written().as_bytes()));
            Taken::Ours(file)
        }
        Err(TryLockError::WouldBlock) => {
            let text = disk.read(&file, N_BYTES_READ).unwrap_or_default();
            Taken::Held(Holder::read(&String::from_utf8_lossy(&text)))
        }
        Err(TryLockError::Error(error)) => Taken::Impossible(match error.kind() {
            ErrorKind::Unsupported => "this file system has no locks".to_owned(),
            _ => why_not(&error),
        }),
    }
}

/// Whether a lock could be had now. What stands in it stays.
pub(super) fn is_free(disk: &dyn Disk, beside: &Beside) -> bool {
    disk.open_lock(&beside.lock(), beside.mode()).is_ok_and(|file| disk.try_lock(&file).is_ok())
}

/// Lets a lock go; its text is emptied first.
pub(super) fn let_go(disk: &dyn Disk, file: File) {
    // A text left behind blocks nobody.
    let _ = disk.set_len(&file, 0);
    drop(file);
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
