//! The findings of a plan in the order in which they are shown, and what accepting one of them would say.

use super::order::FindingCounts;
use super::plan::Plan;
use super::{Finding, accept};
use crate::garden::{Accepted, EntryId};

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

    /// The acceptance of a finding, without a number yet; `None` if it is about no planting. That of an empty bed names the planting
    /// beside it.
    pub fn acceptance(&self, finding: &Finding, reason: &str) -> Option<Accepted> {
        let standing = self.standing_in(finding.bed_idx);
        Some(Accepted {
            id: EntryId::NONE,
            rule: accept::rule_name(&finding.says).to_owned(),
            planting: accept::planting_named(standing, finding)?,
            against: accept::against(self.garden(), self.book(), standing, &finding.says),
            reason: reason.to_owned(),
        })
    }
}
