//! Rotation findings in words: what is back too soon, after what, how the two are joined, and from when on it would hold.

use chrono::NaiveDate;

use super::names::{Speaker, botanical_word, family_of};
use super::rotation::{self, edge_words, node_words};
use super::text::{DAYS_PER_YEAR, date, grounds, plural, sentence, span};
use crate::crops::{CropBook, FamilyName, in_text};
use crate::garden::{PastCrop, Severity};
use crate::rotation::{Because, Edge, Node, Path, RotationFinding, Rule, SoilCase, StandKey};
use crate::season::Finding;
use crate::units::days_between;
use crate::units::text::shown;

/// What a rotation finding says, without the crop it is about: `onion family is back after 2 years; the rule asks for 4`.
pub(super) fn clause(speaker: Speaker<'_>, finding: &RotationFinding) -> String {
    let book = speaker.plan.book();
    let earlier = || match finding.earlier {
        Some(key) => speaker.stand_name(key, finding.earlier_taxon),
        None => "what stood before".to_owned(),
    };
    match finding.rule {
        Rule::FamilyReturn if matches!(finding.because, Because::SameFamily | Because::SameBotanical) => {
            let family = speaker.family_name(finding);
            back_after(finding, family)
        }
        Rule::SameYear => {
            format!("{} again in one year, after {}", speaker.family_name(finding), earlier())
        }
        Rule::HazardHost => {
            let hazard = finding.hazard_idx.and_then(|idx| book.hazards().get(idx));
            let hazard = hazard.map_or("a soil pest".into(), |hazard| in_text(&hazard.name));
            match finding.earlier_year {
                Some(year) => format!("can carry {hazard}, seen here in {year}"),
                None => format!("can carry {hazard}, seen here"),
            }
        }
        Rule::AvoidAfter if let Some(by) = weeks_before(book, finding) => {
            format!("too soon after {}: clear that by {}", earlier(), date(by))
        }
        Rule::AvoidAfter if finding.contrary_idx.is_some() && finding.severity == Severity::Note => {
            format!("after {} sources differ; better not", earlier())
        }
        Rule::AvoidAfter if finding.earlier.is_some() => format!("better not after {}", earlier()),
        Rule::GoodAfter if finding.earlier.is_some() => format!("goes well after {}", earlier()),
        _ => rotation::why(book, finding),
    }
}

/// Of advice that asks for some weeks between two crops, the day by which the earlier one would have to be cleared.
fn weeks_before(book: &CropBook, finding: &RotationFinding) -> Option<NaiveDate> {
    let rule = finding.follow_idx.and_then(|idx| book.follow_rules().get(idx))?;
    finding.earlier_until?;
    (rule.within_years < 1.0).then(|| finding.earlier_by(rule.within_years)).flatten()
}

/// `onion family is back after 2 years; the rule asks for 4`. Where less than a year lies between the days they are told, and
/// where the crop counts for another year than it goes in, the years of rotation.
fn back_after(finding: &RotationFinding, family: &str) -> String {
    let Some((before, asked)) = finding.earlier_year.zip(finding.asked_years) else {
        return format!("{family} is back too early");
    };
    let n_years = i64::from(finding.year - before);
    match finding.days_between() {
        Some(0) => format!("{family} is back at once; the rule asks for {}", plural(i64::from(asked), "year")),
        Some(n_days @ 1..DAYS_PER_YEAR) => {
            format!("{family} is back after {}; the rule asks for {}", span(n_days), plural(i64::from(asked), "year"))
        }
        _ if finding.set_in_autumn().is_some() => {
            let n_years = plural(n_years, "rotation year");
            format!("{family} is back after {n_years}, {before} to {}; the rule asks for {asked}", finding.year)
        }
        _ => format!("{family} is back after {}; the rule asks for {asked}", plural(n_years, "year")),
    }
}

/// How the crop is joined to what stood before, or to a hazard; `path` is empty where the rule is about families alone.
pub(super) fn kinship(book: &CropBook, finding: &RotationFinding, path: &Path) -> Option<String> {
    let is_about_family = matches!(finding.rule, Rule::FamilyReturn | Rule::SameYear | Rule::Exempt);
    if !is_about_family {
        return (!path.edges.is_empty()).then(|| path_words(book, path));
    }
    let _ = finding.earlier?;
    let family = family_of(book, finding.about_taxon)?;
    let botanical = botanical_word(family);
    if finding.because == Because::SameBotanical {
        return Some(format!("both are of the botanical family {botanical}"));
    }
    let common = in_text(family.usual_name());
    Some(match family.named {
        FamilyName::Family => format!("both are of the {common} ({botanical})"),
        FamilyName::Crops => format!("both are of one family: {common} ({botanical})"),
        FamilyName::Crop => format!("both are of the {common} family ({botanical})"),
    })
}

/// A path in words: `clubroot lives on the cabbage family, which holds cauliflower`.
fn path_words(book: &CropBook, path: &Path) -> String {
    let name = |node: &Node| {
        let name = node_words(book, node);
        let is_family = |idx: &usize| book.families().get(*idx).is_some_and(|it| it.named == FamilyName::Family);
        let the = if matches!(node, Node::Family(idx) if is_family(idx)) { "the " } else { "" };
        format!("{the}{}", in_text(&name))
    };
    let mut words = path.nodes.first().map_or_else(String::new, name);
    let (mut joint, mut led_by) = (" ", None);
    for (place, (node, edge)) in (1..).zip(path.nodes.iter().skip(1).zip(&path.edges)) {
        let edge = led_by.take().unwrap_or(edge);
        // A botanical name that only leads down to the family growers know, and on from there, says nothing more than that.
        let leads_down = matches!(node, Node::Botanical(_)) && path.edges.get(place) == Some(&Edge::Holds);
        if leads_down && place + 2 < path.nodes.len() {
            led_by = Some(edge);
            continue;
        }
        words.push_str(&format!("{joint}{} {}", edge_words(book, *edge), name(node)));
        joint = ", which ";
    }
    words
}

/// From when on the rule weighs less, and when it has nothing more to say.
fn when_clear(book: &CropBook, finding: &RotationFinding) -> Option<String> {
    let clear = finding.clear_year?;
    if finding.rule == Rule::HazardHost {
        let hazard = finding.hazard_idx.and_then(|idx| book.hazards().get(idx))?;
        let (clock, name) = (finding.earlier_year?, in_text(&hazard.name));
        let alive = plural(i64::from(clear - clock - 1), "host-free year");
        let gone = format!("from {clear} on, after {alive}, {name} is taken to have died out and the rule is met");
        return Some(match finding.caution_year {
            Some(caution) if finding.year < caution && caution < clear => {
                let least = plural(i64::from(caution - clock - 1), "host-free year");
                format!("from {caution}, after {least}, it is a caution and no longer a breach; {gone}")
            }
            _ => gone,
        });
    }
    Some(match finding.clear_from_autumn() {
        Some(earliest) => {
            format!("what counts for {clear} (a winter crop set from {} on) the rule allows", date(earliest))
        }
        None => format!("from {clear} the rule allows it"),
    })
}

/// The earlier planting or past crop, with bed, days and how long ago.
pub(super) fn explain_earlier(speaker: Speaker<'_>, rotation: &RotationFinding, sentences: &mut Vec<String>) {
    let about_enters = match rotation.about {
        StandKey::Planting(id) => speaker.standing(id).map(|standing| standing.stages.enters),
        _ => None,
    };
    let n_years = rotation.earlier_year.map(|before| i64::from(rotation.year - before));
    match rotation.earlier {
        Some(StandKey::Planting(id)) => {
            let Some(stay) = speaker.stay(id) else { return };
            let cleared = speaker.standing(id).map(|standing| standing.stages.clear);
            let days = cleared.zip(about_enters).map(|(cleared, enters)| days_between(cleared, enters));
            let ago = match (days, n_years) {
                (Some(..0), _) => "both stand together".to_owned(),
                (Some(0), _) => "it is followed at once".to_owned(),
                (Some(n_days), _) => format!("cleared {} before", span(n_days)),
                (None, Some(n_years)) => format!("that is {} before", plural(n_years, "year")),
                (None, None) => String::new(),
            };
            sentences.push(sentence(&if ago.is_empty() { stay } else { format!("{stay}; {ago}") }));
        }
        Some(StandKey::Past(id)) => {
            let Some(past) = speaker.plan.garden().row::<PastCrop>(&id) else { return };
            let what = speaker.stand_name(StandKey::Past(id), rotation.earlier_taxon);
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

/// When the rule would be content, and what would help; `part` is the share of the planting's ground that is concerned, where it is not
/// all of it.
pub(super) fn explain_help(
    speaker: Speaker<'_>,
    finding: &Finding,
    rotation: &RotationFinding,
    part: Option<f64>,
    sentences: &mut Vec<String>,
) {
    if finding.is_praise() {
        return;
    }
    sentences.extend(when_clear(speaker.plan.book(), rotation).map(|when| sentence(&when)));
    let what_helps = match (rotation.rule, rotation.because) {
        (_, Because::Soil(SoilCase::HeavyAfterHeavy)) => Some("spread compost or rotted manure between the two"),
        (_, Because::NoOtherCrop) => {
            Some("give the bed another crop for a year, or accept it as a bed kept for this one")
        }
        (_, Because::BedTooOld) => Some("plant a new bed on other ground before this one is given up"),
        (Rule::SameYear, _) => Some("set a crop of another family between, or give one of the two other ground"),
        (Rule::AvoidAfter, _) if rotation.clear_year.is_some() => Some("set another crop here, and this one elsewhere"),
        _ => None,
    };
    sentences.extend(what_helps.map(sentence));
    let Some(bed) = speaker.plan.garden().beds.get(finding.bed_idx) else { return };
    if let Some(part) = part {
        sentences.push(sentence(&format!(
            "only {} of {} is concerned, {:.0} % of its ground; keeping off it would help",
            grounds(&rotation.shared),
            shown(&bed.id),
            part * 100.0
        )));
    }
    if rotation.rule == Rule::HazardHost
        && let Some(hazard) = rotation.hazard_idx.and_then(|idx| speaker.plan.book().hazards().get(idx))
        && !hazard.remedies.is_empty()
    {
        sentences.push(sentence(&format!("what helps: {}", hazard.remedies)));
    }
}
