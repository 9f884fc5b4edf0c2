//! What stands in a journal: its first line, records and marks, one a line. Text in, text out.
//!
//! ```text
//! bedfellow journal 1 base=1204-5e1c02aa
//! 3f0a9b77 17 text of a record
//! saving 1250-00a1b2c3 9d3e0f12
//! ```
//!
//! The checksum of a line is a CRC-32 carried on from the line before, so that a line lost from the middle is missed as
//! surely as one that was changed.

use std::fmt;
use std::str::FromStr;

/// What every journal begins with.
const BEGINS: &str = "bedfellow journal ";

/// The format written.
const FORMAT: u32 = 1;

/// What every mark begins with. No record does: those begin with eight hexadecimal digits.
const MARK: &str = "saving ";

/// Tells one state of a file from another: length and CRC-32 of its contents.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Fingerprint {
    n_bytes: u64,
    crc: u32,
}

impl Fingerprint {
    pub(super) fn of(bytes: &[u8]) -> Self {
        Self { n_bytes: bytes.len() as u64, crc: crc32fast::hash(bytes) }
    }

    pub(super) fn n_bytes(self) -> u64 {
        self.n_bytes
    }
}

impl fmt::Display for Fingerprint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}-{:08x}", self.n_bytes, self.crc)
    }
}

impl FromStr for Fingerprint {
    type Err = ();

    fn from_str(text: &str) -> Result<Self, ()> {
        let (n_bytes, crc) = text.split_once('-').ok_or(())?;
        let read =
            Self { n_bytes: n_bytes.parse().map_err(|_| ())?, crc: u32::from_str_radix(crc, 16).map_err(|_| ())? };
        // Only as we write it.
        if read.to_string() == text { Ok(read) } else { Err(()) }
    }
}

/// One line after the first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Line {
    /// An edit, whatever it says.
    Record(String),
    /// The records so far are in contents with this fingerprint, which were about to be saved.
    Saving(Fingerprint),
}

impl Line {
    /// The line as it is written after lines with this checksum, and the checksum after it.
    pub(super) fn written(&self, crc_before: u32) -> (String, u32) {
        match self {
            Self::Record(text) => {
                let said = format!("{} {text}", text.len());
                let crc = carried_on(crc_before, said.as_bytes());
                (format!("{crc:08x} {said}\n"), crc)
            }
            Self::Saving(fingerprint) => {
                let said = format!("{MARK}{fingerprint}");
                let crc = carried_on(crc_before, said.as_bytes());
                (format!("{said} {crc:08x}\n"), crc)
            }
        }
    }

    /// Read from a line without its end; `None` if it is not exactly what was written there.
    pub(super) fn read(line: &[u8], crc_before: u32) -> Option<(Self, u32)> {
        let line = str::from_utf8(line).ok()?;
        let read = match line.strip_prefix(MARK) {
            Some(rest) => Self::Saving(rest.split_once(' ')?.0.parse().ok()?),
            None => Self::Record(line.split_once(' ')?.1.split_once(' ')?.1.to_owned()),
        };
        let (written, crc) = read.written(crc_before);
        (written.strip_suffix('\n') == Some(line)).then_some((read, crc))
    }
}

/// A line with where it ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placed {
    pub(super) line: Line,
    /// Bytes of the journal up to its end.
    pub(super) end: usize,
    /// The checksum so far.
    pub(super) crc: u32,
}

/// What follows the last good line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Tail {
    Nothing,
    /// A line without its end: the write was cut short.
    Torn {
        n_bytes: usize,
    },
    /// A whole line that is not what was written, and whatever follows it.
    Damaged,
}

/// A journal read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Journalled {
    /// The contents to which it belongs.
    pub(super) base: Fingerprint,
    /// Its good lines.
    pub(super) lines: Vec<Placed>,
    pub(super) tail: Tail,
    /// Length of its first line, and the checksum of that.
    head: (usize, u32),
}

/// What stands in the place of a journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Found {
    Journal(Journalled),
    /// One of a later format.
    Newer {
        format: u32,
    },
    /// Something else.
    Foreign,
}

/// The first line of a journal of these contents, and its checksum.
pub(super) fn head(base: Fingerprint) -> (String, u32) {
    let line = format!("{BEGINS}{FORMAT} base={base}\n");
    let crc = crc32fast::hash(line.as_bytes());
    (line, crc)
}

/// Reads a journal as far as it is good.
pub(super) fn read(bytes: &[u8]) -> Found {
    let Some(n_head) = bytes.iter().position(|byte| *byte == b'\n').map(|at| at + 1) else { return Found::Foreign };
    let said = str::from_utf8(&bytes[..n_head - 1]).ok().and_then(|line| line.strip_prefix(BEGINS));
    let Some((format, rest)) = said.and_then(|said| said.split_once(' ')) else { return Found::Foreign };
    match format.parse::<u32>() {
        Ok(FORMAT) => {}
        Ok(format) if format > FORMAT => return Found::Newer { format },
        _ => return Found::Foreign,
    }
    let Some(Ok(base)) = rest.strip_prefix("base=").map(Fingerprint::from_str) else { return Found::Foreign };
    let (_, mut crc) = head(base);
    let mut journal = Journalled { base, lines: Vec::new(), tail: Tail::Nothing, head: (n_head, crc) };
    let mut at = n_head;
    while at < bytes.len() {
        let Some(n_line) = bytes[at..].iter().position(|byte| *byte == b'\n') else {
            journal.tail = Tail::Torn { n_bytes: bytes.len() - at };
            break;
        };
        let Some((line, crc_after)) = Line::read(&bytes[at..at + n_line], crc) else {
            journal.tail = Tail::Damaged;
            break;
        };
        (crc, at) = (crc_after, at + n_line + 1);
        journal.lines.push(Placed { line, end: at, crc });
    }
    Found::Journal(journal)
}

impl Journalled {
    /// Length of what is good of it, and the checksum there.
    pub(super) fn good(&self) -> (usize, u32) {
        self.good_before(self.lines.len())
    }

    /// Length of what stands before a line, and the checksum there.
    pub(super) fn good_before(&self, line: usize) -> (usize, u32) {
        line.checked_sub(1).map_or(self.head, |last| (self.lines[last].end, self.lines[last].crc))
    }

    /// Where replay begins if the file holds these contents: after the last mark that names them, or at the start if the journal
    /// began with them. `None` if it belongs to other contents.
    ///
    /// Records before a mark led to the contents marked. So of two places both are right, and the later is shorter.
    pub(super) fn first_to_replay(&self, contents: Fingerprint) -> Option<usize> {
        let marked = self.lines.iter().rposition(|placed| placed.line == Line::Saving(contents));
        marked.map(|at| at + 1).or((self.base == contents).then_some(0))
    }

    /// The records from a line on.
    pub(super) fn records_from(&self, first: usize) -> impl Iterator<Item = &str> {
        self.lines[first..].iter().filter_map(|placed| match &placed.line {
            Line::Record(text) => Some(text.as_str()),
            Line::Saving(_) => None,
        })
    }

    /// The contents it passed through, latest first, each with the line after which records belong to it.
    pub(super) fn contents(&self) -> impl Iterator<Item = (Fingerprint, usize)> {
        let marks = self.lines.iter().enumerate().rev().filter_map(|(at, placed)| match placed.line {
            Line::Saving(fingerprint) => Some((fingerprint, at + 1)),
            Line::Record(_) => None,
        });
        marks.chain([(self.base, 0)])
    }
}

fn carried_on(crc: u32, bytes: &[u8]) -> u32 {
    let mut hasher = crc32fast::Hasher::new_with_initial(crc);
    hasher.update(bytes);
    hasher.finalize()
}
