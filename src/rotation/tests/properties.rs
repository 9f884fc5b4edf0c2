//! What holds of any bed.

use proptest::prelude::*;

use crate::crops::PlantRef;
use crate::garden::{EntryId, Severity};
use crate::rotation::{Because, Policy, RotationFinding, Rule, Seen, Stand, StandKey, Taxon};
use crate::units::{Mm, Rect};

use super::{book, graph};

fn any_stand() -> impl Strategy<Value = Stand> {
    let n_crops = book().crops().len();
    let n_known = book().plants().len();
    let n_families = book().families().len();
    let taxon = prop_oneof![
        6 => (0..n_crops).prop_map(|idx| Taxon::Plant(PlantRef::Crop(idx))),
        1 => (0..n_known).prop_map(|idx| Taxon::Plant(PlantRef::Known(idx))),
        1 => (0..n_families).prop_map(Taxon::Family),
    ];
    (taxon, 2000..2015_i32, 0..3_i32, 0..6_i32, 1..6_i32).prop_map(|(taxon, first_year, more, x0, length)| Stand {
        key: StandKey::Past(EntryId(0)),
        taxon,
        first_year,
        last_year: first_year + more,
        from: None,
        until: None,
        ground: vec![Rect {
            x0: Mm::from_cm(x0 * 50),
            x1: Mm::from_cm((x0 + length) * 50),
            y0: Mm::ZERO,
            y1: Mm::from_cm(120),
        }],
    })
}

pub(crate) fn any_bed() -> impl Strategy<Value = Vec<Stand>> {
    prop::collection::vec(any_stand(), 1..14).prop_map(|mut stands| {
        for (idx, stand) in stands.iter_mut().enumerate() {
            stand.key = StandKey::Past(EntryId(idx as u32));
        }
        stands
    })
}

pub(crate) fn any_seen() -> impl Strategy<Value = Vec<Seen>> {
    let n_hazards = book().hazards().len();
    prop::collection::vec((0..n_hazards, 1998..2012_i32).prop_map(|(hazard_idx, year)| Seen { hazard_idx, year }), 0..3)
}

pub(crate) fn config() -> ProptestConfig {
    ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() }
}

/// Stands that a breach is about; one crop alone is no rotation until another is known, so that is left aside.
fn breached(findings: &[RotationFinding]) -> Vec<(Rule, StandKey)> {
    let mut breached: Vec<_> = findings
        .iter()
        .filter(|finding| finding.severity == Severity::Breach && finding.because != Because::NoOtherCrop)
        .map(|finding| (finding.rule, finding.about))
        .collect();
    breached.sort_unstable();
    breached.dedup();
    breached
}

proptest! {
    #![proptest_config(config())]

    #[test]
    fn more_history_never_removes_a_breach(stands in any_bed(), more in any_stand(), seen in any_seen()) {
        let policy = Policy::default();
        let before = breached(&graph().check(book(), &policy, &stands, &seen, &[]));
        let mut longer = stands;
        longer.push(Stand { key: StandKey::Past(EntryId(99)), ..more });
        let after = breached(&graph().check(book(), &policy, &longer, &seen, &[]));
        for one in before {
            prop_assert!(after.contains(&one), "{one:?} is gone");
        }
    }

    #[test]
    fn ground_that_is_not_shared_gives_no_finding_between_the_two(stands in any_bed(), seen in any_seen()) {
        let findings = graph().check(book(), &Policy::default(), &stands, &seen, &[]);
        let ground = |key: StandKey| match key {
            StandKey::Past(id) => stands[id.0 as usize].ground[0],
            _ => unreachable!(),
        };
        for finding in findings.iter().filter(|finding| finding.earlier.is_some()) {
            let shared = ground(finding.about).shared_with(ground(finding.earlier.unwrap()));
            prop_assert_eq!(shared, Some(finding.shared[0]));
            prop_assert!(finding.shared_pct > 0);
        }
    }

    #[test]
    fn a_longer_interval_never_removes_a_breach(stands in any_bed(), years in 1..8_u32, more in 1..5_u32) {
        let breaches = |years| {
            let policy = Policy { for_all: Some(years), ..Policy::default() };
            breached(&graph().check(book(), &policy, &stands, &[], &[]))
        };
        let longer = breaches(years + more);
        for one in breaches(years) {
            prop_assert!(longer.contains(&one), "{one:?} is gone");
        }
    }

    #[test]
    fn what_is_said_of_a_candidate_is_what_is_said_of_it_in_the_whole_bed(
        stands in any_bed(), candidate in any_stand(), seen in any_seen(),
    ) {
        let policy = Policy::default();
        let candidate = Stand { key: StandKey::Proposed, ..candidate };
        let alone = graph().check_one(book(), &policy, &stands, &seen, &[], &candidate);
        let mut all = stands.clone();
        all.push(candidate.clone());
        let whole = graph().check(book(), &policy, &all, &seen, &[]);
        let about = |findings: &[RotationFinding]| -> Vec<RotationFinding> {
            findings.iter().filter(|finding| finding.about == StandKey::Proposed).cloned().collect()
        };
        prop_assert_eq!(about(&alone), about(&whole));
        let worst = alone.iter().filter(|finding| finding.rule != Rule::GoodAfter).map(|finding| finding.severity).max();
        prop_assert_eq!(graph().worst_of(&policy, &stands, &seen, &[], &candidate), worst);
        let is_concerned = |finding: &RotationFinding| {
            finding.about == StandKey::Proposed || finding.earlier == Some(StandKey::Proposed)
        };
        prop_assert!(alone.iter().all(is_concerned));
    }

    #[test]
    fn families_that_all_differ_never_return(years in prop::sample::subsequence((0..20_usize).collect::<Vec<_>>(), 1..20)) {
        let stands: Vec<Stand> = years.iter().enumerate().map(|(year, &family)| Stand {
            key: StandKey::Past(EntryId(year as u32)),
            taxon: Taxon::Family(family),
            first_year: 2000 + year as i32,
            last_year: 2000 + year as i32,
            from: None,
            until: None,
            ground: vec![super::whole_bed()],
        }).collect();
        let botanical = |stand: &Stand| match stand.taxon {
            Taxon::Family(idx) => book().families()[idx].botanical.clone(),
            Taxon::Plant(_) => unreachable!(),
        };
        let mut names: Vec<String> = stands.iter().map(botanical).collect();
        names.sort();
        let n_all = names.len();
        names.dedup();
        prop_assume!(names.len() == n_all);
        let policy = Policy { for_all: Some(50), ..Policy::default() };
        let findings = graph().check(book(), &policy, &stands, &[], &[]);
        prop_assert!(findings.iter().all(|finding| finding.rule != Rule::FamilyReturn));
    }

    #[test]
    fn a_path_joins_the_two_of_every_finding(stands in any_bed(), seen in any_seen()) {
        for finding in graph().check(book(), &Policy::default(), &stands, &seen, &[]) {
            let path = graph().path(&finding);
            if finding.earlier.is_some() || finding.hazard_idx.is_some() {
                prop_assert!(finding.earlier_taxon == Some(finding.about_taxon) || path.nodes.len() >= 2, "{finding:?} {path:?}");
            }
        }
    }
}
