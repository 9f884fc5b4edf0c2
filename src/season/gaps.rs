//! Beds that stand empty for long within the growing season, as the site's climate and the bed's cover have it.

use chrono::{Datelike, NaiveDate};

use super::inputs::Inputs;
use super::{Finding, Says, Standing};
use crate::garden::{Bed, BedKind, Severity};
use crate::units::days_between;

/// Whole weeks a bed must stand empty to be worth a note. Starting value: a catch crop of radish or leaf fits into it.
pub const GAP_WEEKS: i64 = 4;

/// Of successive seasons in which nothing at all stands, this many are noted separately; further ones are added to the last note
/// (starting value).
const SEASONS_EACH: usize = 10;

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
    let past_places = inputs.index.beds.get(bed_idx).map_or(&[][..], |records| &records.past);
    let past_years: Vec<i32> =
        past_places.iter().filter_map(|&place| inputs.garden.past.get(place)).map(|past| past.year).collect();
    let mut n_empty = 0;
    // A season may begin in the calendar year before the one it ends in, as in the south.
    for year in first.stages.enters.year() - 1..=last.stages.enters.year() {
        let Some((opens, closes)) = inputs.almanac.growing_season(bed.cover, year) else { continue };
        if closes <= first.stages.enters || opens > last.stages.enters {
            continue;
        }
        // A past crop of the first year stood somewhere before the first planting, on days that nobody wrote down.
        let is_past_known = past_years.contains(&first.stages.enters.year());
        let mut empty_from = if is_past_known { opens.max(first.stages.enters) } else { opens };
        let n_before = findings.len();
        let mut is_empty = empty_from == opens;
        for standing in standing {
            if standing.stages.clear <= empty_from {
                continue;
            }
            if standing.stages.enters >= closes {
                break;
            }
            note(bed_idx, empty_from, standing.stages.enters, findings);
            empty_from = standing.stages.clear;
            is_empty = false;
        }
        note(bed_idx, empty_from, closes, findings);
        n_empty = if is_empty { n_empty + 1 } else { 0 };
        if n_empty > SEASONS_EACH {
            join_last(n_before, findings);
        }
    }
}

/// Of two gaps the second is told with the first, if there are two from `place - 1` on.
fn join_last(place: usize, findings: &mut Vec<Finding>) {
    if let [.., before, last] = findings.as_mut_slice()
        && let (Says::Gap { until, n_weeks, .. }, Says::Gap { until: later, n_weeks: n_more, .. }) =
            (&mut before.says, &last.says)
    {
        (*until, *n_weeks) = (*later, *n_weeks + n_more);
        findings.truncate(place);
    }
}

fn note(bed_idx: usize, from: NaiveDate, until: NaiveDate, findings: &mut Vec<Finding>) {
    let n_weeks = days_between(from, until) / 7;
    if n_weeks >= GAP_WEEKS {
        let says = Says::Gap { from, until, n_weeks };
        findings.push(Finding { severity: Severity::Note, bed_idx, planting: None, says, accepted: None });
    }
}
