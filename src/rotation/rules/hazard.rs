//! A hazard seen here, and every host of it until it has died out.
//!
//! The clock runs from the sighting, or from the last host that has stood on the ground since. Fewer host-free years than the
//! least that sources ask for are a breach; fewer than the usual break, or than the organism usually lives, a caution.

use crate::garden::Severity;
use crate::rotation::graph::HostKind;
use crate::rotation::timeline::{Log, Raw, Timeline};
use crate::rotation::{Because, Rule};

/// Hosts of hazards seen before the stand went in.
pub(in crate::rotation) fn examine(timeline: &Timeline<'_>, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
    let (about, taxon) = (timeline.stand(pos), timeline.taxon(pos));
    let is_host = |hazard_idx| timeline.graph.host(taxon, hazard_idx) != HostKind::None;
    for sighting in log.seen_before(about.first_year, is_host) {
        let hazard_idx = sighting.hazard_idx;
        let host = timeline.graph.host(taxon, hazard_idx);
        // A host that has stood here since keeps it going; one that stands here at the same time does not count.
        let kept_by = timeline.last_before(pos, |earlier| {
            timeline.stand(earlier).last_year >= sighting.year
                && timeline.graph.host(timeline.taxon(earlier), hazard_idx) >= HostKind::Part
                && timeline.is_after(earlier, pos)
                && timeline.is_ground_shared(earlier, pos)
        });
        if about.first_year == sighting.year && kept_by.is_none() {
            continue; // the crop in which it was seen
        }
        let clock = kept_by.map_or(sighting.year, |earlier| timeline.stand(earlier).last_year.max(sighting.year));
        let facts = &timeline.graph.hazards[hazard_idx];
        let n_free = about.first_year - clock - 1;
        let mut severity = if facts.is_indefinite || n_free < facts.break_min_years {
            Severity::Breach
        } else if n_free < facts.alive_years {
            Severity::Caution
        } else {
            continue;
        };
        let (most, because) = match host {
            HostKind::Named if facts.is_risk_only => (Severity::Caution, Because::Host),
            HostKind::Named => (Severity::Breach, Because::Host),
            HostKind::Part => (Severity::Caution, Because::PartHost),
            HostKind::Relative | HostKind::None => (Severity::Note, Because::HostRelative),
        };
        severity = severity.min(most);
        found(Raw {
            earlier: kept_by,
            earlier_year: Some(clock),
            asked_years: (!facts.is_indefinite).then_some((facts.break_usual_years + 1).max(0) as u32),
            clear_year: (!facts.is_indefinite).then_some(clock + facts.alive_years + 1),
            caution_year: (!facts.is_indefinite && most == Severity::Breach)
                .then_some(clock + facts.break_min_years + 1),
            hazard_idx: Some(hazard_idx),
            ..Raw::about(pos, severity, Rule::HazardHost, because)
        });
    }
}
