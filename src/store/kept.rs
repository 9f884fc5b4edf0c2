//! A text file kept with its lock, its journal and its earlier versions.

use std::path::{Path, PathBuf};

use super::disk::{About, Disk};
use super::error::StoreError;
use super::lock::Holder;
use super::notice::Notice;
use super::versions::{self, Version};
use super::{Stamp, whole};

/// A text file kept with its lock, its journal and its earlier versions.
#[derive(Debug)]
pub struct Kept {
    path: PathBuf,
    limit_bytes: u64,
    disk: Box<dyn Disk>,
    access: Access,
    base: String,
    about: About,
    pending: Vec<String>,
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

impl Kept {
    /// Opens a file: takes its lock, reads it and its journal.
    ///
    /// A lock or journal that cannot be had is no error, see [`Access`].
    ///
    /// # Errors
    /// If the file cannot be read, as [`read_text`](super::read_text).
    pub fn open(path: &Path, limit_bytes: u64, _now: Stamp, disk: Box<dyn Disk>) -> Result<Opened, StoreError> {
        let (text, about) = whole::read_text(&*disk, path, limit_bytes)?;
        let kept = Self {
            path: path.to_owned(),
            limit_bytes,
            disk,
            access: Access::Unguarded("there is no journal".to_owned()),
            base: text.clone(),
            about,
            pending: Vec::new(),
        };
        Ok(Opened { kept, text, records: Vec::new(), notices: Vec::new() })
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

    /// Adds a record, one line, to those that the next [`flush`](Self::flush) writes.
    ///
    /// # Errors
    /// [`StoreError::NotOneLine`]; [`StoreError::Held`] or [`StoreError::NewerJournal`] if the file is only looked at.
    pub fn append(&mut self, record: &str) -> Result<(), StoreError> {
        self.pending.push(record.to_owned());
        Ok(())
    }

    /// Writes what was appended and brings it to the disk. After `Ok` every record is there.
    ///
    /// # Errors
    /// What the disk said; the records stay in memory and the next flush tries again. [`StoreError::Unguarded`] if there
    /// is no journal to write to.
    pub fn flush(&mut self) -> Result<(), StoreError> {
        if self.pending.is_empty() {
            return Ok(());
        }
        Err(StoreError::Unguarded { path: self.path.clone(), why: "there is no journal".to_owned() })
    }

    /// Whether records are in memory alone.
    pub fn has_pending(&self) -> bool {
        !self.pending.is_empty()
    }

    /// Looks what has become of the file. Reads it only if the system says that it was touched.
    ///
    /// # Errors
    /// If it was touched and cannot be read.
    pub fn look(&mut self) -> Result<Outside, StoreError> {
        let (text, about) = whole::read_text(&*self.disk, &self.path, self.limit_bytes)?;
        if text == self.base {
            self.about = about;
            return Ok(Outside::Same);
        }
        Ok(Outside::Changed { text })
    }

    /// Saves. The records appended so far belong to this text and are done with.
    ///
    /// # Errors
    /// See [`SaveError`]; nothing is written unless [`look`](Self::look) finds the file the same, or
    /// [`Save::Replace`] is asked for.
    pub fn save(&mut self, text: &str, _now: Stamp, why: Save) -> Result<Saved, SaveError> {
        match self.look()? {
            Outside::Gone if why != Save::Replace => return Err(SaveError::Gone),
            Outside::Changed { text } if why != Save::Replace => return Err(SaveError::Changed { text }),
            _ => {}
        }
        super::write_whole(&self.path, text.as_bytes())?;
        self.base = text.to_owned();
        self.pending.clear();
        Ok(Saved::default())
    }

    /// The versions kept, newest first.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn versions(&self) -> Result<Vec<Version>, StoreError> {
        versions::versions_of(&self.path)
    }

    /// The text of one version. 1 is the newest.
    ///
    /// # Errors
    /// [`StoreError::NoVersion`], or what [`read_text`](super::read_text) says.
    pub fn read_version(&self, number: usize) -> Result<String, StoreError> {
        versions::read_version_of(&self.path, number, self.limit_bytes)
    }

    /// Keeps a text under `aside/`, where the program never deletes; `what` becomes part of its name.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn set_aside(&mut self, _what: &str, _text: &str, _now: Stamp) -> Result<PathBuf, StoreError> {
        Err(StoreError::Unguarded { path: self.path.clone(), why: "there is no journal".to_owned() })
    }

    /// Says that only the first `n_good` of the records handed over could be replayed. The journal is put aside whole,
    /// and goes on after those. To be called before anything is appended.
    pub fn stop_replay_at(&mut self, n_good: usize, _now: Stamp) -> Notice {
        Notice::Damaged { n_good, aside: None }
    }

    /// Gives up the records not saved: puts the journal aside and begins an empty one. For leaving without saving, since
    /// they would be replayed next time. Gives the place where they are kept, `None` if there were none.
    ///
    /// # Errors
    /// If that cannot be written; the journal is then as it was.
    pub fn discard(&mut self, _now: Stamp) -> Result<Option<PathBuf>, StoreError> {
        self.pending.clear();
        Ok(None)
    }

    /// Whether nobody has the lock of a file that another had when it was opened. Takes it for a moment at most.
    pub fn is_free(&self) -> bool {
        false
    }

    /// Tries the lock of a file that another had, and reads it anew if it is free. `None` if it is not;
    /// [`access`](Self::access) then says who has it now.
    ///
    /// # Errors
    /// If it is free and the file cannot be read.
    pub fn take_over(&mut self, _now: Stamp) -> Result<Option<Fresh>, StoreError> {
        Ok(None)
    }
}
