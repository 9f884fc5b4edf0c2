//! A text file kept with its lock, its journal and its earlier versions.

use std::io::{self, ErrorKind};
use std::path::PathBuf;

use super::Stamp;
use super::aside::{self, Holds, PutAside};
use super::beside::Beside;
use super::disk::{About, Disk};
use super::error::StoreError;
use super::holder::Holder;
use super::journal::Journal;
use super::lines::Fingerprint;
use super::lock::Lock;
use super::notice::Notice;
use super::trail::Trail;
use super::versions::{self, Version};
use super::whole;

/// A text file kept with its lock, its journal and its earlier versions.
#[derive(Debug)]
pub struct Kept {
    pub(super) path: PathBuf,
    pub(super) limit_bytes: u64,
    pub(super) disk: Box<dyn Disk>,
    pub(super) beside: Beside,
    pub(super) access: Access,
    /// As long as it is open, the lock is ours. Without it nothing waiting in the journal is known to be left over.
    pub(super) lock: Option<Lock>,
    pub(super) opened: Stamp,
    /// What the file held when we last read or saved it.
    pub(super) base: String,
    /// What the system said of it then; `None` if it did not.
    pub(super) about: Option<About>,
    pub(super) journal: Journal,
    /// The journal as it was read without a lock.
    pub(super) journal_seen: Option<Vec<u8>>,
    /// The version that holds what the file held when we last read or saved it, once there is one.
    pub(super) base_version: Option<PathBuf>,
    /// The newest version, if a pause of this sitting made it.
    pub(super) pause_version: Option<(PathBuf, Stamp)>,
    /// The trail of what the file holds could not be written.
    pub(super) owes_trail: bool,
    /// Whether a text found in the file's place may become a version; what may not is put aside.
    pub(super) is_ours: fn(&str) -> bool,
    /// The next save may part the file from its other names.
    pub(super) may_part: bool,
    pub(super) base_trouble: Option<StoreError>,
}

/// What may be done with the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Access {
    /// The lock is ours: edits are journalled, the file may be saved.
    Ours,
    /// Another program has it; it may be looked at.
    ReadOnly(Holder),
    /// Its journal was written by a newer program; it may be looked at, and the journal is left alone.
    NewerJournal {
        /// The journal's format.
        format: u32,
    },
    /// It may only be looked at, and why: it may not be written, or it cannot be known whether another program has it.
    Barred(String),
    /// Neither lock nor journal can be had here, and why. The file may be saved, but edits between are in memory alone;
    /// [`Kept::flush`] says so, and tries again each time.
    Unguarded(String),
}

impl Access {
    /// Whether edits may be made and saved.
    pub fn is_writable(&self) -> bool {
        matches!(self, Self::Ours | Self::Unguarded(_))
    }
}

/// A file just opened.
#[derive(Debug)]
pub struct Opened {
    /// The file from now on.
    pub kept: Kept,
    /// What it holds.
    pub text: String,
    /// To be replayed on the text, in order.
    pub records: Vec<String>,
    /// The steps that led to the text. Of a file that is only looked at, or is not locked, there are none.
    pub trail: Trail,
    /// What to say.
    pub notices: Vec<Notice>,
}

/// What [`Kept::take_over`] read anew.
#[derive(Debug, PartialEq, Eq)]
pub struct Fresh {
    /// What the file holds.
    pub text: String,
    /// To be replayed on the text, in order.
    pub records: Vec<String>,
    /// The steps that led to the text.
    pub trail: Trail,
    /// What to say.
    pub notices: Vec<Notice>,
}

/// What has become of the file since we last read or saved it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Outside {
    /// Nothing.
    Same,
    /// It is not there.
    Gone,
    /// Somebody wrote it.
    Changed {
        /// What it holds now.
        text: String,
    },
    /// What stands in its place now cannot be read as text: no file, no text, too large, or forbidden.
    Unreadable {
        /// Why, in few words.
        why: String,
    },
}

/// What stands in the file's place, compared with what it held when it was last read or saved.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum Seen {
    Same,
    Gone,
    Changed(String),
    Unreadable(String),
}

impl Kept {
    /// Sets how it is told whether a text found in the file's place may become a version. Until then any text may.
    pub fn know_ours(&mut self, is_ours: fn(&str) -> bool) {
        self.is_ours = is_ours;
    }

    /// What may be done with it.
    pub fn access(&self) -> &Access {
        &self.access
    }

    /// What the file held when we last read or saved it: the base of a three-way comparison.
    pub fn base_text(&self) -> &str {
        &self.base
    }

    /// Adds a record, one line, to those that the next [`flush`](Self::flush) writes.
    ///
    /// # Errors
    /// [`StoreError::NotOneLine`]; [`StoreError::Held`], [`StoreError::NewerJournal`] or [`StoreError::Barred`] if the file is only
    /// looked at.
    pub fn append(&mut self, record: &str) -> Result<(), StoreError> {
        self.check_writable()?;
        if record.contains('\n') {
            return Err(StoreError::NotOneLine { path: self.path.clone() });
        }
        self.journal.append(record);
        Ok(())
    }

    /// Writes what was appended and brings it to the disk. After `Ok` every record is there.
    ///
    /// With the first record the contents that it is made upon become a version, since whatever else takes the file's place
    /// meanwhile takes them with it. See [`base_trouble`](Self::base_trouble).
    ///
    /// # Errors
    /// What the disk said; the records stay in memory and the next flush tries again. [`StoreError::Unguarded`] if there
    /// is no journal to write to.
    pub fn flush(&mut self) -> Result<(), StoreError> {
        if !self.access.is_writable() || !self.journal.is_to_flush() {
            return Ok(());
        }
        self.hold_lock()?;
        self.try_to_guard()?;
        let had_version = self.base_version.is_some();
        if self.journal.n_waiting() > 0 {
            self.keep_base_before_records();
        }
        let is_rewritten = self.journal.flush(&*self.disk, &self.beside)?;
        if is_rewritten && had_version {
            // Whatever took our journal away may have taken the version as well.
            self.base_version = None;
            self.keep_base_before_records();
        }
        Ok(())
    }

    pub(super) fn keep_base_before_records(&mut self) {
        self.base_trouble = self.keep_base_with_lock(self.opened).err();
    }

    /// Why the contents that the records are made upon could not become a version, asked once: as long as the file itself holds them
    /// that does no harm. The next flush tries again.
    pub fn base_trouble(&mut self) -> Option<StoreError> {
        self.base_trouble.take()
    }

    /// Whether records are in memory alone.
    pub fn has_pending(&self) -> bool {
        self.journal.has_pending()
    }

    /// Records that the file lacks, on the disk or not: the next opening would replay them.
    pub fn n_waiting(&self) -> usize {
        self.journal.n_waiting()
    }

    /// Looks at what has become of the file. Reads it only if the system says that it was touched. If the lock of a file of ours was taken
    /// away, that is noticed too; [`access`](Self::access) then says whether it could be taken again.
    ///
    /// # Errors
    /// [`StoreError::LeadsElsewhere`], or links that lead nowhere.
    pub fn look(&mut self) -> Result<Outside, StoreError> {
        if self.hold_lock().is_ok() && self.access == Access::Ours && self.journal.is_to_rewrite() {
            // If it cannot be written now, the next flush tries again.
            let _ = self.flush();
        }
        Ok(match self.see()? {
            Seen::Same => Outside::Same,
            Seen::Gone => Outside::Gone,
            Seen::Changed(text) => Outside::Changed { text },
            Seen::Unreadable(why) => Outside::Unreadable { why },
        })
    }

    pub(super) fn see(&mut self) -> Result<Seen, StoreError> {
        let (seen, about) = self.seen()?;
        if seen == Seen::Same {
            if let Some(about) = &about {
                self.beside.follow(&*self.disk, about);
            }
            self.about = about;
        }
        Ok(seen)
    }

    /// What is outside, with what the system says of it.
    pub(super) fn seen(&self) -> Result<(Seen, Option<About>), StoreError> {
        let is_gone = |error: &io::Error| matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory);
        match self.disk.about(&self.path) {
            Ok(about) if self.about.as_ref() == Some(&about) => return Ok((Seen::Same, Some(about))),
            Err(error) if is_gone(&error) => return Ok((Seen::Gone, None)),
            // Whatever else it is, reading tells it.
            Ok(_) | Err(_) => {}
        }
        // A link put in its place since could have anybody's file kept among our versions.
        if whole::behind_links(&*self.disk, &self.path)? != self.beside.target {
            return Err(StoreError::LeadsElsewhere { path: self.path.clone() });
        }
        match whole::read_text(&*self.disk, &self.path, self.limit_bytes) {
            Ok((text, about)) if text == self.base => Ok((Seen::Same, Some(about))),
            Ok((text, about)) => Ok((Seen::Changed(text), Some(about))),
            Err(StoreError::Read { source, .. }) if is_gone(&source) => Ok((Seen::Gone, None)),
            Err(error) => Ok((Seen::Unreadable(error.reason()), None)),
        }
    }

    /// The versions kept, newest first.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn versions(&self) -> Result<Vec<Version>, StoreError> {
        versions::list(&*self.disk, &self.beside)
    }

    /// The text of one version. 1 is the newest.
    ///
    /// # Errors
    /// [`StoreError::NoVersion`], or what [`read_text`](super::read_text) says.
    pub fn read_version(&self, number: usize) -> Result<String, StoreError> {
        versions::read(&*self.disk, &self.beside, &self.path, number, self.limit_bytes)
    }

    /// What was put aside beside it, newest first.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn aside(&self) -> Result<Vec<PutAside>, StoreError> {
        aside::list(&*self.disk, &self.beside, self.limit_bytes)
    }

    /// What one thing put aside beside it holds.
    ///
    /// # Errors
    /// As [`read_aside_of`](super::read_aside_of).
    pub fn read_aside(&self, aside: &PutAside) -> Result<Holds, StoreError> {
        aside::read(&*self.disk, &self.beside, aside, self.limit_bytes)
    }

    /// Keeps a text under `aside/`, where the program never deletes; `what` becomes part of its name.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn set_aside(&mut self, what: &str, text: &str, now: Stamp) -> Result<PathBuf, StoreError> {
        // Whoever has the file by now, what is put aside is in nobody's way.
        let _ = self.hold_lock();
        self.beside.put_aside(&*self.disk, what, text.as_bytes(), now)
    }

    /// Says that only the first `n_good` of the records handed over could be replayed. The journal is put aside whole,
    /// and goes on after those. To be called before anything is flushed.
    pub fn stop_replay_at(&mut self, n_good: usize, now: Stamp) -> Notice {
        self.journal.keep_aside_first("does-not-fit", now);
        let aside = self.put_aside();
        self.journal.cut_replay(n_good);
        if self.access == Access::Ours {
            // If it cannot be written now, the next flush tries again.
            let _ = self.journal.flush(&*self.disk, &self.beside);
        }
        Notice::Damaged { n_good, aside }
    }

    /// Gives up the records not saved: puts the journal aside and begins an empty one. For leaving without saving, since
    /// they would be replayed next time. Gives the place where they are kept, `None` if there were none.
    ///
    /// # Errors
    /// If that cannot be written; the records are then still in the journal.
    pub fn discard(&mut self, now: Stamp) -> Result<Option<PathBuf>, StoreError> {
        self.hold_lock()?;
        self.check_writable()?;
        if self.journal.n_waiting() == 0 {
            return Ok(None);
        }
        self.try_to_guard()?;
        aside::keep_base(&*self.disk, &self.beside, self.base.as_bytes(), now)?;
        let aside = self.beside.put_aside(&*self.disk, "not-saved", &self.journal.whole(), now)?;
        // What a kill leaves of the two steps is the journal as it was, and a copy.
        self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
        self.journal.flush(&*self.disk, &self.beside)?;
        Ok(Some(aside))
    }

    /// Begins an empty journal: the garden that its records make stands aside whole, so that they need not come back.
    ///
    /// # Errors
    /// If that cannot be written; the records are then still in the journal.
    pub fn let_records_go(&mut self) -> Result<(), StoreError> {
        self.hold_lock()?;
        self.check_writable()?;
        if self.journal.n_waiting() == 0 {
            return Ok(());
        }
        self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
        self.journal.flush(&*self.disk, &self.beside).map(drop)
    }

    /// Lets the next save part the file from its other names, as [`SaveError::Linked`](super::SaveError::Linked) asks.
    pub fn let_part(&mut self) {
        self.may_part = true;
    }
}
