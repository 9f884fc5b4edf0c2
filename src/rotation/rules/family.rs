//! Years since the family last stood here, and the same family twice within one year.
//!
//! The years between two stands are the first year of the later one minus the last year of the earlier one; the return interval
//! is asked of them. A crop of another family of the book within the same botanical family (pepper after potato) raises a
//! caution, unless it counts as of that family too (tomatoes and aubergines, which carry the potato's nematodes), or the interval is
//! asked of the botanical family or of all families: then the two count as one family. A repeat within one year is never a breach. Families that growers leave out of strict rotation raise a note; but one crop and nothing
//! else for three years running is no rotation at all (IOBC-WPRS guideline 4.1, strict rule: a rotation has at least two crops). A
//! sequence that is judged as a rotation breaks that norm; for a bed kept for beans on fixed poles, or for lettuce the year round, it is
//! a caution. Crops that growers leave out of a family otherwise kept in (peppers, of the fruiting nightshades) raise a caution at most.
//!
//! A catch crop that stands for a month or so is never a breach, whether it comes back or is come back to: growers slip radish in between.

use crate::garden::Severity;
use crate::rotation::graph::TaxonFacts;
use crate::rotation::timeline::{Order, Raw, Timeline};
use crate::rotation::{Because, CropGraph, Policy, Rule, Stand, StandKey};
use crate::units::days_between;

/// Source of the least a rotation is.
pub const TWO_CROPS_SOURCE: &str = "IOBC-WPRS Integrated Production guideline 4.1 strict rules (iobc-wprs.org)";

/// After this many years running, one crop alone is no rotation (starting value: the third year shows that it is a habit).
const RUNNING_YEARS: i32 = 3;

/// Days up to which a crop that stands there is a catch crop (starting value: a radish, a month from sowing and two weeks of pulling).
const CATCH_CROP_DAYS: i64 = 45;

/// The interval asked of a pair of stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Asked {
    years: u32,
    because: Because,
    most: Severity,
    /// The grower asks for it, not the book.
    is_explicit: bool,
}

/// The interval asked of one taxon after another, both of one botanical family.
fn asked(graph: &CropGraph, policy: &Policy, taxon: &TaxonFacts, before: &TaxonFacts) -> Option<Asked> {
    let (about, earlier) = (taxon.family?, before.family?);
    let own = graph.families.get(usize::from(about))?;
    let other = graph.families.get(usize::from(earlier))?;
    let named = |id: &str| policy.by_family.get(id).copied();
    let botanical = named(&own.botanical);
    let is_same = about == earlier;
    let explicit = if is_same {
        named(&own.id).or(botanical).or(policy.for_all)
    } else {
        match (named(&own.id), named(&other.id)) {
            (Some(0), _) | (_, Some(0)) => Some(0),
            // Both have the same interval: the grower named the botanical family, which set it for each of its families.
            (Some(years), Some(other)) if years == other => Some(years),
            (Some(years), None) | (None, Some(years)) if policy.for_all.is_some() => Some(years),
            _ => botanical.or(policy.for_all),
        }
    };
    let because = if is_same { Because::SameFamily } else { Because::SameBotanical };
    let (years, because, most) = match explicit {
        Some(0) => (own.usual_years, Because::LeftOut, Severity::Note),
        Some(years) => (years, because, Severity::Breach),
        None => {
            let years = named(&own.id).unwrap_or(own.usual_years);
            if own.is_exempt && named(&own.id).is_none() {
                (years, Because::CommonlyExempt, Severity::Note)
            } else {
                (
                    years,
                    because,
                    if is_same || counts_with(taxon, before) { Severity::Breach } else { Severity::Caution },
                )
            }
        }
    };
    Some(Asked { years, because, most, is_explicit: explicit.is_some() })
}

/// What is known already of the stand asked about.
#[derive(Debug)]
pub(in crate::rotation) struct Here {
    /// How many earlier stands may still be reported: of the same year, and of years before.
    n_same_year_left: usize,
    n_returns_left: usize,
    is_only_crop: Option<bool>,
}

impl Here {
    /// Nothing is known yet; at most this many stands may be reported.
    pub(in crate::rotation) fn told(n_same_year_left: usize, n_returns_left: usize) -> Self {
        Self { n_same_year_left, n_returns_left, is_only_crop: None }
    }
}

/// The finding about one earlier stand of the family, if any.
pub(in crate::rotation) fn examine(
    timeline: &Timeline<'_>,
    policy: &Policy,
    here: &mut Here,
    earlier: usize,
    pos: usize,
) -> Option<Raw> {
    let (own, other) = (timeline.facts(pos), timeline.facts(earlier));
    if own.botanical != other.botanical {
        return None;
    }
    let (about, before) = (timeline.stand(pos), timeline.stand(earlier));
    let years = about.first_year - before.last_year;
    let asked = asked(timeline.graph, policy, own, other)?;
    if years >= i64::from(asked.years).min(i64::from(i32::MAX)) as i32 && years > 0 {
        return None;
    }
    let n_left = if years <= 0 { &mut here.n_same_year_left } else { &mut here.n_returns_left };
    if *n_left == 0 || !timeline.is_ground_shared(earlier, pos) {
        return None;
    }
    if years <= 0 {
        let told = same_year(timeline, asked, earlier, pos);
        *n_left -= usize::from(told.is_some());
        return told;
    }
    *n_left -= 1;
    let (severity, rule, because) = match asked.because {
        Because::CommonlyExempt
            if years == 1 && *here.is_only_crop.get_or_insert_with(|| is_only_crop(timeline, pos)) =>
        {
            let is_sequence = matches!(about.key, StandKey::Item(_));
            let severity = if is_sequence { Severity::Breach } else { Severity::Caution };
            (severity, Rule::FamilyReturn, Because::NoOtherCrop)
        }
        Because::CommonlyExempt | Because::LeftOut => (Severity::Note, Rule::Exempt, asked.because),
        because => (asked.most, Rule::FamilyReturn, because),
    };
    let is_left_out = (own.is_left_out || other.is_left_out) && !counts_with(own, other) && !asked.is_explicit;
    let is_lenient = is_left_out || is_catch_crop(about) || is_catch_crop(before);
    let severity = if is_lenient { severity.min(Severity::Caution) } else { severity };
    Some(Raw {
        earlier: Some(earlier),
        earlier_year: Some(before.last_year),
        asked_years: Some(asked.years),
        clear_year: Some(before.last_year.saturating_add(asked.years.min(1_000_000) as i32)),
        ..Raw::about(pos, severity, rule, because)
    })
}

fn same_year(timeline: &Timeline<'_>, asked: Asked, earlier: usize, pos: usize) -> Option<Raw> {
    let is_kin_only = timeline.facts(earlier).family != timeline.facts(pos).family;
    if is_kin_only && matches!(asked.because, Because::CommonlyExempt) {
        return None; // clover turned in for beans is what it is sown for
    }
    let is_straight_after = match timeline.order(earlier, pos) {
        // Companion crops share the ground on purpose.
        Order::Together => return None,
        Order::After => !is_other_between(timeline, earlier, pos),
        Order::Unknown => false,
    };
    let is_one_family = matches!(asked.because, Because::SameFamily)
        || counts_with(timeline.facts(pos), timeline.facts(earlier)) && matches!(asked.because, Because::SameBotanical);
    let is_catch = is_catch_crop(timeline.stand(earlier)) || is_catch_crop(timeline.stand(pos));
    let is_grave = is_straight_after && is_one_family && !is_catch;
    let severity = if is_grave { Severity::Caution } else { Severity::Note };
    Some(Raw {
        earlier: Some(earlier),
        earlier_year: Some(timeline.stand(earlier).last_year),
        ..Raw::about(pos, severity, Rule::SameYear, asked.because)
    })
}

/// Whether one of the two counts as of the other's family.
fn counts_with(one: &TaxonFacts, other: &TaxonFacts) -> bool {
    let counts = |one: &TaxonFacts, other: &TaxonFacts| one.counts_with.is_some() && one.counts_with == other.family;
    counts(one, other) || counts(other, one)
}

/// Whether a stand is known to be short.
fn is_catch_crop(stand: &Stand) -> bool {
    let n_days = stand.from.zip(stand.until).map(|(from, until)| days_between(from, until));
    n_days.is_some_and(|n_days| n_days <= CATCH_CROP_DAYS)
}

/// Whether another family stood on that ground between the two.
pub(in crate::rotation) fn is_other_between(timeline: &Timeline<'_>, earlier: usize, pos: usize) -> bool {
    let botanical = timeline.facts(pos).botanical;
    (earlier + 1..pos).any(|between| {
        timeline.facts(between).botanical != botanical
            && timeline.order(earlier, between) != Order::Together
            && timeline.order(between, pos) != Order::Together
            && timeline.is_ground_shared(between, pos)
    })
}

/// Whether the same crop, and nothing else, stood here in each of the last years, the stand's own included.
fn is_only_crop(timeline: &Timeline<'_>, pos: usize) -> bool {
    let (own, about) = (timeline.facts(pos), timeline.stand(pos));
    if own.is_permanent {
        return false;
    }
    let first = about.first_year - RUNNING_YEARS + 1;
    let mut grown = 0_u32;
    for other in timeline.about(pos) {
        let stand = timeline.stand(other);
        let meets = stand.last_year >= first && stand.first_year <= about.first_year;
        if other == pos || !meets || !timeline.is_ground_shared(other, pos) {
            continue;
        }
        if timeline.facts(other).species != own.species {
            return false;
        }
        for year in stand.first_year.max(first)..=stand.last_year.min(about.first_year) {
            grown |= 1 << (year - first);
        }
    }
    let before = (1 << (RUNNING_YEARS - 1)) - 1;
    grown & before == before
}
