//! A text file kept with its lock, its journal and its earlier versions.

use std::fs::File;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use chrono::DateTime;

use super::Stamp;
use super::beside::Beside;
use super::disk::{About, Disk};
use super::error::{StoreError, explained};
use super::journal::{self, Journal};
use super::lines::{self, Fingerprint, Found, Journalled, Tail};
use super::lock::{self, Holder, Taken};
use super::notice::Notice;
use super::versions::{self, Version};
use super::whole::{self, Unfinished, folder_of};

/// A save at a pause within so many minutes of the last such takes the place of its version, so that a busy hour does
/// not push out last week; a starting value.
const PAUSE_MINUTES: i64 = 10;

/// A text file kept with its lock, its journal and its earlier versions.
#[derive(Debug)]
pub struct Kept {
    path: PathBuf,
    limit_bytes: u64,
    disk: Box<dyn Disk>,
    beside: Beside,
    access: Access,
    /// As long as it is open, the lock is ours.
    lock: Option<File>,
    opened: Stamp,
    /// What the file held when we last read or saved it.
    base: String,
    /// What the system said of it then; `None` if it did not.
    about: Option<About>,
    journal: Journal,
    /// The journal as it was read without a lock.
    journal_seen: Option<Vec<u8>>,
    /// Whether the versions hold what the file holds.
    is_base_kept: bool,
    /// The newest version, if a pause of this sitting made it.
    pause_version: Option<(PathBuf, Stamp)>,
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
}

/// Why a file is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Save {
    /// The person asked for it. The version stays until ten newer ones have come.
    Asked,
    /// A pause in the work. The next such save soon after takes this version's place.
    Pause,
    /// The person has seen what is outside, or that the file is gone, and wants it written over. What is outside becomes
    /// a version first.
    Replace,
}

/// A file saved.
#[derive(Debug, Default)]
pub struct Saved {
    /// The version this made; `None` if the newest one holds the same already, or it could not be kept.
    pub version: Option<Version>,
    /// What went wrong beside the file, which itself is saved: a version or the journal could not be written.
    pub trouble: Vec<StoreError>,
}

/// Why a file was not saved. It is then as it was.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// It is not there any more.
    #[error("the file is not there any more; save it there again or under another name")]
    Gone,
    /// Somebody wrote it since we last read or saved it.
    #[error("the file was changed elsewhere since it was opened; look at both before saving")]
    Changed {
        /// What it holds now.
        text: String,
    },
    /// Something else.
    #[error(transparent)]
    Store(#[from] StoreError),
}

/// What is outside, before it is known to be text.
#[derive(Debug, PartialEq, Eq)]
enum Seen {
    Same,
    Gone,
    Changed(Vec<u8>),
}

impl Kept {
    /// Opens a file: takes its lock, reads it and its journal.
    ///
    /// A lock or journal that cannot be had is no error, see [`Access`].
    ///
    /// # Errors
    /// If the file cannot be read, as [`read_text`](super::read_text).
    pub fn open(path: &Path, limit_bytes: u64, now: Stamp, disk: Box<dyn Disk>) -> Result<Opened, StoreError> {
        // Before the lock, so that nothing is left beside what is no file of ours.
        let (text, about) = whole::read_text(&*disk, path, limit_bytes)?;
        let beside = Beside::of(&*disk, path)?;
        let mut kept = Self {
            path: path.to_owned(),
            limit_bytes,
            beside,
            access: Access::Unguarded(String::new()),
            lock: None,
            opened: now,
            journal: Journal::new(Fingerprint::of(text.as_bytes()), now),
            base: text,
            about: Some(about),
            journal_seen: None,
            is_base_kept: false,
            pause_version: None,
            disk,
        };
        let taken = lock::take(&*kept.disk, &kept.beside, now);
        let Fresh { text, records, notices } = kept.begin(taken)?;
        Ok(Opened { kept, text, records, notices })
    }

    /// Reads file and journal as far as the lock allows.
    fn begin(&mut self, taken: Taken) -> Result<Fresh, StoreError> {
        match taken {
            Taken::Ours(lock) => (self.access, self.lock) = (Access::Ours, Some(lock)),
            Taken::Held(holder) => self.access = Access::ReadOnly(holder),
            Taken::Impossible(why) => self.access = Access::Unguarded(why),
        }
        if self.lock.is_some() {
            self.beside.clean(&*self.disk);
        }
        // Anew: whoever had the lock may have saved until we got it.
        match self.see()? {
            Seen::Same => {}
            Seen::Gone | Seen::Changed(_) => {
                let (text, about) = whole::read_text(&*self.disk, &self.path, self.limit_bytes)?;
                (self.base, self.about) = (text, Some(about));
            }
        }
        let (records, notices) = self.begin_journal();
        Ok(Fresh { text: self.base.clone(), records, notices })
    }

    /// Reads the journal: what to replay and what to say.
    fn begin_journal(&mut self) -> (Vec<String>, Vec<Notice>) {
        let contents = Fingerprint::of(self.base.as_bytes());
        self.journal = Journal::new(contents, self.opened);
        let bytes = match journal::read(&*self.disk, &self.beside) {
            Ok(bytes) => bytes,
            Err(error) => {
                // What cannot be read cannot be put aside, and so is not to be written over.
                if self.access == Access::Ours {
                    self.without_lock(Access::Unguarded(error.to_string()));
                }
                return (Vec::new(), Vec::new());
            }
        };
        let found = bytes.as_deref().map(lines::read);
        let (records, notices) = match (found, bytes.as_deref()) {
            (Some(Found::Newer { format }), _) => {
                if self.access.is_writable() {
                    self.without_lock(Access::NewerJournal { format });
                }
                (Vec::new(), Vec::new())
            }
            (Some(found), Some(_)) if matches!(self.access, Access::ReadOnly(_)) => {
                (Vec::new(), elsewhere(&found, contents).into_iter().collect())
            }
            (Some(Found::Foreign), Some(_)) => {
                self.journal.keep_aside_first("no-journal", self.opened);
                (Vec::new(), vec![Notice::NoJournal { aside: self.put_aside() }])
            }
            (Some(Found::Journal(found)), Some(bytes)) => self.begin_with(&found, bytes, contents),
            _ => (Vec::new(), Vec::new()),
        };
        self.journal_seen = bytes;
        if self.access == Access::Ours {
            // What is amiss is mended at once, so that it is not said again; if it cannot be, the next flush will.
            let _ = self.journal.flush(&*self.disk, &self.beside);
        }
        (records, notices)
    }

    fn begin_with(&mut self, found: &Journalled, bytes: &[u8], contents: Fingerprint) -> (Vec<String>, Vec<Notice>) {
        let Some(first) = found.first_to_replay(contents) else {
            let notice = self.of_other_contents(found);
            return (Vec::new(), notice.into_iter().collect());
        };
        let records: Vec<String> = found.records_from(first).map(str::to_owned).collect();
        let n_records = records.len();
        self.journal = Journal::found(bytes, found, first, self.opened);
        let mut notices = Vec::new();
        if n_records > 0 {
            notices.push(Notice::Waiting { n_records });
        }
        match found.tail {
            Tail::Nothing => {}
            Tail::Torn { n_bytes } => notices.push(Notice::TornRecord { n_bytes }),
            Tail::Damaged => {
                self.journal.keep_aside_first("damaged", self.opened);
                notices.push(Notice::Damaged { n_good: n_records, aside: self.put_aside() });
            }
        }
        (records, notices)
    }

    /// A journal that cannot be replayed is kept, unless there is nothing in it.
    fn of_other_contents(&mut self, found: &Journalled) -> Option<Notice> {
        let n_all = found.records_from(0).count();
        if n_all == 0 && found.tail != Tail::Damaged {
            self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
            return None;
        }
        let versions = versions::list(&*self.disk, &self.beside).unwrap_or_default();
        let known = found.contents().find_map(|(wanted, first)| {
            let path = versions::with_fingerprint(&*self.disk, &versions, wanted, self.limit_bytes)?;
            Some((path, found.records_from(first).count()))
        });
        let (base_version, n_records) = known.map_or((None, n_all), |(path, n)| (Some(path), n));
        if n_records == 0 && found.tail == Tail::Nothing {
            // All of it was saved, and that is among the versions.
            self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
            return None;
        }
        self.journal.keep_aside_first("of-other-contents", self.opened);
        Some(Notice::OtherBase { n_records, aside: self.put_aside(), base_version })
    }

    /// Puts the journal aside if it is ours; `None` if that failed, and then the next flush tries again first.
    fn put_aside(&mut self) -> Option<PathBuf> {
        match self.access {
            Access::Ours => self.journal.put_aside(&*self.disk, &self.beside).ok().flatten(),
            _ => None,
        }
    }

    fn without_lock(&mut self, access: Access) {
        if let Some(lock) = self.lock.take() {
            lock::let_go(&*self.disk, lock);
        }
        self.access = access;
    }

    /// The file as it was asked for.
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// What may be done with it.
    pub fn access(&self) -> &Access {
        &self.access
    }

    /// What the file held when we last read or saved it: the base of a three-way look.
    pub fn base_text(&self) -> &str {
        &self.base
    }

    /// An error if the file may only be looked at.
    fn check_writable(&self) -> Result<(), StoreError> {
        let path = self.path.clone();
        match &self.access {
            Access::Ours | Access::Unguarded(_) => Ok(()),
            Access::ReadOnly(holder) => Err(StoreError::Held { path, holder: holder.clone() }),
            Access::NewerJournal { format } => Err(StoreError::NewerJournal { path, format: *format }),
        }
    }

    /// Adds a record, one line, to those that the next [`flush`](Self::flush) writes.
    ///
    /// # Errors
    /// [`StoreError::NotOneLine`]; [`StoreError::Held`] or [`StoreError::NewerJournal`] if the file is only looked at.
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
    /// # Errors
    /// What the disk said; the records stay in memory and the next flush tries again. [`StoreError::Unguarded`] if there
    /// is no journal to write to.
    pub fn flush(&mut self) -> Result<(), StoreError> {
        if !self.access.is_writable() || !self.journal.is_to_flush() {
            return Ok(());
        }
        self.try_to_guard()?;
        self.journal.flush(&*self.disk, &self.beside)
    }

    /// Gets the lock after all, if there was none to be had before: a full disk may have room by now.
    fn try_to_guard(&mut self) -> Result<(), StoreError> {
        let Access::Unguarded(_) = self.access else { return Ok(()) };
        let unguarded = |why| StoreError::Unguarded { path: self.path.clone(), why };
        match lock::take(&*self.disk, &self.beside, self.opened) {
            Taken::Ours(lock) => match journal::read(&*self.disk, &self.beside) {
                Ok(bytes) => {
                    if bytes.is_some() && bytes != self.journal_seen {
                        self.journal.keep_aside_first("other-journal", self.opened);
                    }
                    (self.access, self.lock) = (Access::Ours, Some(lock));
                    Ok(())
                }
                Err(error) => {
                    lock::let_go(&*self.disk, lock);
                    Err(unguarded(error.to_string()))
                }
            },
            Taken::Held(holder) => Err(unguarded(format!("it is open in {holder}"))),
            Taken::Impossible(why) => Err(unguarded(why)),
        }
    }

    /// Whether records are in memory alone.
    pub fn has_pending(&self) -> bool {
        self.journal.has_pending()
    }

    /// Looks what has become of the file. Reads it only if the system says that it was touched.
    ///
    /// # Errors
    /// If it was touched and cannot be read.
    pub fn look(&mut self) -> Result<Outside, StoreError> {
        Ok(match self.see()? {
            Seen::Same => Outside::Same,
            Seen::Gone => Outside::Gone,
            Seen::Changed(bytes) => Outside::Changed { text: self.as_text(bytes)? },
        })
    }

    fn see(&mut self) -> Result<Seen, StoreError> {
        let (seen, about) = self.seen()?;
        if seen == Seen::Same {
            self.about = about;
        }
        Ok(seen)
    }

    /// What is outside, with what the system says of it.
    fn seen(&self) -> Result<(Seen, Option<About>), StoreError> {
        let is_gone = |error: &io::Error| matches!(error.kind(), ErrorKind::NotFound | ErrorKind::NotADirectory);
        match self.disk.about(&self.path) {
            Ok(about) if self.about.as_ref() == Some(&about) => return Ok((Seen::Same, Some(about))),
            Err(error) if is_gone(&error) => return Ok((Seen::Gone, None)),
            // Whatever else it is, reading tells it.
            Ok(_) | Err(_) => {}
        }
        match whole::read_bytes(&*self.disk, &self.path, self.limit_bytes) {
            Ok((bytes, about)) if bytes == self.base.as_bytes() => Ok((Seen::Same, Some(about))),
            Ok((bytes, about)) => Ok((Seen::Changed(bytes), Some(about))),
            Err(StoreError::Read { source, .. }) if is_gone(&source) => Ok((Seen::Gone, None)),
            Err(error) => Err(error),
        }
    }

    fn as_text(&self, bytes: Vec<u8>) -> Result<String, StoreError> {
        whole::text_of(&self.path, bytes)
    }

    /// Saves. The records appended so far belong to this text and are done with.
    ///
    /// # Errors
    /// See [`SaveError`]; nothing is written unless [`look`](Self::look) finds the file the same, or
    /// [`Save::Replace`] is asked for.
    pub fn save(&mut self, text: &str, now: Stamp, why: Save) -> Result<Saved, SaveError> {
        self.check_writable()?;
        let mut saved = Saved::default();
        let outside = self.see()?;
        self.check_outside(&outside, why)?;
        if !self.is_base_kept {
            self.keep_base(now, &mut saved);
        }
        if let Seen::Changed(bytes) = &outside {
            // Nobody else may have them.
            versions::keep(&*self.disk, &self.beside, bytes, now, None)?;
        }
        let contents = Fingerprint::of(text.as_bytes());
        // If the mark or a record before it cannot be written, to save is all the more urgent. What a kill between here
        // and the end can then do is have the journal put aside, with all of it in the file.
        self.journal.mark(contents);
        if self.access == Access::Ours {
            let _ = self.journal.flush(&*self.disk, &self.beside);
        }
        self.write(text, &outside)?;
        // Until the folder is flushed the journal has to do for both, the old contents and the new.
        self.disk
            .flush_folder(folder_of(&self.beside.target))
            .map_err(|source| StoreError::Write { path: self.path.clone(), source })?;
        self.keep_version(text, now, why, &mut saved);
        self.journal.begin_anew(contents);
        if self.access == Access::Ours {
            saved.trouble.extend(self.journal.flush(&*self.disk, &self.beside).err());
        }
        Ok(saved)
    }

    fn check_outside(&self, outside: &Seen, why: Save) -> Result<(), SaveError> {
        match outside {
            Seen::Gone if why != Save::Replace => Err(SaveError::Gone),
            Seen::Changed(bytes) if why != Save::Replace => {
                Err(SaveError::Changed { text: self.as_text(bytes.clone())? })
            }
            _ => Ok(()),
        }
    }

    /// Puts a new file in the old one's place, unless that has changed since it was seen.
    fn write(&mut self, text: &str, seen: &Seen) -> Result<(), SaveError> {
        let disk = &*self.disk;
        let target = &self.beside.target;
        let folder = folder_of(target);
        let wrong = |error| explained(&self.path, folder, error);
        let there = whole::about_target(disk, &self.path, target)?;
        // One that is gone comes back as private as it was.
        let old = there.as_ref().or(self.about.as_ref());
        let mode = old.map_or(whole::USUAL_MODE, About::mode);
        let new = match self.access {
            Access::Ours => self.beside.unfinished(disk, mode),
            // Without the lock nobody would clean up there.
            _ => Unfinished::create(disk, folder, whole::UNFINISHED, mode),
        };
        let new = new.map_err(wrong)?;
        new.fill(text.as_bytes(), old).map_err(wrong)?;
        // Again, since writing takes its time.
        let (now_seen, _) = self.seen()?;
        if now_seen != *seen {
            self.check_outside(&now_seen, Save::Asked)?;
        }
        let about = match new.rename(target) {
            // Of the file that we wrote, whatever stands there by now.
            Ok(file) => file.and_then(|file| disk.about_open(&file).ok()),
            // Some network shares report a rename as failed that they have done.
            Err(error) => match self.seen() {
                Ok((Seen::Changed(bytes), about)) if bytes == text.as_bytes() => about,
                _ => return Err(wrong(error).into()),
            },
        };
        self.base = text.to_owned();
        self.about = about;
        Ok(())
    }

    /// Contents opened and not among the versions go there before they are written over.
    fn keep_base(&mut self, now: Stamp, saved: &mut Saved) {
        let written = self.about.as_ref().and_then(written_at).map_or(now, |written| written.min(now));
        let kept = versions::list(&*self.disk, &self.beside).and_then(|before| {
            match versions::holding(&*self.disk, &before, self.base.as_bytes()) {
                Some(_) => Ok(None),
                None => versions::keep(&*self.disk, &self.beside, self.base.as_bytes(), written, None),
            }
        });
        saved.trouble.extend(kept.err());
    }

    fn keep_version(&mut self, text: &str, now: Stamp, why: Save, saved: &mut Saved) {
        let replaces = match &self.pause_version {
            Some((path, stamp)) if why == Save::Pause && now.minutes_since(*stamp) < PAUSE_MINUTES => {
                Some(path.as_path())
            }
            _ => None,
        };
        match versions::keep(&*self.disk, &self.beside, text.as_bytes(), now, replaces) {
            Ok(version) => {
                self.is_base_kept = true;
                match (&version, why) {
                    (Some(version), Save::Pause) => self.pause_version = Some((version.path.clone(), version.stamp)),
                    (None, Save::Pause) => {}
                    // What was asked for stays, even if a pause made it first.
                    (_, Save::Asked | Save::Replace) => self.pause_version = None,
                }
                saved.version = version;
            }
            Err(error) => {
                self.is_base_kept = false;
                saved.trouble.push(error);
            }
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

    /// Keeps a text under `aside/`, where the program never deletes; `what` becomes part of its name.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn set_aside(&mut self, what: &str, text: &str, now: Stamp) -> Result<PathBuf, StoreError> {
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
        self.check_writable()?;
        if self.journal.n_waiting() == 0 {
            return Ok(None);
        }
        self.try_to_guard()?;
        let aside = self.beside.put_aside(&*self.disk, "not-saved", &self.journal.whole(), now)?;
        // What a kill leaves of the two steps is the journal as it was, and a copy.
        self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
        self.journal.flush(&*self.disk, &self.beside)?;
        Ok(Some(aside))
    }

    /// Whether nobody has the lock of a file that another had when it was opened. Has it for a moment at most.
    pub fn is_free(&self) -> bool {
        matches!(self.access, Access::ReadOnly(_)) && lock::is_free(&*self.disk, &self.beside)
    }

    /// Tries the lock of a file that another had, and reads it anew if it is free. `None` if it is not;
    /// [`access`](Self::access) then says who has it now.
    ///
    /// # Errors
    /// If it is free and the file cannot be read.
    pub fn take_over(&mut self, now: Stamp) -> Result<Option<Fresh>, StoreError> {
        let Access::ReadOnly(_) = self.access else { return Ok(None) };
        match lock::take(&*self.disk, &self.beside, now) {
            Taken::Ours(lock) => {
                self.opened = now;
                let before = self.access.clone();
                self.begin(Taken::Ours(lock)).map(Some).inspect_err(|_| self.without_lock(before))
            }
            Taken::Held(holder) => {
                self.access = Access::ReadOnly(holder);
                Ok(None)
            }
            Taken::Impossible(_) => Ok(None),
        }
    }
}

/// Lets the lock go. What is pending is tried once more.
impl Drop for Kept {
    fn drop(&mut self) {
        if let Some(lock) = self.lock.take() {
            let _ = self.journal.flush(&*self.disk, &self.beside);
            lock::let_go(&*self.disk, lock);
        }
    }
}

/// What another program's journal says of its edits.
fn elsewhere(found: &Found, contents: Fingerprint) -> Option<Notice> {
    let Found::Journal(found) = found else { return None };
    let n_records = found.records_from(found.first_to_replay(contents)?).count();
    (n_records > 0).then_some(Notice::Elsewhere { n_records })
}

/// When a file was last written, where that can be said.
fn written_at(about: &About) -> Option<Stamp> {
    let since = about.modified?.duration_since(std::time::UNIX_EPOCH).ok()?;
    DateTime::from_timestamp(i64::try_from(since.as_secs()).ok()?, 0).map(Stamp::from)
}
