//! What opening a kept file has to say, in fields; the words stand here too, since they are the same for every face.

use std::fmt;
use std::path::PathBuf;

use super::paths::shown_path;

/// Something the person should hear of after a file was opened.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Records of an earlier sitting that were not saved; they are handed over to be replayed.
    Waiting {
        /// How many.
        n_records: usize,
    },
    /// Another program has the file, and this many of its records are not saved yet; they are not handed over.
    Elsewhere {
        /// How many.
        n_records: usize,
    },
    /// This many records wait in a journal of which it is not known that nobody goes on with it; they are not handed over.
    NotShown {
        /// How many.
        n_records: usize,
    },
    /// Something stands in the place of a folder for earlier versions or for what is put aside, and is left alone: why, in words.
    LeftAlone {
        /// What and why.
        why: String,
    },
    /// The file may be edited but not saved: another user's, in a sticky folder.
    CannotReplace {
        /// The folder.
        folder: PathBuf,
    },
    /// The journal ended within a record, which was never confirmed. It is dropped.
    TornRecord {
        /// Length of what is dropped.
        n_bytes: usize,
    },
    /// The journal is damaged, or a record of it does not fit; replay stops before that place.
    Damaged {
        /// Records before it.
        n_good: usize,
        /// Where the whole journal is kept; `None` if that failed, and then it stays where it is and is not written over.
        aside: Option<PathBuf>,
    },
    /// The journal belongs to other contents than the file has now. Nothing is replayed.
    OtherBase {
        /// Whole records in it.
        n_records: usize,
        /// Where it is kept; `None` as above.
        aside: Option<PathBuf>,
        /// An earlier version with the contents it belongs to, if there is one.
        base_version: Option<PathBuf>,
    },
    /// What stands in the journal's place is none: empty, without its first line, or something else.
    NoJournal {
        /// Where it is kept; `None` as above.
        aside: Option<PathBuf>,
    },
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Waiting { n_records } => {
                let are = if *n_records == 1 { "is" } else { "are" };
                write!(f, "{} not saved last time and {are} taken from the journal", edits_were(*n_records))
            }
            Self::Elsewhere { n_records } => {
                let are = if *n_records == 1 { "is" } else { "are" };
                write!(f, "{} made there that {are} not saved yet and not shown here", edits_were(*n_records))
            }
            Self::NotShown { n_records: 1 } => f.write_str("1 edit waits in its journal and is not shown here"),
            Self::NotShown { n_records } => write!(f, "{n_records} edits wait in its journal and are not shown here"),
            Self::LeftAlone { why } => write!(f, "{why}; nothing is kept in it"),
            Self::CannotReplace { folder } => write!(
                f,
                "the file belongs to another user, and in the folder {} you may not put your file in the place of another user's (a \
                 sticky folder): edits are kept in the journal, but to save them give another name, or another folder",
                shown_path(folder)
            ),
            Self::TornRecord { n_bytes } => {
                write!(f, "the journal ended within an edit that was never confirmed; its {n_bytes} bytes are dropped")
            }
            Self::Damaged { n_good, aside } => {
                match n_good {
                    0 => f.write_str("the journal cannot be read from its start on; ")?,
                    1 => f.write_str("the journal cannot be read after its first edit; ")?,
                    n => write!(f, "the journal cannot be read after its first {n} edits; ")?,
                }
                kept_as(f, "it", aside.as_ref())
            }
            Self::OtherBase { n_records, aside, base_version } => {
                let were = edits_were(*n_records);
                let (they_do, them) = if *n_records == 1 { ("it does", "it") } else { ("they do", "them") };
                write!(f, "{were} not saved, and the file was changed elsewhere since, so {they_do} not fit; ")?;
                kept_as(f, "the journal", aside.as_ref())?;
                match (aside, base_version) {
                    (Some(_), Some(_)) => {
                        write!(f, ", from where V on the screen and `bedfellow versions` bring {them} back")
                    }
                    (None, Some(path)) => write!(f, ", and the version that they belong to is {}", shown_path(path)),
                    (_, None) => Ok(()),
                }
            }
            Self::NoJournal { aside } => {
                f.write_str("what stands in the journal's place is no journal; ")?;
                kept_as(f, "it", aside.as_ref())
            }
        }
    }
}

fn edits_were(n: usize) -> String {
    match n {
        1 => "1 edit was".to_owned(),
        n => format!("{n} edits were"),
    }
}

fn kept_as(f: &mut fmt::Formatter<'_>, what: &str, aside: Option<&PathBuf>) -> fmt::Result {
    match aside {
        Some(path) => write!(f, "{what} is kept as {}", shown_path(path)),
        None => write!(f, "{what} could not be put aside and stays where it is"),
    }
}
