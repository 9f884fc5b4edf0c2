//! The order in which findings are shown, kept between edits: screens ask for it in every frame.

use std::sync::Arc;

use super::plan::Plan;
use super::{BedSeason, Finding};
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
}

impl FindingCounts {
    fn add(&mut self, finding: &Finding) {
        let count = match finding.severity {
            _ if finding.accepted.is_some() => &mut self.n_accepted,
            Severity::Breach => &mut self.n_breaches,
            Severity::Caution => &mut self.n_cautions,
            Severity::Note => &mut self.n_notes,
        };
        *count += 1;
    }
}

/// Places of findings, gravest first, then by bed.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// Place of the bed, and of the finding in it.
    places: Vec<(u32, u32)>,
    counts: FindingCounts,
}

impl Order {
    pub fn of_beds(beds: &[Arc<BedSeason>]) -> Self {
        let mut by_severity: [Vec<(u32, u32)>; 3] = Default::default();
        let mut counts = FindingCounts::default();
        for (bed_idx, bed) in (0..).zip(beds) {
            for (place, finding) in (0..).zip(&bed.findings).filter(|(_, finding)| !finding.is_good_order()) {
                counts.add(finding);
                let rank = match finding.severity {
                    Severity::Breach => 0,
                    Severity::Caution => 1,
                    Severity::Note => 2,
                };
                if let Some(places) = by_severity.get_mut(rank) {
                    places.push((bed_idx, place));
                }
            }
        }
        Self { places: by_severity.concat(), counts }
    }
}

impl Plan {
    /// Every finding that asks something of the grower, gravest first, then by bed. What goes well after what is
    /// left out: it stands with its bed, and in previews.
    pub fn findings(&self) -> Vec<&Finding> {
        self.order().places.iter().filter_map(|&place| self.finding_in(place)).collect()
    }

    /// How many findings there are in [`findings`](Self::findings), without a walk over them.
    pub fn n_findings(&self) -> usize {
        self.order().places.len()
    }

    /// One finding by its place in [`findings`](Self::findings), without a walk over the others.
    pub fn finding_at(&self, n: usize) -> Option<&Finding> {
        self.order().places.get(n).and_then(|&place| self.finding_in(place))
    }

    /// How many findings of each severity there are, accepted ones apart.
    pub fn finding_counts(&self) -> FindingCounts {
        self.order().counts
    }

    /// The same of one bed.
    pub fn finding_counts_of_bed(&self, bed_idx: usize) -> FindingCounts {
        let mut counts = FindingCounts::default();
        let findings = self.beds().get(bed_idx).into_iter().flat_map(|bed| &bed.findings);
        findings.filter(|finding| !finding.is_good_order()).for_each(|finding| counts.add(finding));
        counts
    }

    fn finding_in(&self, (bed_idx, place): (u32, u32)) -> Option<&Finding> {
        self.beds().get(bed_idx as usize)?.findings.get(place as usize)
    }
}
