//! Findings in words: why, by which path through the graph, and from which source.

use chrono::NaiveDate;
use petgraph::algo::astar;
use petgraph::graph::NodeIndex;
use petgraph::visit::{EdgeFiltered, EdgeRef};

use crate::crops::{Advice, CropBook, Family, Hazard, LimeEffect, PlantRef};
use crate::garden::SoilGift;

use super::graph::{Edge, HostKind, Node, Path};
use super::rules::{family, soil};
use super::{Because, CropGraph, Kin, RotationFinding, Rule, SoilCase, Words};

/// The names and years with which a finding is told.
#[derive(Debug)]
pub(crate) struct Telling {
    /// What the finding is about.
    pub about: String,
    /// What stood before; empty if nothing is to blame.
    pub earlier: String,
    /// When that was: `in 2024`.
    pub when: String,
    /// Since when it stands: `since 2024`.
    pub since: String,
}

impl CropGraph {
    /// A finding in words. `book` is the book the graph was built of.
    pub fn words(&self, book: &CropBook, finding: &RotationFinding) -> Words {
        Words {
            why: self.reason(book, finding),
            path: path_words(book, &self.path(finding)),
            source: self.source(book, finding),
        }
    }

    /// Why, in one sentence: the first of [`words`](Self::words), without looking for the path.
    pub fn reason(&self, book: &CropBook, finding: &RotationFinding) -> String {
        let telling = Telling {
            about: kin_name(book, finding.about_kin),
            earlier: finding.earlier_kin.map_or_else(String::new, |kin| kin_name(book, kin)),
            when: finding.earlier_year.map_or_else(String::new, |year| format!("in {year}")),
            since: format!("since {}", finding.year),
        };
        self.why(book, finding, &telling)
    }

    /// Why, in one sentence, with the names and years as told.
    pub(crate) fn why(&self, book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
        let mut why = match finding.rule {
            Rule::FamilyReturn | Rule::SameYear | Rule::Exempt => self.why_family(book, finding, telling),
            Rule::HazardHost => Self::why_hazard(book, finding, telling),
            Rule::AvoidAfter | Rule::GoodAfter => Self::why_follow(book, finding, telling),
            Rule::SoilOrder => Self::why_soil(finding, telling),
        };
        if finding.earlier.is_some() && finding.shared_pct < 100 {
            why.push_str(&format!(" (on {} % of its ground)", finding.shared_pct));
        }
        why
    }

    fn why_family(&self, book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
        let Telling { about, earlier, since, .. } = telling;
        let family = self.family_name(book, finding);
        let asked = finding.asked_years.unwrap_or_default();
        let (last, years) = Self::last_of_family(finding, telling, &family);
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

    /// What stood last and how long ago. A crop set in autumn counts for the next year: if the rotation years differ from those
    /// of the calendar, or if less than a year lies between the days, the words say so.
    fn last_of_family(finding: &RotationFinding, telling: &Telling, family: &str) -> (String, String) {
        let Telling { about, earlier, when, .. } = telling;
        let n_years = finding.earlier_year.map_or(0, |earlier| finding.year - earlier);
        if let Some((enters, before)) = finding.set_in_autumn().zip(finding.earlier_year) {
            let last = format!(
                "{about} counts for {} (goes in {}); the {family}, as {earlier}, last stood for {before}",
                finding.year,
                day_words(enters)
            );
            return (last, rotation_years_words(n_years));
        }
        let last = format!("{about} is of the {family}, here last as {earlier} {when}");
        match finding.days_between().filter(|n_days| (0..DAYS_PER_YEAR).contains(n_days)) {
            Some(n_days) => (last, format!("{} between crops, {}", span_words(n_days), rotation_years_words(n_years))),
            None => (last, years_between(n_years)),
        }
    }

    /// The family of what a finding is about.
    fn family_of<'b>(&self, book: &'b CropBook, finding: &RotationFinding) -> Option<&'b Family> {
        let family = self.kin_idx(finding.about_kin).and_then(|kin| self.kin[kin].family)?;
        book.families().get(usize::from(family))
    }

    fn family_name(&self, book: &CropBook, finding: &RotationFinding) -> String {
        self.family_of(book, finding).map_or_else(String::new, |family| {
            let is_one = finding.because != Because::SameBotanical && finding.rule != Rule::SameYear
                || finding.because == Because::SameFamily;
            let botanical = super::terms::first_word(&family.botanical);
            if is_one && family.common.contains("family") {
                // `cabbage family; brassicas; crucifers`: the first is what growers call it.
                family.common.split(';').next().unwrap_or_default().trim().to_owned()
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
            Because::HostKin => "of a family with hosts, though the source does not name it as one",
            _ => "a host",
        };
        let last = if finding.earlier.is_some() {
            format!("kept going by {earlier} {when}")
        } else {
            format!("seen here {when}")
        };
        let years = finding.earlier_year.map_or(0, |earlier| (finding.year - earlier - 1).max(0));
        let asked = finding.asked_years.map_or_else(
            || "no break is long enough".to_owned(),
            |asked| {
                let usual = i64::from(asked) - 1;
                let least =
                    finding.caution_year.zip(finding.earlier_year).map(|(year, clock)| i64::from(year - clock - 1));
                match least.filter(|least| *least < usual) {
                    Some(least) => format!("{least} to {usual} asked"),
                    None => format!("{usual} asked"),
                }
            },
        );
        format!("{about} is {host} of {}, {last}: {}, {asked}", in_sentence(hazard), host_free(years))
    }

    fn why_follow(book: &CropBook, finding: &RotationFinding, telling: &Telling) -> String {
        let Telling { about, earlier, when, .. } = telling;
        let Some(rule) = finding.follow_idx.and_then(|idx| book.follow_rules().get(idx)) else { return about.clone() };
        let advice = match rule.advice {
            Advice::Good => "goes well after",
            Advice::Avoid => "is better not set after",
        };
        let contrary = if rule.conflicts_with.is_empty() { "" } else { "; other sources say the contrary" };
        format!("{about} {advice} {earlier} {when}: {}{contrary}", rule.reason)
    }

    fn why_soil(finding: &RotationFinding, telling: &Telling) -> String {
        let Telling { about, earlier, when, .. } = telling;
        let Because::Soil(case) = finding.because else { return about.clone() };
        let given = finding.gift.map_or("", |gift| gift_name(gift.gift));
        let day = finding.gift.map_or_else(String::new, |gift| gift.date.to_string());
        match case {
            SoilCase::RootsAfterManure => {
                format!("{about} after {given} given on {day}: roots fork and tops grow lush; manure the crop before")
            }
            SoilCase::RawManureNearHarvest => format!(
                "{given} given on {day}, less than {} days before {about} is cleared: raw manure carries germs; keep that \
                 distance to the harvest where what is eaten touches the soil, 90 days otherwise; local rules may ask more",
                soil::RAW_MANURE_DAYS
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

    /// The source.
    pub fn source(&self, book: &CropBook, finding: &RotationFinding) -> String {
        let words = |source: &str| source_in_words(book.source_words(source));
        match finding.because {
            Because::NoOtherCrop => family::TWO_CROPS_SOURCE.to_owned(),
            Because::BedTooOld => {
                let Kin::Plant(PlantRef::Crop(idx)) = finding.about_kin else { return String::new() };
                let bed_years = book.crops().get(idx).and_then(|crop| crop.bed_years.as_ref());
                bed_years.map_or_else(String::new, |bed_years| words(&bed_years.source))
            }
            Because::Soil(case) => soil::source(case).map_or_else(
                || {
                    let after_lime = self.family_of(book, finding).and_then(|family| family.after_lime.as_ref());
                    after_lime.map_or_else(String::new, |after_lime| words(&after_lime.source))
                },
                str::to_owned,
            ),
            Because::Follow => finding
                .follow_idx
                .and_then(|idx| book.follow_rules().get(idx))
                .map_or_else(String::new, |rule| words(&rule.source)),
            Because::Host | Because::PartHost | Because::HostKin => finding
                .hazard_idx
                .and_then(|idx| book.hazards().get(idx))
                .map_or_else(String::new, |hazard| words(&hazard.source)),
            Because::SameFamily | Because::SameBotanical | Because::CommonlyExempt | Because::LeftOut => {
                self.family_of(book, finding).map_or_else(String::new, |family| words(&family.source))
            }
        }
    }

    /// The shortest path through the graph between the two sides of a finding.
    pub fn path(&self, finding: &RotationFinding) -> Path {
        let node_of = |kin: Kin| self.kin_idx(kin).map(|idx| self.nodes_of_kin[idx]);
        let Some(about) = node_of(finding.about_kin) else { return Path::default() };
        let earlier = finding.earlier_kin.and_then(node_of);
        let nodes = match (finding.hazard_idx, finding.follow_idx, earlier) {
            (Some(hazard), _, _) => self.nodes_of_hazard.get(hazard).and_then(|&node| self.host_path(node, about)),
            (_, Some(rule), Some(earlier)) => self.follow_path(earlier, about, rule),
            (_, _, Some(earlier)) => self.shortest(earlier, about, &|edge| matches!(edge, Edge::IsOf | Edge::Holds)),
            _ => None,
        };
        self.path_along(&nodes.unwrap_or_else(|| vec![about]))
    }

    fn shortest(&self, from: NodeIndex, to: NodeIndex, may_use: &dyn Fn(Edge) -> bool) -> Option<Vec<NodeIndex>> {
        let filtered = EdgeFiltered::from_fn(&self.graph, |edge: petgraph::graph::EdgeReference<'_, Edge>| {
            may_use(*edge.weight())
        });
        astar(&filtered, from, |node| node == to, |_| 1_u32, |_| 0).map(|(_, nodes)| nodes)
    }

    fn host_path(&self, hazard: NodeIndex, about: NodeIndex) -> Option<Vec<NodeIndex>> {
        // A surer edge is preferred to a shorter path: a family named as a whole to a doubtful mention.
        self.shortest(hazard, about, &|edge| match edge {
            Edge::LivesOn(kind) => kind >= HostKind::Part,
            Edge::Holds | Edge::Counts => true,
            _ => false,
        })
        .or_else(|| self.shortest(hazard, about, &|edge| matches!(edge, Edge::LivesOn(_) | Edge::Holds | Edge::Counts)))
        .or_else(|| {
            // A family stands in for its plants.
            self.shortest(hazard, about, &|edge| {
                matches!(edge, Edge::LivesOn(_) | Edge::Holds | Edge::Counts | Edge::IsOf)
            })
        })
    }

    fn follow_path(&self, earlier: NodeIndex, about: NodeIndex, rule: usize) -> Option<Vec<NodeIndex>> {
        let edges = self.graph.edge_references().filter(|edge| *edge.weight() == Edge::Follow(rule));
        edges
            .filter_map(|edge| {
                let mut up =
                    self.shortest(earlier, edge.source(), &|edge| matches!(edge, Edge::IsOf | Edge::IsAmong))?;
                up.extend(self.shortest(edge.target(), about, &|edge| matches!(edge, Edge::Holds | Edge::Counts))?);
                Some(up)
            })
            .min_by_key(Vec::len)
    }

    fn path_along(&self, nodes: &[NodeIndex]) -> Path {
        let edge_between = |pair: &[NodeIndex]| {
            let &[before, node] = pair else { return None };
            self.graph.edges_connecting(before, node).next().map(|edge| *edge.weight())
        };
        Path {
            nodes: nodes.iter().filter_map(|&node| self.graph.node_weight(node).cloned()).collect(),
            edges: nodes.windows(2).filter_map(edge_between).collect(),
        }
    }
}

/// Nodes and edges of a path, alternating.
fn path_words(book: &CropBook, path: &Path) -> Vec<String> {
    let mut edges = path.edges.iter();
    let mut words = Vec::with_capacity(path.nodes.len() * 2);
    for node in &path.nodes {
        if !words.is_empty() {
            words.extend(edges.next().map(|&edge| edge_words(book, edge)));
        }
        words.push(node_words(book, node));
    }
    words
}

/// What an edge says, as a verb.
pub fn edge_words(book: &CropBook, edge: Edge) -> String {
    match edge {
        Edge::IsOf => "is of".to_owned(),
        Edge::Holds => "holds".to_owned(),
        Edge::IsAmong => "is among".to_owned(),
        Edge::Counts => "includes".to_owned(),
        Edge::LivesOn(HostKind::Kin) => "lives on some of".to_owned(),
        Edge::LivesOn(_) => "lives on".to_owned(),
        Edge::Follow(rule) => book.follow_rules().get(rule).map_or_else(String::new, |rule| match rule.advice {
            Advice::Good => "is well followed by".to_owned(),
            Advice::Avoid => "is better not followed by".to_owned(),
        }),
    }
}

/// What a node is called.
pub fn node_words(book: &CropBook, node: &Node) -> String {
    match node {
        Node::Crop(idx) => kin_name(book, Kin::Plant(PlantRef::Crop(*idx))),
        Node::Known(idx) => kin_name(book, Kin::Plant(PlantRef::Known(*idx))),
        Node::Family(idx) => kin_name(book, Kin::Family(*idx)),
        Node::Botanical(name) | Node::Group(name) => name.clone(),
        Node::Hazard(idx) => book.hazards().get(*idx).map_or_else(String::new, |hazard| hazard.name.clone()),
    }
}

/// What a taxon is called.
pub(super) fn kin_name(book: &CropBook, kin: Kin) -> String {
    match kin {
        Kin::Plant(PlantRef::Crop(idx)) => book.crops().get(idx).map_or_else(String::new, |crop| crop.name.clone()),
        Kin::Plant(PlantRef::Known(idx)) => book.plants().get(idx).map_or_else(String::new, |plant| plant.name.clone()),
        Kin::Family(idx) => book
            .families()
            .get(idx)
            .map_or_else(String::new, |family| family.common.split(';').next().unwrap_or_default().trim().to_owned()),
    }
}

fn gift_name(gift: SoilGift) -> &'static str {
    match gift {
        SoilGift::Compost => "garden compost",
        SoilGift::Manure => "rotted manure",
        SoilGift::FreshManure => "fresh manure",
        SoilGift::Lime => "lime",
        SoilGift::Mulch => "leaf mould or mulch",
    }
}

/// Days in a year, for saying how long ago something was.
const DAYS_PER_YEAR: i64 = 365;

/// A day: `3 May 2027`.
fn day_words(day: NaiveDate) -> String {
    day.format("%-d %b %Y").to_string()
}

/// A number of days in the unit one would use: `5 days`, `7 weeks`, `2 years`, `almost 2 years`.
pub fn span_words(n_days: i64) -> String {
    let counted = |n: i64, unit: &str| if n == 1 { format!("1 {unit}") } else { format!("{n} {unit}s") };
    match n_days {
        ..14 => counted(n_days, "day"),
        14..DAYS_PER_YEAR => counted(n_days / 7, "week"),
        _ => match (n_days / DAYS_PER_YEAR, n_days % DAYS_PER_YEAR) {
            (n_years, 0..=30) => counted(n_years, "year"),
            (n_years, 31..=273) => format!("more than {}", counted(n_years, "year")),
            (n_years, _) => format!("almost {}", counted(n_years + 1, "year")),
        },
    }
}

fn rotation_years_words(n_years: i32) -> String {
    if n_years == 1 { "1 rotation year".to_owned() } else { format!("{n_years} rotation years") }
}

/// The names that the tail of a source text uses for values from memory, column by column, and the words for each.
const COLUMN_WORDS: &[(&str, &str)] = &[
    ("return_min_years", "shortest return"),
    ("return_usual_years", "usual return"),
    ("return_max_years", "longest return"),
    ("break_usual_years", "usual break"),
    ("break_usual", "usual break"),
    ("break_min", "shortest break"),
    ("persistence_low/usual/high", "all persistence figures"),
    ("persistence_low/usual", "shortest and usual persistence"),
    ("persistence_low/high", "shortest and longest persistence"),
    ("persistence_usual/high", "usual and longest persistence"),
    ("persistence_low", "shortest persistence"),
    ("persistence_usual", "usual persistence"),
    ("persistence_high", "longest persistence"),
];

/// A source text as a reader would write it: `feeding class from memory` for `from memory: feeding_class`.
pub fn source_in_words(source: &str) -> String {
    // The list of columns ends the text: `(…; from memory: a; b)`, or `(from memory (a; b))`.
    let parts = [("from memory: ", ")"), ("from memory (", "))")]
        .into_iter()
        .find_map(|(mark, end)| source.strip_suffix(end).and_then(|text| text.rsplit_once(mark)));
    let Some((head, tail)) = parts else { return source.to_owned() };
    let items: Vec<String> = tail
        .split("; ")
        .map(|item| {
            let column = COLUMN_WORDS.iter().find(|(column, _)| item.starts_with(column));
            let words = column.map_or_else(|| item.to_owned(), |(column, words)| item.replacen(column, words, 1));
            words.replace('_', " ")
        })
        .collect();
    format!("{head}{} from memory)", items.join(", "))
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

fn host_free(years: i32) -> String {
    if years == 1 { "1 host-free year".to_owned() } else { format!("{years} host-free years") }
}
