//! The order in which findings are shown, kept between edits: screens ask for it in every frame.

use std::sync::Arc;

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

/// Places of findings, gravest first, then by bed.
#[derive(Debug, Default)]
pub(super) struct Order {
    /// Place of the bed, and of the finding in it.
    pub(super) places: Vec<(u32, u32)>,
    pub(super) counts: FindingCounts,
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
