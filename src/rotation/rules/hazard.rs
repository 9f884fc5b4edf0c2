//! A hazard seen here, and every host of it until it has died out.
//!
//! The clock runs from the sighting, or from the last host that stood on the ground since. Fewer host-free years than
//! the least that sources ask is a breach; fewer than the usual break, or than the organism usually lives, a caution.

use crate::garden::Severity;
use crate::rotation::check::{Log, Raw, View};
use crate::rotation::graph::HostKind;
use crate::rotation::{Because, Rule};

/// From this many named crops of a family on, the names are read as examples of the whole family (starting value:
/// clubroot names 16 crucifers and means all; leaf spot of celery names two umbellifers and means those).
pub(in crate::rotation) const MANY_NAMED: usize = 5;

/// Hazards of which sources report a risk that falls with time, or say that rotation is secondary, rather than ask for
/// a break: a host is a caution, never a breach.
pub(in crate::rotation) const RISK_ONLY: &[&str] = &[
    "cabbage_root_fly_pupae",  // flies disperse
    "leek_rust_debris",        // lives on living plants; soil survival is over-stated
    "onion_fly_pupae",         // flies disperse
    "potato_black_dot",        // share of tubers affected by years out, Johnson & Cummings 2015
    "potato_blackleg",         // seed tubers are the main source, rotation is secondary
    "potato_common_scab",      // lives on in soil; rotation helps little
    "rhizoctonia",             // lives on many crops and on residues
    "root_knot_hapla",         // about 550 host species
    "sclerotinia_white_mould", // over 400 host species, air-borne spores; sources say `several years`
    "wireworm_after_grass",    // crops within four years of grass are at most risk
];

/// Follow rules that hold only where the disease they speak of was seen, and its hazards.
const NEEDED_BY_RULE: &[(&str, &[&str])] = &[
    ("F33", &["onion_fusarium_basal_rot"]),
    ("F37", &["clubroot"]),
    ("F41", &["pea_foot_rot", "pea_aphanomyces", "onion_stem_nematode"]),
    ("F42", &["onion_stem_nematode"]),
    ("F43", &["sclerotinia_white_mould"]),
    ("F44", &["verticillium_wilt", "strawberry_verticillium_replant"]),
    ("F45", &["cucumber_scab"]),
    ("F67", &["beet_cyst_nematode"]),
];

/// Hazards of which one must have been seen for the rule to hold; empty: it always holds.
pub(in crate::rotation) fn needed_by_rule(rule_id: &str) -> &'static [&'static str] {
    NEEDED_BY_RULE.iter().find(|(id, _)| *id == rule_id).map_or(&[], |(_, hazards)| hazards)
}

/// Hosts of hazards seen before the stand went in.
pub(in crate::rotation) fn examine(view: &View<'_>, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
    let (about, kin) = (view.stand(pos), view.kin(pos));
    let is_host = |hazard_idx| view.graph.host(kin, hazard_idx) != HostKind::None;
    for sighting in log.seen_before(about.first_year, is_host) {
        let hazard_idx = sighting.hazard_idx;
        let host = view.graph.host(kin, hazard_idx);
        // A host that stood here since keeps it going; one that stands beside it at the same time does not count.
        let kept_by = view.last_before(pos, |earlier| {
            view.stand(earlier).last_year >= sighting.year
                && view.graph.host(view.kin(earlier), hazard_idx) >= HostKind::Part
                && view.is_after(earlier, pos)
                && view.is_ground_shared(earlier, pos)
        });
        if about.first_year == sighting.year && kept_by.is_none() {
            continue; // the crop in which it was seen
        }
        let clock = kept_by.map_or(sighting.year, |earlier| view.stand(earlier).last_year.max(sighting.year));
        let facts = &view.graph.hazards[hazard_idx];
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
            HostKind::Kin | HostKind::None => (Severity::Note, Because::HostKin),
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
