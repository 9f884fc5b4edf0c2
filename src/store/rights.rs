//! Whose a file is and who may do what with it, kept when a new file takes its place.
//!
//! A new file belongs to whoever makes it. So it gets owner and group of the old one, as far as the system lets us: a superuser both,
//! anybody else a group they are in. It is made for its maker alone and gets owner and group before its mode, so it is at no instant
//! open to more than the old one. Where the group cannot be kept, the mode names another group and the old one's members count among
//! everybody else; then both get what both had, and nobody gains anything.
//!
//! Mode, owner and group are all that is kept. Access control lists and extended attributes are not: a new file has those that its
//! folder gives to any.

use std::fmt;

/// Whose something is, and who may do what with it. Zeros where the system has no such thing.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Rights {
    /// The owner's number.
    pub owner: u32,
    /// The group's number.
    pub group: u32,
    /// The permission bits.
    pub mode: u32,
}

const GROUP_WRITES: u32 = 0o020;
const OTHERS_WRITE: u32 = 0o002;
/// Of a folder: only the owner of a file may rename it or take it away.
const IS_STICKY: u32 = 0o1000;

impl Rights {
    /// Of the files kept for a file with these: as private, but ours to write.
    pub(super) fn beside(self) -> Self {
        Self { mode: self.mode & 0o666 | 0o600, ..self }
    }

    /// Of a folder of such files: who may read it may look into it.
    pub(super) fn of_folder(self) -> Self {
        Self { mode: self.mode | (self.mode & 0o444) >> 2, ..self }
    }

    /// What stands in for the rights of a file that is not there: who may make one in its folder.
    pub(super) fn of_missing_file_in(folder: Self) -> Self {
        // In a sticky folder whatever is made is its maker's alone.
        let mode = if folder.is_sticky() { folder.mode & !0o022 } else { folder.mode };
        Self { mode: mode & 0o666, ..folder }
    }

    /// Whether only a file's owner may put another in its place, in a folder with these.
    pub(super) fn is_sticky(self) -> bool {
        self.mode & IS_STICKY != 0
    }

    /// Whether these let nobody but owner and group write.
    pub(super) fn shuts_out_others(self) -> bool {
        self.mode & OTHERS_WRITE == 0
    }

    /// Whether something of that owner and group may come from somebody who may write a file with these rights anyway; whoever may not
    /// could have edits replayed into it, or have it read by others.
    pub(super) fn may_come_from(self, user: u32, theirs: Self) -> bool {
        theirs.owner == user
            || theirs.owner == self.owner
            || theirs.owner == 0
            || self.mode & OTHERS_WRITE != 0
            || self.mode & GROUP_WRITES != 0 && theirs.group == self.group
    }

    /// What is left where the group could not be kept: group and everybody else may do what both could.
    pub(super) fn without_group(self) -> Self {
        let both = (self.mode >> 3) & self.mode & 0o007;
        Self { mode: self.mode & !0o077 | both << 3 | both, ..self }
    }
}

/// What of a file's owner and group the new one in its place could not be given.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct NotKept {
    /// The owner: it is ours now.
    pub owner: bool,
    /// The group: its members may do no more with it than everybody else, and less if those could do less.
    pub group: bool,
}

impl NotKept {
    /// Whether something could not be kept.
    pub fn is_any(self) -> bool {
        self.owner || self.group
    }
}

/// In a few words, for a line of the screen.
impl fmt::Display for NotKept {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match (self.owner, self.group) {
            (false, false) => "owner and group are as they were",
            (true, false) => "the file belongs to you now: its owner could not be kept",
            (false, true) => "its group could not be kept, and loses its rights to the file",
            (true, true) => "it belongs to you now: neither its owner nor its group could be kept",
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rights(owner: u32, group: u32, mode: u32) -> Rights {
        Rights { owner, group, mode }
    }

    #[test]
    fn what_is_kept_is_as_private_as_the_file_and_ours_to_write() {
        // File, beside it, the folder of that.
        for (file, beside, folder) in [
            (0o664, 0o664, 0o775),
            (0o644, 0o644, 0o755),
            (0o660, 0o660, 0o770),
            (0o640, 0o640, 0o750),
            (0o600, 0o600, 0o700),
            (0o444, 0o644, 0o755),
            (0o4755, 0o644, 0o755),
        ] {
            let kept = rights(1, 2, file).beside();
            assert_eq!(kept, rights(1, 2, beside), "{file:o}");
            assert_eq!(kept.of_folder(), rights(1, 2, folder), "{file:o}");
        }
    }

    #[test]
    fn without_its_group_nobody_gains_anything() {
        for mode in 0..=0o777 {
            let left = rights(1, 2, mode).without_group().mode;
            let (group, others) = (mode >> 3 & 7, mode & 7);
            assert_eq!(left >> 6, mode >> 6);
            // The new group was among everybody else, or had the old one's rights; the old group is among everybody else now.
            assert_eq!((left >> 3 & 7) & !others, 0, "{mode:o}");
            assert_eq!((left & 7) & !group, 0, "{mode:o}");
        }
        assert_eq!(rights(1, 2, 0o664).without_group().mode, 0o644);
        assert_eq!(rights(1, 2, 0o660).without_group().mode, 0o600);
        assert_eq!(rights(1, 2, 0o604).without_group().mode, 0o600);
    }

    #[test]
    fn what_is_kept_comes_from_somebody_who_may_write_the_file() {
        let [ann, ben, eve, garden, public] = [1, 2, 3, 10, 11];
        let shared = rights(ann, garden, 0o664);
        assert!(shared.may_come_from(ben, rights(ann, garden, 0)), "its owner");
        assert!(shared.may_come_from(ben, rights(ben, public, 0)), "ours");
        assert!(shared.may_come_from(ann, rights(ben, garden, 0)), "a member's");
        assert!(shared.may_come_from(ann, rights(0, 0, 0)), "the superuser's");
        assert!(!shared.may_come_from(ann, rights(eve, public, 0)), "somebody else's");
        let own = rights(ann, garden, 0o644);
        assert!(!own.may_come_from(ann, rights(ben, garden, 0)), "a member's who may only read");
        assert!(rights(ann, garden, 0o666).may_come_from(ann, rights(eve, public, 0)), "everybody may write");
        let missing = Rights::of_missing_file_in(rights(0, 0, 0o1777));
        assert!(!missing.may_come_from(ann, rights(eve, public, 0)), "in a sticky folder");
        let missing = Rights::of_missing_file_in(rights(ann, garden, 0o2775));
        assert!(missing.may_come_from(ann, rights(ben, garden, 0)), "in a shared folder");
    }
}
