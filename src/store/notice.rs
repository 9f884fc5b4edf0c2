//! What opening a kept file has to say, in fields; the words stand here too, since they are the same for every face.

use std::fmt;
use std::path::PathBuf;

use super::error::shown_path;

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
                write!(f, "{} not saved last time taken from the journal", edits(*n_records))
            }
            Self::Elsewhere { n_records } => write!(f, "{} made there not saved yet and not shown", edits(*n_records)),
            Self::TornRecord { n_bytes } => {
                write!(f, "the journal ended within an edit that was never confirmed; its {n_bytes} bytes are dropped")
            }
            Self::Damaged { n_good, aside } => {
                write!(f, "the journal is damaged after {}; ", edits(*n_good))?;
                kept_as(f, aside.as_ref())
            }
            Self::OtherBase { n_records, aside, base_version } => {
                write!(
                    f,
                    "the file was changed elsewhere since {} not saved; none of them made again; ",
                    edits(*n_records)
                )?;
                kept_as(f, aside.as_ref())?;
                match base_version {
                    Some(path) => write!(f, "; what it belongs to is {}", shown_path(path)),
                    None => Ok(()),
                }
            }
            Self::NoJournal { aside } => {
                f.write_str("what stands in the journal's place is no journal; ")?;
                kept_as(f, aside.as_ref())
            }
        }
    }
}

/// With the verb, so that what follows need not know the number.
fn edits(n: usize) -> String {
    match n {
        1 => "1 edit was".to_owned(),
        n => format!("{n} edits were"),
    }
}

fn kept_as(f: &mut fmt::Formatter<'_>, aside: Option<&PathBuf>) -> fmt::Result {
    match aside {
        Some(path) => write!(f, "the journal is kept as {}", shown_path(path)),
        None => f.write_str("it could not be put aside and stays where it is"),
    }
}
