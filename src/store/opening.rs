//! How a kept file is opened: the lock, the text, and what its journal has to add.

use std::path::{Path, PathBuf};

use super::Stamp;
use super::aside;
use super::beside::Beside;
use super::disk::{About, Disk};
use super::error::StoreError;
use super::journal::{self, Journal};
use super::kept::{Access, Fresh, Kept, Opened, Seen};
use super::lines::{self, Fingerprint, Found, Journalled, Tail};
use super::lock::Taken;
use super::notice::Notice;
use super::trail::{self, Trail};
use super::versions;
use super::whole;

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
        let mut kept = Self::not_begun(path, beside, (text, Some(about)), limit_bytes, now, disk);
        let taken = kept.ask_for_lock(now, true);
        let Fresh { text, records, trail, notices } = kept.begin(taken)?;
        Ok(Opened { kept, text, records, trail, notices })
    }

    /// Opens a file that is to hold this text again, whatever stands in its place now or nothing at all: takes its lock, and reads its
    /// journal as that of this text. [`put_back`](Self::put_back) then writes it.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn open_for(
        path: &Path,
        text: String,
        limit_bytes: u64,
        now: Stamp,
        disk: Box<dyn Disk>,
    ) -> Result<Opened, StoreError> {
        let beside = Beside::of(&*disk, path)?;
        // Whatever stands there now says nothing of who may read the file; what is kept of it does.
        let newest = versions::list(&*disk, &beside)?.into_iter().next();
        let about = newest.and_then(|version| disk.about(&version.path).ok());
        let mut kept = Self::not_begun(path, beside, (text, about), limit_bytes, now, disk);
        let taken = kept.ask_for_lock(now, true);
        kept.take_access(taken);
        let (records, notices) = kept.begin_journal();
        Ok(Opened { text: kept.base.clone(), kept, records, trail: Trail::default(), notices })
    }

    fn not_begun(
        path: &Path,
        beside: Beside,
        (base, about): (String, Option<About>),
        limit_bytes: u64,
        now: Stamp,
        disk: Box<dyn Disk>,
    ) -> Self {
        Self {
            path: path.to_owned(),
            limit_bytes,
            beside,
            access: Access::Unguarded(String::new()),
            lock: None,
            opened: now,
            journal: Journal::new(Fingerprint::of(base.as_bytes()), now),
            base,
            about,
            journal_seen: None,
            base_version: None,
            base_trouble: None,
            pause_version: None,
            owes_trail: false,
            is_ours: |_| true,
            may_part: false,
            disk,
        }
    }

    fn take_access(&mut self, taken: Taken) {
        match taken {
            Taken::Ours(lock) => {
                self.lock = Some(lock);
                self.access = if self.disk.may_write(&self.beside.folder) {
                    Access::Ours
                } else {
                    Access::Unguarded(self.beside.not_ours_to_write())
                };
            }
            Taken::Held(holder) => self.access = Access::ReadOnly(holder),
            Taken::Impossible(why) => self.access = Access::Unguarded(why),
            Taken::Unknown(why) => self.access = Access::Barred(why),
        }
        if self.access == Access::Ours {
            self.beside.set_rights(&*self.disk);
            self.beside.clean(&*self.disk);
        }
    }

    /// Reads file and journal as far as the lock allows.
    pub(super) fn begin(&mut self, taken: Taken) -> Result<Fresh, StoreError> {
        self.take_access(taken);
        // Anew: whoever had the lock may have saved until we got it.
        match self.see()? {
            Seen::Same => {}
            Seen::Gone | Seen::Changed(_) | Seen::Unreadable(_) => {
                let (text, about) = whole::read_text(&*self.disk, &self.path, self.limit_bytes)?;
                (self.base, self.about, self.base_version) = (text, Some(about), None);
            }
        }
        let (records, mut notices) = self.begin_journal();
        let trail = match self.access {
            Access::Ours => trail::find(&*self.disk, &self.beside, Fingerprint::of(self.base.as_bytes())),
            _ => Trail::default(),
        };
        if self.access.is_writable() && whole::is_stuck(&*self.disk, &self.beside.target) {
            // Said before work is put in, rather than at the first save.
            notices.push(Notice::CannotReplace { folder: whole::folder_of(&self.beside.target).to_owned() });
        }
        if self.access == Access::Ours {
            if !records.is_empty() {
                self.keep_base_before_records();
            }
            let left_alone = self.beside.not_folders(&*self.disk).into_iter();
            notices.extend(left_alone.map(|refused| Notice::LeftAlone { why: refused.to_string() }));
        }
        Ok(Fresh { text: self.base.clone(), records, trail, notices })
    }

    /// Reads the journal: what to replay and what to say.
    fn begin_journal(&mut self) -> (Vec<String>, Vec<Notice>) {
        let contents = Fingerprint::of(self.base.as_bytes());
        self.journal = Journal::new(contents, self.opened);
        let bytes = match journal::read(&*self.disk, &self.beside) {
            Ok(bytes) => bytes,
            Err(error) => {
                // What cannot be read cannot be put aside, and so is not to be written over. The lock still keeps others out.
                if self.access == Access::Ours {
                    self.access = Access::Unguarded(error.reason());
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
            (Some(found), Some(_)) if !self.access.is_writable() => {
                let notice = n_waiting(&found, contents).map(|n_records| match self.access {
                    Access::ReadOnly(_) => Notice::Elsewhere { n_records },
                    _ => Notice::NotShown { n_records },
                });
                (Vec::new(), notice.into_iter().collect())
            }
            (Some(found), Some(_)) if self.lock.is_none() && n_waiting(&found, contents).is_some() => {
                // Without the lock it is not known that nobody goes on with it. Not seen, so that it is not written over either.
                let notice = n_waiting(&found, contents).map(|n_records| Notice::NotShown { n_records });
                return (Vec::new(), notice.into_iter().collect());
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
        let known = versions::latest_of(&*self.disk, &versions, found, self.limit_bytes);
        let (base_version, n_records) = match known {
            Some((version, first)) => (Some(version.path.clone()), found.records_from(first).count()),
            None => (None, n_all),
        };
        if n_records == 0 && found.tail == Tail::Nothing {
            // All of it was saved, and that is among the versions.
            self.journal.begin_anew(Fingerprint::of(self.base.as_bytes()));
            return None;
        }
        if let Some(base) = base_version.as_deref().filter(|_| self.access == Access::Ours) {
            // Versions are let go in time, and without it the edits are nothing.
            let _ = whole::read_bytes(&*self.disk, base, self.limit_bytes)
                .and_then(|(bytes, _)| aside::keep_base(&*self.disk, &self.beside, &bytes, self.opened));
        }
        self.journal.keep_aside_first("of-other-contents", self.opened);
        Some(Notice::OtherBase { n_records, aside: self.put_aside(), base_version })
    }

    /// Puts the journal aside if it is ours; `None` if that failed, and then the next flush tries again first.
    pub(super) fn put_aside(&mut self) -> Option<PathBuf> {
        match self.access {
            Access::Ours => self.journal.put_aside(&*self.disk, &self.beside).ok().flatten(),
            _ => None,
        }
    }
}

/// How many records of a journal wait for these contents; `None` if none do.
fn n_waiting(found: &Found, contents: Fingerprint) -> Option<usize> {
    let Found::Journal(found) = found else { return None };
    Some(found.records_from(found.first_to_replay(contents)?).count()).filter(|n_records| *n_records > 0)
}
