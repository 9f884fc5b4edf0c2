//! The graph of crops, families, hazards and follow rules, and the tables read from it.
//!
//! Nodes are crops, known plants, families, botanical families, groups of crops and hazards. Edges say what
//! belongs to what, what a hazard lives on, and what had better (or better not) follow what. The tables hold, for each
//! pair of kin, the rules that join them, so that a check touches arrays only.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::crops::{Advice, CropBook, Feeding, FollowRule, Hazard, PlantRef, Strength};
use crate::garden::Severity;

use super::Kin;
use super::rules::{hazard, permanent};
use super::terms::{self, Meaning, first_word};

/// What a node stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Node {
    Crop(usize),
    Known(usize),
    Family(usize),
    Botanical(String),
    Group(String),
    Hazard(usize),
}

/// What an edge says.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Edge {
    /// The first belongs to the second: plant to family, family to botanical family.
    IsOf,
    /// The other way round.
    Holds,
    /// The plant is one of those that rules or hazards speak of under one name.
    IsAmong,
    /// The other way round.
    Counts,
    /// The hazard lives on the second.
    LivesOn(HostKind),
    /// The second after the first: a follow rule, by its place in the book.
    Follow(usize),
}

/// How surely a plant is a host.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum HostKind {
    /// No host.
    #[default]
    None,
    /// Of a family with hosts, but the source does not name it.
    Kin,
    /// A family some of whose plants are hosts: which one stood is not known.
    Part,
    /// Named, or of a family named as a whole.
    Named,
}

/// What the engine needs to know of a family.
#[derive(Debug)]
pub(super) struct FamilyFacts {
    pub id: String,
    pub botanical: String,
    pub usual_years: u32,
    pub is_exempt: bool,
}

/// What the engine needs to know of a follow rule.
#[derive(Debug)]
pub(super) struct RuleFacts {
    pub advice: Advice,
    pub severity: Severity,
    pub within_years: f64,
    /// Holds only where one of these hazards was seen; empty: always.
    pub needs_seen: Vec<usize>,
    pub is_conditional: bool,
}

/// What the engine needs to know of one kind of stand.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct KinFacts {
    pub family: Option<u16>,
    /// Place of the botanical family; kin with none have a place of their own.
    pub botanical: u16,
    /// The same for every entry of the book that is one crop to rotation (`onion`).
    pub species: u16,
    pub is_heavy: bool,
    pub is_root: bool,
    pub is_potato: bool,
    pub is_brassica: bool,
    pub is_of_acid_soil: bool,
    pub is_green_manure: bool,
    pub is_permanent: bool,
    /// Years after which a bed of it is renewed.
    pub bed_years_max: Option<u8>,
}

/// What the engine needs to know of a hazard.
#[derive(Debug)]
pub(super) struct HazardFacts {
    pub break_min_years: i32,
    pub break_usual_years: i32,
    pub alive_years: i32,
    pub is_indefinite: bool,
    /// Sources report a risk that falls with time rather than ask for a break.
    pub is_risk_only: bool,
}

/// The graph of crops, families, hazards and follow rules of one book.
///
/// Built once; every check takes the book it was built of.
#[derive(Debug)]
pub struct CropGraph {
    pub(super) graph: DiGraph<Node, Edge>,
    pub(super) nodes_of_kin: Vec<NodeIndex>,
    pub(super) nodes_of_hazard: Vec<NodeIndex>,
    pub(super) n_crops: usize,
    pub(super) n_plants: usize,
    pub(super) kin: Vec<KinFacts>,
    pub(super) families: Vec<FamilyFacts>,
    pub(super) hazards: Vec<HazardFacts>,
    pub(super) rules: Vec<RuleFacts>,
    /// By kin, then hazard.
    hosts: Vec<HostKind>,
    /// For each pair (before, after): start in `pair_rules`.
    pair_starts: Vec<u32>,
    pair_rules: Vec<u16>,
}

impl CropGraph {
    /// Builds the graph of a book.
    pub fn of_book(book: &CropBook) -> Self {
        let mut builder = Builder::with_plants(book);
        builder.add_hazards();
        builder.add_follow_rules();
        builder.finish()
    }

    /// Place of a kin in the tables; unknown places give `None`.
    pub(super) fn kin_idx(&self, kin: Kin) -> Option<usize> {
        let idx = match kin {
            Kin::Plant(PlantRef::Crop(idx)) if idx < self.n_crops => idx,
            Kin::Plant(PlantRef::Known(idx)) if idx < self.n_plants - self.n_crops => self.n_crops + idx,
            Kin::Family(idx) if idx < self.families.len() => self.n_plants + idx,
            _ => return None,
        };
        Some(idx)
    }

    /// How the hazard lives on the kin.
    pub(super) fn host(&self, kin_idx: usize, hazard_idx: usize) -> HostKind {
        if hazard_idx >= self.hazards.len() {
            return HostKind::None;
        }
        self.hosts.get(kin_idx * self.hazards.len() + hazard_idx).copied().unwrap_or_default()
    }

    /// Follow rules that speak of `after` after `before`.
    pub(super) fn rules_between(&self, before: usize, after: usize) -> &[u16] {
        let pair = before * self.kin.len() + after;
        &self.pair_rules[self.pair_starts[pair] as usize..self.pair_starts[pair + 1] as usize]
    }

    /// Follow rules that give no edge between two crops: they speak of no crop in particular, of what is done to the
    /// ground, or of the family itself, which other rules see to.
    pub fn unlinked_rules(&self) -> Vec<usize> {
        let linked: BTreeSet<usize> = self
            .graph
            .edge_weights()
            .filter_map(|edge| if let Edge::Follow(rule) = edge { Some(*rule) } else { None })
            .collect();
        (0..self.rules.len()).filter(|rule| !linked.contains(rule)).collect()
    }

    /// Whether the plant or family is a named host of the hazard.
    pub fn is_host(&self, kin: Kin, hazard_idx: usize) -> bool {
        self.kin_idx(kin).is_some_and(|kin_idx| self.host(kin_idx, hazard_idx) >= HostKind::Part)
    }
}

struct Builder<'a> {
    book: &'a CropBook,
    graph: DiGraph<Node, Edge>,
    nodes_of_kin: Vec<NodeIndex>,
    botanical: BTreeMap<String, NodeIndex>,
    groups: BTreeMap<String, NodeIndex>,
    nodes_of_hazard: Vec<NodeIndex>,
    kin: Vec<KinFacts>,
    hosts: Vec<HostKind>,
}

impl<'a> Builder<'a> {
    fn with_plants(book: &'a CropBook) -> Self {
        let (n_crops, n_known, n_families) = (book.crops().len(), book.plants().len(), book.families().len());
        let n_kin = n_crops + n_known + n_families;
        let mut builder = Self {
            book,
            graph: DiGraph::new(),
            nodes_of_kin: Vec::with_capacity(n_kin),
            botanical: BTreeMap::new(),
            groups: BTreeMap::new(),
            nodes_of_hazard: Vec::new(),
            kin: vec![KinFacts::default(); n_kin],
            hosts: vec![HostKind::None; n_kin * book.hazards().len()],
        };
        for idx in 0..n_crops {
            builder.nodes_of_kin.push(builder.graph.add_node(Node::Crop(idx)));
        }
        for idx in 0..n_known {
            builder.nodes_of_kin.push(builder.graph.add_node(Node::Known(idx)));
        }
        for (idx, family) in book.families().iter().enumerate() {
            let node = builder.graph.add_node(Node::Family(idx));
            builder.nodes_of_kin.push(node);
            let botanical = builder.botanical_node(first_word(&family.botanical));
            builder.belongs(node, botanical);
        }
        builder.link_families();
        builder.fill_kin();
        builder
    }

    fn botanical_node(&mut self, name: &str) -> NodeIndex {
        if let Some(&node) = self.botanical.get(name) {
            return node;
        }
        let node = self.graph.add_node(Node::Botanical(name.to_owned()));
        self.botanical.insert(name.to_owned(), node);
        node
    }

    fn belongs(&mut self, part: NodeIndex, whole: NodeIndex) {
        self.graph.update_edge(part, whole, Edge::IsOf);
        self.graph.update_edge(whole, part, Edge::Holds);
    }

    fn family_idx(&self, id: &str) -> Option<usize> {
        self.book.families().iter().position(|family| family.id == id)
    }

    fn link_families(&mut self) {
        let crops = self.book.crops().iter().map(|crop| crop.family.as_str());
        let known = self.book.plants().iter().map(|plant| plant.family.as_str());
        let n_plants = self.book.crops().len() + self.book.plants().len();
        for (kin_idx, id) in crops.chain(known).enumerate() {
            if let Some(family) = self.family_idx(id) {
                self.belongs(self.nodes_of_kin[kin_idx], self.nodes_of_kin[n_plants + family]);
                self.kin[kin_idx].family = Some(family as u16);
            }
        }
        for family in 0..self.book.families().len() {
            self.kin[n_plants + family].family = Some(family as u16);
        }
    }

    fn fill_kin(&mut self) {
        let botanical: Vec<&str> = {
            let mut names: Vec<&str> =
                self.book.families().iter().map(|family| first_word(&family.botanical)).collect();
            names.sort_unstable();
            names.dedup();
            names
        };
        let mut species: HashMap<String, u16> = HashMap::new();
        let plants: Vec<_> = terms::plants(self.book).collect();
        for kin_idx in 0..self.kin.len() {
            let plant = plants.get(kin_idx).copied();
            let crop = self.book.crops().get(kin_idx);
            let family = self.kin[kin_idx].family.and_then(|idx| self.book.families().get(usize::from(idx)));
            let name =
                plant.map_or_else(|| format!("family {kin_idx}"), |plant| self.book.rotation_id(plant).to_owned());
            let next = species.len() as u16;
            let place = family.and_then(|family| botanical.binary_search(&first_word(&family.botanical)).ok());
            let in_group = |group| plant.is_some_and(|plant| self.book.is_in_group(plant, group));
            let feeding = crop.map(|crop| crop.feeding).or(family.map(|family| family.feeding));
            let family_id = family.map_or("", |family| family.id.as_str());
            self.kin[kin_idx] = KinFacts {
                family: self.kin[kin_idx].family,
                botanical: place.unwrap_or(botanical.len() + kin_idx) as u16,
                species: *species.entry(name.clone()).or_insert(next),
                is_heavy: feeding == Some(Feeding::Heavy) && !in_group("cover crop"),
                is_root: in_group("root crop"),
                is_potato: family_id == "solanaceae_potato",
                is_brassica: family_id == "brassicaceae",
                is_of_acid_soil: family_id == "ericaceae",
                is_green_manure: in_group("cover crop") || in_group("grass ley"),
                is_permanent: crop.is_some_and(|crop| crop.is_permanent) || in_group("perennial grass"),
                bed_years_max: permanent::bed_years_max(&name),
            };
        }
    }

    /// The nodes of a meaning: a node of its own for a group, each plant where several bear one name.
    fn nodes_of(&mut self, name: &str, meaning: &Meaning<'_>) -> Vec<NodeIndex> {
        let n_plants = self.book.crops().len() + self.book.plants().len();
        match meaning {
            Meaning::Plants(plants) => plants.iter().map(|&plant| self.nodes_of_kin[plant]).collect(),
            Meaning::Group(plants) => vec![self.group_node(name, plants)],
            Meaning::Botanical(botanical) => self.botanical.get(*botanical).copied().into_iter().collect(),
            Meaning::Family(family) => self.nodes_of_kin.get(n_plants + family).copied().into_iter().collect(),
        }
    }

    fn group_node(&mut self, name: &str, plants: &[usize]) -> NodeIndex {
        if let Some(&node) = self.groups.get(name) {
            return node;
        }
        let node = self.graph.add_node(Node::Group(name.to_owned()));
        self.groups.insert(name.to_owned(), node);
        for &plant in plants {
            let part = self.nodes_of_kin[plant];
            self.graph.update_edge(part, node, Edge::IsAmong);
            self.graph.update_edge(node, part, Edge::Counts);
        }
        node
    }

    /// Kin that belong to a node, itself included.
    fn members(&self, node: NodeIndex) -> Vec<usize> {
        let mut seen = vec![false; self.graph.node_count()];
        let mut todo = vec![node];
        while let Some(node) = todo.pop() {
            if !std::mem::replace(&mut seen[node.index()], true) {
                let parts = self.graph.edges_directed(node, Direction::Incoming);
                todo.extend(
                    parts.filter(|edge| matches!(edge.weight(), Edge::IsOf | Edge::IsAmong)).map(|edge| edge.source()),
                );
            }
        }
        self.nodes_of_kin.iter().enumerate().filter(|(_, node)| seen[node.index()]).map(|(idx, _)| idx).collect()
    }

    fn add_hazards(&mut self) {
        for (hazard_idx, facts) in self.book.hazards().iter().enumerate() {
            let node = self.graph.add_node(Node::Hazard(hazard_idx));
            self.nodes_of_hazard.push(node);
            for name in facts.host_crops.iter().chain(&facts.host_green_manures) {
                // A plant the book does not list (`stocks`) gives no edge.
                let plants = Meaning::Plants(terms::plants_named(self.book, name));
                for host in self.nodes_of(name, &plants) {
                    self.host(hazard_idx, node, host, HostKind::Named);
                }
            }
            for family in &facts.host_families {
                if let Some(&host) = self.botanical.get(first_word(family)) {
                    let kind = self.kind_of_unnamed(hazard_idx, host);
                    self.host(hazard_idx, node, host, kind);
                }
            }
            self.settle_families(hazard_idx);
        }
    }

    fn host(&mut self, hazard_idx: usize, hazard: NodeIndex, host: NodeIndex, kind: HostKind) {
        let n_hazards = self.book.hazards().len();
        self.graph.update_edge(hazard, host, Edge::LivesOn(kind));
        for kin_idx in self.members(host) {
            let cell = &mut self.hosts[kin_idx * n_hazards + hazard_idx];
            *cell = (*cell).max(kind);
        }
    }

    /// How to take the members of a host family that the source does not name. Where it names none, the family is
    /// meant as a whole; where it names many, the list is of examples; where it names a few, those are the hosts.
    fn kind_of_unnamed(&self, hazard_idx: usize, family: NodeIndex) -> HostKind {
        let n_hazards = self.book.hazards().len();
        let named: BTreeSet<u16> = self
            .members(family)
            .into_iter()
            .filter(|kin_idx| self.hosts[kin_idx * n_hazards + hazard_idx] >= HostKind::Part)
            .map(|kin_idx| self.kin[kin_idx].species)
            .collect();
        let is_few = (1..hazard::MANY_NAMED).contains(&named.len());
        if is_few { HostKind::Kin } else { HostKind::Named }
    }

    /// A stand of which only the family is known: a host if all its plants are, perhaps one if some are.
    fn settle_families(&mut self, hazard_idx: usize) {
        let n_hazards = self.book.hazards().len();
        let n_plants = self.book.crops().len() + self.book.plants().len();
        for family in 0..self.book.families().len() {
            let kinds = || {
                (0..n_plants)
                    .filter(|&kin_idx| self.kin[kin_idx].family == Some(family as u16))
                    .map(|kin_idx| self.hosts[kin_idx * n_hazards + hazard_idx])
            };
            let kind = match (kinds().min(), kinds().max()) {
                (Some(least), Some(most)) if most > HostKind::Kin => least.max(HostKind::Part),
                _ => continue,
            };
            let cell = &mut self.hosts[(n_plants + family) * n_hazards + hazard_idx];
            *cell = (*cell).max(kind);
        }
    }

    fn add_follow_rules(&mut self) {
        let rules = self.book.follow_rules();
        for (rule_idx, rule) in rules.iter().enumerate() {
            if rule.before != rule.after && terms::is_each_after_itself(rules, &rule.id) {
                continue;
            }
            let before = terms::side(self.book, rule.before_kind, &rule.before);
            let after = terms::side(self.book, rule.after_kind, &rule.after);
            let (Some(before), Some(after)) = (before, after) else { continue };
            let targets = self.nodes_of(&rule.after, &after);
            for from in self.nodes_of(&rule.before, &before) {
                for &to in &targets {
                    self.graph.add_edge(from, to, Edge::Follow(rule_idx));
                }
            }
        }
    }

    /// Whether a rule says no more of this pair than that they are one family, which the return interval sees to;
    /// `is_of_family`: its reason speaks of the same family.
    fn restates_family(&self, rule_idx: usize, is_of_family: bool, before: usize, after: usize) -> bool {
        let rule = &self.book.follow_rules()[rule_idx];
        let (before, after) = (self.kin[before], self.kin[after]);
        if rule.advice == Advice::Good || before.botanical != after.botanical {
            return false;
        }
        let is_replant = before.is_permanent && after.is_permanent;
        !is_replant && (before.family == after.family || is_of_family)
    }

    fn pairs(&self) -> (Vec<u32>, Vec<u16>) {
        let n_kin = self.kin.len();
        let mut told: Vec<(usize, u16)> = Vec::new();
        let mut members: HashMap<NodeIndex, Vec<usize>> = HashMap::new();
        for edge in self.graph.edge_references() {
            let Edge::Follow(rule_idx) = *edge.weight() else { continue };
            for node in [edge.source(), edge.target()] {
                members.entry(node).or_insert_with(|| self.members(node));
            }
            let is_of_family = self.book.follow_rules()[rule_idx].reason.to_lowercase().contains("same family");
            for &before in &members[&edge.source()] {
                for &after in &members[&edge.target()] {
                    if !self.restates_family(rule_idx, is_of_family, before, after) {
                        told.push((before * n_kin + after, rule_idx as u16));
                    }
                }
            }
        }
        told.sort_unstable();
        let mut starts = Vec::with_capacity(n_kin * n_kin + 1);
        let mut rules: Vec<u16> = Vec::with_capacity(told.len());
        let id = |rule: u16| &self.book.follow_rules()[usize::from(rule)].id;
        for (pair, rule) in told {
            // Pairs of which nothing is told begin where the next one does.
            starts.resize((pair + 1).max(starts.len()), rules.len() as u32);
            // One piece of advice may reach a pair twice, by two groups that overlap.
            if !rules[starts[pair] as usize..].iter().any(|&known| id(known) == id(rule)) {
                rules.push(rule);
            }
        }
        starts.resize(n_kin * n_kin + 1, rules.len() as u32);
        (starts, rules)
    }

    fn finish(self) -> CropGraph {
        let (pair_starts, pair_rules) = self.pairs();
        let book = self.book;
        let hazard_idx = |id: &&str| book.hazards().iter().position(|hazard| hazard.id == **id);
        let rules = book.follow_rules().iter().map(|rule| {
            let needed = hazard::needed_by_rule(&rule.id);
            RuleFacts {
                advice: rule.advice,
                severity: severity_of(book, rule),
                within_years: rule.within_years,
                needs_seen: needed.iter().filter_map(hazard_idx).collect(),
                is_conditional: !needed.is_empty(),
            }
        });
        CropGraph {
            n_crops: book.crops().len(),
            n_plants: book.crops().len() + book.plants().len(),
            families: book
                .families()
                .iter()
                .map(|family| FamilyFacts {
                    id: family.id.clone(),
                    botanical: first_word(&family.botanical).to_owned(),
                    usual_years: family.return_usual_years,
                    is_exempt: family.is_commonly_exempt && !family.exempt_basis.starts_with(PARTLY),
                })
                .collect(),
            hazards: book.hazards().iter().map(hazard_facts).collect(),
            rules: rules.collect(),
            hosts: self.hosts,
            pair_starts,
            pair_rules,
            kin: self.kin,
            nodes_of_kin: self.nodes_of_kin,
            nodes_of_hazard: self.nodes_of_hazard,
            graph: self.graph,
        }
    }
}

/// How the book begins the reason of a family of which only some crops are left out of strict rotation: the family is
/// kept in, since the others (tomatoes) are what its interval is about.
const PARTLY: &str = "partly";

/// Firm advice is a breach where it is a norm that growers bind themselves to, or is against replanting at once;
/// elsewhere, and for usual advice, it is a caution.
fn severity_of(book: &CropBook, rule: &FollowRule) -> Severity {
    let is_norm = book.source_words(&rule.source).contains("IOBC-WPRS") || rule.before == rule.after;
    match (rule.advice, rule.strength) {
        (Advice::Avoid, Strength::Strong) if is_norm => Severity::Breach,
        (Advice::Avoid, Strength::Strong | Strength::Moderate) => Severity::Caution,
        (Advice::Avoid, Strength::Weak) | (Advice::Good, _) => Severity::Note,
    }
}

fn hazard_facts(facts: &Hazard) -> HazardFacts {
    // Parts of a year count as whole ones: a break of 1.5 years is kept by two host-free years.
    let whole = |years: f64| years.ceil() as i32;
    HazardFacts {
        break_min_years: whole(facts.break_years.0),
        break_usual_years: whole(facts.break_years.1),
        alive_years: whole(facts.persistence_years.1.max(facts.break_years.1)),
        is_indefinite: facts.is_indefinite,
        is_risk_only: hazard::RISK_ONLY.contains(&facts.id.as_str()),
    }
}
