//! Rotation in words: why a rule speaks, on whose word, and what joins two crops.

use super::names::{botanical_word, family_of, taxon_name};
use super::text::{DAYS_PER_YEAR, date, plural, span};
use crate::crops::{Advice, CropBook, FamilyName, Hazard, LimeEffect, PlantRef};
use crate::garden::Amendment;
use crate::rotation::{
    Because, Edge, HostKind, Node, RAW_MANURE_DAYS, RotationFinding, Rule, SoilCase, TWO_CROPS_SOURCE, Taxon,
};

/// How a finding's stands and years are told.
#[derive(Debug)]
pub struct Telling {
    /// What the finding is about.
    pub about: String,
    /// What stood before; empty if nothing is to blame.
    pub earlier: String,
    /// When that was: `in 2024`.
    pub when: String,
    /// Since when it stands: `since 2024`.
    pub since: String,
}

/// Why a rule of rotation speaks, in one sentence. `book` is the book that was asked.
pub fn why(book: &CropBook, finding: &RotationFinding) -> String {
    let telling = Telling {
        about: taxon_name(book, finding.about_taxon),
        earlier: finding.earlier_taxon.map_or_else(String::new, |taxon| taxon_name(book, taxon)),
        when: finding.earlier_year.map_or_else(String::new, |year| format!("in {year}")),
        since: format!("since {}", finding.year),
    };
    why_as(book, finding, &telling)
}

/// The same with names and years told another way.
pub fn why_as(book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
    let mut why = match finding.rule {
        Rule::FamilyReturn | Rule::SameYear | Rule::Exempt => why_family(book, finding, telling),
        Rule::HazardHost => why_hazard(book, finding, telling),
        Rule::AvoidAfter | Rule::GoodAfter => why_follow(book, finding, telling),
        Rule::SoilOrder => why_soil(finding, telling),
    };
    if finding.earlier.is_some() && finding.shared_pct < 100 {
        why.push_str(&format!(" (on {} % of its ground)", finding.shared_pct));
    }
    why
}

fn why_family(book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
    let Telling { about, earlier, since, .. } = telling;
    let family = family_name(book, finding);
    let asked = finding.asked_years.unwrap_or_default();
    let (last, years) = last_of_family(finding, telling, &family);
    match (finding.rule, finding.because) {
        (Rule::SameYear, _) => format!("{about} and {earlier} are both of the {family}, here within one year"),
        (_, Because::NoOtherCrop) => {
            format!("{about} for the third year running and nothing else: a rotation has at least two crops")
        }
        (_, Because::BedTooOld) => {
            format!("{about} stands here {since}: longer than the {asked} years a bed of it is kept")
        }
        (_, Because::CommonlyExempt) => {
            format!("{last}: {years}, {asked} asked, but growers commonly leave it out of strict rotation")
        }
        (_, Because::LeftOut) => format!("{last}; that family is left out of rotation"),
        _ => format!("{last}: {years}, {asked} asked"),
    }
}

/// What stood last and how long ago. A crop set in autumn counts for the next year: where the years of rotation are
/// not those of the calendar, or less than a year lies between the days, that is said.
fn last_of_family(finding: &RotationFinding, telling: &Telling, family: &str) -> (String, String) {
    let Telling { about, earlier, when, .. } = telling;
    let n_years = finding.earlier_year.map_or(0, |earlier| finding.year - earlier);
    if let Some((enters, before)) = finding.set_in_autumn().zip(finding.earlier_year) {
        let last = format!(
            "{about} counts for {} (goes in {}); the {family}, as {earlier}, last stood for {before}",
            finding.year,
            date(enters)
        );
        return (last, plural(i64::from(n_years), "rotation year"));
    }
    let last = format!("{about} is of the {family}, here last as {earlier} {when}");
    match finding.days_between().filter(|n_days| (0..DAYS_PER_YEAR).contains(n_days)) {
        Some(n_days) => {
            (last, format!("{} between crops, {}", span(n_days), plural(i64::from(n_years), "rotation year")))
        }
        None => (last, years_between(n_years)),
    }
}

fn family_name(book: &CropBook, finding: &RotationFinding) -> String {
    family_of(book, finding.about_taxon).map_or_else(String::new, |family| {
        let is_one = finding.because != Because::SameBotanical && finding.rule != Rule::SameYear
            || finding.because == Because::SameFamily;
        let botanical = botanical_word(family);
        if is_one && family.named == FamilyName::Family {
            family.usual_name().to_owned()
        } else {
            format!("family {botanical}")
        }
    })
}

fn why_hazard(book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
    let Telling { about, earlier, when, .. } = telling;
    let Some(hazard) = finding.hazard_idx.and_then(|idx| book.hazards().get(idx)) else { return about.clone() };
    let host = match finding.because {
        Because::PartHost => "of a family some of whose crops are hosts",
        Because::HostRelative => "of a family with hosts, though the source does not name it as one",
        _ => "a host",
    };
    let last =
        if finding.earlier.is_some() { format!("kept going by {earlier} {when}") } else { format!("seen here {when}") };
    let years = finding.earlier_year.map_or(0, |earlier| (finding.year - earlier - 1).max(0));
    let asked = finding.asked_years.map_or_else(
        || "no break is long enough".to_owned(),
        |asked| {
            let usual = i64::from(asked) - 1;
            let least = finding.caution_year.zip(finding.earlier_year).map(|(year, clock)| i64::from(year - clock - 1));
            match least.filter(|least| *least < usual) {
                Some(least) => format!("{least} to {usual} asked"),
                None => format!("{usual} asked"),
            }
        },
    );
    format!(
        "{about} is {host} of {}, {last}: {}, {asked}",
        in_sentence(hazard),
        plural(i64::from(years), "host-free year")
    )
}

fn why_follow(book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
    let Telling { about, earlier, when, .. } = telling;
    let Some(rule) = finding.follow_idx.and_then(|idx| book.follow_rules().get(idx)) else { return about.clone() };
    let advice = match rule.advice {
        Advice::Good => "goes well after",
        Advice::Avoid => "is better not set after",
    };
    let contrary = finding.contrary_idx.and_then(|idx| book.follow_rules().get(idx));
    let contrary = match contrary {
        Some(contrary) => format!("; other sources say the contrary: {}", contrary.reason),
        None if rule.conflicts_with.is_empty() => String::new(),
        None => "; other sources say the contrary".to_owned(),
    };
    format!("{about} {advice} {earlier} {when}: {}{contrary}", rule.reason)
}

fn why_soil(finding: &RotationFinding, telling: &Telling) -> String {
    let Telling { about, earlier, when, .. } = telling;
    let Because::Soil(case) = finding.because else { return about.clone() };
    let given = finding.amendment.map_or("", |given| amendment_name(given.amendment));
    let day = finding.amendment.map_or_else(String::new, |given| given.date.to_string());
    match case {
        SoilCase::RootsAfterManure => {
            format!("{about} after {given} given on {day}: roots fork and tops grow lush; manure the crop before")
        }
        SoilCase::RawManureNearHarvest => format!(
            "{given} given on {day}, less than {RAW_MANURE_DAYS} days before {about} is cleared: raw manure carries germs; keep that \
             distance to the harvest where what is eaten touches the soil, 90 days otherwise; local rules may ask more"
        ),
        SoilCase::AfterLime(LimeEffect::Scab) => {
            format!("{about} after lime given on {day}: alkaline soil favours common scab; lime after potatoes")
        }
        SoilCase::AfterLime(LimeEffect::Harm) => {
            format!("{about} wants acid soil, and lime was given on {day}")
        }
        SoilCase::AfterLime(LimeEffect::Welcome) => format!("{about} goes well after lime, given on {day}"),
        SoilCase::HeavyAfterHeavy => {
            format!("{about} and {earlier} {when} are both heavy feeders, with nothing fed between")
        }
    }
}

/// On whose word a rule of rotation speaks.
pub fn source(book: &CropBook, finding: &RotationFinding) -> String {
    let words = |source: &str| book.source_words(source).to_owned();
    match finding.because {
        Because::NoOtherCrop => TWO_CROPS_SOURCE.to_owned(),
        Because::BedTooOld => {
            let Taxon::Plant(PlantRef::Crop(idx)) = finding.about_taxon else { return String::new() };
            let bed_years = book.crops().get(idx).and_then(|crop| crop.bed_years.as_ref());
            bed_years.map_or_else(String::new, |bed_years| words(&bed_years.source))
        }
        Because::Soil(case) => case.source().map_or_else(
            || {
                let after_lime = family_of(book, finding.about_taxon).and_then(|family| family.after_lime.as_ref());
                after_lime.map_or_else(String::new, |after_lime| words(&after_lime.source))
            },
            str::to_owned,
        ),
        Because::Follow => finding
            .follow_idx
            .and_then(|idx| book.follow_rules().get(idx))
            .map_or_else(String::new, |rule| words(&rule.source)),
        Because::Host | Because::PartHost | Because::HostRelative => finding
            .hazard_idx
            .and_then(|idx| book.hazards().get(idx))
            .map_or_else(String::new, |hazard| words(&hazard.source)),
        Because::SameFamily | Because::SameBotanical | Because::CommonlyExempt | Because::LeftOut => {
            family_of(book, finding.about_taxon).map_or_else(String::new, |family| words(&family.source))
        }
    }
}

/// What an edge says, as a verb.
pub(super) fn edge_words(book: &CropBook, edge: Edge) -> String {
    match edge {
        Edge::IsOf => "is of".to_owned(),
        Edge::Holds => "holds".to_owned(),
        Edge::IsAmong => "is among".to_owned(),
        Edge::Counts => "includes".to_owned(),
        Edge::LivesOn(HostKind::Relative) => "lives on some of".to_owned(),
        Edge::LivesOn(_) => "lives on".to_owned(),
        Edge::Follow(rule) => book.follow_rules().get(rule).map_or_else(String::new, |rule| match rule.advice {
            Advice::Good => "is well followed by".to_owned(),
            Advice::Avoid => "is better not followed by".to_owned(),
        }),
    }
}

/// What a node is called.
pub(super) fn node_words(book: &CropBook, node: &Node) -> String {
    match node {
        Node::Crop(idx) => taxon_name(book, Taxon::Plant(PlantRef::Crop(*idx))),
        Node::Known(idx) => taxon_name(book, Taxon::Plant(PlantRef::Known(*idx))),
        Node::Family(idx) => taxon_name(book, Taxon::Family(*idx)),
        Node::Botanical(name) | Node::Group(name) => name.clone(),
        Node::Hazard(idx) => book.hazards().get(*idx).map_or_else(String::new, |hazard| hazard.name.clone()),
    }
}

fn amendment_name(amendment: Amendment) -> &'static str {
    match amendment {
        Amendment::Compost => "garden compost",
        Amendment::Manure => "rotted manure",
        Amendment::FreshManure => "fresh manure",
        Amendment::Lime => "lime",
        Amendment::Mulch => "leaf mould or mulch",
    }
}

fn years_between(years: i32) -> String {
    if years == 1 { "1 year between crops".to_owned() } else { format!("{years} years between crops") }
}

/// The name of a hazard as it stands within a sentence.
fn in_sentence(hazard: &Hazard) -> String {
    let mut letters = hazard.name.chars();
    match letters.next() {
        Some(first) if !hazard.is_proper_name => first.to_lowercase().chain(letters).collect(),
        _ => hazard.name.clone(),
    }
}
