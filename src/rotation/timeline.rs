//! The stands of one bed in order of time, and what was seen in it and given to it: what the rules look at.

use std::collections::HashSet;
use std::ops::Range;

use chrono::NaiveDate;

use crate::garden::{Amendment, Severity};

use super::graph::TaxonFacts;
use super::{Because, CropGraph, Given, Rule, Seen, Stand, StandKey};

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
    pub contrary_idx: Option<usize>,
    pub amendment: Option<Given>,
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
            contrary_idx: None,
            amendment: None,
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

/// How far a check goes.
#[derive(Debug, Clone, Copy)]
pub struct Bounds {
    /// Stands before each that are looked back on.
    pub looked_back: usize,
    /// Findings of one rule about one stand.
    pub alike: usize,
    /// Whether nothing is told of past crops, about which nothing can be done any more, and that an order goes well only once for
    /// each earlier crop.
    pub is_brief: bool,
}

/// The stands of one bed in order of time. Places (`pos`) are places in that order.
#[derive(Debug)]
pub(super) struct Timeline<'a> {
    pub graph: &'a CropGraph,
    /// Each stand with its place in the graph's tables.
    stands: Vec<(&'a Stand, usize)>,
    /// The latest last year of the stands up to each.
    last_years: Vec<i32>,
    /// Where the stand asked about is, if one is.
    pub candidate: Option<usize>,
    pub bounds: Bounds,
}

/// What was seen in a bed and given to it, each once.
#[derive(Debug)]
pub(super) struct Log {
    /// In the order in which it was written down.
    seen: Vec<Seen>,
    /// By hazard: the years in which it was seen, ascending, with the places of these sightings.
    years_seen: Vec<(usize, Vec<(i32, usize)>)>,
    /// In the order in which it was written down.
    amendments: Vec<Given>,
    /// The places of amendments, by their dates.
    by_date: Vec<(NaiveDate, usize)>,
    /// Days on which the soil was fed, ascending.
    fed_on: Vec<NaiveDate>,
}

impl Log {
    pub(super) fn of(seen: &[Seen], amendments: &[Given]) -> Self {
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
        let amendments: Vec<Given> =
            amendments.iter().copied().filter(|given| known.insert((given.amendment, given.date))).collect();
        let mut by_date: Vec<_> = amendments.iter().enumerate().map(|(place, given)| (given.date, place)).collect();
        by_date.sort_unstable();
        let feeds =
            |amendment: Amendment| matches!(amendment, Amendment::Compost | Amendment::Manure | Amendment::FreshManure);
        let mut fed_on: Vec<_> =
            amendments.iter().filter(|given| feeds(given.amendment)).map(|given| given.date).collect();
        fed_on.sort_unstable();
        Self { seen, years_seen, amendments, by_date, fed_on }
    }

    /// The sightings that matter to a stand of that year: of each hazard meant the last before it, and those of the year itself.
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

    /// Whether no hazard was seen.
    pub(super) fn has_no_sighting(&self) -> bool {
        self.seen.is_empty()
    }

    /// Whether the hazard was seen by that year.
    pub(super) fn is_seen_by(&self, hazard_idx: usize, year: i32) -> bool {
        let of_hazard = self.years_seen.binary_search_by_key(&hazard_idx, |(hazard_idx, _)| *hazard_idx);
        let first = of_hazard.ok().and_then(|at| self.years_seen.get(at)?.1.first());
        first.is_some_and(|(first, _)| *first <= year)
    }

    /// Whether nothing at all was given: then no log is kept, and its silence says nothing.
    pub(super) fn is_unkept(&self) -> bool {
        self.amendments.is_empty()
    }

    /// What was given from a day to another, in the order in which it was written down.
    pub(super) fn given_within(&self, from: NaiveDate, to: NaiveDate) -> impl Iterator<Item = Given> {
        let first = self.by_date.partition_point(|(date, _)| *date < from);
        let end = self.by_date.partition_point(|(date, _)| *date <= to);
        let within = self.by_date.get(first..end).unwrap_or_default();
        let mut places: Vec<usize> = within.iter().map(|(_, place)| *place).collect();
        places.sort_unstable();
        places.into_iter().filter_map(|place| self.amendments.get(place).copied())
    }

    /// Whether the soil was fed from a day to another.
    pub(super) fn is_fed_within(&self, from: NaiveDate, to: NaiveDate) -> bool {
        self.fed_on.get(self.fed_on.partition_point(|date| *date < from)).is_some_and(|date| *date <= to)
    }
}

impl<'a> Timeline<'a> {
    pub(super) fn of(graph: &'a CropGraph, stands: &'a [Stand], candidate: Option<&'a Stand>, bounds: Bounds) -> Self {
        let mut ordered: Vec<(&Stand, usize)> = Vec::with_capacity(stands.len() + 1);
        let all = stands.iter().chain(candidate);
        ordered.extend(all.filter_map(|stand| graph.taxon_idx(stand.taxon).map(|taxon| (stand, taxon))));
        // The sort is stable: stands of one year without days keep the order in which they are told.
        ordered.sort_by_key(|(stand, _)| (stand.first_year, stand.from));
        let candidate = candidate.and_then(|wanted| ordered.iter().position(|(stand, _)| std::ptr::eq(*stand, wanted)));
        let mut latest = i32::MIN;
        let last_years = ordered.iter().map(|(stand, _)| {
            latest = latest.max(stand.last_year);
            latest
        });
        Self { graph, last_years: last_years.collect(), stands: ordered, candidate, bounds }
    }

    /// The stands before one that are looked back on.
    pub(super) fn before(&self, pos: usize) -> Range<usize> {
        pos.saturating_sub(self.bounds.looked_back)..pos
    }

    /// Those and as many after it.
    pub(super) fn about(&self, pos: usize) -> Range<usize> {
        pos.saturating_sub(self.bounds.looked_back)..pos.saturating_add(self.bounds.looked_back).min(self.len())
    }

    /// Of the stands before one that are looked back on, the one that stood last of those meant; of several the latest to come.
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

    pub(super) fn taxon(&self, pos: usize) -> usize {
        self.stands[pos].1
    }

    pub(super) fn facts(&self, pos: usize) -> &TaxonFacts {
        &self.graph.taxa[self.stands[pos].1]
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

    /// Whether nothing else stood, between the two, on all the ground they share.
    pub(super) fn is_just_before(&self, earlier: usize, pos: usize) -> bool {
        !(earlier + 1..pos).any(|between| {
            self.order(earlier, between) == Order::After
                && self.order(between, pos) == Order::After
                && self.is_covered(pos, earlier, between)
        })
    }

    /// Whether every piece of ground that `inner` shares with `about` lies within a piece of `outer`.
    pub(super) fn is_covered(&self, about: usize, inner: usize, outer: usize) -> bool {
        let outer = &self.stand(outer).ground;
        let own = &self.stand(about).ground;
        let mut shared =
            self.stand(inner).ground.iter().flat_map(|rect| own.iter().filter_map(|r| rect.shared_with(*r)));
        shared.all(|piece| outer.iter().any(|rect| rect.shared_with(piece) == Some(piece)))
    }
}
