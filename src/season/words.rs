//! Findings in words, made only when somebody reads them.

use std::borrow::Cow;

use chrono::NaiveDate;

use super::accept::rule_name;
use super::free::{Stretch, largest_bare};
use super::plan::Plan;
use super::preview::Sought;
use super::rotate::{History, stand_of};
use super::{Explanation, Finding, Help, Says, Standing, growth_words, left_out_words, preview, tell};
use crate::fit::{Change, Verdict, Which};
use crate::garden::{BedKind, Cover, PastCrop, Planting, PlantingId};
use crate::rotation::{Because, Kin, RotationFinding, Rule, StandKey, source_in_words, span_words};
use crate::units::text::shown;
use crate::units::{Mm, Rect, Week, days_between};

/// Beds named that would take the crop at most.
const CLEAN_BEDS_MAX: usize = 12;

/// What one planting of another bed costs that is looked through for ground, in steps of some nanoseconds, about.
const WORK_A_STANDING: u64 = 10;

/// Crop names begin with a capital in the book; in a sentence these first words keep it.
const PROPER_WORDS: [&str; 12] = [
    "Brussels",
    "Swiss",
    "French",
    "Chinese",
    "New",
    "Jerusalem",
    "Florence",
    "Welsh",
    "Cape",
    "Hamburg",
    "Malabar",
    "Good",
];

/// A day: `3 May 2027`.
pub(super) fn date(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// `1 year`, `2 years`.
pub(super) fn plural(n: i64, unit: &str) -> String {
    if n == 1 { format!("1 {unit}") } else { format!("{n} {unit}s") }
}

/// A name of the book as it stands within a sentence.
pub(super) fn in_text(name: &str) -> Cow<'_, str> {
    let first_word = name.split([' ', '-']).next().unwrap_or("");
    let mut letters = name.chars();
    match letters.next() {
        Some(first) if first.is_uppercase() && !PROPER_WORDS.contains(&first_word) => {
            Cow::Owned(first.to_lowercase().chain(letters).collect())
        }
        _ => Cow::Borrowed(name),
    }
}

fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first: String = letters.next().map(|first| first.to_uppercase().collect()).unwrap_or_default();
    let ending = if text.ends_with(['.', '!', '?']) { "" } else { "." };
    format!("{first}{}{ending}", letters.as_str())
}

pub(super) fn list(words: &[String]) -> String {
    match words {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// Who is spoken of: plantings of the garden, and one that is only previewed.
#[derive(Clone, Copy)]
struct Speaker<'a> {
    plan: &'a Plan,
    previewed: Option<&'a Planting>,
}

impl<'a> Speaker<'a> {
    fn planting(self, id: PlantingId) -> Option<&'a Planting> {
        self.previewed.filter(|planting| planting.id == id).or_else(|| self.plan.garden().planting(id))
    }

    fn cover_of(self, planting: &Planting) -> Cover {
        let bed = self.plan.bed_idx(&planting.bed).and_then(|bed_idx| self.plan.garden().beds.get(bed_idx));
        bed.map_or(Cover::Open, |bed| bed.cover)
    }

    fn crop_name(self, planting: &'a Planting) -> Cow<'a, str> {
        match self.plan.book().crop(&planting.crop) {
            Some(crop) => in_text(&crop.name),
            None => shown(&planting.crop),
        }
    }

    /// The crop of a planting: `leek`; its number if it is not there any more.
    fn name(self, id: PlantingId) -> String {
        self.planting(id).map_or_else(|| id.to_string(), |planting| self.crop_name(planting).into_owned())
    }

    /// `lettuce (leaf) in B3`.
    fn name_and_bed(self, id: PlantingId) -> String {
        let bed = self.planting(id).map(|planting| format!(" in {}", shown(&planting.bed)));
        format!("{}{}", self.name(id), bed.unwrap_or_default())
    }

    fn kin_name(self, kin: Kin) -> String {
        let book = self.plan.book();
        match kin {
            Kin::Plant(plant) => in_text(book.plant_names(plant).0).into_owned(),
            Kin::Family(idx) => {
                book.families().get(idx).map_or_else(String::new, |family| family.usual_name().to_owned())
            }
        }
    }

    fn stand_name(self, key: StandKey, kin: Option<Kin>) -> String {
        match (key, kin) {
            (StandKey::Planting(id), _) if self.planting(id).is_some() => self.name(id),
            (_, Some(kin)) => self.kin_name(kin),
            _ => "an earlier crop".to_owned(),
        }
    }

    /// What growers call the family that is back; its Latin name where two of the book's families share it.
    fn family_name(self, finding: &RotationFinding) -> &'a str {
        let book = self.plan.book();
        let family = match finding.about_kin {
            Kin::Plant(plant) => book.family(book.plant_names(plant).2),
            Kin::Family(idx) => book.families().get(idx),
        };
        match family {
            None => "its family",
            Some(family) if finding.because == Because::SameBotanical => {
                family.botanical.split([' ', ';', '(']).next().unwrap_or(&family.botanical)
            }
            Some(family) => family.usual_name(),
        }
    }

    /// The change by which a crowded planting would fit with another, sought only now.
    fn nearest_change(self, finding: &Finding, other: PlantingId, help: &mut Help) -> Sought {
        let planting = finding.planting.and_then(|id| self.planting(id));
        planting.map_or(Sought::Nothing, |planting| {
            preview::nearest_change(self.plan, planting, other, &mut help.change_work)
        })
    }

    /// Days of a planting of the garden.
    fn standing(self, id: PlantingId) -> Option<&'a Standing> {
        self.plan.standing(id)
    }
}

/// What a rotation finding says, without the crop it is about: `onion family is back after 2 years; the rule asks for 4`.
pub(super) fn rotation_clause(plan: &Plan, finding: &RotationFinding, previewed: Option<&Planting>) -> String {
    let speaker = Speaker { plan, previewed };
    let earlier = || match finding.earlier {
        Some(key) => speaker.stand_name(key, finding.earlier_kin),
        None => "what stood before".to_owned(),
    };
    match finding.rule {
        Rule::FamilyReturn if matches!(finding.because, Because::SameFamily | Because::SameBotanical) => {
            let family = speaker.family_name(finding);
            tell::back_after(finding, family)
        }
        Rule::SameYear => {
            format!("{} again in one year, after {}", speaker.family_name(finding), earlier())
        }
        Rule::HazardHost => {
            let hazard = finding.hazard_idx.and_then(|idx| plan.book().hazards().get(idx));
            let hazard = hazard.map_or("a soil pest".into(), |hazard| in_text(&hazard.name));
            match finding.earlier_year {
                Some(year) => format!("can carry {hazard}, seen here in {year}"),
                None => format!("can carry {hazard}, seen here"),
            }
        }
        Rule::AvoidAfter if finding.earlier.is_some() => format!("better not after {}", earlier()),
        Rule::GoodAfter if finding.earlier.is_some() => format!("goes well after {}", earlier()),
        _ => why(plan, finding),
    }
}

fn why(plan: &Plan, finding: &RotationFinding) -> String {
    let why = plan.graph().reason(plan.book(), finding);
    why.trim_end_matches('.').to_owned()
}

/// See [`Plan::headline`].
pub(super) fn headline(plan: &Plan, finding: &Finding, previewed: Option<&Planting>) -> String {
    let speaker = Speaker { plan, previewed };
    let clause = match &finding.says {
        Says::Rotation(rotation) => rotation_clause(plan, rotation, previewed),
        Says::Overlap { other, from, until, .. } => {
            let n_weeks = (days_between(*from, *until) + 6) / 7;
            format!("on the same ground as {} for {}", speaker.name(*other), plural(n_weeks, "week"))
        }
        Says::Crowding { other, verdict, first_bad_week, .. } => {
            let how = if *verdict == Verdict::Crowds { "too close to" } else { "tight beside" };
            let from = first_bad_week.map_or_else(String::new, |week| format!(" from {week}"));
            format!("{how} {}{from}", speaker.name(*other))
        }
        Says::NoStations { why } | Says::NoDates { why } => shown(why).into_owned(),
        Says::OutOfSeason { enters } => format!("goes in on {}, outside the usual months", date(*enters)),
        Says::UnknownCrop { crop } => format!("`{}` is not in the book", shown(crop)),
        Says::UnknownHazard { hazard } => format!("hazard `{}` is not in the book", shown(hazard)),
        Says::Growth(limit) => growth_words::clause(limit),
        Says::Shade(shade) => growth_words::shade_clause(shade, &speaker.name_and_bed(shade.other)),
        Says::Gap { from, n_weeks, .. } => format!("empty for {} from {}", plural(*n_weeks, "week"), date(*from)),
        Says::LeftOut(left_out) => left_out_words::clause(left_out),
    };
    let about = match finding.planting {
        Some(id) => Cow::Owned(speaker.name(id)),
        None => plan.garden().beds.get(finding.bed_idx).map_or("".into(), |bed| shown(&bed.id)),
    };
    format!("{about}: {clause}")
}

/// See [`Plan::explain`] and [`Plan::explain_within`].
pub(super) fn explain(plan: &Plan, finding: &Finding, help: &mut Help) -> Explanation {
    if help.bed_work == 0 {
        return explain_in_place(plan, finding, help);
    }
    let asks_for_bed = matches!(finding.says, Says::Rotation(_) | Says::Overlap { .. } | Says::Crowding { .. });
    let standing = finding.planting.filter(|_| asks_for_bed && !finding.is_praise()).and_then(|id| plan.standing(id));
    let clean_beds = standing.map_or_else(Vec::new, |standing| clean_beds_for(plan, finding.bed_idx, standing, help));
    let mut explanation = explain_in_place(plan, finding, help);
    if let Some(standing) = standing.filter(|_| clean_beds.is_empty()) {
        explanation.sentences.push(
            if help.bed_work > 0 {
                "No other suitable bed is free that day."
            } else {
                "Whether another suitable bed is free that day is not looked for, among so much."
            }
            .to_owned(),
        );
        if matches!(finding.says, Says::Rotation(_)) {
            let instead = tell::clean_crops(plan, finding.bed_idx, standing, help);
            explanation.sentences.extend(instead.map(|instead| sentence(&instead)));
        }
    }
    Explanation { clean_beds, ..explanation }
}

/// See [`Plan::explain_in_place`].
pub(super) fn explain_in_place(plan: &Plan, finding: &Finding, help: &mut Help) -> Explanation {
    let speaker = Speaker { plan, previewed: None };
    let mut sentences = Vec::new();
    if let Some(stay) = finding.planting.and_then(|id| stay(speaker, id)) {
        sentences.push(sentence(&stay));
    }
    let mut source = "common practice".to_owned();
    match &finding.says {
        Says::Rotation(rotation) => {
            let (graph, book) = (plan.graph(), plan.book());
            explain_rotation(speaker, rotation, &mut sentences);
            sentences.push(sentence(&graph.reason(book, rotation)));
            sentences.extend(tell::kinship(plan, rotation).map(|kinship| sentence(&kinship)));
            rotation_help(speaker, finding, rotation, &mut sentences);
            source = graph.source(book, rotation);
        }
        Says::Overlap { other, from, until, shared, shorten_mm } => {
            sentences.extend(stay(speaker, *other).map(|stay| sentence(&stay)));
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
            source = "two crops set out on their own cannot share ground".to_owned();
        }
        Says::Crowding { other, share_lost_max, first_bad_week, worst_week, out_by_week, n_affected, .. } => {
            sentences.extend(stay(speaker, *other).map(|stay| sentence(&stay)));
            sentences.push(sentence(&tell::crowding(*share_lost_max, *n_affected, *first_bad_week, *worst_week)));
            match out_by_week {
                Some(week) => sentences.push(sentence(&format!("the quick crop must be out by {}", week_words(*week)))),
                None => sentences.push(sentence(tell::NO_SHARING)),
            }
            let change = speaker.nearest_change(finding, *other, help);
            let apart = || finding.planting.and_then(|id| tell::cm_from_edge(plan, speaker.planting(id)?, *other));
            sentences.push(sentence(&match (change, finding.planting) {
                (Sought::Found(change), Some(id)) => change_words(speaker, &change, *other, id),
                (Sought::Nothing, Some(id)) => tell::other_ground(&speaker.name(id), apart()),
                (Sought::OutOfWork, Some(id)) => {
                    format!("give {} other ground; a change that fits is not sought, among so much", speaker.name(id))
                }
                (_, None) => "give one of them other ground".to_owned(),
            }));
            source = "spacing of each crop alone and ground cover by stage; see the crop book".to_owned();
        }
        Says::NoStations { why } => {
            sentences.push(sentence(&format!("it is not set out: {}", shown(why))));
            sentences.push("Change its strip, spacing or setback, or choose another layout.".to_owned());
        }
        Says::NoDates { why } => {
            sentences.push(sentence(&format!("its days cannot be worked out: {}", shown(why))));
        }
        Says::OutOfSeason { enters } => explain_season(speaker, finding.planting, *enters, &mut sentences, &mut source),
        Says::UnknownCrop { crop } => {
            sentences.push(sentence(&format!("neither the book nor the garden's own crops know `{}`", shown(crop))));
            let near = plan.names_near(crop);
            if !near.is_empty() {
                sentences.push(sentence(&format!("nearest names: {}", list(&near))));
            }
        }
        Says::UnknownHazard { hazard } => {
            sentences.push(sentence(&format!("the book knows no hazard `{}`; rotation cannot heed it", shown(hazard))));
        }
        Says::Growth(limit) => {
            let (clauses, from) = growth_words::explain(limit);
            sentences.extend(clauses.iter().map(|clause| sentence(clause)));
            from.clone_into(&mut source);
        }
        Says::Shade(shade) => {
            let (clauses, from) = growth_words::explain_shade(shade, &speaker.name_and_bed(shade.other));
            sentences.extend(clauses.iter().map(|clause| sentence(clause)));
            from.clone_into(&mut source);
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
            sentences.extend(left_out_words::explain(left_out).iter().map(|clause| sentence(clause)));
            "this program's own bounds, see the limits in its README".clone_into(&mut source);
        }
    }
    Explanation {
        headline: headline(plan, finding, None),
        rule: rule_name(&finding.says).to_owned(),
        sentences,
        source,
        clean_beds: Vec::new(),
    }
}

/// Where and when a planting stands: `leek (p7) stands in A1 from 3 May to 30 Nov 2027`.
fn stay(speaker: Speaker<'_>, id: PlantingId) -> Option<String> {
    let planting = speaker.planting(id)?;
    let standing = speaker.standing(id)?;
    let last = standing.stages.clear.pred_opt().unwrap_or(standing.stages.clear);
    let (from, to) = (date(standing.stages.enters), date(last));
    Some(format!("{} ({id}) stands in {} from {from} to {to}", speaker.crop_name(planting), shown(&planting.bed)))
}

/// The earlier planting or past crop, with bed, days and how long ago.
fn explain_rotation(speaker: Speaker<'_>, rotation: &RotationFinding, sentences: &mut Vec<String>) {
    let about_enters = match rotation.about {
        StandKey::Planting(id) => speaker.standing(id).map(|standing| standing.stages.enters),
        _ => None,
    };
    let n_years = rotation.earlier_year.map(|before| i64::from(rotation.year - before));
    match rotation.earlier {
        Some(StandKey::Planting(id)) => {
            let Some(stay) = stay(speaker, id) else { return };
            let cleared = speaker.standing(id).map(|standing| standing.stages.clear);
            let days = cleared.zip(about_enters).map(|(cleared, enters)| days_between(cleared, enters));
            let ago = match (days, n_years) {
                (Some(..0), _) => "both stand together".to_owned(),
                (Some(0), _) => "it is followed at once".to_owned(),
                (Some(n_days), _) => format!("cleared {} before", span_words(n_days)),
                (None, Some(n_years)) => format!("that is {} before", plural(n_years, "year")),
                (None, None) => String::new(),
            };
            sentences.push(sentence(&if ago.is_empty() { stay } else { format!("{stay}; {ago}") }));
        }
        Some(StandKey::Past(id)) => {
            let Some(past) = speaker.plan.garden().row::<PastCrop>(&id) else { return };
            let what = speaker.stand_name(StandKey::Past(id), rotation.earlier_kin);
            let ago = match rotation.year - past.year {
                n if let Some(enters) = rotation.set_in_autumn() => format!(
                    "{} before {}, for which this counts (it goes in on {})",
                    plural(i64::from(n), "rotation year"),
                    rotation.year,
                    date(enters)
                ),
                0 => "the same year".to_owned(),
                n => format!("{} before", plural(i64::from(n), "year")),
            };
            sentences.push(sentence(&format!("{what} stood in {} in {}, {ago}", shown(&past.bed), past.year)));
        }
        _ => {}
    }
}

/// When the rule would be content, and what would help.
fn rotation_help(speaker: Speaker<'_>, finding: &Finding, rotation: &RotationFinding, sentences: &mut Vec<String>) {
    if finding.is_praise() {
        return;
    }
    sentences.extend(tell::when_clear(speaker.plan, rotation).map(|when| sentence(&when)));
    let Some(bed) = speaker.plan.garden().beds.get(finding.bed_idx) else { return };
    let shared_mm2: i64 = rotation.shared.iter().map(|rect| rect.area_mm2()).sum();
    let own_mm2: i64 = finding
        .planting
        .and_then(|id| speaker.standing(id))
        .map_or(0, |standing| standing.ground.iter().map(|rect| rect.area_mm2()).sum());
    if rotation.earlier.is_some() && shared_mm2 > 0 && shared_mm2 < own_mm2 {
        let share = shared_mm2 as f64 / own_mm2 as f64 * 100.0;
        sentences.push(sentence(&format!(
            "only {} of {} is concerned, {share:.0} % of its ground; keeping off it would help",
            grounds(&rotation.shared),
            shown(&bed.id)
        )));
    }
    if rotation.rule == Rule::HazardHost
        && let Some(hazard) = rotation.hazard_idx.and_then(|idx| speaker.plan.book().hazards().get(idx))
        && !hazard.remedies.is_empty()
    {
        sentences.push(sentence(&format!("what helps: {}", hazard.remedies)));
    }
}

fn explain_season(
    speaker: Speaker<'_>,
    id: Option<PlantingId>,
    enters: NaiveDate,
    sentences: &mut Vec<String>,
    source: &mut String,
) {
    let Some(planting) = id.and_then(|id| speaker.planting(id)) else { return };
    let Some(crop) = speaker.plan.book().crop(&planting.crop) else { return };
    sentences.push(sentence(&format!("books do not put it into the ground on {}", date(enters))));
    let cover = speaker.cover_of(planting);
    if let Some(next) = speaker.plan.almanac().growing(crop, planting.raised, cover).next_entry(enters) {
        sentences.push(sentence(&format!("raised that way, the next day they do is {}", date(next))));
    }
    *source = source_in_words(speaker.plan.book().source_words(&crop.calendar.source));
}

fn change_words(speaker: Speaker<'_>, change: &Change, stands: PlantingId, joins: PlantingId) -> String {
    match change {
        Change::OutBy(which, week) => {
            let id = if *which == Which::Stands { stands } else { joins };
            format!("the nearest change that fits: clear {} by {}", speaker.name(id), week_words(*week))
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

/// A week by number and its Monday.
pub(super) fn week_words(week: Week) -> String {
    format!("{week} (from {})", date(week.monday()))
}

/// Ground in cm along and across the bed.
fn grounds(rects: &[Rect]) -> String {
    let one = |rect: &Rect| format!("{} to {} cm along and {} to {} cm across", rect.x0, rect.x1, rect.y0, rect.y1);
    let words: Vec<String> = rects.iter().take(3).map(one).collect();
    if rects.len() > 3 { format!("{} and other ground", words.join(", ")) } else { list(&words) }
}

/// Beds that would take a planting as long as it stands without any finding: enough ground free, rotation content.
fn clean_beds_for(plan: &Plan, own_idx: usize, standing: &Standing, help: &mut Help) -> Vec<String> {
    let inputs = plan.inputs();
    let needs_mm2: i64 = standing.ground.iter().map(|rect| rect.area_mm2()).sum();
    let is_permanent = plan.book().crops().get(standing.crop_idx).is_some_and(|crop| crop.is_permanent);
    let (enters, clear) = (standing.stages.enters, standing.stages.clear);
    let mut clean = Vec::new();
    for (bed_idx, bed) in plan.garden().beds.iter().enumerate() {
        if bed_idx == own_idx || (bed.kind == BedKind::Permanent) != is_permanent {
            continue;
        }
        let there = plan.standing_in(bed_idx);
        if help.bed_work == 0 {
            break;
        }
        help.bed_work = help.bed_work.saturating_sub(there.len() as u64 * WORK_A_STANDING);
        let Some(stretch) = largest_bare(bed, there, enters, clear) else { continue };
        let ground = Stretch::ground(stretch, bed.width_mm);
        if ground.area_mm2() < needs_mm2 {
            continue;
        }
        let mut stand = stand_of(standing, StandKey::Proposed);
        stand.ground = vec![ground];
        let history = History::of_bed(inputs, bed_idx, there, None);
        help.bed_work = help.bed_work.saturating_sub(history.work());
        let said = history.check_one(inputs, &stand);
        if said.iter().all(|finding| finding.rule.is_praise()) {
            clean.push(bed.id.clone());
            if clean.len() == CLEAN_BEDS_MAX {
                break;
            }
        }
    }
    clean
}
