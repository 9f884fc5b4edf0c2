//! How a kept file is saved.

use std::path::PathBuf;

use chrono::DateTime;

use super::Stamp;
use super::disk::About;
use super::error::{StoreError, explained};
use super::kept::{Access, Kept, Seen};
use super::lines::Fingerprint;
use super::refused::refused;
use super::rights::NotKept;
use super::trail;
use super::versions::{self, Room, Version};
use super::whole::{self, Unfinished, folder_of};

/// A save at a pause within so many minutes of the last such takes the place of its version, so that a busy hour does
/// not push out last week; a starting value.
const PAUSE_MINUTES: i64 = 10;

/// Why a file is saved.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Save {
    /// The person asked for it. The version stays until ten newer ones have come.
    Asked,
    /// A pause in the work. The next such save soon after takes this version's place.
    Pause,
    /// The person has seen what is outside, or that the file is gone, and wants it written over. What is outside becomes
    /// a version first; what cannot be read is put aside as it stands.
    Replace,
}

/// A file saved.
#[derive(Debug, Default)]
pub struct Saved {
    /// The version this made; `None` if the newest one holds the same already, or it could not be kept.
    pub version: Option<Version>,
    /// What of its owner and group could not be kept.
    pub not_kept: NotKept,
    /// Where what stood in its place and could not be read is kept.
    pub aside: Option<PathBuf>,
    /// What went wrong beside the file, which itself is saved: a version or the journal could not be written.
    pub trouble: Vec<StoreError>,
}

/// Why a file was not saved. It is then as it was.
#[derive(Debug, thiserror::Error)]
pub enum SaveError {
    /// It is not there any more.
    #[error("the file is not there any more; save it there again or under another name")]
    Gone,
    /// It has several names, and a new file in its place would be what one of them names. See [`Kept::let_part`].
    #[error("the file has {n_names} names (hard links), and saving would part this one from the others")]
    Linked {
        /// How many.
        n_names: u64,
    },
    /// Somebody wrote it since we last read or saved it.
    #[error("the file was changed elsewhere since it was opened; look at both before saving")]
    Changed {
        /// What it holds now.
        text: String,
    },
    /// What stands in its place cannot be read.
    #[error("what stands in the file's place now cannot be read ({why}); save under another name")]
    Unreadable {
        /// Why, in few words.
        why: String,
    },
    /// Something else.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl Kept {
    /// Saves what no steps lead to that could be taken back, as [`save_with_trail`](Self::save_with_trail) does.
    ///
    /// # Errors
    /// See [`SaveError`].
    pub fn save(&mut self, text: &str, now: Stamp, why: Save) -> Result<Saved, SaveError> {
        self.save_with_trail(text, &[], now, why)
    }

    /// Saves, and keeps the steps that led to the text, newest first and each of one line, for the next opening. The records appended so
    /// far belong to this text and are done with.
    ///
    /// # Errors
    /// See [`SaveError`]; nothing is written unless [`look`](Self::look) finds the file the same, or
    /// [`Save::Replace`] is asked for.
    pub fn save_with_trail(&mut self, text: &str, trail: &[String], now: Stamp, why: Save) -> Result<Saved, SaveError> {
        self.hold_lock_to_save()?;
        if let Some(about) = self.disk.about(&self.beside.target).ok().filter(About::is_file) {
            self.check_names(&about)?;
        }
        let mut saved = Saved::default();
        let outside = self.see()?;
        check_outside(&outside, why)?;
        saved.trouble.extend(self.keep_base_with_lock(now).err());
        let theirs = self.keep_theirs(&outside, now)?;
        let contents = Fingerprint::of(text.as_bytes());
        // If the mark or a record before it cannot be written, to save is all the more urgent. What a kill between here
        // and the end can then do is have the journal put aside, with all of it in the file.
        self.journal.mark(contents);
        if self.access == Access::Ours {
            let _ = self.journal.flush(&*self.disk, &self.beside);
        }
        // Before the file, so that after an accident there is one for whichever contents it has.
        let trail_trouble = self.keep_trail_of(contents, trail).err();
        let owes_trail = trail_trouble.is_some();
        saved.trouble.extend(trail_trouble);
        (saved.not_kept, saved.aside) = self.write(text, &outside, now)?;
        saved.aside = saved.aside.or(theirs);
        (self.may_part, self.owes_trail) = (false, owes_trail);
        // Until the folder is flushed the journal has to do for both, the old contents and the new.
        self.disk
            .flush_folder(folder_of(&self.beside.target))
            .map_err(|source| StoreError::Write { path: self.path.clone(), source })?;
        self.keep_version(text, now, why, &mut saved);
        self.journal.begin_anew(contents);
        if self.access == Access::Ours {
            saved.trouble.extend(self.journal.flush(&*self.disk, &self.beside).err());
            trail::drop_others(&*self.disk, &self.beside, Some(contents).filter(|_| !trail.is_empty()));
        }
        Ok(saved)
    }

    /// Keeps the steps that led to what the file holds, for one that was written without: newest first, each of one line.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn keep_trail(&mut self, trail: &[String]) -> Result<(), StoreError> {
        self.hold_lock()?;
        self.owes_trail = true;
        self.keep_trail_of(Fingerprint::of(self.base.as_bytes()), trail)?;
        self.owes_trail = false;
        Ok(())
    }

    /// Whether the last save could not keep the steps that led to what the file holds, so that [`keep_trail`](Self::keep_trail) is to try
    /// again.
    pub fn owes_trail(&self) -> bool {
        self.owes_trail
    }

    /// Without the lock nothing is kept: nobody would know whose it is.
    fn keep_trail_of(&self, contents: Fingerprint, trail: &[String]) -> Result<(), StoreError> {
        if self.access != Access::Ours || trail.is_empty() {
            return Ok(());
        }
        trail::keep(&*self.disk, &self.beside, contents, trail)
    }

    /// To save is all the more urgent where no lock can be had; only what another program has is not saved over.
    fn hold_lock_to_save(&mut self) -> Result<(), StoreError> {
        match self.hold_lock() {
            Err(error @ StoreError::Held { .. }) => Err(error),
            _ => self.check_writable(),
        }
    }

    fn check_names(&self, about: &About) -> Result<(), SaveError> {
        match about.n_names {
            n_names if n_names > 1 && !self.may_part => Err(SaveError::Linked { n_names }),
            _ => Ok(()),
        }
    }

    /// Writes what the file is to hold again, see [`open_for`](Self::open_for). What stands in its place becomes a version first or, if
    /// it cannot be read, is put aside as it stands. The journal stays as it is: the records in it are made upon what is written.
    ///
    /// # Errors
    /// See [`SaveError`].
    pub fn put_back(&mut self, now: Stamp) -> Result<Saved, SaveError> {
        self.hold_lock_to_save()?;
        if let Some(about) = self.disk.about(&self.beside.target).ok().filter(About::is_file) {
            self.check_names(&about)?;
        }
        let mut saved = Saved::default();
        let (outside, _) = self.seen()?;
        saved.trouble.extend(self.keep_base_with_lock(now).err());
        let theirs = self.keep_theirs(&outside, now)?;
        let text = self.base.clone();
        (saved.not_kept, saved.aside) = self.write(&text, &outside, now)?;
        saved.aside = saved.aside.or(theirs);
        self.disk
            .flush_folder(folder_of(&self.beside.target))
            .map_err(|source| StoreError::Write { path: self.path.clone(), source })?;
        self.keep_version(&text, now, Save::Asked, &mut saved);
        Ok(saved)
    }

    /// Keeps what somebody wrote into the file, since nobody else may have it: as a version, or aside if it is nothing of ours and would
    /// only push a version out. What the journal's records are made upon is not let go for it.
    fn keep_theirs(&self, seen: &Seen, now: Stamp) -> Result<Option<PathBuf>, StoreError> {
        let Seen::Changed(text) = seen else { return Ok(None) };
        if !(self.is_ours)(text) {
            return self.beside.put_aside(&*self.disk, "unreadable", text.as_bytes(), now).map(Some);
        }
        let room = Room { spares: self.base_version.as_deref(), ..Room::default() };
        versions::keep(&*self.disk, &self.beside, text.as_bytes(), now, room)?;
        Ok(None)
    }

    /// Puts a new file in the old one's place, unless that has changed since it was seen. What cannot be read is put aside; where.
    fn write(&mut self, text: &str, seen: &Seen, now: Stamp) -> Result<(NotKept, Option<PathBuf>), SaveError> {
        let disk = &*self.disk;
        let target = &self.beside.target;
        let folder = folder_of(target);
        let wrong = |error| explained(&self.path, folder, error);
        let there = match seen {
            Seen::Unreadable(_) => None,
            Seen::Same | Seen::Gone | Seen::Changed(_) => whole::about_target(disk, &self.path, target)?,
        };
        if let Some(there) = &there {
            self.check_names(there)?;
        }
        // One that is gone comes back as private as it was.
        let old = there.as_ref().or(self.about.as_ref()).map(|about| about.rights);
        let mode = whole::mode_at_first(old);
        let elsewhere = || Unfinished::create(disk, folder, whole::UNFINISHED, mode);
        let new = match self.access {
            Access::Ours => match self.beside.unfinished(disk, mode) {
                // Something came into the kept folder's place; the file itself can be saved all the same.
                Err(error) if is_closed(&error) => elsewhere(),
                new => new,
            },
            // Without the lock nobody would clean up there.
            _ => elsewhere(),
        };
        let new = new.map_err(wrong)?;
        let not_kept = new.fill(text.as_bytes(), old).map_err(wrong)?;
        // Again, since writing takes its time.
        let (now_seen, _) = self.seen()?;
        if now_seen != *seen {
            check_outside(&now_seen, Save::Asked)?;
        }
        let aside = match now_seen {
            Seen::Unreadable(_) => Some(self.beside.move_aside(disk, &self.path, now)?),
            Seen::Same | Seen::Gone | Seen::Changed(_) => None,
        };
        let about = match new.rename(target) {
            // Of the file that we wrote, whatever stands there by now.
            Ok(file) => file.and_then(|file| disk.about_open(&file).ok()),
            // Some network shares report a rename as failed that they have done.
            Err(error) => match self.seen() {
                Ok((Seen::Changed(there), about)) if there == text => about,
                _ => {
                    if let Some(aside) = &aside {
                        // Where it cannot go back to, it is kept all the same.
                        let _ = disk.rename(aside, target);
                    }
                    return Err(whole::not_renamed(disk, &self.path, target, error).into());
                }
            },
        };
        self.base = text.to_owned();
        self.about = about;
        Ok((not_kept, aside))
    }

    /// Makes what the file held when it was last read or saved a version, if it is none yet.
    ///
    /// # Errors
    /// See [`StoreError`].
    pub fn keep_base(&mut self, now: Stamp) -> Result<(), StoreError> {
        self.hold_lock()?;
        self.keep_base_with_lock(now)
    }

    pub(super) fn keep_base_with_lock(&mut self, now: Stamp) -> Result<(), StoreError> {
        if self.base_version.is_some() {
            return Ok(());
        }
        let written = self.about.as_ref().and_then(written_at).map_or(now, |written| written.min(now));
        let (disk, bytes) = (&*self.disk, self.base.as_bytes());
        let before = versions::list(disk, &self.beside)?;
        let version = match versions::holding(disk, &before, bytes) {
            Some(version) => version.clone(),
            None => versions::keep(disk, &self.beside, bytes, written, Room::default())?.0,
        };
        self.base_version = Some(version.path);
        Ok(())
    }

    fn keep_version(&mut self, text: &str, now: Stamp, why: Save, saved: &mut Saved) {
        let replaces = match &self.pause_version {
            // A clock put back by more than a moment says nothing of how long ago that was.
            Some((path, stamp)) if why == Save::Pause && (0..PAUSE_MINUTES).contains(&now.minutes_since(*stamp)) => {
                Some(path.as_path())
            }
            _ => None,
        };
        let room = Room { replaces, ..Room::default() };
        match versions::keep(&*self.disk, &self.beside, text.as_bytes(), now, room) {
            Ok((version, is_new)) => {
                self.base_version = Some(version.path.clone());
                match (is_new, why) {
                    (true, Save::Pause) => self.pause_version = Some((version.path.clone(), version.stamp)),
                    (false, Save::Pause) => {}
                    // What was asked for stays, even if a pause made it first.
                    (_, Save::Asked | Save::Replace) => self.pause_version = None,
                }
                saved.version = is_new.then_some(version);
            }
            Err(error) => {
                self.base_version = None;
                saved.trouble.push(error);
            }
        }
    }
}

fn check_outside(outside: &Seen, why: Save) -> Result<(), SaveError> {
    match outside {
        Seen::Gone if why != Save::Replace => Err(SaveError::Gone),
        Seen::Changed(text) if why != Save::Replace => Err(SaveError::Changed { text: text.clone() }),
        Seen::Unreadable(why_not) if why != Save::Replace => Err(SaveError::Unreadable { why: why_not.clone() }),
        _ => Ok(()),
    }
}

/// Whether a folder may not be used, as opposed to a disk that fails.
fn is_closed(error: &std::io::Error) -> bool {
    refused(error).is_some() || error.kind() == std::io::ErrorKind::PermissionDenied
}

/// When a file was last written, where that can be said.
fn written_at(about: &About) -> Option<Stamp> {
    let since = about.modified?.duration_since(std::time::UNIX_EPOCH).ok()?;
    DateTime::from_timestamp(i64::try_from(since.as_secs()).ok()?, 0).map(Stamp::from)
}
