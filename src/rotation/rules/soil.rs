//! Amendments (manure, lime) and the order of feeding.
//!
//! Roots fork after fresh manure; potatoes get scab after lime; lime goes ahead of brassicas; raw manure keeps its distance from
//! the harvest; heavy feeders straight after one another, with nothing given between, raise a note. The rule speaks only of
//! stands whose days are known, and of amendments in the soil log.

use chrono::{Days, NaiveDate};

use crate::crops::LimeEffect;
use crate::garden::{Amendment, Severity};
use crate::rotation::timeline::{Log, Order, Raw, Timeline};
use crate::rotation::{Because, Rule, SoilCase};

use super::family::is_other_between;

/// A year, in days, for advice that holds within one or two.
const YEAR_DAYS: u64 = 365;

/// Days between raw manure worked in and harvest where the edible part touches the soil: US 7 CFR 205.203(c)(1).
pub const RAW_MANURE_DAYS: i64 = 120;

impl SoilCase {
    /// Whose advice it is; `None` where the family says its own.
    pub fn source(self) -> Option<&'static str> {
        match self {
            Self::RootsAfterManure => Some("Broadmeadow community garden calendar; common practice"),
            Self::RawManureNearHarvest => Some("US 7 CFR 205.203(c)(1) (eCFR text)"),
            Self::AfterLime(_) => None,
            Self::HeavyAfterHeavy => Some("common practice in vegetable-growing handbooks"),
        }
    }
}

/// Amendments given before or while the stand stood.
pub(in crate::rotation) fn examine(timeline: &Timeline<'_>, log: &Log, pos: usize, found: &mut dyn FnMut(Raw)) {
    let (about, facts) = (timeline.stand(pos), timeline.facts(pos));
    let Some(from) = about.from else { return };
    let until = about.until.unwrap_or(from);
    // No advice reaches further back than this from the day it goes in, or from the harvest.
    let longest_years = facts.after_lime.map_or(1, |(_, n_years)| u64::from(n_years).max(1));
    let first = from.min(until).checked_sub_days(Days::new(longest_years * YEAR_DAYS)).unwrap_or(from);
    for given in log.given_within(first, from.max(until)) {
        let within = |n_years: u64| given.date <= from && is_within(given.date, from, n_years * YEAR_DAYS);
        let case = match given.amendment {
            Amendment::FreshManure if facts.is_root && within(1) => {
                Some((SoilCase::RootsAfterManure, Severity::Caution, 1))
            }
            Amendment::Manure if facts.is_root && within(1) => Some((SoilCase::RootsAfterManure, Severity::Note, 1)),
            Amendment::Lime => {
                facts.after_lime.filter(|(_, n_years)| within((*n_years).into())).and_then(|lime| match lime {
                    (LimeEffect::Welcome, _) if facts.is_green_manure => None,
                    (LimeEffect::Welcome, _) => Some((SoilCase::AfterLime(LimeEffect::Welcome), Severity::Note, 0)),
                    (effect, n_years) => Some((SoilCase::AfterLime(effect), Severity::Caution, n_years)),
                })
            }
            _ => None,
        };
        if let Some((case, severity, n_years)) = case {
            // The advice counts full years from the amendment; a finding can name only whole rotation years.
            let given_in = chrono::Datelike::year(&given.date);
            found(Raw {
                earlier_year: Some(given_in),
                asked_years: (n_years > 0).then_some(n_years),
                clear_year: (n_years > 0).then_some(given_in + n_years as i32 + 1),
                amendment: Some(given),
                ..Raw::about(pos, severity, Rule::SoilOrder, Because::Soil(case))
            });
        }
        if given.amendment == Amendment::FreshManure && !facts.is_green_manure {
            let is_near = about.until.is_some_and(|until| {
                let days = (until - given.date).num_days();
                (0..RAW_MANURE_DAYS).contains(&days)
            });
            if is_near {
                found(Raw {
                    earlier_year: Some(chrono::Datelike::year(&given.date)),
                    amendment: Some(given),
                    ..Raw::about(pos, Severity::Caution, Rule::SoilOrder, Because::Soil(SoilCase::RawManureNearHarvest))
                });
            }
        }
    }
}

fn is_within(earlier: NaiveDate, later: NaiveDate, n_days: u64) -> bool {
    earlier.checked_add_days(Days::new(n_days)).is_none_or(|end| end >= later)
}

/// A heavy feeder straight after another, with nothing given to the soil between.
pub(in crate::rotation) fn feeding(timeline: &Timeline<'_>, log: &Log, earlier: usize, pos: usize) -> Option<Raw> {
    let (own, other) = (timeline.facts(pos), timeline.facts(earlier));
    // If no amendment is recorded at all, no log is kept, and its silence says nothing.
    if !own.is_heavy || !other.is_heavy || own.botanical == other.botanical || log.is_unkept() {
        return None;
    }
    let (about, before) = (timeline.stand(pos), timeline.stand(earlier));
    let (Some(until), Some(from)) = (before.until, about.from) else { return None };
    let is_next = timeline.order(earlier, pos) == Order::After && is_within(until, from, YEAR_DAYS);
    let is_fed = || log.is_fed_within(before.from.unwrap_or(until), from);
    if !is_next || is_fed() || !timeline.is_ground_shared(earlier, pos) || is_other_between(timeline, earlier, pos) {
        return None;
    }
    Some(Raw {
        earlier: Some(earlier),
        earlier_year: Some(before.last_year),
        ..Raw::about(pos, Severity::Note, Rule::SoilOrder, Because::Soil(SoilCase::HeavyAfterHeavy))
    })
}
