//! The program that has a file open, as the text of its lock says.

use std::fmt;

use crate::units::text::cut;

/// The program that has a file open, as it wrote itself down. Any of it may be unknown.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Holder {
    /// Its process; 0 if it is not known.
    pub process_id: u32,
    /// The machine it runs on; empty if it is not known.
    pub host: String,
    /// Since when, as it was written: `2027-03-01 08:15 UTC`; empty if it is not known.
    pub since: String,
}

/// `process 4711 on hedgehog since 2027-03-01 08:15 UTC`, or what of it is known.
impl fmt::Display for Holder {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        /// Longer than any host's name; the rest is not the lock's.
        const N_CHARS: usize = 64;
        match self.process_id {
            0 => f.write_str("another program")?,
            id => write!(f, "process {id}")?,
        }
        if !self.host.is_empty() {
            write!(f, " on {}", cut(&self.host, N_CHARS))?;
        }
        if !self.since.is_empty() {
            write!(f, " since {}", cut(&self.since, N_CHARS))?;
        }
        Ok(())
    }
}

impl Holder {
    /// One fact a line: process, host, since.
    pub(super) fn written(&self) -> String {
        format!("{}\n{}\n{}\n", self.process_id, self.host, self.since)
    }

    pub(super) fn read(text: &str) -> Self {
        let mut lines = text.lines();
        Self {
            process_id: lines.next().and_then(|line| line.parse().ok()).unwrap_or_default(),
            host: lines.next().unwrap_or_default().to_owned(),
            since: lines.next().unwrap_or_default().to_owned(),
        }
    }
}
