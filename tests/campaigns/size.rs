//! How long a campaign is, its seed, and where it leaves what it found.

use std::io::Write as _;
use std::path::PathBuf;

/// Whether the long form is asked for: `BEDFELLOW_CAMPAIGN=long`.
pub fn is_long() -> bool {
    std::env::var_os("BEDFELLOW_CAMPAIGN").is_some_and(|size| size == "long")
}

/// The short form's count, or the long one's.
pub fn count(short: u64, long: u64) -> u64 {
    number_of("BEDFELLOW_CAMPAIGN_COUNT").unwrap_or(if is_long() { long } else { short })
}

/// The seed; the same at every run unless `BEDFELLOW_CAMPAIGN_SEED` sets another.
pub fn seed() -> u64 {
    number_of("BEDFELLOW_CAMPAIGN_SEED").unwrap_or(20_270_415)
}

/// The only trial to be made again, if one is named: `BEDFELLOW_CAMPAIGN_ONLY`.
pub fn only() -> Option<u64> {
    number_of("BEDFELLOW_CAMPAIGN_ONLY")
}

/// The numbers of the trials of this run.
pub fn trials(short: u64, long: u64) -> std::ops::Range<u64> {
    only().map_or(0..count(short, long), |number| number..number + 1)
}

fn number_of(variable: &str) -> Option<u64> {
    let text = std::env::var(variable).ok()?;
    Some(text.trim().parse().unwrap_or_else(|_| panic!("{variable} is `{text}`; give a whole number")))
}

/// Says how far a campaign is or what came of it; past the test's own catching, so that it stands there even if the
/// whole process goes down.
pub fn say(line: &str) {
    if is_long() {
        let _ = writeln!(std::io::stderr(), "campaign: {line}");
    } else {
        println!("{line}");
    }
}

/// Where what failed is left.
pub fn left_behind(name: &str) -> PathBuf {
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("campaigns");
    std::fs::create_dir_all(&folder).unwrap();
    folder.join(name)
}
