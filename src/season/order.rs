//! The order in which findings are shown, kept between edits: screens ask for it in every frame.

use std::sync::Arc;

use super::types::Look;
use super::{BedSeason, Finding, Group};
use crate::garden::Severity;

/// How many findings ask something of the grower.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct FindingCounts {
    /// Breaches not accepted.
    pub n_breaches: usize,
    /// Cautions not accepted.
    pub n_cautions: usize,
    /// Notes not accepted.
    pub n_notes: usize,
    /// Accepted, of any severity.
    pub n_accepted: usize,
    /// Past, of any severity: nothing can be done about them any more.
    pub n_past: usize,
    /// Kept quiet, of any severity.
    pub n_quiet: usize,
}

impl FindingCounts {
    pub(super) fn add(&mut self, finding: &Finding) {
        let count = match finding.severity {
            _ if finding.accepted.is_some() => &mut self.n_accepted,
            Severity::Breach => &mut self.n_breaches,
            Severity::Caution => &mut self.n_cautions,
            Severity::Note => &mut self.n_notes,
        };
        *count += 1;
    }
}

/// What is listed, gravest first, then by bed.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// Place of the bed, and of the group in it.
    pub(super) places: Vec<(u32, u32)>,
    pub(super) counts: FindingCounts,
}

impl Order {
    pub fn of_beds(beds: &[Arc<BedSeason>], look: Look) -> Self {
        let mut by_severity: [Vec<(u32, u32)>; 3] = Default::default();
        let mut counts = FindingCounts::default();
        for (bed_idx, bed) in (0..).zip(beds) {
            for (group_idx, group) in (0..).zip(&bed.groups) {
                let Some(finding) = counts.add_group(bed, group, look) else { continue };
                let rank = match finding.severity {
                    Severity::Breach => 0,
                    Severity::Caution => 1,
                    Severity::Note => 2,
                };
                if let Some(places) = by_severity.get_mut(rank) {
                    places.push((bed_idx, group_idx));
                }
            }
        }
        Self { places: by_severity.concat(), counts }
    }
}

impl FindingCounts {
    /// Counts a group as one finding, and what is past or kept quiet of it; gives the finding that is told.
    pub(super) fn add_group<'a>(&mut self, bed: &'a BedSeason, group: &Group, look: Look) -> Option<&'a Finding> {
        if group.is_quiet {
            self.n_quiet += group.members.len();
        } else {
            self.n_past += group.members.iter().filter(|(_, past_from)| look.is_past(*past_from)).count();
        }
        let is_open = !group.is_quiet && group.members.iter().any(|(_, past_from)| !look.is_past(*past_from));
        let told = group.shown(look).next().and_then(|place| bed.findings.get(place as usize));
        if let Some(finding) = told.filter(|_| is_open) {
            self.add(finding);
        }
        told
    }
}
