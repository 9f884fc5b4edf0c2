//! What the shell is asked to do: only it touches files, terminal and signals.

use std::path::PathBuf;

use crate::garden::Site;

/// What the shell is to do.
#[derive(Debug, Clone, PartialEq)]
pub enum Effect {
    /// Save to the garden's file.
    Save,
    /// Save under a name and go on with that file.
    SaveAs {
        /// The file.
        path: PathBuf,
        /// A file there may be replaced.
        may_overwrite: bool,
    },
    /// Write the planting list.
    WriteList {
        /// The file.
        path: PathBuf,
        /// A file there may be replaced.
        may_overwrite: bool,
    },
    /// Open a fresh copy of the demo.
    OpenDemo,
    /// Begin a new garden in this file.
    NewGarden(PathBuf),
    /// Set the site once the weather file it names has been read.
    SetSite(Box<Site>),
    /// Listen to the mouse, or not.
    Mouse(bool),
    /// Give the terminal back for a while.
    Suspend,
    /// Save, then leave.
    Quit,
    /// Leave without saving.
    QuitUnsaved,
    /// Overwrite whatever the file holds now, which becomes an earlier version first.
    WriteOver,
    /// Replace a file that has other names by a new one of this name.
    Part,
    /// Take what the file holds now; the garden on the screen is put aside first.
    TakeTheirs,
    /// Put the garden aside in a file of its own, then leave.
    SetAsideAndLeave,
    /// Take over a garden that another program had open.
    TakeOver,
    /// List the earlier versions of the file.
    ShowVersions,
    /// Go back to the earlier version with this number.
    Restore(usize),
    /// Bring back what was put aside in this file of the kept folder.
    BringBack(PathBuf),
}
