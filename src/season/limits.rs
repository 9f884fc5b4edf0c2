//! How grave it is that growth or weather forbids a planting.
//!
//! A breach is only what is certain to fail by the site's normals. What lies in the past is no more than a note, except for cold
//! that is still to come: against that a cover helps. Green manures are grown for their leaves and may die of the first frost.

use chrono::NaiveDate;

use super::inputs::Inputs;
use super::{Finding, Says};
use crate::crops::Crop;
use crate::garden::{Bed, Planting, RealDates, Severity};
use crate::growth::{Growing, Limit, Odds, Stages};
use crate::units::days_between;

/// Days from sowing to a seedling up to which cold soil is worth no more than a note: carrots in March take five weeks
/// (starting value).
const SLOW_DAYS: i64 = 42;

/// Days before the median last frost within which a fleece at hand is enough (starting value).
const FLEECE_DAYS: i64 = 14;

/// Days after the end of its season from which no kind year ripens a crop (starting value: about three times the spread of a
/// frost date).
const HOPELESS_DAYS: i64 = 60;

/// What growth and weather have against one planting.
pub(super) fn check(
    inputs: Inputs<'_>,
    bed_idx: usize,
    bed: &Bed,
    crop: &Crop,
    planting: &Planting,
    stages: &Stages,
    findings: &mut Vec<Finding>,
) {
    let real = inputs.real(planting.id);
    for limit in inputs.almanac.growing(crop, planting.raised, bed.cover).limits(stages) {
        if let Some(severity) = severity(crop, &real, &limit) {
            let says = Says::Growth(limit);
            findings.push(Finding { severity, bed_idx, planting: Some(planting.id), says, accepted: None });
        }
    }
}

/// What growth and weather have against a planned life from a caution on, gravest first; shoots that stand long before the last frost
/// count as one.
pub(super) fn cautions(growing: Growing<'_>, stages: &Stages) -> Vec<(Severity, Limit)> {
    let limits = growing.limits(stages).into_iter();
    let with_severity = limits.filter_map(|limit| match limit {
        Limit::ShootsBeforeLastFrost { shows, last_frost } if days_between(shows, last_frost) > FLEECE_DAYS => {
            Some((Severity::Caution, limit))
        }
        _ => Some((severity(growing.crop(), &RealDates::default(), &limit)?, limit)),
    });
    let mut grave: Vec<_> = with_severity.filter(|(severity, _)| *severity >= Severity::Caution).collect();
    grave.sort_by_key(|(severity, _)| std::cmp::Reverse(*severity));
    grave
}

/// `None` if it is not worth saying.
fn severity(crop: &Crop, real: &RealDates, limit: &Limit) -> Option<Severity> {
    let is_in = real.plant.or(real.sow).is_some();
    let is_picked = real.first_pick.is_some();
    let is_for_leaves = crop.is_green_manure();
    let late = |ripe: Option<NaiveDate>, by: NaiveDate| ripe.is_none_or(|ripe| days_between(by, ripe) > HOPELESS_DAYS);
    let planned =
        match limit {
            Limit::TooColdToEmerge { emerges: None, .. } => Severity::Breach,
            Limit::TooColdToEmerge { sown, emerges: Some(emerges), .. } => {
                if days_between(*sown, *emerges) > SLOW_DAYS { Severity::Caution } else { Severity::Note }
            }
            Limit::BeforeLastFrost { out, last_frost } => {
                if days_between(*out, *last_frost) > FLEECE_DAYS {
                    Severity::Caution
                } else {
                    Severity::Note
                }
            }
            Limit::NotRipeInTime { .. } | Limit::PickedTooSoon { .. } | Limit::Bolts { .. }
                if is_for_leaves || is_picked =>
            {
                return None;
            }
            Limit::NotRipeInTime { ripe, by, is_frost: true } if late(*ripe, *by) => Severity::Breach,
            Limit::TooHotToEmerge { .. }
            | Limit::NotRipeInTime { .. }
            | Limit::PickedTooSoon { .. }
            | Limit::Bolts { .. } => Severity::Caution,
            // Killed by frost it covers the soil as well: many are sown for that.
            Limit::Killed { .. } if is_for_leaves => return None,
            // What has been picked from is not lost. Of what is planted, cold is still to come.
            Limit::Killed { odds: Odds::Average, is_before_pick: true, .. } => return Some(Severity::Caution),
            Limit::ShootsBeforeLastFrost { .. } | Limit::Killed { .. } => Severity::Note,
        };
    Some(if is_in { Severity::Note } else { planned })
}

#[cfg(test)]
mod tests;
