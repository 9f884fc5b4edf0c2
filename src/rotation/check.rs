//! Every rule asked of the stands of one bed.

use std::cmp::{Ordering, Reverse};

use crate::crops::CropBook;
use crate::garden::Severity;
use crate::units::Rect;

use super::rules::{about_a_stand, family, follow, hazard, soil};
use super::timeline::{Bounds, Log, Raw, Timeline};
use super::{Because, CropGraph, Given, Policy, RotationFinding, Rule, Seen, Stand, StandKey, Taxon};

/// Sequences are short anyway.
const UNBOUNDED: Bounds = Bounds { looked_back: usize::MAX, alike: usize::MAX, is_brief: false };

/// Most earlier stands of the family that are told apart by their ground, the latest first (starting value).
const RETURNS_MAX: usize = 32;

impl Timeline<'_> {
    /// Asks every rule about one stand. With a candidate, only what is about it or because of it.
    fn examine(&self, policy: &Policy, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
        let is_asked = self.candidate.is_none_or(|candidate| candidate == pos);
        if is_asked {
            about_a_stand(self, log, pos, found);
        }
        if !log.has_no_sighting() {
            let candidate = self.candidate;
            hazard::examine(self, log, pos, &mut |raw: Raw| {
                if is_asked || raw.earlier == candidate {
                    found(raw);
                }
            });
        }
        let before = self.before(pos);
        let earlier_ones = match self.candidate.filter(|_| !is_asked) {
            Some(candidate) if before.contains(&candidate) => candidate..candidate + 1,
            Some(_) => return,
            None => before,
        };
        let most = self.bounds.alike;
        let mut here = family::Here::told(most, most.max(RETURNS_MAX));
        let mut returns: Vec<Raw> = Vec::new();
        let mut n_hungry = 0;
        for earlier in earlier_ones.rev() {
            if !self.graph.is_told_of(self.taxon(earlier), self.taxon(pos)) {
                continue;
            }
            if let Some(raw) = family::examine(self, policy, &mut here, earlier, pos) {
                returns.push(raw);
            }
            if n_hungry < most
                && let Some(raw) = soil::feeding(self, log, earlier, pos)
            {
                n_hungry += 1;
                found(raw);
            }
            follow::examine(self, log, earlier, pos, found);
        }
        self.latest_only(&mut returns);
        returns.drain(..).for_each(found);
    }

    /// Asks every rule about every stand that is asked about, in order of time.
    fn examine_all(&self, policy: &Policy, log: &Log, found: &mut dyn FnMut(Raw)) {
        let mut raws = Vec::new();
        for pos in self.candidate.unwrap_or(0)..self.len() {
            self.examine(policy, log, pos, &mut |raw| raws.push(raw));
            self.weigh(&mut raws);
            raws.drain(..).for_each(&mut *found);
        }
    }

    /// Of several earlier stands of the family on the same ground only the latest is named; an older one is named too if it stood
    /// on other ground as well, or if its finding is graver.
    fn latest_only(&self, returns: &mut Vec<Raw>) {
        if returns.len() < 2 {
            return;
        }
        returns.sort_by_key(|raw| Reverse(raw.earlier_year));
        let mut kept = 0;
        for idx in 0..returns.len() {
            let raw = returns[idx];
            let is_told = returns[..kept].iter().any(|told| {
                (told.rule == Rule::SameYear) == (raw.rule == Rule::SameYear)
                    && told.severity >= raw.severity
                    && match (raw.earlier, told.earlier) {
                        (Some(inner), Some(outer)) => self.is_covered(raw.about, inner, outer),
                        _ => false,
                    }
            });
            if !is_told {
                returns[kept] = raw;
                kept += 1;
            }
        }
        returns.truncate(kept);
    }

    /// Weighs what is said of the same two stands together, so that each pair is praised or warned of, not both, and warned of an order
    /// once: the firmer advice stands, of two as firm the warning, as a note that sources differ.
    fn weigh(&self, raws: &mut Vec<Raw>) {
        if raws.len() < 2 {
            return;
        }
        let firmness = |raw: &Raw| {
            let rule = raw.follow_idx.and_then(|idx| self.graph.rules.get(idx));
            // A disease that was seen here weighs more than what is good elsewhere.
            let is_of_seen = rule.is_some_and(|rule| !rule.needs_seen.is_empty());
            (raw.severity == Severity::Breach, is_of_seen, rule.map(|rule| rule.strength))
        };
        let is_pair = |one: &Raw, other: &Raw| one.about == other.about && one.earlier == other.earlier;
        let firmest = |of: &Raw, rule: Rule| {
            let alike = raws.iter().enumerate().filter(|(_, raw)| raw.rule == rule && is_pair(raw, of));
            alike.max_by_key(|(at, raw)| (firmness(raw), Reverse(*at))).map(|(at, raw)| (at, *raw))
        };
        let weighed = raws.iter().enumerate().filter_map(|(at, raw)| match raw.rule {
            Rule::GoodAfter => {
                let is_warned_of =
                    |other: &Raw| is_pair(other, raw) && !other.rule.is_praise() && other.rule != Rule::AvoidAfter;
                let avoid = firmest(raw, Rule::AvoidAfter).map(|(_, avoid)| avoid);
                let is_firmer = avoid.is_none_or(|avoid| firmness(&avoid) < firmness(raw));
                let contrary_idx = avoid.and_then(|avoid| avoid.follow_idx);
                (is_firmer && !raws.iter().any(is_warned_of)).then_some(Raw { contrary_idx, ..*raw })
            }
            Rule::AvoidAfter if firmest(raw, Rule::AvoidAfter).is_some_and(|(first, _)| first != at) => None,
            // That they are kin is said already.
            Rule::AvoidAfter
                if raws.iter().any(|kin| {
                    kin.because == Because::SameBotanical && is_pair(kin, raw) && kin.severity >= raw.severity
                }) =>
            {
                None
            }
            Rule::AvoidAfter => {
                let Some((_, good)) = firmest(raw, Rule::GoodAfter) else { return Some(*raw) };
                let told = Raw { contrary_idx: good.follow_idx, ..*raw };
                match firmness(raw).cmp(&firmness(&good)) {
                    Ordering::Less => None,
                    Ordering::Equal => Some(Raw { severity: Severity::Note, ..told }),
                    Ordering::Greater => Some(told),
                }
            }
            _ if raw.because == Because::SameBotanical => {
                let avoid = firmest(raw, Rule::AvoidAfter);
                avoid.is_none_or(|(_, avoid)| avoid.severity <= raw.severity).then_some(*raw)
            }
            _ => Some(*raw),
        });
        let weighed: Vec<Raw> = weighed.collect();
        *raws = weighed;
    }

    fn finding(&self, raw: Raw) -> RotationFinding {
        let about = self.stand(raw.about);
        let (shared, shared_pct) = match raw.earlier {
            Some(earlier) => shared_ground(&about.ground, &self.stand(earlier).ground),
            None => (about.ground.clone(), 100),
        };
        RotationFinding {
            severity: raw.severity,
            rule: raw.rule,
            because: raw.because,
            about: about.key,
            about_taxon: about.taxon,
            earlier: raw.earlier.map(|earlier| self.stand(earlier).key),
            earlier_taxon: raw.earlier.map(|earlier| self.stand(earlier).taxon),
            year: about.first_year,
            earlier_year: raw.earlier_year,
            asked_years: raw.asked_years,
            clear_year: raw.clear_year,
            caution_year: raw.caution_year,
            about_from: about.from,
            earlier_until: raw.earlier.and_then(|earlier| self.stand(earlier).until),
            shared,
            shared_pct,
            hazard_idx: raw.hazard_idx,
            follow_idx: raw.follow_idx,
            contrary_idx: raw.contrary_idx,
            amendment: raw.amendment,
        }
    }

    /// The findings stand by stand in order of time, the gravest of each stand first.
    fn findings(&self, policy: &Policy, log: &Log) -> Vec<RotationFinding> {
        let mut findings = Vec::new();
        self.tell_findings(policy, log, &mut |finding| findings.push(finding), &mut |_| {});
        findings
    }

    /// The same, told one by one. The severity of each finding beyond the bounds goes to `left_out`.
    fn tell_findings(
        &self,
        policy: &Policy,
        log: &Log,
        found: &mut dyn FnMut(RotationFinding),
        left_out: &mut dyn FnMut(Severity),
    ) {
        let mut raws: Vec<Raw> = Vec::new();
        // Keys are sorted instead of the findings themselves, which are large; by place at last, so that the order is that of finding.
        let mut order = Vec::new();
        for pos in self.candidate.unwrap_or(0)..self.len() {
            if self.bounds.is_brief && matches!(self.stand(pos).key, StandKey::Past(_)) {
                continue;
            }
            self.examine(policy, log, pos, &mut |raw| raws.push(raw));
            self.weigh(&mut raws);
            order.clear();
            order.extend(
                raws.iter()
                    .enumerate()
                    .map(|(at, raw)| (Reverse(raw.severity), raw.rule, Reverse(raw.earlier_year), raw.follow_idx, at)),
            );
            order.sort_unstable();
            let mut counts: Vec<(Rule, usize)> = Vec::new();
            let mut gone_well_after: Vec<Option<Taxon>> = Vec::new();
            for &raw in order.iter().filter_map(|&(.., at)| raws.get(at)) {
                let is_good = self.bounds.is_brief && raw.rule == Rule::GoodAfter;
                if is_good {
                    let taxon = raw.earlier.map(|earlier| self.stand(earlier).taxon);
                    if gone_well_after.contains(&taxon) {
                        continue;
                    }
                    gone_well_after.push(taxon);
                }
                let known = counts.iter_mut().find(|(rule, _)| *rule == raw.rule);
                let n = match known {
                    Some((_, n)) => {
                        *n += 1;
                        *n
                    }
                    None => {
                        counts.push((raw.rule, 1));
                        1
                    }
                };
                if n <= self.bounds.alike {
                    found(self.finding(raw));
                } else if raw.rule != Rule::GoodAfter {
                    left_out(raw.severity);
                }
            }
            raws.clear();
        }
    }
}

/// The ground that two stands share, and its share of the first one's ground in per cent (at least 1 if there is any).
fn shared_ground(own: &[Rect], other: &[Rect]) -> (Vec<Rect>, u8) {
    let shared: Vec<Rect> =
        own.iter().flat_map(|rect| other.iter().filter_map(|their| rect.shared_with(*their))).collect();
    let area = |rects: &[Rect]| rects.iter().map(|rect| rect.area_mm2()).sum::<i64>();
    let (part, whole) = (area(&shared), area(own).max(1));
    let pct = (i128::from(part) * 100 + i128::from(whole) / 2) / i128::from(whole);
    (shared, pct.clamp(i128::from(part > 0), 100) as u8)
}

impl CropGraph {
    /// Every finding about the stands of one bed, in order of time, the gravest of a stand first.
    pub fn check(
        &self,
        book: &CropBook,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        amendments: &[Given],
    ) -> Vec<RotationFinding> {
        let _ = book;
        Timeline::of(self, stands, None, UNBOUNDED).findings(policy, &Log::of(seen, amendments))
    }

    /// The same within bounds, told one by one; the severity of each finding left out goes to `left_out`.
    pub fn check_within(
        &self,
        bounds: Bounds,
        policy: &Policy,
        stands: &[Stand],
        (seen, amendments): (&[Seen], &[Given]),
        found: &mut dyn FnMut(RotationFinding),
        left_out: &mut dyn FnMut(Severity),
    ) {
        Timeline::of(self, stands, None, bounds).tell_findings(policy, &Log::of(seen, amendments), found, left_out);
    }

    /// The findings about one more stand in a bed with that history. Findings about the other stands are left out, unless the new
    /// stand is the earlier one of the two.
    pub fn check_one(
        &self,
        book: &CropBook,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        amendments: &[Given],
        candidate: &Stand,
    ) -> Vec<RotationFinding> {
        let _ = book;
        Timeline::of(self, stands, Some(candidate), UNBOUNDED).findings(policy, &Log::of(seen, amendments))
    }

    /// The same within bounds.
    pub fn check_one_within(
        &self,
        bounds: Bounds,
        policy: &Policy,
        stands: &[Stand],
        (seen, amendments): (&[Seen], &[Given]),
        candidate: &Stand,
    ) -> Vec<RotationFinding> {
        Timeline::of(self, stands, Some(candidate), bounds).findings(policy, &Log::of(seen, amendments))
    }

    /// The gravest finding that one more stand would raise, found without building any; good orders do not count. `None` if there
    /// would be no finding.
    pub fn worst_of(
        &self,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        amendments: &[Given],
        candidate: &Stand,
    ) -> Option<Severity> {
        let mut worst = None;
        let timeline = Timeline::of(self, stands, Some(candidate), UNBOUNDED);
        timeline.examine_all(policy, &Log::of(seen, amendments), &mut |raw| {
            if raw.rule != Rule::GoodAfter {
                worst = worst.max(Some(raw.severity));
            }
        });
        worst
    }
}
