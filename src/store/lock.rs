//! Who has a file open.

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
