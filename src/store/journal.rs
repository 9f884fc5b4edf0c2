//! The journal of edits not saved yet: a file beside the one it belongs to, appended to and flushed at every edit.
//!
//! What is known to be on the disk and what is not are both held in memory. So when the disk refuses, the next flush can
//! try again, and when it is not known what the disk has (a flush that failed may have dropped what it was to write),
//! the journal is written whole to a new file that takes the old one's name.

use std::fs::File;
use std::path::{Path, PathBuf};

use super::Stamp;
use super::beside::Beside;
use super::disk::{Disk, RealDisk};
use super::error::{StoreError, explained};
use super::lines::{self, Fingerprint, Found, Journalled, Line, Tail};
use super::versions;
use super::whole::{self, PRIVATE};

/// The longest journal that is read or written; a starting value, some hundred thousand edits.
const N_BYTES_MAX: u64 = 32 * 1024 * 1024;

/// What waits in the journal of a file.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Waiting {
    /// Records not saved yet, 0 without a journal.
    pub n_records: usize,
    /// Whether they belong to the contents the file has now, so that opening it would replay them.
    pub is_for_file: bool,
    /// Otherwise the number of the earlier version that they belong to, if there is one.
    pub for_version: Option<usize>,
}

/// How many records wait in the journal of a file, without its lock and without changing anything. The file may be gone or unreadable:
/// then they are not for it.
///
/// # Errors
/// If the journal cannot be read; [`StoreError::NewerJournal`].
pub fn journal_of(path: &Path, limit_bytes: u64) -> Result<Waiting, StoreError> {
    let disk = &RealDisk;
    let beside = Beside::of(disk, path)?;
    match read(disk, &beside)?.as_deref().map(lines::read) {
        None | Some(Found::Foreign) => Ok(Waiting { n_records: 0, is_for_file: true, for_version: None }),
        Some(Found::Newer { format }) => Err(StoreError::NewerJournal { path: path.to_owned(), format }),
        Some(Found::Journal(found)) => {
            let read = whole::read_bytes(disk, path, limit_bytes).ok();
            let first = read.and_then(|(bytes, _)| found.first_to_replay(Fingerprint::of(&bytes)));
            let n_all = found.records_from(first.unwrap_or(0)).count();
            if first.is_some() || n_all == 0 {
                return Ok(Waiting { n_records: n_all, is_for_file: true, for_version: None });
            }
            let versions = versions::list(disk, &beside).unwrap_or_default();
            let known = versions::latest_of(disk, &versions, &found, limit_bytes);
            let n_records = known.map_or(n_all, |(_, first)| found.records_from(first).count());
            // All of it was saved, and that is among the versions.
            let is_for_file = n_records == 0;
            Ok(Waiting { n_records, is_for_file, for_version: known.map(|(version, _)| version.number) })
        }
    }
}

/// The bytes of a file's journal; `None` if there is none. One that others than those who may write the file could have put there is
/// not read: its edits would become the file's.
pub(super) fn read(disk: &dyn Disk, beside: &Beside) -> Result<Option<Vec<u8>>, StoreError> {
    let path = beside.journal();
    let wrong = |source| StoreError::Read { path: path.clone(), source };
    if !beside.is_there(disk).map_err(wrong)? {
        return Ok(None);
    }
    match whole::read_bytes(disk, &path, N_BYTES_MAX) {
        Ok((bytes, about)) => beside.check_file(&path, &about).map(|()| Some(bytes)).map_err(wrong),
        Err(StoreError::Read { source, .. }) if source.kind() == std::io::ErrorKind::NotFound => Ok(None),
        Err(error) => Err(error),
    }
}

/// The journal of a file that is open.
#[derive(Debug)]
pub(super) struct Journal {
    /// What is on the disk or, if that `is_to_rewrite`, should be there.
    good: Vec<u8>,
    /// The checksum at its end.
    crc: u32,
    /// Length and checksum before and after each record handed over for replay.
    replayed: Vec<(usize, u32)>,
    /// Not on the disk for certain.
    pending: Vec<Line>,
    /// Records not saved yet, pending ones included.
    n_waiting: usize,
    /// Open for appending, and holding exactly what is good; otherwise the next flush writes a new file.
    file: Option<File>,
    /// Whether the file is not what it should be even if nothing is pending.
    is_to_rewrite: bool,
    /// What stands in the journal's place is to be kept aside before it is written over, under this name.
    aside_first: Option<(&'static str, Stamp)>,
    /// When the file was opened, for such a name.
    opened: Stamp,
}

impl Journal {
    /// An empty one of these contents, which writes nothing until something is appended.
    pub(super) fn new(base: Fingerprint, opened: Stamp) -> Self {
        let (head, crc) = lines::head(base);
        Self {
            replayed: vec![(head.len(), crc)],
            good: head.into_bytes(),
            crc,
            pending: Vec::new(),
            n_waiting: 0,
            file: None,
            is_to_rewrite: false,
            aside_first: None,
            opened,
        }
    }

    /// One that was found, as far as it is good, with replay from a line on.
    pub(super) fn found(bytes: &[u8], found: &Journalled, first_to_replay: usize, opened: Stamp) -> Self {
        let (n_good, crc) = found.good();
        let records = found.lines[first_to_replay..].iter().filter(|placed| matches!(placed.line, Line::Record(_)));
        let mut replayed = vec![found.good_before(first_to_replay)];
        replayed.extend(records.map(|placed| (placed.end, placed.crc)));
        Self {
            good: bytes[..n_good].to_vec(),
            crc,
            n_waiting: replayed.len() - 1,
            replayed,
            pending: Vec::new(),
            file: None,
            is_to_rewrite: n_good < bytes.len(),
            aside_first: None,
            opened,
        }
    }

    /// Has what stands in the journal's place kept aside before it is written over.
    pub(super) fn keep_aside_first(&mut self, what: &'static str, now: Stamp) {
        self.aside_first = Some((what, now));
        self.is_to_rewrite = true;
    }

    pub(super) fn append(&mut self, record: &str) {
        self.pending.push(Line::Record(record.to_owned()));
        self.n_waiting += 1;
    }

    /// Says that the records so far are in contents about to be saved.
    pub(super) fn mark(&mut self, saving: Fingerprint) {
        self.pending.push(Line::Saving(saving));
    }

    /// Begins anew after these contents were saved.
    pub(super) fn begin_anew(&mut self, base: Fingerprint) {
        let aside_first = self.aside_first;
        *self = Self::new(base, self.opened);
        self.aside_first = aside_first;
        self.is_to_rewrite = true;
    }

    /// Forgets the records handed over after the first `n_good`.
    pub(super) fn cut_replay(&mut self, n_good: usize) {
        let kept = n_good.min(self.replayed.len() - 1);
        self.n_waiting -= self.replayed.len() - 1 - kept;
        self.replayed.truncate(kept + 1);
        if let Some((n_bytes, crc)) = self.replayed.last() {
            self.good.truncate(*n_bytes);
            self.crc = *crc;
        }
        self.file = None;
    }

    /// Whether records are in memory alone.
    pub(super) fn has_pending(&self) -> bool {
        self.pending.iter().any(|line| matches!(line, Line::Record(_)))
    }

    /// Whether there is anything for a flush to do.
    pub(super) fn is_to_flush(&self) -> bool {
        self.is_to_rewrite || !self.pending.is_empty()
    }

    /// Whether what stands on the disk is not what should.
    pub(super) fn is_to_rewrite(&self) -> bool {
        self.is_to_rewrite
    }

    /// What is known to be on the disk.
    pub(super) fn on_disk(&self) -> &[u8] {
        &self.good
    }

    /// Looks whether it still stands on the disk, after something was taken away there. If not, the next flush writes it anew, and edits
    /// of another program that stand in its place are kept aside.
    pub(super) fn look_for_itself(&mut self, disk: &dyn Disk, beside: &Beside) {
        match read(disk, beside) {
            Ok(Some(bytes)) if bytes == self.good => {}
            Ok(there) if there.as_deref().is_none_or(has_no_edits) => self.is_to_rewrite |= self.n_waiting > 0,
            _ => self.keep_aside_first("other-journal", self.opened),
        }
    }

    /// Records not saved yet.
    pub(super) fn n_waiting(&self) -> usize {
        self.n_waiting
    }

    /// All of it, as it is to stand on the disk.
    pub(super) fn whole(&self) -> Vec<u8> {
        let mut bytes = self.good.clone();
        bytes.extend(self.pending_written().0.into_bytes());
        bytes
    }

    fn pending_written(&self) -> (String, u32) {
        let (mut text, mut crc) = (String::new(), self.crc);
        for pending in &self.pending {
            let (line, after) = pending.written(crc);
            text.push_str(&line);
            crc = after;
        }
        (text, crc)
    }

    /// Brings all of it to the disk; whether that took a new file. After an error nothing is forgotten.
    pub(super) fn flush(&mut self, disk: &dyn Disk, beside: &Beside) -> Result<bool, StoreError> {
        if !self.is_to_flush() {
            return Ok(false);
        }
        let path = beside.journal();
        let (text, crc) = self.pending_written();
        let size = (self.good.len() + text.len()) as u64;
        if size > N_BYTES_MAX {
            return Err(StoreError::TooLarge { path, size, limit: N_BYTES_MAX });
        }
        let is_rewritten = match self.file.take_if(|_| !self.is_to_rewrite) {
            Some(file) if is_still(disk, &file, &path, self.good.len()) => {
                // Only a file that holds what it should goes back to be appended to.
                self.file = appended(disk, file, self.good.len(), text.as_bytes())
                    .map_err(|(error, file)| {
                        self.file = file;
                        explained(&path, &beside.folder, error)
                    })
                    .map(Some)?;
                false
            }
            was_open => {
                // Somebody took our file away, and maybe put another there.
                if was_open.is_some() && self.aside_first.is_none() {
                    self.aside_first = Some(("other-journal", self.opened));
                }
                self.put_aside(disk, beside)?;
                self.file = None;
                // Until it is known that the new one has the name, whatever stands there is not to be appended to.
                self.is_to_rewrite = true;
                self.file = rewritten(disk, beside, &path, &self.whole())
                    .map_err(|error| explained(&path, &beside.folder, error))?;
                true
            }
        };
        self.good.extend(text.into_bytes());
        self.crc = crc;
        self.pending.clear();
        self.is_to_rewrite = false;
        Ok(is_rewritten)
    }

    /// Keeps what stands in the journal's place aside, if that is still to be done. Copies it: until the new journal has
    /// its name, the old one has it, so that no kill can come between.
    pub(super) fn put_aside(&mut self, disk: &dyn Disk, beside: &Beside) -> Result<Option<PathBuf>, StoreError> {
        let Some((what, now)) = self.aside_first else { return Ok(None) };
        let aside = match read(disk, beside)? {
            Some(bytes) => Some(beside.put_aside(disk, what, &bytes, now)?),
            None => None,
        };
        self.aside_first = None;
        Ok(aside)
    }
}

fn has_no_edits(bytes: &[u8]) -> bool {
    match lines::read(bytes) {
        Found::Journal(found) => found.tail == Tail::Nothing && found.records_from(0).next().is_none(),
        Found::Newer { .. } | Found::Foreign => false,
    }
}

/// Whether the open file is the one at the path and as long as it should be.
fn is_still(disk: &dyn Disk, file: &File, path: &Path, n_bytes: usize) -> bool {
    match (disk.about(path), disk.about_open(file)) {
        (Ok(there), Ok(ours)) => there.is_same_file(&ours) && there.n_bytes == n_bytes as u64,
        _ => false,
    }
}

/// Appends and flushes. With the error comes the file if it could be cut back to what it was.
fn appended(disk: &dyn Disk, file: File, n_good: usize, bytes: &[u8]) -> Result<File, (std::io::Error, Option<File>)> {
    if let Err(error) = disk.write(&file, bytes) {
        let is_cut = disk.set_len(&file, n_good as u64).is_ok();
        return Err((error, is_cut.then_some(file)));
    }
    match disk.flush(&file) {
        Ok(()) => Ok(file),
        // What was to be written may be dropped by now, and a second flush would call that well.
        Err(error) => Err((error, None)),
    }
}

/// Writes the journal to a new file and gives that its name.
fn rewritten(disk: &dyn Disk, beside: &Beside, path: &Path, bytes: &[u8]) -> std::io::Result<Option<File>> {
    let new = beside.unfinished(disk, PRIVATE)?;
    new.fill(bytes, Some(beside.rights()))?;
    let file = new.rename(path)?;
    beside.flush(disk)?;
    Ok(file)
}
