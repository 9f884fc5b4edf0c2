//! How a kept file comes by its lock, keeps it, and lets it go.

use super::Stamp;
use super::error::StoreError;
use super::journal;
use super::kept::{Access, Fresh, Kept};
use super::lock::{self, Lock, Taken};
use super::whole;

impl Kept {
    /// An error if the file may only be looked at.
    pub(super) fn check_writable(&self) -> Result<(), StoreError> {
        let path = self.path.clone();
        match &self.access {
            Access::Ours | Access::Unguarded(_) => Ok(()),
            Access::ReadOnly(holder) => Err(StoreError::Held { path, holder: holder.clone() }),
            Access::NewerJournal { format } => Err(StoreError::NewerJournal { path, format: *format }),
            Access::Barred(why) => Err(StoreError::Barred { path, why: why.clone() }),
        }
    }

    /// Asks for the lock, if the file is one that we may write. Otherwise nothing is left beside it, which would be in the way of those
    /// who may.
    pub(super) fn ask_for_lock(&self, now: Stamp, is_patient: bool) -> Taken {
        let (disk, beside) = (&*self.disk, &self.beside);
        let is_read_only = disk.about(&beside.target).is_ok_and(|about| about.is_read_only);
        if is_read_only || !disk.may_write(&beside.target) {
            let why = if is_read_only { "the file is read-only" } else { "you may not write the file" };
            return lock::holder(disk, beside).map_or_else(|| Taken::Unknown(why.to_owned()), Taken::Held);
        }
        if is_patient { lock::take_patiently(disk, beside, now) } else { lock::take(disk, beside, now) }
    }

    /// Tries the lock of a file that was only looked at, and reads it anew if it is free. `None` if it is not;
    /// [`access`](Self::access) then says who has it now.
    ///
    /// # Errors
    /// If it is free and the file cannot be read.
    pub fn take_over(&mut self, now: Stamp) -> Result<Option<Fresh>, StoreError> {
        let (Access::ReadOnly(_) | Access::Barred(_)) = self.access else { return Ok(None) };
        match self.ask_for_lock(now, false) {
            Taken::Ours(lock) => {
                self.opened = now;
                let before = self.access.clone();
                self.begin(Taken::Ours(lock)).map(Some).inspect_err(|_| self.without_lock(before))
            }
            Taken::Held(holder) => {
                self.access = Access::ReadOnly(holder);
                Ok(None)
            }
            Taken::Unknown(why) => {
                self.access = Access::Barred(why);
                Ok(None)
            }
            Taken::Impossible(_) => Ok(None),
        }
    }

    /// Takes the lock anew if it was taken away, alone or with the kept folder. Until it is noticed another program may have got one: then
    /// the file is only looked at from now on.
    pub(super) fn hold_lock(&mut self) -> Result<(), StoreError> {
        let is_held = |lock: &Lock| lock::is_still_there(&*self.disk, &self.beside, lock);
        // Where the file's own folder is gone there is nothing to keep others from, and whoever writes there says so.
        if self.lock.as_ref().is_none_or(is_held) || self.disk.about(whole::folder_of(&self.beside.target)).is_err() {
            return Ok(());
        }
        if let Some(lock) = self.lock.take() {
            lock::let_go(&*self.disk, lock);
        }
        // What stood beside it may be gone as well.
        (self.base_version, self.pause_version, self.owes_trail) = (None, None, true);
        let path = self.path.clone();
        match self.ask_for_lock(self.opened, true) {
            Taken::Ours(lock) => {
                self.lock = Some(lock);
                self.journal.look_for_itself(&*self.disk, &self.beside);
                Ok(())
            }
            Taken::Held(holder) => {
                self.access = Access::ReadOnly(holder.clone());
                Err(StoreError::Held { path, holder })
            }
            Taken::Impossible(why) | Taken::Unknown(why) => {
                self.journal_seen = Some(self.journal.on_disk().to_vec());
                self.access = Access::Unguarded(why.clone());
                Err(StoreError::Unguarded { path, why })
            }
        }
    }

    /// Gets the lock after all, if there was none to be had before: a full disk may have room by now.
    pub(super) fn try_to_guard(&mut self) -> Result<(), StoreError> {
        let Access::Unguarded(_) = self.access else { return Ok(()) };
        let unguarded = |why| StoreError::Unguarded { path: self.path.clone(), why };
        let had_lock = self.lock.is_some();
        let lock = match self.lock.take() {
            Some(lock) => lock,
            None => match lock::take(&*self.disk, &self.beside, self.opened) {
                Taken::Ours(lock) => lock,
                Taken::Held(holder) => return Err(unguarded(format!("it is open in {holder}"))),
                Taken::Impossible(why) | Taken::Unknown(why) => return Err(unguarded(why)),
            },
        };
        let why_not = match journal::read(&*self.disk, &self.beside) {
            _ if !self.disk.may_write(&self.beside.folder) => self.beside.not_ours_to_write(),
            Ok(bytes) if bytes.is_none() || bytes == self.journal_seen => {
                (self.access, self.lock) = (Access::Ours, Some(lock));
                return Ok(());
            }
            Ok(_) => "its journal holds edits that are not shown here; open it again".to_owned(),
            Err(error) => error.to_string(),
        };
        let error = unguarded(why_not);
        if had_lock {
            self.lock = Some(lock);
        } else {
            lock::let_go(&*self.disk, lock);
        }
        Err(error)
    }

    /// Whether nobody has the lock of a file that another had when it was opened. Has it for a moment at most.
    pub fn is_free(&self) -> bool {
        matches!(self.access, Access::ReadOnly(_)) && lock::is_free(&*self.disk, &self.beside)
    }

    pub(super) fn without_lock(&mut self, access: Access) {
        if let Some(lock) = self.lock.take() {
            lock::let_go(&*self.disk, lock);
        }
        self.access = access;
    }
}

/// Lets the lock go. What is pending is tried once more.
impl Drop for Kept {
    fn drop(&mut self) {
        if let Some(lock) = self.lock.take() {
            if self.access == Access::Ours {
                let _ = self.journal.flush(&*self.disk, &self.beside);
            }
            lock::let_go(&*self.disk, lock);
        }
    }
}
