//! Findings of one bed that say the same, told as one with a count, and the day from which each is past.
//!
//! What cannot be undone any more is past: a crop that went in too early or after the wrong one has gone in, a frost has come, a gap is
//! over. A breach of rotation is past only when its crop is cleared. What is past is counted, and shown when asked for. "Today" is handed
//! in by the faces.

use std::collections::HashMap;

use chrono::NaiveDate;

use super::accept::rule_name;
use super::{BedSeason, Finding, Group, Says, Standing};
use crate::crops::{CropBook, PlantRef};
use crate::garden::{Garden, Quiet, Severity};
use crate::growth::Limit;
use crate::rotation::{Because, RotationFinding, Rule, Taxon};

/// What several findings of one bed have in common. Praise and what is accepted is told one by one.
#[derive(PartialEq, Eq, Hash)]
struct Matter<'a> {
    severity: Severity,
    rule: &'static str,
    family: Option<&'a str>,
    hazard_idx: Option<usize>,
    follow_idx: Option<usize>,
    is_no_rotation: bool,
}

impl<'a> Matter<'a> {
    fn of(book: &'a CropBook, finding: &Finding) -> Option<Self> {
        let alone = Self {
            severity: finding.severity,
            rule: rule_name(&finding.says),
            family: None,
            hazard_idx: None,
            follow_idx: None,
            is_no_rotation: false,
        };
        if finding.accepted.is_some() {
            return None;
        }
        match &finding.says {
            Says::Rotation(rotation) => Some(Self {
                family: matches!(rotation.rule, Rule::FamilyReturn | Rule::SameYear | Rule::Exempt)
                    .then(|| family_of(book, rotation))
                    .flatten(),
                hazard_idx: rotation.hazard_idx,
                follow_idx: rotation.follow_idx,
                is_no_rotation: matches!(rotation.because, Because::NoOtherCrop | Because::BedTooOld),
                ..alone
            }),
            Says::Growth(_) | Says::OutOfSeason { .. } | Says::Shade(_) => Some(alone),
            _ => None,
        }
    }
}

fn family_of<'a>(book: &'a CropBook, rotation: &RotationFinding) -> Option<&'a str> {
    match rotation.about_taxon {
        Taxon::Plant(PlantRef::Crop(idx)) => book.crops().get(idx).map(|crop| crop.family.as_str()),
        _ => None,
    }
}

/// The first day on which nothing can be done about it any more.
pub(super) fn past_from(standing: &[Standing], finding: &Finding) -> NaiveDate {
    let stages = finding.planting.and_then(|id| standing.iter().find(|one| one.id == id)).map(|one| &one.stages);
    let (Some(entered), Some(clear)) =
        (stages.and_then(|stages| stages.enters.succ_opt()), stages.map(|stages| stages.clear))
    else {
        return match finding.says {
            Says::Gap { until, .. } => until,
            _ => NaiveDate::MAX,
        };
    };
    match &finding.says {
        Says::Rotation(_) if finding.severity == Severity::Breach => clear,
        Says::Rotation(_)
        | Says::OutOfSeason { .. }
        | Says::NoStations { .. }
        | Says::Growth(Limit::TooColdToEmerge { .. } | Limit::TooHotToEmerge { .. }) => entered,
        Says::Growth(Limit::BeforeLastFrost { last_frost, .. } | Limit::ShootsBeforeLastFrost { last_frost, .. }) => {
            *last_frost
        }
        Says::Overlap { until, .. } => *until,
        _ => clear,
    }
}

/// By which row a finding is kept quiet.
pub(super) fn quiet_by<'a>(garden: &'a Garden, finding: &Finding) -> Option<&'a Quiet> {
    if garden.kept_quiet.is_empty() || finding.accepted.is_some() {
        return None;
    }
    let rule = rule_name(&finding.says);
    let bed = garden.beds.get(finding.bed_idx).map(|bed| &bed.id);
    let crop = finding.planting.and_then(|id| garden.planting(id)).map(|planting| &planting.crop);
    garden.kept_quiet.iter().find(|quiet| {
        quiet.rule == rule
            && (quiet.bed.is_none() || quiet.bed.as_ref() == bed)
            && (quiet.crop.is_none() || quiet.crop.as_ref() == crop)
    })
}

/// Puts the findings of a bed into groups, each in the place of its first member.
pub(super) fn put_in_groups(garden: &Garden, book: &CropBook, season: &mut BedSeason) {
    let mut groups: Vec<Group> = Vec::new();
    let mut known: HashMap<(Matter<'_>, bool), usize> = HashMap::new();
    for (place, finding) in (0..).zip(&season.findings) {
        if finding.is_good_order() {
            continue;
        }
        let member = (place, past_from(&season.standing, finding));
        let is_quiet = quiet_by(garden, finding).is_some();
        let Some(matter) = Matter::of(book, finding).map(|matter| (matter, is_quiet)) else {
            groups.push(Group { members: vec![member], is_quiet });
            continue;
        };
        match known.get(&matter).and_then(|&at| groups.get_mut(at)) {
            Some(group) => group.members.push(member),
            None => {
                known.insert(matter, groups.len());
                groups.push(Group { members: vec![member], is_quiet });
            }
        }
    }
    season.groups = groups;
}
