//! A moment as a value. This room reads no clock: the faces say what time it is.

use std::fmt;

use chrono::{DateTime, NaiveDateTime, SubsecRound, Utc};

/// A moment in UTC, to the second.
///
/// ```
/// use bedfellow::store::Stamp;
/// let stamp = Stamp::from_file_name("20270301T081500Z").unwrap();
/// assert_eq!(stamp.to_string(), "2027-03-01 08:15 UTC");
/// assert_eq!(stamp.for_file_name(), "20270301T081500Z");
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Stamp(DateTime<Utc>);

/// As in a file name: no colon, which some systems refuse, and later names sort later.
const FILE_NAME: &str = "%Y%m%dT%H%M%SZ";

impl Stamp {
    /// As it stands in a file name: `20270301T081500Z`.
    pub fn for_file_name(self) -> String {
        self.0.format(FILE_NAME).to_string()
    }

    /// Read from a file name; `None` if it is not exactly one.
    pub fn from_file_name(text: &str) -> Option<Self> {
        let stamp = Self(NaiveDateTime::parse_from_str(text, FILE_NAME).ok()?.and_utc());
        (stamp.for_file_name() == text).then_some(stamp)
    }

    /// Whether it is yet to come. A minute is allowed for clocks that differ a little.
    pub fn is_after(self, now: Self) -> bool {
        self.minutes_since(now) > 0
    }

    /// Whole minutes from an earlier moment to this one, negative if it is later.
    pub fn minutes_since(self, earlier: Self) -> i64 {
        (self.0 - earlier.0).num_minutes()
    }
}

impl From<DateTime<Utc>> for Stamp {
    fn from(moment: DateTime<Utc>) -> Self {
        Self(moment.trunc_subsecs(0))
    }
}

/// For people: `2027-03-01 08:15 UTC`.
impl fmt::Display for Stamp {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.format("%Y-%m-%d %H:%M UTC"))
    }
}
