//! How findings are named, and how an accepted one is recognised again.

use super::{Finding, Says, Shade};
use crate::crops::CropBook;
use crate::garden::Garden;
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
            Limit::NotRipeInTime { .. } => "will-not-ripen",
            Limit::Bolts { .. } => "will-bolt",
            Limit::Killed { .. } => "killed-by-cold",
            Limit::PickedTooSoon { .. } => "impossible-date",
        },
        Says::Shade(_) => "shade",
        Says::Gap { .. } => "gap",
    }
}

/// What a finding stands against, written so that it stays true when lists are edited:
/// another planting (`p12`), a past crop (`2024 leek`), a hazard (`clubroot`), or nothing.
pub(super) fn against(garden: &Garden, book: &CropBook, says: &Says) -> String {
    match says {
        Says::Rotation(finding) => {
            if let Some(hazard) = finding.hazard_idx.and_then(|idx| book.hazards().get(idx)) {
                return hazard.id.clone();
            }
            match finding.earlier {
                Some(StandKey::Planting(id)) => id.to_string(),
                Some(StandKey::Past(idx)) => {
                    garden.past.get(idx).map_or_else(String::new, |past| format!("{} {}", past.year, past.what))
                }
                _ => String::new(),
            }
        }
        Says::Overlap { other, .. } | Says::Crowding { other, .. } | Says::Shade(Shade { other, .. }) => {
            other.to_string()
        }
        _ => String::new(),
    }
}

/// Marks the findings the grower has accepted; `places` are those of the acceptances about the finding's planting.
pub(super) fn mark_accepted(garden: &Garden, book: &CropBook, finding: &mut Finding, places: &[usize]) {
    let rule = rule_name(&finding.says);
    let mut stands_against = None;
    for accepted in places.iter().filter_map(|&place| garden.accepted.get(place)) {
        if accepted.rule == rule
            && accepted.against == *stands_against.get_or_insert_with(|| against(garden, book, &finding.says))
        {
            finding.accepted = Some(accepted.reason.clone());
            return;
        }
    }
}
