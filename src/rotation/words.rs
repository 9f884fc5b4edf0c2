//! Findings in words: why, by what path through the graph, and on whose word.

use petgraph::algo::astar;
use petgraph::graph::NodeIndex;
use petgraph::visit::{EdgeFiltered, EdgeRef};

use crate::crops::{Advice, CropBook, PlantRef};
use crate::garden::SoilGift;

use super::graph::{Edge, HostKind, Node};
use super::rules::{family, permanent, soil};
use super::{Because, CropGraph, Kin, RotationFinding, Rule, SoilCase, Words};

impl CropGraph {
    /// A finding in words. Years are told as they are; `book` is the book the graph was built of.
    pub fn words(&self, book: &CropBook, finding: &RotationFinding) -> Words {
        self.words_with(book, finding, &|year| year.to_string())
    }

    /// A finding in words, years told by `year_words`.
    pub fn words_with(&self, book: &CropBook, finding: &RotationFinding, year_words: &dyn Fn(i32) -> String) -> Words {
        let mut why = match finding.rule {
            Rule::FamilyReturn | Rule::SameYear | Rule::Exempt => self.why_family(book, finding, year_words),
            Rule::HazardHost => self.why_hazard(book, finding, year_words),
            Rule::AvoidAfter | Rule::GoodAfter => Self::why_follow(book, finding, year_words),
            Rule::SoilOrder => Self::why_soil(book, finding, year_words),
        };
        if finding.earlier.is_some() && finding.shared_pct < 100 {
            why.push_str(&format!(" (on {} % of its ground)", finding.shared_pct));
        }
        Words { why, path: self.path(book, finding), source: self.source(book, finding) }
    }

    fn why_family(&self, book: &CropBook, finding: &RotationFinding, year_words: &dyn Fn(i32) -> String) -> String {
        let about = kin_name(book, finding.about_kin);
        let earlier = finding.earlier_kin.map_or_else(String::new, |kin| kin_name(book, kin));
        let when = finding.earlier_year.map_or_else(String::new, year_words);
        let family = self.family_name(book, finding);
        let years = finding.earlier_year.map_or(0, |earlier| finding.year - earlier);
        let asked = finding.asked_years.unwrap_or_default();
        match (finding.rule, finding.because) {
            (Rule::SameYear, _) => {
                format!("{about} and {earlier} are both of the {family}, twice on this ground in {when}")
            }
            (_, Because::NoOtherCrop) => {
                format!(
                    "{about} for the third year running and nothing else between: a rotation has at least two crops"
                )
            }
            (_, Because::BedTooOld) => {
                format!(
                    "{about} stands here from {} for more than the {asked} years a bed of it is kept",
                    year_words(finding.year)
                )
            }
            (_, Because::CommonlyExempt) => format!(
                "{about} is of the {family}, here last as {earlier} in {when}: {}, {asked} asked, but growers commonly leave it out of strict rotation",
                years_between(years)
            ),
            (_, Because::LeftOut) => {
                format!(
                    "{about} is of the {family}, here last as {earlier} in {when}; this garden leaves that family out of rotation"
                )
            }
            _ => format!(
                "{about} is of the {family}, here last as {earlier} in {when}: {}, {asked} asked",
                years_between(years)
            ),
        }
    }

    fn family_name(&self, book: &CropBook, finding: &RotationFinding) -> String {
        let family = self.kin_idx(finding.about_kin).and_then(|kin| self.kin[kin].family);
        let family = family.and_then(|idx| book.families().get(usize::from(idx)));
        family.map_or_else(String::new, |family| {
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

    fn why_hazard(&self, book: &CropBook, finding: &RotationFinding, year_words: &dyn Fn(i32) -> String) -> String {
        let about = kin_name(book, finding.about_kin);
        let Some(hazard) = finding.hazard_idx.and_then(|idx| book.hazards().get(idx)) else { return about };
        let host = match finding.because {
            Because::MinorHost => "a minor host",
            Because::HostKin => "of a family with hosts, though the source does not name it",
            _ => "a host",
        };
        let when = finding.earlier_year.map_or_else(String::new, year_words);
        let last = finding.earlier_kin.map_or_else(
            || format!("seen here in {when}"),
            |kin| format!("last kept going by {} in {when}", kin_name(book, kin)),
        );
        let years = finding.earlier_year.map_or(0, |earlier| (finding.year - earlier - 1).max(0));
        let asked = finding.asked_years.map_or_else(
            || "no break is long enough".to_owned(),
            |asked| format!("{} asked", host_free(i64::from(asked) - 1)),
        );
        format!("{about} is {host} of {}, {last}: {}, {asked}", hazard.name, host_free(i64::from(years)))
    }

    fn why_follow(book: &CropBook, finding: &RotationFinding, year_words: &dyn Fn(i32) -> String) -> String {
        let about = kin_name(book, finding.about_kin);
        let earlier = finding.earlier_kin.map_or_else(String::new, |kin| kin_name(book, kin));
        let when = finding.earlier_year.map_or_else(String::new, year_words);
        let Some(rule) = finding.follow_idx.and_then(|idx| book.follow_rules().get(idx)) else { return about };
        let advice = match rule.advice {
            Advice::Good => "goes well after",
            Advice::Avoid => "is better not set after",
        };
        let contrary = if rule.conflicts_with.is_empty() {
            String::new()
        } else {
            format!("; sources disagree (see {})", rule.conflicts_with.join(", "))
        };
        format!("{about} {advice} {earlier} ({when}): {}{contrary}", rule.reason)
    }

    fn why_soil(book: &CropBook, finding: &RotationFinding, year_words: &dyn Fn(i32) -> String) -> String {
        let about = kin_name(book, finding.about_kin);
        let Because::Soil(case) = finding.because else { return about };
        let given = finding.gift.map_or("", |gift| gift_name(gift.gift));
        let day = finding.gift.map_or_else(String::new, |gift| gift.date.to_string());
        match case {
            SoilCase::RootsAfterManure => {
                format!("{about} after {given} given on {day}: roots fork and tops grow lush; manure the crop before")
            }
            SoilCase::RawManureNearHarvest => format!(
                "{given} given on {day}, less than {} days before {about} is cleared: raw manure carries germs; 120 days where what is eaten touches the soil, 90 otherwise, and local rules may ask more",
                soil::RAW_MANURE_DAYS
            ),
            SoilCase::PotatoAfterLime => {
                format!("{about} after lime given on {day}: alkaline soil favours common scab; lime after potatoes")
            }
            SoilCase::AcidSoilAfterLime => format!("{about} wants acid soil, and lime was given on {day}"),
            SoilCase::BrassicaAfterLime => format!("{about} goes well after lime (given on {day})"),
            SoilCase::HeavyAfterHeavy => {
                let earlier = finding.earlier_kin.map_or_else(String::new, |kin| kin_name(book, kin));
                let when = finding.earlier_year.map_or_else(String::new, year_words);
                format!("{about} and {earlier} ({when}) both ask much of the soil, and nothing was given between")
            }
        }
    }

    fn source(&self, book: &CropBook, finding: &RotationFinding) -> String {
        let words = |source: &str| book.source_words(source).to_owned();
        match finding.because {
            Because::NoOtherCrop => family::TWO_CROPS_SOURCE.to_owned(),
            Because::BedTooOld => permanent::SOURCE.to_owned(),
            Because::Soil(case) => soil::source(case).to_owned(),
            Because::Follow => finding
                .follow_idx
                .and_then(|idx| book.follow_rules().get(idx))
                .map_or_else(String::new, |rule| words(&rule.source)),
            Because::Host | Because::MinorHost | Because::HostKin => finding
                .hazard_idx
                .and_then(|idx| book.hazards().get(idx))
                .map_or_else(String::new, |hazard| words(&hazard.source)),
            Because::SameFamily | Because::SameBotanical | Because::CommonlyExempt | Because::LeftOut => self
                .kin_idx(finding.about_kin)
                .and_then(|kin| self.kin[kin].family)
                .and_then(|idx| book.families().get(usize::from(idx)))
                .map_or_else(String::new, |family| words(&family.source)),
        }
    }

    /// The shortest path through the graph that joins what a finding speaks of.
    fn path(&self, book: &CropBook, finding: &RotationFinding) -> Vec<String> {
        let node_of = |kin: Kin| self.kin_idx(kin).map(|idx| self.nodes_of_kin[idx]);
        let Some(about) = node_of(finding.about_kin) else { return Vec::new() };
        let earlier = finding.earlier_kin.and_then(node_of);
        let nodes = match (finding.hazard_idx, finding.follow_idx, earlier) {
            (Some(hazard), _, _) => self.nodes_of_hazard.get(hazard).and_then(|&node| self.host_path(node, about)),
            (_, Some(rule), Some(earlier)) => self.follow_path(earlier, about, rule),
            (_, _, Some(earlier)) => self.shortest(earlier, about, &|edge| matches!(edge, Edge::IsOf | Edge::Holds)),
            _ => None,
        };
        self.path_words(book, &nodes.unwrap_or_else(|| vec![about]))
    }

    fn shortest(&self, from: NodeIndex, to: NodeIndex, may_use: &dyn Fn(Edge) -> bool) -> Option<Vec<NodeIndex>> {
        let filtered = EdgeFiltered::from_fn(&self.graph, |edge: petgraph::graph::EdgeReference<'_, Edge>| {
            may_use(*edge.weight())
        });
        astar(&filtered, from, |node| node == to, |_| 1_u32, |_| 0).map(|(_, nodes)| nodes)
    }

    fn host_path(&self, hazard: NodeIndex, about: NodeIndex) -> Option<Vec<NodeIndex>> {
        // The surest edge wins over a shorter one: a family named as a whole over a doubtful mention.
        self.shortest(hazard, about, &|edge| match edge {
            Edge::LivesOn(kind) => kind >= HostKind::Minor,
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

    fn path_words(&self, book: &CropBook, nodes: &[NodeIndex]) -> Vec<String> {
        let mut words = Vec::with_capacity(nodes.len() * 2);
        for (place, &node) in nodes.iter().enumerate() {
            if let Some(&before) = place.checked_sub(1).and_then(|before| nodes.get(before)) {
                let mut edges = self.graph.edges_connecting(before, node);
                words.push(edges.next().map_or_else(String::new, |edge| edge_words(book, *edge.weight())));
            }
            words.push(self.graph.node_weight(node).map_or_else(String::new, |node| node_words(book, node)));
        }
        words
    }
}

fn edge_words(book: &CropBook, edge: Edge) -> String {
    match edge {
        Edge::IsOf => "is of".to_owned(),
        Edge::Holds => "holds".to_owned(),
        Edge::IsAmong => "is among".to_owned(),
        Edge::Counts => "counts".to_owned(),
        Edge::LivesOn(HostKind::Kin) => "lives on some of".to_owned(),
        Edge::LivesOn(HostKind::Minor) => "lives now and then on".to_owned(),
        Edge::LivesOn(_) => "lives on".to_owned(),
        Edge::Follow(rule) => book.follow_rules().get(rule).map_or_else(String::new, |rule| match rule.advice {
            Advice::Good => format!("well followed by ({})", rule.id),
            Advice::Avoid => format!("better not followed by ({})", rule.id),
        }),
    }
}

fn node_words(book: &CropBook, node: &Node) -> String {
    match node {
        Node::Crop(idx) => kin_name(book, Kin::Plant(PlantRef::Crop(*idx))),
        Node::Known(idx) => kin_name(book, Kin::Plant(PlantRef::Known(*idx))),
        Node::Family(idx) => kin_name(book, Kin::Family(*idx)),
        Node::Botanical(name) => name.clone(),
        Node::Group(name) => name.clone(),
        Node::Grass => kin_name(book, Kin::Grass),
        Node::Hazard(idx) => book.hazards().get(*idx).map_or_else(String::new, |hazard| hazard.name.clone()),
    }
}

/// What a kin is called.
pub(super) fn kin_name(book: &CropBook, kin: Kin) -> String {
    match kin {
        Kin::Plant(PlantRef::Crop(idx)) => book.crops().get(idx).map_or_else(String::new, |crop| crop.name.clone()),
        Kin::Plant(PlantRef::Known(idx)) => book.plants().get(idx).map_or_else(String::new, |plant| plant.name.clone()),
        Kin::Family(idx) => book
            .families()
            .get(idx)
            .map_or_else(String::new, |family| family.common.split(';').next().unwrap_or_default().trim().to_owned()),
        Kin::Grass => "grass".to_owned(),
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

fn years_between(years: i32) -> String {
    if years == 1 { "1 year between crops".to_owned() } else { format!("{years} years between crops") }
}

fn host_free(years: i64) -> String {
    if years == 1 { "1 host-free year".to_owned() } else { format!("{years} host-free years") }
}
