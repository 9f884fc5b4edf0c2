//! Orders of crops that go well, and those better avoided.
//!
//! Advice against an order is a breach if it is a norm, a caution if it is usual advice, a note if it is said in passing; a good
//! order is a note. Advice about a disease holds only where the disease was seen. Two crops of one family in one year are never a
//! breach, whatever a rule says of them.
//!
//! Advice that holds for a year or less is about the crop just before: it does not look past one that stood on that ground in
//! between. What holds for longer (wireworm after grass, wilt before strawberries) stays in the soil, whatever stands there.

use crate::crops::Advice;
use crate::garden::Severity;
use crate::rotation::timeline::{Log, Order, Raw, Timeline};
use crate::rotation::years::DAYS_PER_YEAR;
use crate::rotation::{Because, Rule};

/// Years up to which advice is about the crop just before (our own reading of the rules of the book).
const JUST_BEFORE_YEARS: f64 = 1.0;

/// Rules that speak of the stand after an earlier one.
pub(in crate::rotation) fn examine(
    timeline: &Timeline<'_>,
    log: &Log,
    earlier: usize,
    pos: usize,
    found: &mut dyn FnMut(Raw),
) {
    let rules = timeline.graph.rules_between(timeline.taxon(earlier), timeline.taxon(pos));
    if rules.is_empty() {
        return;
    }
    let (before, about) = (timeline.stand(earlier), timeline.stand(pos));
    let years = about.first_year - before.last_year;
    let order = timeline.order(earlier, pos);
    if order == Order::Together {
        return;
    }
    let mut is_just_before = None;
    for &rule_idx in rules {
        let rule_idx = usize::from(rule_idx);
        let rule = &timeline.graph.rules[rule_idx];
        let holds = if rule.within_years >= 1.0 {
            f64::from(years) <= rule.within_years && (order == Order::After || rule.advice == Advice::Good)
        } else {
            match (before.until, about.from) {
                (Some(until), Some(from)) => (from - until).num_days() as f64 <= rule.within_years * DAYS_PER_YEAR,
                _ => years == 0 && order == Order::After && rule.advice == Advice::Good,
            }
        };
        if !holds
            || (!rule.needs_seen.is_empty()
                && !rule.needs_seen.iter().any(|hazard| log.is_seen_by(*hazard, about.first_year)))
        {
            continue;
        }
        if !timeline.is_ground_shared(earlier, pos) {
            return;
        }
        if rule.within_years <= JUST_BEFORE_YEARS
            && !*is_just_before.get_or_insert_with(|| timeline.is_just_before(earlier, pos))
        {
            continue;
        }
        let is_one_family = timeline.facts(earlier).botanical == timeline.facts(pos).botanical;
        let severity = if is_one_family && years <= 0 { rule.severity.min(Severity::Caution) } else { rule.severity };
        let rule_name = if rule.advice == Advice::Good { Rule::GoodAfter } else { Rule::AvoidAfter };
        let asked = rule.within_years.floor() as u32 + 1;
        let is_avoid = rule.advice == Advice::Avoid && rule.within_years >= 1.0;
        found(Raw {
            earlier: Some(earlier),
            earlier_year: Some(before.last_year),
            asked_years: is_avoid.then_some(asked),
            clear_year: is_avoid.then_some(before.last_year + asked as i32),
            follow_idx: Some(rule_idx),
            ..Raw::about(pos, severity, rule_name, Because::Follow)
        });
    }
}
