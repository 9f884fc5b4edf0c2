//! The stands of one bed in order of time, and every rule asked of them.

use std::cmp::Reverse;
use std::collections::HashSet;
use std::ops::Range;

use chrono::NaiveDate;

use crate::crops::CropBook;
use crate::garden::{Severity, SoilGift};
use crate::units::Rect;

use super::graph::KinFacts;
use super::rules::{family, follow, hazard, permanent, soil};
use super::{Because, CropGraph, Gift, Kin, Policy, RotationFinding, Rule, Seen, Stand, StandKey};

/// A finding before its ground is worked out; stands are given by their places in the order of time.
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
    /// Both in one year, and the days are not known.
    Unknown,
}

/// Sequences are short anyway.
const UNBOUNDED: Bounds = Bounds { looked_back: usize::MAX, alike: usize::MAX, is_brief: false };

/// Most earlier stands of the family that are told apart by their ground, the latest first (starting value).
const RETURNS_MAX: usize = 32;

/// How far a check goes.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    /// Most stands before each one that are looked at.
    pub looked_back: usize,
    /// Most findings of one rule about one stand.
    pub alike: usize,
    /// Whether to say nothing of past crops, which cannot be changed any more, and to name a good order only once for each
    /// earlier crop.
    pub is_brief: bool,
}

/// The stands of one bed in order of time. Places (`pos`) are places in that order.
#[derive(Debug)]
pub(super) struct View<'a> {
    pub graph: &'a CropGraph,
    /// Each stand with its place in the graph's tables.
    stands: Vec<(&'a Stand, usize)>,
    /// The latest last year among the stands up to and including each.
    last_years: Vec<i32>,
    /// Place of the stand that is asked about, if there is one.
    candidate: Option<usize>,
    bounds: Bounds,
}

/// Sightings and amendments in a bed, each listed once.
#[derive(Debug)]
pub(super) struct Log {
    /// In the order in which it was written down.
    seen: Vec<Seen>,
    /// By hazard: the years in which it was seen, ascending, each with the place of that sighting.
    years_seen: Vec<(usize, Vec<(i32, usize)>)>,
    /// In the order in which it was written down.
    gifts: Vec<Gift>,
    /// The places of the amendments, by their dates.
    by_date: Vec<(NaiveDate, usize)>,
    /// Days on which the soil was fed, ascending.
    fed_on: Vec<NaiveDate>,
}

impl Log {
    fn of(seen: &[Seen], gifts: &[Gift]) -> Self {
        let mut known = HashSet::new();
        let seen: Vec<Seen> = seen.iter().copied().filter(|sighting| known.insert(*sighting)).collect();
        let mut sightings: Vec<_> =
            seen.iter().enumerate().map(|(at, seen)| (seen.hazard_idx, seen.year, at)).collect();
        sightings.sort_unstable();
        let years_seen = sightings.chunk_by(|one, other| one.0 == other.0).filter_map(|of_hazard| {
            let years = of_hazard.iter().map(|(_, year, at)| (*year, *at)).collect();
            of_hazard.first().map(|(hazard_idx, _, _)| (*hazard_idx, years))
        });
        let years_seen = years_seen.collect();
        let mut known = HashSet::new();
        let gifts: Vec<Gift> = gifts.iter().copied().filter(|gift| known.insert((gift.gift, gift.date))).collect();
        let mut by_date: Vec<_> = gifts.iter().enumerate().map(|(place, gift)| (gift.date, place)).collect();
        by_date.sort_unstable();
        let feeds = |gift: SoilGift| matches!(gift, SoilGift::Compost | SoilGift::Manure | SoilGift::FreshManure);
        let mut fed_on: Vec<_> = gifts.iter().filter(|gift| feeds(gift.gift)).map(|gift| gift.date).collect();
        fed_on.sort_unstable();
        Self { seen, years_seen, gifts, by_date, fed_on }
    }

    /// The sightings that matter to a stand of that year: for each hazard that is meant, the last one before it and those of the
    /// year itself.
    pub(super) fn seen_before(&self, year: i32, is_meant: impl Fn(usize) -> bool) -> impl Iterator<Item = Seen> {
        let mut places = Vec::new();
        for (_, years) in self.years_seen.iter().filter(|(hazard_idx, _)| is_meant(*hazard_idx)) {
            let end = years.partition_point(|(seen, _)| *seen <= year);
            let before = years.partition_point(|(seen, _)| *seen < year).saturating_sub(1);
            places.extend(years.get(before..end).unwrap_or_default().iter().map(|(_, place)| *place));
        }
        places.sort_unstable();
        places.into_iter().filter_map(|place| self.seen.get(place).copied())
    }

    /// Whether the hazard was seen by that year.
    pub(super) fn is_seen_by(&self, hazard_idx: usize, year: i32) -> bool {
        let of_hazard = self.years_seen.binary_search_by_key(&hazard_idx, |(hazard_idx, _)| *hazard_idx);
        let first = of_hazard.ok().and_then(|at| self.years_seen.get(at)?.1.first());
        first.is_some_and(|(first, _)| *first <= year)
    }

    /// Whether no amendment is recorded at all: then no log is kept, and its silence says nothing.
    pub(super) fn is_unkept(&self) -> bool {
        self.gifts.is_empty()
    }

    /// The amendments from one day to another, in the order in which they were written down.
    pub(super) fn gifts_within(&self, from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = Gift> {
        let first = self.by_date.partition_point(|(date, _)| *date < from);
        let end = self.by_date.partition_point(|(date, _)| *date <= to);
        let within = self.by_date.get(first..end).unwrap_or_default();
        let mut places: Vec<usize> = within.iter().map(|(_, place)| *place).collect();
        places.sort_unstable();
        places.into_iter().filter_map(|place| self.gifts.get(place).copied())
    }

    /// Whether the soil was fed between two days, both included.
    pub(super) fn is_fed_within(&self, from: NaiveDate, to: NaiveDate) -> bool {
        self.fed_on.get(self.fed_on.partition_point(|date| *date < from)).is_some_and(|date| *date <= to)
    }
}

impl<'a> View<'a> {
    fn of(graph: &'a CropGraph, stands: &'a [Stand], candidate: Option<&'a Stand>, bounds: Bounds) -> Self {
        let mut ordered: Vec<(&Stand, usize)> = Vec::with_capacity(stands.len() + 1);
        let all = stands.iter().chain(candidate);
        ordered.extend(all.filter_map(|stand| graph.kin_idx(stand.kin).map(|kin| (stand, kin))));
        // The sort is stable: stands of one year without days keep the order in which they were given.
        ordered.sort_by_key(|(stand, _)| (stand.first_year, stand.from));
        let candidate = candidate.and_then(|wanted| ordered.iter().position(|(stand, _)| std::ptr::eq(*stand, wanted)));
        let mut latest = i32::MIN;
        let last_years = ordered.iter().map(|(stand, _)| {
            latest = latest.max(stand.last_year);
            latest
        });
        Self { graph, last_years: last_years.collect(), stands: ordered, candidate, bounds }
    }

    /// The stands before one that are looked at.
    pub(super) fn before(&self, pos: usize) -> Range<usize> {
        pos.saturating_sub(self.bounds.looked_back)..pos
    }

    /// Those, and as many from the stand itself on.
    pub(super) fn about(&self, pos: usize) -> Range<usize> {
        pos.saturating_sub(self.bounds.looked_back)..pos.saturating_add(self.bounds.looked_back).min(self.len())
    }

    /// Among the stands before one that are looked at and that are meant, the one that stood last; of several such, the last in
    /// order.
    pub(super) fn last_before(&self, pos: usize, mut is_meant: impl FnMut(usize) -> bool) -> Option<usize> {
        let mut last: Option<(i32, usize)> = None;
        for earlier in self.before(pos).rev() {
            if last.is_some_and(|(year, _)| self.last_years[earlier] <= year) {
                break; // none further back stood longer
            }
            let year = self.stand(earlier).last_year;
            if last.is_none_or(|(latest, _)| year > latest) && is_meant(earlier) {
                last = Some((year, earlier));
            }
        }
        last.map(|(_, earlier)| earlier)
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

    /// Asks every rule about one stand. If there is a candidate, only findings about it or because of it.
    fn examine(&self, policy: &Policy, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
        let is_asked = self.candidate.is_none_or(|candidate| candidate == pos);
        if is_asked {
            permanent::examine(self, pos, found);
            soil::examine(self, log, pos, found);
        }
        if !log.years_seen.is_empty() {
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
        for pos in self.candidate.unwrap_or(0)..self.len() {
            self.examine(policy, log, pos, found);
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

    /// The findings stand by stand in order of time, the gravest of each stand first. The severity of each finding beyond the
    /// bounds goes to `left_out`.
    fn findings(&self, policy: &Policy, log: &Log, left_out: &mut dyn FnMut(Severity)) -> Vec<RotationFinding> {
        let mut findings = Vec::new();
        let mut raws: Vec<Raw> = Vec::new();
        // Places are sorted instead of the findings themselves, which are large.
        let mut order: Vec<usize> = Vec::new();
        for pos in self.candidate.unwrap_or(0)..self.len() {
            if self.bounds.is_brief && matches!(self.stand(pos).key, StandKey::Past(_)) {
                continue;
            }
            self.examine(policy, log, pos, &mut |raw| raws.push(raw));
            order.clear();
            order.extend(0..raws.len());
            order.sort_by_key(|&at| {
                raws.get(at).map(|raw| (Reverse(raw.severity), raw.rule, Reverse(raw.earlier_year), raw.follow_idx))
            });
            let mut counts: Vec<(Rule, usize)> = Vec::new();
            let mut gone_well_after: Vec<Option<Kin>> = Vec::new();
            for &raw in order.iter().filter_map(|&at| raws.get(at)) {
                let is_good = self.bounds.is_brief && raw.rule == Rule::GoodAfter;
                if is_good {
                    let kin = raw.earlier.map(|earlier| self.stand(earlier).kin);
                    if gone_well_after.contains(&kin) {
                        continue;
                    }
                    gone_well_after.push(kin);
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
                    findings.push(self.finding(raw));
                } else if raw.rule != Rule::GoodAfter {
                    left_out(raw.severity);
                }
            }
            raws.clear();
        }
        findings
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
        gifts: &[Gift],
    ) -> Vec<RotationFinding> {
        let _ = book;
        View::of(self, stands, None, UNBOUNDED).findings(policy, &Log::of(seen, gifts), &mut |_| {})
    }

    /// The same within bounds; the severity of each finding left out goes to `left_out`.
    pub fn check_within(
        &self,
        bounds: Bounds,
        policy: &Policy,
        stands: &[Stand],
        (seen, gifts): (&[Seen], &[Gift]),
        left_out: &mut dyn FnMut(Severity),
    ) -> Vec<RotationFinding> {
        View::of(self, stands, None, bounds).findings(policy, &Log::of(seen, gifts), left_out)
    }

    /// The findings about one more stand in a bed with that history. Findings about the other stands are left out, unless the new
    /// stand is the earlier one of the two.
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
        View::of(self, stands, Some(candidate), UNBOUNDED).findings(policy, &Log::of(seen, gifts), &mut |_| {})
    }

    /// The same within bounds.
    pub fn check_one_within(
        &self,
        bounds: Bounds,
        policy: &Policy,
        stands: &[Stand],
        (seen, gifts): (&[Seen], &[Gift]),
        candidate: &Stand,
    ) -> Vec<RotationFinding> {
        View::of(self, stands, Some(candidate), bounds).findings(policy, &Log::of(seen, gifts), &mut |_| {})
    }

    /// The gravest finding that one more stand would raise, found without building any; good orders do not count. `None` if there
    /// would be no finding.
    pub fn worst_of(
        &self,
        policy: &Policy,
        stands: &[Stand],
        seen: &[Seen],
        gifts: &[Gift],
        candidate: &Stand,
    ) -> Option<Severity> {
        let mut worst = None;
        let view = View::of(self, stands, Some(candidate), UNBOUNDED);
        view.examine_all(policy, &Log::of(seen, gifts), &mut |raw| {
            if raw.rule != Rule::GoodAfter {
                worst = worst.max(Some(raw.severity));
            }
        });
        worst
    }
}
