//! Findings in words: in one line, and with reasons, source and what would help.

use std::borrow::Cow;

use super::names::Speaker;
use super::text::{date, grounds, list, plural, sentence, week};
use super::{left_out, limits, returns, rotation};
use crate::fit::{Change, Verdict, Which};
use crate::garden::{Planting, PlantingId};
use crate::season::{Elsewhere, Explained, Finding, More, NotSetOut, Plan, Says, Sought, rule_name};
use crate::units::text::shown;
use crate::units::{Mm, Week, days_between};

/// What is said of two slow crops.
const NO_SHARING: &str =
    "the two do not share this ground: they are too close before the quicker one has stood long enough to be of use";

/// A finding in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Explanation {
    /// One line.
    pub headline: String,
    /// The rule's name.
    pub rule: String,
    /// Sentences: which earlier planting, how long ago, the path, when clear, what would help.
    pub sentences: Vec<String>,
    /// Source.
    pub source: String,
    /// Beds that would take the crop on that day without any finding.
    pub clean_beds: Vec<String>,
}

/// A finding in one line, cheap enough for every frame.
pub fn headline(plan: &Plan, finding: &Finding) -> String {
    headline_by(Speaker { plan, previewed: None }, finding)
}

/// A finding of a preview in one line: `planting` is the one that was previewed.
pub fn headline_preview(plan: &Plan, finding: &Finding, planting: &Planting) -> String {
    headline_by(Speaker { plan, previewed: Some(planting) }, finding)
}

fn headline_by(speaker: Speaker<'_>, finding: &Finding) -> String {
    let clause = match &finding.says {
        Says::Rotation(rotation) => returns::clause(speaker, rotation),
        Says::Overlap { other, from, until, .. } => {
            let n_weeks = (days_between(*from, *until) + 6) / 7;
            format!("on the same ground as {} for {}", speaker.name(*other), plural(n_weeks, "week"))
        }
        Says::Crowding { other, verdict, first_bad_week, .. } => {
            let how = if *verdict == Verdict::Crowds { "too close to" } else { "tight beside" };
            let from = first_bad_week.map_or_else(String::new, |week| format!(" from {week}"));
            format!("{how} {}{from}", speaker.name(*other))
        }
        Says::NoStations { why } => not_set_out(why),
        Says::NoDates { why } => shown(&why.to_string()).into_owned(),
        Says::OutOfSeason { enters } => format!("goes in on {}, outside the usual months", date(*enters)),
        Says::UnknownCrop { crop } => format!("`{}` is not in the book", shown(crop)),
        Says::UnknownHazard { hazard } => format!("hazard `{}` is not in the book", shown(hazard)),
        Says::Growth(limit) => limits::limit_words(limit),
        Says::Shade(shade) => limits::shade_clause(shade, &speaker.name_and_bed(shade.other)),
        Says::Gap { from, n_weeks, .. } => format!("empty for {} from {}", plural(*n_weeks, "week"), date(*from)),
        Says::LeftOut(left_out) => left_out::clause(left_out),
    };
    let about = match finding.planting {
        Some(id) => Cow::Owned(speaker.name(id)),
        None => speaker.plan.garden().beds.get(finding.bed_idx).map_or("".into(), |bed| shown(&bed.id)),
    };
    format!("{about}: {clause}")
}

/// Of which other plantings of the bed the same is said: `The same of 2 more: lettuce (p12), true spinach (p13)`; `None` if of none.
pub fn alike_words(plan: &Plan, alike: &[&Finding]) -> Option<String> {
    let speaker = Speaker { plan, previewed: None };
    let ids = alike.iter().filter_map(|finding| finding.planting);
    let names: Vec<String> = ids.map(|id| format!("{} ({id})", speaker.name(id))).collect();
    (!names.is_empty()).then(|| format!("The same of {} more: {}", names.len(), names.join(", ")))
}

/// A finding with its reasons, from what was found out about it.
pub fn explain(plan: &Plan, finding: &Finding, explained: &Explained) -> Explanation {
    let speaker = Speaker { plan, previewed: None };
    let mut sentences = Vec::new();
    if let Some(stay) = finding.planting.and_then(|id| speaker.stay(id)) {
        sentences.push(sentence(&stay));
    }
    let source = explain_what_it_says(speaker, finding, &explained.more, &mut sentences);
    let elsewhere = explained.elsewhere.as_ref();
    if let Some(elsewhere) = elsewhere.filter(|elsewhere| elsewhere.bed_idxs.is_empty()) {
        explain_no_other_bed(speaker, elsewhere, &mut sentences);
    }
    let clean_beds = elsewhere.into_iter().flat_map(|elsewhere| &elsewhere.bed_idxs);
    let clean_beds = clean_beds.filter_map(|&bed_idx| plan.garden().beds.get(bed_idx)).map(|bed| bed.id.clone());
    Explanation {
        headline: headline(plan, finding),
        rule: rule_name(&finding.says).to_owned(),
        sentences,
        source,
        clean_beds: clean_beds.collect(),
    }
}

fn explain_no_other_bed(speaker: Speaker<'_>, elsewhere: &Elsewhere, sentences: &mut Vec<String>) {
    sentences.push(
        if elsewhere.is_all_looked_at {
            "No other suitable bed is free that day."
        } else {
            "Whether another suitable bed is free that day is not looked for, among so much."
        }
        .to_owned(),
    );
    let instead = speaker.crop_names(&elsewhere.crop_idxs);
    if !instead.is_empty() {
        let day = date(elsewhere.day);
        sentences.push(sentence(&format!("here rotation allows {} about {day}", list(&instead))));
    }
}

/// Says what it says at length; gives the source.
fn explain_what_it_says(speaker: Speaker<'_>, finding: &Finding, more: &More, sentences: &mut Vec<String>) -> String {
    let book = speaker.plan.book();
    match &finding.says {
        Says::Rotation(rotation) => {
            returns::explain_earlier(speaker, rotation, sentences);
            sentences.push(sentence(&rotation::why(book, rotation)));
            if let More::Rotation { path, part } = more {
                sentences.extend(returns::kinship(book, rotation, path).map(|kinship| sentence(&kinship)));
                returns::explain_help(speaker, finding, rotation, *part, sentences);
            }
            return rotation::source(book, rotation);
        }
        Says::Overlap { other, from, until, shared, shorten_mm } => {
            sentences.extend(speaker.stay(*other).map(|stay| sentence(&stay)));
            let last = until.pred_opt().unwrap_or(*until);
            sentences.push(sentence(&format!("both claim {} from {} to {}", grounds(shared), date(*from), date(last))));
            let until = date(*until);
            sentences.push(sentence(&match shorten_mm {
                Some(mm) => format!(
                    "shorten one of the two by {mm} cm, so that they only meet; or plant it on or after {until} or give it \
                     other ground"
                ),
                None => format!(
                    "plant it on or after {until}, give it other ground, or set one between the other's stations"
                ),
            }));
            return "two crops set out on their own cannot share ground".to_owned();
        }
        Says::Crowding { other, share_lost_max, first_bad_week, worst_week, out_by_week, n_affected, .. } => {
            sentences.extend(speaker.stay(*other).map(|stay| sentence(&stay)));
            sentences.push(sentence(&crowding(*share_lost_max, *n_affected, *first_bad_week, *worst_week)));
            sentences.push(match out_by_week {
                Some(out_by) => sentence(&format!("the quick crop must be out by {}", week(*out_by))),
                None => sentence(NO_SHARING),
            });
            if let More::Crowding { change, cm_from_edge } = more {
                let help = crowding_help(speaker, (*other, finding.planting), change, *cm_from_edge);
                sentences.push(sentence(&help));
            }
            return "spacing of each crop alone and ground cover by stage; see the crop book".to_owned();
        }
        Says::NoStations { why } => {
            sentences.push(sentence(&format!("it is not set out: {}", not_set_out(why))));
            sentences.push("Change its strip, spacing or setback, or choose another layout.".to_owned());
        }
        Says::NoDates { why } => {
            sentences.push(sentence(&format!("its days cannot be worked out: {}", shown(&why.to_string()))));
        }
        Says::OutOfSeason { enters } => {
            let planting = finding.planting.and_then(|id| speaker.planting(id));
            if let Some(crop) = planting.and_then(|planting| book.crop(&planting.crop)) {
                sentences.push(sentence(&format!("books do not put it into the ground on {}", date(*enters))));
                if let More::OutOfSeason { next: Some(next) } = more {
                    sentences.push(sentence(&format!("raised that way, the next day they do is {}", date(*next))));
                }
                return book.source_words(&crop.calendar.source).to_owned();
            }
        }
        Says::UnknownCrop { crop } => {
            sentences.push(sentence(&format!("neither the book nor the garden's own crops know `{}`", shown(crop))));
            if let More::UnknownCrop { near } = more
                && !near.is_empty()
            {
                sentences.push(sentence(&format!("nearest names: {}", list(near))));
            }
        }
        Says::UnknownHazard { hazard } => {
            sentences.push(sentence(&format!("the book knows no hazard `{}`; rotation cannot heed it", shown(hazard))));
        }
        Says::Growth(limit) => {
            let (clauses, source) = limits::explain(limit);
            sentences.extend(clauses.iter().map(|clause| sentence(clause)));
            return source.to_owned();
        }
        Says::Shade(shade) => {
            let (clauses, source) = limits::explain_shade(shade, &speaker.name_and_bed(shade.other));
            sentences.extend(clauses.iter().map(|clause| sentence(clause)));
            return source.to_owned();
        }
        Says::Gap { from, until, n_weeks } => {
            sentences.push(sentence(&format!(
                "nothing stands in the bed from {} to {}, {} of the growing season",
                date(*from),
                date(until.pred_opt().unwrap_or(*until)),
                plural(*n_weeks, "whole week")
            )));
            sentences.push("A quick crop, a green manure or compost would use or keep the ground.".to_owned());
        }
        Says::LeftOut(left_out) => {
            sentences.extend(left_out::explain(left_out).iter().map(|clause| sentence(clause)));
            return "this program's own bounds, see the limits in its README".to_owned();
        }
    }
    "common practice".to_owned()
}

/// Why a planting has no stations.
fn not_set_out(why: &NotSetOut) -> String {
    let words = match why {
        NotSetOut::NoRoom => "no station has room in its strip".to_owned(),
        NotSetOut::HostElsewhere { host, bed } => format!("its host {host} is not in bed {bed}"),
        NotSetOut::HostBetween { host } => format!("its host {host} stands between another itself"),
        NotSetOut::Layout(error) => error.to_string(),
    };
    shown(&words).into_owned()
}

/// How much is lost, and when: `3 stations lose more than a tenth of their ground; worst 78 % in 2027-W30; …`.
fn crowding(share_lost_max: f64, n_affected: usize, first: Option<Week>, worst: Option<Week>) -> String {
    let stations = plural(n_affected as i64, "station");
    let (verb, their) = if n_affected == 1 { ("loses", "its") } else { ("lose", "their") };
    let worst = worst.map_or_else(String::new, |worst| format!(" in {}", week(worst)));
    let first = first.map_or_else(String::new, |first| format!("; first too close in {}", week(first)));
    let lost = share_lost_max * 100.0;
    format!("{stations} {verb} more than a tenth of {their} ground at worst: {lost:.0} %{worst}{first}")
}

/// What helps against crowding between a planting that stands and one that joins it.
fn crowding_help(
    speaker: Speaker<'_>,
    (stands, joins): (PlantingId, Option<PlantingId>),
    change: &Sought,
    cm_from_edge: Option<i32>,
) -> String {
    let Some(joins) = joins else { return "give one of them other ground".to_owned() };
    match (change, cm_from_edge) {
        (Sought::Found(change), _) => change_words(speaker, change, stands, joins),
        (Sought::Nothing, Some(cm)) => format!(
            "give {} other ground, or keep what stands beside the edge row {cm} cm from that edge",
            speaker.name(joins)
        ),
        (Sought::Nothing, None) => format!("give {} other ground", speaker.name(joins)),
        (Sought::OutOfWork, _) => {
            format!("give {} other ground; a change that fits is not sought, among so much", speaker.name(joins))
        }
    }
}

fn change_words(speaker: Speaker<'_>, change: &Change, stands: PlantingId, joins: PlantingId) -> String {
    match change {
        Change::OutBy(which, out_by) => {
            let id = if *which == Which::Stands { stands } else { joins };
            format!("the nearest change that fits: clear {} by {}", speaker.name(id), week(*out_by))
        }
        Change::ShiftWeeks(n_weeks) => {
            let way = if *n_weeks < 0 { "earlier" } else { "later" };
            let by = plural(n_weeks.abs(), "week");
            format!("the nearest change that fits: put {} in {by} {way}", speaker.name(joins))
        }
        Change::WidenHost(mm) => {
            format!("the nearest change that fits: set {} {} cm apart", speaker.name(stands), Mm(*mm))
        }
    }
}
