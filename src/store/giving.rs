//! How a file is given its rights.

use std::fs::File;
use std::io;

use super::disk::Disk;
use super::rights::{NotKept, Rights};

impl Rights {
    /// Gives these to an open file or folder of ours, as far as the system lets us.
    ///
    /// # Errors
    /// The mode cannot be set; it is then no wider than it was.
    pub(super) fn give(self, disk: &dyn Disk, file: &File) -> io::Result<NotKept> {
        let now = disk.about_open(file)?.rights;
        let may_have = now.owner == self.owner || disk.set_owner(file, Some(self.owner), Some(self.group)).is_ok();
        // A group of our own can be given even where the owner cannot.
        let has_group = (may_have && now.owner != self.owner)
            || now.group == self.group
            || disk.set_owner(file, None, Some(self.group)).is_ok();
        let not_kept = NotKept { owner: !may_have, group: !has_group };
        let wanted = if not_kept.group { self.without_group() } else { self };
        // To run with the rights of an owner or group is for these alone.
        let special = if not_kept.is_any() { 0o777 } else { 0o7777 };
        let mode = wanted.mode & special | now.mode & 0o7000;
        if now.mode != mode {
            disk.set_mode(file, mode)?;
        }
        Ok(not_kept)
    }
}
