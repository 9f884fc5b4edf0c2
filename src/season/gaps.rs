//! Beds that stand empty for long within the growing season.

use chrono::{Datelike, NaiveDate};

use super::inputs::Inputs;
use super::{Finding, Says, Standing};
use crate::garden::{Bed, BedKind, Severity};
use crate::units::days_between;

/// Whole weeks a bed must stand empty to be worth a note. Starting value: a catch crop of radish or leaf fits into it.
pub const GAP_WEEKS: i64 = 4;

/// First and last month of the growing season in the northern half of the world (1 March to 31 October). Starting value.
pub const SEASON_MONTHS: (u32, u32) = (3, 10);

/// Notes the gaps of a bed, in each season from the year of its first planting's entry to that of its last.
///
/// Seasons before the first planting and after the last one's entry are not looked at: nothing is known of the first,
/// nothing planned for the others.
pub(super) fn check_bed(
    inputs: Inputs<'_>,
    bed_idx: usize,
    bed: &Bed,
    standing: &[Standing],
    findings: &mut Vec<Finding>,
) {
    let (Some(first), Some(last)) = (standing.first(), standing.last()) else { return };
    if bed.kind == BedKind::Permanent {
        return;
    }
    let is_southern = inputs.almanac.is_southern;
    let past_places = inputs.index.beds.get(bed_idx).map_or(&[][..], |records| &records.past);
    let past_years: Vec<i32> =
        past_places.iter().filter_map(|&place| inputs.garden.past.get(place)).map(|past| past.year).collect();
    // A southern season begins in the calendar year before the one it ends in.
    let first_year = first.stages.enters.year() - i32::from(is_southern);
    for year in first_year..=last.stages.enters.year() {
        let Some((opens, closes)) = growing_season(year, is_southern) else { continue };
        if closes <= first.stages.enters || opens > last.stages.enters {
            continue;
        }
        // A past crop of the first year stood somewhere before the first planting, on days that nobody wrote down.
        let is_past_known = past_years.contains(&first.stages.enters.year());
        let mut empty_from = if is_past_known { opens.max(first.stages.enters) } else { opens };
        for standing in standing {
            if standing.stages.clear <= empty_from {
                continue;
            }
            if standing.stages.enters >= closes {
                break;
            }
            note(bed_idx, empty_from, standing.stages.enters, findings);
            empty_from = standing.stages.clear;
        }
        note(bed_idx, empty_from, closes, findings);
    }
}

/// First day of the growing season that begins in `year`, and the first day after it.
fn growing_season(year: i32, is_southern: bool) -> Option<(NaiveDate, NaiveDate)> {
    let (from, to) = SEASON_MONTHS;
    if is_southern {
        // Half a year later: 1 September to 30 April.
        return NaiveDate::from_ymd_opt(year, from + 6, 1).zip(NaiveDate::from_ymd_opt(year + 1, to - 5, 1));
    }
    NaiveDate::from_ymd_opt(year, from, 1).zip(NaiveDate::from_ymd_opt(year, to + 1, 1))
}

fn note(bed_idx: usize, from: NaiveDate, until: NaiveDate, findings: &mut Vec<Finding>) {
    let n_weeks = days_between(from, until) / 7;
    if n_weeks >= GAP_WEEKS {
        let says = Says::Gap { from, until, n_weeks };
        findings.push(Finding { severity: Severity::Note, bed_idx, planting: None, says, accepted: None });
    }
}
