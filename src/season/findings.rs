//! The findings of a plan in the order in which they are shown, and what accepting one of them would say.

use super::order::FindingCounts;
use super::plan::Plan;
use super::{Finding, accept, listing};
use crate::garden::{Accepted, EntryId, Quiet, Severity};

impl Plan {
    /// Every finding that asks something of the grower, gravest first, then by bed, one by one and whether past or not. What goes well
    /// after what is left out: it stands with its bed, and in previews.
    pub fn findings(&self) -> Vec<&Finding> {
        let all = || self.beds().iter().flat_map(|bed| &bed.findings).filter(|finding| !finding.is_good_order());
        let of = |severity: Severity| all().filter(move |finding| finding.severity == severity);
        of(Severity::Breach).chain(of(Severity::Caution)).chain(of(Severity::Note)).collect()
    }

    /// What is listed: of the findings of a bed that say the same one, and none that is past or kept quiet.
    pub fn listed(&self) -> Vec<&Finding> {
        (0..self.n_findings()).filter_map(|n| self.finding_at(n)).collect()
    }

    /// How many findings are listed, without a walk over them.
    pub fn n_findings(&self) -> usize {
        self.order().places.len()
    }

    /// One finding by its place in [`listed`](Self::listed), without a walk over the others.
    pub fn finding_at(&self, n: usize) -> Option<&Finding> {
        let &(bed_idx, group_idx) = self.order().places.get(n)?;
        let bed = self.beds().get(bed_idx as usize)?;
        let place = bed.groups.get(group_idx as usize)?.shown(self.look()).next()?;
        bed.findings.get(place as usize)
    }

    /// How many listed findings of each severity there are, accepted ones apart, and how many are past or kept quiet.
    pub fn finding_counts(&self) -> FindingCounts {
        self.order().counts
    }

    /// The same of one bed.
    pub fn finding_counts_of_bed(&self, bed_idx: usize) -> FindingCounts {
        let mut counts = FindingCounts::default();
        if let Some(bed) = self.beds().get(bed_idx) {
            for group in &bed.groups {
                let _ = counts.add_group(bed, group, self.look());
            }
        }
        counts
    }

    /// The other listed findings of the bed that say the same as one in [`finding_at`](Self::finding_at).
    pub fn alike(&self, n: usize) -> Vec<&Finding> {
        let Some(&(bed_idx, group_idx)) = self.order().places.get(n) else { return Vec::new() };
        let Some(bed) = self.beds().get(bed_idx as usize) else { return Vec::new() };
        let Some(group) = bed.groups.get(group_idx as usize) else { return Vec::new() };
        group.shown(self.look()).skip(1).filter_map(|place| bed.findings.get(place as usize)).collect()
    }

    /// Whether nothing can be done about a finding any more.
    pub fn is_past(&self, finding: &Finding) -> bool {
        self.look().is_past(listing::past_from(self.standing_in(finding.bed_idx), finding))
    }

    /// The row by which a finding is kept quiet.
    pub fn quiet_by(&self, finding: &Finding) -> Option<&Quiet> {
        listing::quiet_by(self.garden(), finding)
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
