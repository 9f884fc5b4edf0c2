//! How findings are named, and how an accepted one is recognised again.
//!
//! An empty bed is about no planting: its acceptance names the planting beside it, the one that was cleared before, and says that the
//! weeks after it are meant, and of which year; of a bed that waits for its first planting, those before it. So it holds
//! as long as that planting stands there, whatever its days.

use chrono::{Datelike, NaiveDate};

use super::{Finding, LeftOut, Says, Shade, Standing};
use crate::crops::CropBook;
use crate::garden::{Against, Garden, PastCrop, PlantingId};
use crate::growth::Limit;
use crate::rotation::StandKey;

/// The rule's name, as files and `--json` write it.
pub fn rule_name(says: &Says) -> &'static str {
    match says {
        Says::Rotation(finding) => finding.rule.id(),
        Says::Overlap { .. } => "overlap",
        Says::Crowding { .. } => "crowding",
        Says::NoStations { .. } => "no-stations",
        Says::NoDates { .. } => "no-dates",
        Says::OutOfSeason { .. } => "out-of-season",
        Says::UnknownCrop { .. } => "unknown-crop",
        Says::UnknownHazard { .. } => "unknown-hazard",
        Says::Growth(limit) => match limit {
            Limit::TooColdToEmerge { .. } => "too-cold-to-emerge",
            Limit::TooHotToEmerge { .. } => "too-hot-to-emerge",
            Limit::BeforeLastFrost { .. } => "tender-before-last-frost",
            Limit::ShootsBeforeLastFrost { .. } => "shoots-before-last-frost",
            Limit::NotRipeInTime { .. } => "will-not-ripen",
            Limit::Bolts { .. } => "will-bolt",
            Limit::Killed { .. } => "killed-by-cold",
            Limit::PickedTooSoon { .. } => "impossible-date",
        },
        Says::Shade(_) => "shade",
        Says::Gap { .. } => "gap",
        Says::LeftOut(left_out) => match left_out {
            LeftOut::Neighbours { .. } => "not-compared",
            LeftOut::Fits { .. } => "not-weighed",
            LeftOut::History { .. } => "not-looked-back",
            LeftOut::Shadows { .. } => "not-shaded",
            LeftOut::Findings { .. } => "not-listed",
        },
    }
}

/// The planting that an acceptance of a finding names; `None` if it is about none and beside none.
pub(super) fn planting_named(standing: &[Standing], finding: &Finding) -> Option<PlantingId> {
    finding.planting.or_else(|| match finding.says {
        Says::Gap { from, until, .. } => beside_gap(standing, from, until).map(|(id, _)| id),
        _ => None,
    })
}

/// The planting beside an empty time of its bed, and which time is meant.
fn beside_gap(standing: &[Standing], from: NaiveDate, until: NaiveDate) -> Option<(PlantingId, Against)> {
    let before = standing.iter().filter(|standing| standing.stages.clear <= from);
    if let Some(cleared) = before.max_by_key(|standing| (standing.stages.clear, standing.id)) {
        return Some((cleared.id, Against::WeeksAfter(from.year())));
    }
    let after = standing.iter().filter(|standing| standing.stages.enters >= until);
    let first = after.min_by_key(|standing| (standing.stages.enters, standing.id))?;
    Some((first.id, Against::WeeksBefore(from.year())))
}

/// What a finding stands against; `standing` is what stands in its bed.
pub(super) fn against(garden: &Garden, book: &CropBook, standing: &[Standing], says: &Says) -> Against {
    match says {
        Says::Rotation(finding) => {
            if let Some(hazard) = finding.hazard_idx.and_then(|idx| book.hazards().get(idx)) {
                return Against::Hazard(hazard.id.clone());
            }
            match finding.earlier {
                Some(StandKey::Planting(id)) => Against::Planting(id),
                Some(StandKey::Past(id)) => garden
                    .row::<PastCrop>(&id)
                    .map_or_else(Against::default, |past| Against::Past { year: past.year, what: past.what.clone() }),
                _ => Against::Nothing,
            }
        }
        Says::Overlap { other, .. } | Says::Crowding { other, .. } | Says::Shade(Shade { other, .. }) => {
            Against::Planting(*other)
        }
        Says::Gap { from, until, .. } => {
            beside_gap(standing, *from, *until).map_or_else(Against::default, |(_, against)| against)
        }
        _ => Against::Nothing,
    }
}

/// Marks a finding that the grower has accepted; `places` are those of the acceptances that name its planting, `standing` is what
/// stands in its bed.
pub(super) fn mark_accepted(
    garden: &Garden,
    book: &CropBook,
    standing: &[Standing],
    finding: &mut Finding,
    places: &[usize],
) {
    let rule = rule_name(&finding.says);
    let mut stands_against = None;
    for accepted in places.iter().filter_map(|&place| garden.accepted.get(place)) {
        if accepted.rule == rule
            && accepted.against == *stands_against.get_or_insert_with(|| against(garden, book, standing, &finding.says))
        {
            finding.accepted = Some(accepted.reason.clone());
            return;
        }
    }
}
