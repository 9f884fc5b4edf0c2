//! The stands of one bed in order of time, and every rule asked of them.

use crate::crops::CropBook;
use crate::garden::Severity;
use crate::units::Rect;

use super::graph::KinFacts;
use super::rules::{family, follow, hazard, permanent, soil};
use super::{Because, CropGraph, Gift, Policy, RotationFinding, Rule, Seen, Stand, StandKey};

/// A finding before it is given its ground: places in the order of time.
#[derive(Debug, Clone, Copy)]
pub(super) struct Raw {
    pub severity: Severity,
    pub rule: Rule,
    pub because: Because,
    pub about: usize,
    pub earlier: Option<usize>,
    pub earlier_year: Option<i32>,
    pub asked_years: Option<u32>,
    pub clear_year: Option<i32>,
    pub caution_year: Option<i32>,
    pub hazard_idx: Option<usize>,
    pub follow_idx: Option<usize>,
    pub gift: Option<Gift>,
}

impl Raw {
    /// A finding about a stand alone.
    pub(super) fn about(about: usize, severity: Severity, rule: Rule, because: Because) -> Self {
        Self {
            severity,
            rule,
            because,
            about,
            earlier: None,
            earlier_year: None,
            asked_years: None,
            clear_year: None,
            caution_year: None,
            hazard_idx: None,
            follow_idx: None,
            gift: None,
        }
    }
}

/// How two stands lie in time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Order {
    /// The second goes in when the first is cleared.
    After,
    /// Both stand at the same time.
    Together,
    /// Within one year, and no days are known.
    Unknown,
}

/// The stands of one bed in order of time. Places (`pos`) are places in that order.
#[derive(Debug)]
pub(super) struct View<'a> {
    pub graph: &'a CropGraph,
    /// Each stand with its place in the graph's tables.
    stands: Vec<(&'a Stand, usize)>,
    /// Where the stand asked about is, if one is.
    candidate: Option<usize>,
}

impl<'a> View<'a> {
    fn of(graph: &'a CropGraph, stands: &'a [Stand], candidate: Option<&'a Stand>) -> Self {
        let mut ordered: Vec<(&Stand, usize)> = Vec::with_capacity(stands.len() + 1);
        let all = stands.iter().chain(candidate);
        ordered.extend(all.filter_map(|stand| graph.kin_idx(stand.kin).map(|kin| (stand, kin))));
        // The sort is stable: stands of one year without days keep the order in which they are told.
        ordered.sort_by_key(|(stand, _)| (stand.first_year, stand.from));
        let candidate = candidate.and_then(|wanted| ordered.iter().position(|(stand, _)| std::ptr::eq(*stand, wanted)));
        Self { graph, stands: ordered, candidate }
    }

    pub(super) fn len(&self) -> usize {
        self.stands.len()
    }

    pub(super) fn stand(&self, pos: usize) -> &'a Stand {
        self.stands[pos].0
    }

    pub(super) fn kin(&self, pos: usize) -> usize {
        self.stands[pos].1
    }

    pub(super) fn facts(&self, pos: usize) -> &KinFacts {
        &self.graph.kin[self.stands[pos].1]
    }

    pub(super) fn is_ground_shared(&self, one: usize, other: usize) -> bool {
        let other = &self.stand(other).ground;
        self.stand(one).ground.iter().any(|rect| other.iter().any(|their| rect.shared_with(*their).is_some()))
    }

    pub(super) fn order(&self, earlier: usize, later: usize) -> Order {
        let (before, about) = (self.stand(earlier), self.stand(later));
        if before.last_year < about.first_year {
            return Order::After;
        }
        match (before.until, about.from) {
            (Some(until), Some(from)) if until <= from => Order::After,
            (Some(_), Some(_)) => Order::Together,
            _ if before.first_year < about.first_year || before.last_year > about.first_year => Order::Together,
            // Items of a sequence are written in order.
            _ if matches!((before.key, about.key), (StandKey::Item(_), StandKey::Item(_))) => Order::After,
            _ => Order::Unknown,
        }
    }

    pub(super) fn is_after(&self, earlier: usize, later: usize) -> bool {
        self.order(earlier, later) != Order::Together
    }

    /// Whether every piece of ground that `inner` shares with `about` lies within a piece of `outer`.
    fn is_covered(&self, about: usize, inner: usize, outer: usize) -> bool {
        let outer = &self.stand(outer).ground;
        let own = &self.stand(about).ground;
        let mut shared =
            self.stand(inner).ground.iter().flat_map(|rect| own.iter().filter_map(|r| rect.shared_with(*r)));
        shared.all(|piece| outer.iter().any(|rect| rect.shared_with(piece) == Some(piece)))
    }

    /// Asks every rule. With a candidate, only what is about it or because of it.
    fn examine(&self, policy: &Policy, seen: &[Seen], gifts: &[Gift], found: &mut dyn FnMut(Raw)) {
        let mut returns: Vec<Raw> = Vec::new();
        for pos in self.candidate.unwrap_or(0)..self.len() {
            let is_asked = self.candidate.is_none_or(|candidate| candidate == pos);
            if is_asked {
                permanent::examine(self, pos, found);
                soil::examine(self, gifts, pos, found);
            }
            if !seen.is_empty() {
                let candidate = self.candidate;
                hazard::examine(self, seen, pos, &mut |raw: Raw| {
                    if is_asked || raw.earlier == candidate {
                        found(raw);
                    }
                });
            }
            let earlier_ones =
                if is_asked { 0..pos } else { self.candidate.unwrap_or(0)..self.candidate.map_or(0, |c| c + 1) };
            returns.clear();
            for earlier in earlier_ones.rev() {
                if let Some(raw) = family::examine(self, policy, earlier, pos) {
                    returns.push(raw);
                }
                if let Some(raw) = soil::feeding(self, gifts, earlier, pos) {
                    found(raw);
                }
                follow::examine(self, seen, earlier, pos, found);
            }
            self.latest_only(&mut returns);
            returns.drain(..).for_each(&mut *found);
        }
    }

    /// Of several earlier stands of the family on the same ground the latest one is to blame; an older one is named
    /// only where it stood on other ground too, or weighs more.
    fn latest_only(&self, returns: &mut Vec<Raw>) {
        if returns.len() < 2 {
            return;
        }
        returns.sort_by_key(|raw| std::cmp::Reverse(raw.earlier_year));
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
            about_kin: about.kin,
            earlier: raw.earlier.map(|earlier| self.stand(earlier).key),
            earlier_kin: raw.earlier.map(|earlier| self.stand(earlier).kin),
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
            gift: raw.gift,
        }
    }

    fn findings(&self, policy: &Policy, seen: &[Seen], gifts: &[Gift]) -> Vec<RotationFinding> {
        let mut raws: Vec<Raw> = Vec::new();
        self.examine(policy, seen, gifts, &mut |raw| raws.push(raw));
        raws.sort_by_key(|raw| {
            (raw.about, std::cmp::Reverse(raw.severity), raw.rule, std::cmp::Reverse(raw.earlier_year), raw.follow_idx)
        });
        raws.into_iter().map(|raw| self.finding(raw)).collect()
    }
}

/// The ground two stands share, and how much of the first one's it is, in per cent (at least 1 if any).
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
        gifts: &[Gift],
    ) -> Vec<RotationFinding> {
        let _ = book;
        View::of(self, stands, None).findings(policy, seen, gifts)
    }

    /// The findings about one more stand in a bed with that history (those about the others are left out,
    /// except where the new stand is the earlier one).
    pub fn check_one(
        &self,
        book: &CropBook,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        gifts: &[Gift],
        candidate: &Stand,
    ) -> Vec<RotationFinding> {
        let _ = book;
        View::of(self, stands, Some(candidate)).findings(policy, seen, gifts)
    }

    /// The gravest finding one more stand would raise, without making any; good orders do not count.
    /// `None`: the bed would take it without a finding.
    pub fn worst_of(
        &self,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        gifts: &[Gift],
        candidate: &Stand,
    ) -> Option<Severity> {
        let mut worst = None;
        View::of(self, stands, Some(candidate)).examine(policy, seen, gifts, &mut |raw| {
            if raw.rule != Rule::GoodAfter {
                worst = worst.max(Some(raw.severity));
            }
        });
        worst
    }

    /// How many orders of crops that go well the stand would make with what stood before it.
    pub fn n_good_orders(&self, stands: &[Stand], candidate: &Stand) -> usize {
        let mut n_good = 0;
        let view = View::of(self, stands, Some(candidate));
        view.examine(&Policy::default(), &[], &[], &mut |raw| {
            n_good += usize::from(raw.rule == Rule::GoodAfter && view.candidate == Some(raw.about));
        });
        n_good
    }
}
