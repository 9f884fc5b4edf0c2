//! How much of a bed is looked at and listed, so that no file takes more time or memory than its size warrants.
//!
//! All of it lies far beyond what a grower's bed holds; where a bed goes beyond, a finding says what is left out
//! ([`LeftOut`]). All numbers are starting values.

use std::cmp::Reverse;

use super::{Finding, LeftOut, Says};
use crate::garden::{Severity, limits};
use crate::rotation;

/// Standing plantings with which a new one is compared, at most.
pub(super) const COMPARED_MAX: usize = limits::N_AT_ONCE;

/// Findings of one kind about one planting, at most.
pub(super) const ALIKE_MAX: usize = 8;

/// Findings listed for one bed, at most.
pub(super) const LISTED_MAX: usize = 300;

/// Crops missing from the book for which similar names are looked up, at most.
pub(super) const NEAR_NAMES_MAX: usize = 50;

/// How rotation is asked about a bed: twenty crops a year for ten years lie before each.
pub(super) const ROTATION: rotation::Bounds = rotation::Bounds { looked_back: 200, alike: ALIKE_MAX, is_brief: true };

/// Work allowed for weighing the stations of a whole garden, in the unit of [`crate::fit::judge_weeks`]: a second or two.
const WORK_MAX: u64 = 300_000_000;

/// Work allowed for weighing the stations of one planting against those beside it when only that planting is looked at: one or two
/// tenths of a second.
pub(super) const PREVIEW_WORK: u64 = 50_000_000;

/// Work allowed for weighing every pair of one bed when only that bed is looked at: about a third of a second.
pub(super) const FIT_WORK: u64 = 40_000_000;

/// The same for weighing with the change by which two would fit: where discs crowd, half a second or so.
pub(super) const FIT_CHANGE_WORK: u64 = 12_000_000;

/// Work allowed for following shadows, in steps of a few nanoseconds: about a third of a second.
const SHADE_WORK_MAX: u64 = 100_000_000;

/// Work allowed, in the same steps, for finding remedies for all findings that are listed together: first for changes with which two
/// plantings would fit, then for beds and crops without a finding.
const CHANGE_WORK_MAX: u64 = 1_000_000_000;
const BED_WORK_MAX: u64 = 250_000_000;

/// Crowded plantings for which a change is sought when all findings are listed, at most.
const CHANGES_MAX: usize = 20_000;

/// Work allowed for beds and crops when a single finding is explained.
const BED_WORK_OF_ONE: u64 = 200_000_000;

/// The work of a garden is divided among at least this many beds.
const SHARED_OUT_LEAST: usize = 16;

/// Work allowed for weighing stations in one bed of a garden of `n_beds`; equal for all numbers of beds between two powers of two.
pub(super) fn work_of_a_bed(n_beds: usize) -> u64 {
    WORK_MAX / n_shares(n_beds)
}

/// Work allowed for following the shadows of the tall crops of one bed of a garden of `n_beds`.
pub(super) fn shade_work_of_a_bed(n_beds: usize) -> u64 {
    SHADE_WORK_MAX / n_shares(n_beds)
}

fn n_shares(n_beds: usize) -> u64 {
    n_beds.next_power_of_two().max(SHARED_OUT_LEAST) as u64
}

/// Whether a bed is allowed the same work with either number of beds.
pub(super) fn is_shared_out_alike(n_beds: usize, n_others: usize) -> bool {
    n_shares(n_beds) == n_shares(n_others)
}

/// Work that is left for finding remedies for the findings that are listed together.
#[derive(Debug, Clone, Copy)]
pub struct Help {
    /// For a change by which two plantings would fit.
    pub(super) change_work: u64,
    /// For beds that would take a planting, and crops that the bed would take.
    pub(super) bed_work: u64,
}

impl Help {
    /// For a single finding.
    pub(super) fn of_one() -> Self {
        Self { change_work: PREVIEW_WORK, bed_work: BED_WORK_OF_ONE }
    }

    /// For findings that are listed in several shares. A change is sought for the first `CHANGES_MAX` crowded plantings; the more there
    /// are, the less work each is allowed. Other beds and crops are looked for in the first `n_with_beds` shares.
    pub fn shared_out<'a>(shares: impl Iterator<Item = &'a [&'a Finding]>, n_with_beds: usize) -> Vec<Self> {
        let is_crowded = |finding: &&&Finding| matches!(finding.says, Says::Crowding { .. });
        let n_crowded: Vec<usize> = shares.map(|share| share.iter().filter(is_crowded).count()).collect();
        let mut n_left = n_crowded.iter().sum::<usize>().min(CHANGES_MAX);
        let work_each = (CHANGE_WORK_MAX / n_left.max(1) as u64).min(PREVIEW_WORK);
        let with_beds = (0..).map(|share| if share < n_with_beds { BED_WORK_MAX } else { 0 });
        let mut help = |(n, bed_work): (&usize, u64)| {
            let n_sought = (*n).min(n_left);
            n_left -= n_sought;
            Self { change_work: work_each * n_sought as u64, bed_work }
        };
        n_crowded.iter().zip(with_beds).map(&mut help).collect()
    }

    /// Stops the search for other beds and crops.
    pub fn look_for_no_beds(&mut self) {
        self.bed_work = 0;
    }
}

/// Findings that are not listed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(super) struct NotListed {
    breaches: usize,
    cautions: usize,
    notes: usize,
}

impl NotListed {
    /// Counts `n` more.
    pub fn add(&mut self, severity: Severity, n: usize) {
        *match severity {
            Severity::Breach => &mut self.breaches,
            Severity::Caution => &mut self.cautions,
            Severity::Note => &mut self.notes,
        } += n;
    }

    /// Counts what another has counted.
    pub fn add_all(&mut self, others: Self) {
        self.breaches += others.breaches;
        self.cautions += others.cautions;
        self.notes += others.notes;
    }

    fn add_left_out(&mut self, findings: impl Iterator<Item = Finding>) {
        findings.filter(|finding| !finding.is_good_order()).for_each(|finding| self.add(finding.severity, 1));
    }

    /// As grave as the gravest of them; `None` if there is none.
    fn finding(self, bed_idx: usize) -> Option<Finding> {
        let Self { breaches: n_breaches, cautions: n_cautions, notes: n_notes } = self;
        let severity = match (n_breaches, n_cautions, n_notes) {
            (0, 0, 0) => return None,
            (0, 0, _) => Severity::Note,
            (0, _, _) => Severity::Caution,
            _ => Severity::Breach,
        };
        let left_out = LeftOut::Findings { n_breaches, n_cautions, n_notes };
        Some(Finding { severity, bed_idx, planting: None, says: Says::LeftOut(left_out), accepted: None })
    }
}

/// Gravest first, then by planting.
fn rank(finding: &Finding) -> impl Ord + use<> {
    (Reverse(finding.severity), finding.planting)
}

/// Of many findings from one place of the list on, lets go those that cannot be among the bed's listed ones, so that they need no
/// memory until all are found. What is kept is in the order of the list.
pub(super) fn keep_gravest(findings: &mut Vec<Finding>, first: usize, not_listed: &mut NotListed) {
    const GATHERED_MAX: usize = 4 * LISTED_MAX;
    if findings.len() < first + GATHERED_MAX {
        return;
    }
    let mut gathered = findings.split_off(first);
    gathered.sort_by_key(rank);
    not_listed.add_left_out(gathered.drain(LISTED_MAX..));
    findings.append(&mut gathered);
}

/// Puts a bed's findings in order, gravest first, and cuts them off where there are too many, saying how many.
pub(super) fn put_in_order(bed_idx: usize, findings: &mut Vec<Finding>, mut not_listed: NotListed) {
    findings.sort_by_key(rank);
    if findings.len() > LISTED_MAX {
        not_listed.add_left_out(findings.drain(LISTED_MAX..));
    }
    if let Some(finding) = not_listed.finding(bed_idx) {
        findings.push(finding);
        findings.sort_by_key(rank);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::garden::PlantingId;

    #[test]
    fn what_is_let_go_early_is_what_would_be_cut_at_the_end() {
        let all = (0..5_000_u32).map(|n| Finding {
            severity: [Severity::Note, Severity::Caution, Severity::Breach][(n * n % 7 % 3) as usize],
            bed_idx: 0,
            planting: Some(PlantingId(n * 37 % 101)),
            says: Says::UnknownCrop { crop: n.to_string() },
            accepted: None,
        });
        let listed = |gathers: bool| {
            let (mut findings, mut not_listed) = (Vec::new(), NotListed::default());
            for finding in all.clone() {
                if gathers {
                    keep_gravest(&mut findings, 0, &mut not_listed);
                    assert!(findings.len() < 4 * LISTED_MAX);
                }
                findings.push(finding);
            }
            put_in_order(0, &mut findings, not_listed);
            findings
        };
        assert_eq!(format!("{:?}", listed(true)), format!("{:?}", listed(false)));
        assert_eq!(listed(true).len(), LISTED_MAX + 1);
    }
}
