//! This machine's clock, read nowhere else. It may show anything: with an empty battery it starts at 1970, and some can be set
//! even earlier.

use std::time::{SystemTime, UNIX_EPOCH};

use chrono::{DateTime, Datelike as _, Local, NaiveDate, Utc};

use crate::garden::limits;
use crate::store::Stamp;

/// No copy of this program is older, so an earlier year means a clock that was never set.
const FIRST_YEAR: i32 = 2026;

/// The years of four digits, in POSIX seconds (`date -u -d 0001-01-01 +%s`, `date -u -d 9999-12-31T23:59:59 +%s`): timestamps
/// are used in file names.
const FOUR_DIGITS: (i64, i64) = (-62_135_596_800, 253_402_300_799);

/// The day that counts as today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Today {
    /// The day.
    pub day: NaiveDate,
    /// Why it is probably wrong, in words.
    pub doubt: Option<String>,
}

impl Today {
    /// A day given by the user.
    pub fn given(day: NaiveDate) -> Self {
        Self { day, doubt: None }
    }
}

/// The current time.
pub fn now() -> Stamp {
    Stamp::from(moment(SystemTime::now()))
}

/// The current day, local time.
///
/// # Errors
/// The clock shows a year outside those a garden may have; in words.
pub fn today() -> Result<Today, String> {
    today_if(moment(SystemTime::now()).with_timezone(&Local).date_naive())
}

fn today_if(day: NaiveDate) -> Result<Today, String> {
    let (year, years) = (day.year(), limits::YEAR);
    let set = "set it, or give the day with --today";
    if !(years.least..=years.greatest).contains(&year) {
        let (least, greatest) = (years.least, years.greatest);
        return Err(format!("this machine's clock says {day}, and years go from {least} to {greatest}; {set}"));
    }
    let doubt = (year < FIRST_YEAR).then(|| format!("this machine's clock says {day}, which is long past; {set}"));
    Ok(Today { day, doubt })
}

/// To the second, within years of four digits.
fn moment(clock: SystemTime) -> DateTime<Utc> {
    let seconds = |span: std::time::Duration| i64::try_from(span.as_secs()).unwrap_or(i64::MAX);
    let since = match clock.duration_since(UNIX_EPOCH) {
        Ok(since) => seconds(since),
        Err(before) => -seconds(before.duration()),
    };
    let (first, last) = FOUR_DIGITS;
    DateTime::from_timestamp(since.clamp(first, last), 0).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    fn shifted(seconds: i64) -> SystemTime {
        let span = Duration::from_secs(seconds.unsigned_abs());
        if seconds < 0 { UNIX_EPOCH - span } else { UNIX_EPOCH + span }
    }

    #[test]
    fn a_clock_before_1970_or_far_ahead_is_a_moment_all_the_same() {
        // date -u -d @-18489600, @-1, @7258118400
        for (seconds, words) in [
            (-18_489_600, "1969-06-01 00:00 UTC"),
            (-1, "1969-12-31 23:59 UTC"),
            (0, "1970-01-01 00:00 UTC"),
            (7_258_118_400, "2200-01-01 00:00 UTC"),
            (i64::MAX / 4, "9999-12-31 23:59 UTC"),
            (-(i64::MAX / 4), "0001-01-01 00:00 UTC"),
        ] {
            let stamp = Stamp::from(moment(shifted(seconds)));
            assert_eq!(stamp.to_string(), words, "{seconds}");
            assert_eq!(Stamp::from_file_name(&stamp.for_file_name()), Some(stamp), "{seconds}");
        }
    }

    #[test]
    fn a_day_that_cannot_be_right_is_said_and_one_without_reach_is_refused() {
        let today = |year| today_if(NaiveDate::from_ymd_opt(year, 6, 1).unwrap());
        for year in [1900, 1969, 1970, 2025] {
            let said = today(year).unwrap();
            assert_eq!(said.day.year(), year);
            let doubt = said.doubt.unwrap();
            assert_eq!(
                doubt,
                format!(
                    "this machine's clock says {year}-06-01, which is long past; set it, or give the day with --today"
                )
            );
        }
        for year in [2026, 2027, 2200] {
            assert_eq!(today(year).unwrap().doubt, None, "{year}");
        }
        for year in [1, 1899, 2201, 9999] {
            let refused = today(year).unwrap_err();
            assert!(refused.contains("years go from 1900 to 2200; set it, or give the day with --today"), "{refused}");
        }
    }
}
