//! Reads a book into the graph and its tables.

use std::collections::{BTreeMap, HashMap};

use petgraph::Direction;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::EdgeRef;

use crate::crops::{Advice, Asks, CropBook, Exempt, Feeding, FollowRule, Hazard, PlantRef, Strength, groups};
use crate::garden::Severity;

use super::CropGraph;
use super::graph::{Edge, FamilyFacts, HazardFacts, HostKind, Node, RuleFacts, TaxonFacts};
use super::terms::{self, Meaning, Names, first_word};

impl CropGraph {
    /// Builds the graph of a book.
    pub fn of_book(book: &CropBook) -> Self {
        let mut builder = Builder::with_plants(book);
        builder.add_hazards();
        builder.add_follow_rules();
        builder.finish()
    }
}

/// A graph in the making.
struct Builder<'a> {
    book: &'a CropBook,
    names: Names<'a>,
    graph: DiGraph<Node, Edge>,
    nodes_of_taxa: Vec<NodeIndex>,
    botanical: BTreeMap<String, NodeIndex>,
    groups: BTreeMap<String, NodeIndex>,
    nodes_of_hazard: Vec<NodeIndex>,
    taxa: Vec<TaxonFacts>,
    hosts: Vec<HostKind>,
}

impl<'a> Builder<'a> {
    fn with_plants(book: &'a CropBook) -> Self {
        let (n_crops, n_known, n_families) = (book.crops().len(), book.plants().len(), book.families().len());
        let n_taxa = n_crops + n_known + n_families;
        let mut builder = Self {
            book,
            names: Names::of_book(book),
            graph: DiGraph::new(),
            nodes_of_taxa: Vec::with_capacity(n_taxa),
            botanical: BTreeMap::new(),
            groups: BTreeMap::new(),
            nodes_of_hazard: Vec::new(),
            taxa: vec![TaxonFacts::default(); n_taxa],
            hosts: vec![HostKind::None; n_taxa * book.hazards().len()],
        };
        for idx in 0..n_crops {
            builder.nodes_of_taxa.push(builder.graph.add_node(Node::Crop(idx)));
        }
        for idx in 0..n_known {
            builder.nodes_of_taxa.push(builder.graph.add_node(Node::Known(idx)));
        }
        for (idx, family) in book.families().iter().enumerate() {
            let node = builder.graph.add_node(Node::Family(idx));
            builder.nodes_of_taxa.push(node);
            let botanical = builder.botanical_node(first_word(&family.botanical));
            builder.belongs(node, botanical);
        }
        builder.link_families();
        builder.fill_taxa();
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
        for (taxon_idx, id) in crops.chain(known).enumerate() {
            if let Some(family) = self.family_idx(id) {
                self.belongs(self.nodes_of_taxa[taxon_idx], self.nodes_of_taxa[n_plants + family]);
                self.taxa[taxon_idx].family = Some(family as u16);
            }
        }
        for family in 0..self.book.families().len() {
            self.taxa[n_plants + family].family = Some(family as u16);
        }
    }

    fn fill_taxa(&mut self) {
        let botanical: Vec<&str> = {
            let mut names: Vec<&str> =
                self.book.families().iter().map(|family| first_word(&family.botanical)).collect();
            names.sort_unstable();
            names.dedup();
            names
        };
        let mut species: HashMap<String, u16> = HashMap::new();
        let plants: Vec<PlantRef> = terms::plants(self.book).collect();
        for taxon_idx in 0..self.taxa.len() {
            let plant = plants.get(taxon_idx).copied();
            let crop = self.book.crops().get(taxon_idx);
            let family = self.taxa[taxon_idx].family.and_then(|idx| self.book.families().get(usize::from(idx)));
            let name =
                plant.map_or_else(|| format!("family {taxon_idx}"), |plant| self.book.rotation_id(plant).to_owned());
            let next = species.len() as u16;
            let place = family.and_then(|family| botanical.binary_search(&first_word(&family.botanical)).ok());
            let in_group = |group| plant.is_some_and(|plant| self.book.is_in_group(plant, group));
            let feeding = crop.map(|crop| crop.feeding).or(family.map(|family| family.feeding));
            self.taxa[taxon_idx] = TaxonFacts {
                family: self.taxa[taxon_idx].family,
                botanical: place.unwrap_or(botanical.len() + taxon_idx) as u16,
                species: *species.entry(name.clone()).or_insert(next),
                is_heavy: feeding == Some(Feeding::Heavy) && !in_group(groups::COVER_CROP),
                is_root: in_group(groups::ROOT_CROP),
                after_lime: family
                    .and_then(|family| family.after_lime.as_ref())
                    .map(|lime| (lime.effect, lime.within_years)),
                is_green_manure: in_group(groups::COVER_CROP) || in_group(groups::GRASS_LEY),
                is_permanent: crop.is_some_and(|crop| crop.is_permanent) || in_group(groups::PERENNIAL_GRASS),
                counts_with: family
                    .and_then(|family| family.counts_with.as_ref())
                    .filter(|counts_with| counts_with.crops.contains(&name))
                    .and_then(|with| self.book.families().iter().position(|family| family.id == with.family))
                    .map(|idx| idx as u16),
                is_left_out: family.is_some_and(|family| family.exempt_crops.contains(&name)),
                bed_years_max: crop.and_then(|crop| crop.bed_years.as_ref()).map(|bed_years| bed_years.most),
            };
        }
    }

    /// The nodes of a meaning: one node for a group; for a name that several plants bear, the node of each plant.
    fn nodes_of(&mut self, name: &str, meaning: &Meaning<'_>) -> Vec<NodeIndex> {
        let n_plants = self.book.crops().len() + self.book.plants().len();
        match meaning {
            Meaning::Plants(plants) => plants.iter().map(|&plant| self.nodes_of_taxa[plant]).collect(),
            Meaning::Group(plants) => vec![self.group_node(name, plants)],
            Meaning::Botanical(botanical) => self.botanical.get(*botanical).copied().into_iter().collect(),
            Meaning::Family(family) => self.nodes_of_taxa.get(n_plants + family).copied().into_iter().collect(),
        }
    }

    fn group_node(&mut self, name: &str, plants: &[usize]) -> NodeIndex {
        if let Some(&node) = self.groups.get(name) {
            return node;
        }
        let node = self.graph.add_node(Node::Group(name.to_owned()));
        self.groups.insert(name.to_owned(), node);
        for &plant in plants {
            let part = self.nodes_of_taxa[plant];
            self.graph.update_edge(part, node, Edge::IsAmong);
            self.graph.update_edge(node, part, Edge::Counts);
        }
        node
    }

    /// The taxa that belong to a node, including its own.
    fn members(&self, node: NodeIndex) -> Vec<usize> {
        // Nothing belongs to two wholes of one kind, so no node is visited twice.
        let (mut members, mut todo) = (Vec::new(), vec![node]);
        while let Some(node) = todo.pop() {
            members.extend(self.place(node));
            let parts = self.graph.edges_directed(node, Direction::Incoming);
            let belonging = parts.filter(|edge| matches!(edge.weight(), Edge::IsOf | Edge::IsAmong));
            todo.extend(belonging.map(|edge| edge.source()));
        }
        members
    }

    /// Place in the list of taxa of what a node stands for.
    fn place(&self, node: NodeIndex) -> Option<usize> {
        let (n_crops, n_known) = (self.book.crops().len(), self.book.plants().len());
        match self.graph.node_weight(node)? {
            Node::Crop(idx) => Some(*idx),
            Node::Known(idx) => Some(n_crops + idx),
            Node::Family(idx) => Some(n_crops + n_known + idx),
            Node::Botanical(_) | Node::Group(_) | Node::Hazard(_) => None,
        }
    }

    fn add_hazards(&mut self) {
        for (hazard_idx, facts) in self.book.hazards().iter().enumerate() {
            let node = self.graph.add_node(Node::Hazard(hazard_idx));
            self.nodes_of_hazard.push(node);
            for name in facts.host_crops.iter().chain(&facts.host_green_manures) {
                // A plant the book does not list (`stocks`) gives no edge.
                let plants = Meaning::Plants(self.names.plants(name));
                for host in self.nodes_of(name, &plants) {
                    self.host(hazard_idx, node, host, HostKind::Named);
                }
            }
            for family in &facts.host_families {
                if let Some(&host) = self.botanical.get(first_word(family)) {
                    let are_examples = facts.examples_of.contains(family);
                    let kind = self.kind_of_unnamed(hazard_idx, host, are_examples);
                    self.host(hazard_idx, node, host, kind);
                }
            }
            self.settle_families(hazard_idx);
        }
    }

    fn host(&mut self, hazard_idx: usize, hazard: NodeIndex, host: NodeIndex, kind: HostKind) {
        let n_hazards = self.book.hazards().len();
        self.graph.update_edge(hazard, host, Edge::LivesOn(kind));
        for taxon_idx in self.members(host) {
            let cell = &mut self.hosts[taxon_idx * n_hazards + hazard_idx];
            *cell = (*cell).max(kind);
        }
    }

    /// How to treat the members of a host family that the source does not name. A source that names none of it, or names some as
    /// examples, means the family as a whole; else it means those it names.
    fn kind_of_unnamed(&self, hazard_idx: usize, family: NodeIndex, are_examples: bool) -> HostKind {
        let n_hazards = self.book.hazards().len();
        let is_named = |taxon_idx: usize| self.hosts[taxon_idx * n_hazards + hazard_idx] >= HostKind::Part;
        let are_some_named = self.members(family).into_iter().any(is_named);
        if are_some_named && !are_examples { HostKind::Relative } else { HostKind::Named }
    }

    /// A stand of which only the family is known: a host if all plants of the family are, perhaps a host if some are.
    fn settle_families(&mut self, hazard_idx: usize) {
        let n_hazards = self.book.hazards().len();
        let n_plants = self.book.crops().len() + self.book.plants().len();
        let mut kinds: Vec<Option<(HostKind, HostKind)>> = vec![None; self.book.families().len()];
        for taxon_idx in 0..n_plants {
            let kind = self.hosts[taxon_idx * n_hazards + hazard_idx];
            if let Some(family) = self.taxa[taxon_idx].family {
                let (least, most) = kinds[usize::from(family)].get_or_insert((kind, kind));
                (*least, *most) = ((*least).min(kind), (*most).max(kind));
            }
        }
        for (family, kinds) in kinds.into_iter().enumerate() {
            let Some((least, most)) = kinds else { continue };
            if most > HostKind::Relative {
                let cell = &mut self.hosts[(n_plants + family) * n_hazards + hazard_idx];
                *cell = (*cell).max(least.max(HostKind::Part));
            }
        }
    }

    fn add_follow_rules(&mut self) {
        // Pairs that share an id stand together in the book.
        let mut rule_idx = 0;
        for pairs in self.book.follow_rules().chunk_by(|one, next| one.id == next.id) {
            let is_replant = terms::is_each_after_itself(pairs);
            for rule in pairs {
                if !is_replant || rule.before == rule.after {
                    self.add_follow_rule(rule_idx, rule);
                }
                rule_idx += 1;
            }
        }
    }

    fn add_follow_rule(&mut self, rule_idx: usize, rule: &FollowRule) {
        let before = self.names.side(rule.before_kind, &rule.before);
        let after = self.names.side(rule.after_kind, &rule.after);
        let (Some(before), Some(after)) = (before, after) else { return };
        let targets = self.nodes_of(&rule.after, &after);
        for from in self.nodes_of(&rule.before, &before) {
            for &to in &targets {
                self.graph.add_edge(from, to, Edge::Follow(rule_idx));
            }
        }
    }

    /// The rules of each pair of taxa (before, after).
    fn pairs(&self) -> (Vec<u32>, Vec<u16>) {
        let n_taxa = self.taxa.len();
        let rules = self.book.follow_rules();
        let mut told: Vec<(u32, u16)> = Vec::new();
        // One piece of advice may reach a pair twice, through two groups that overlap: it is listed once.
        let mut last_told: Vec<u16> = vec![u16::MAX; n_taxa * n_taxa];
        let mut members: HashMap<NodeIndex, Vec<usize>> = HashMap::new();
        let (mut advice, mut last_id) = (0_u16, "");
        for edge in self.graph.edge_references() {
            let Edge::Follow(rule_idx) = *edge.weight() else { continue };
            let rule = &rules[rule_idx];
            if rule.id != last_id {
                (advice, last_id) = (advice + 1, &rule.id);
            }
            for node in [edge.source(), edge.target()] {
                members.entry(node).or_insert_with(|| self.members(node));
            }
            let is_avoid = rule.advice == Advice::Avoid;
            for &before in &members[&edge.source()] {
                for &after in &members[&edge.target()] {
                    let pair = before * n_taxa + after;
                    let is_told = last_told[pair] == advice;
                    let is_restated =
                        is_avoid && restates_family(self.taxa[before], self.taxa[after], rule.is_of_family);
                    if !is_told && !is_restated {
                        last_told[pair] = advice;
                        told.push((pair as u32, rule_idx as u16));
                    }
                }
            }
        }
        let mut starts = vec![0_u32; n_taxa * n_taxa + 1];
        for (pair, _) in &told {
            starts[*pair as usize + 1] += 1;
        }
        for pair in 0..n_taxa * n_taxa {
            starts[pair + 1] += starts[pair];
        }
        let mut next = starts.clone();
        let mut pair_rules = vec![0_u16; told.len()];
        for (pair, rule) in told {
            let place = &mut next[pair as usize];
            pair_rules[*place as usize] = rule;
            *place += 1;
        }
        (starts, pair_rules)
    }

    /// The bits of the pairs of which anything may be said.
    fn pairs_told(&self, pair_starts: &[u32]) -> Vec<u64> {
        let n_taxa = self.taxa.len();
        let mut told = vec![0; (n_taxa * n_taxa).div_ceil(64)];
        for (before, facts) in self.taxa.iter().enumerate() {
            for (after, other) in self.taxa.iter().enumerate() {
                let pair = before * n_taxa + after;
                let has_rule = pair_starts[pair] < pair_starts[pair + 1];
                let is_told = has_rule || facts.botanical == other.botanical || facts.is_heavy && other.is_heavy;
                told[pair / 64] |= u64::from(is_told) << (pair % 64);
            }
        }
        told
    }

    fn finish(self) -> CropGraph {
        let (pair_starts, pair_rules) = self.pairs();
        let pairs_told = self.pairs_told(&pair_starts);
        let book = self.book;
        let hazard_idx = |id: &String| book.hazards().iter().position(|hazard| hazard.id == *id);
        let rules = book.follow_rules().iter().map(|rule| RuleFacts {
            advice: rule.advice,
            strength: rule.strength,
            severity: severity_of(rule),
            within_years: rule.within_years,
            needs_seen: rule.needs_seen.iter().filter_map(hazard_idx).collect(),
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
                    is_exempt: family.exempt == Exempt::Wholly,
                })
                .collect(),
            hazards: book.hazards().iter().map(hazard_facts).collect(),
            rules: rules.collect(),
            hosts: self.hosts,
            pair_starts,
            pair_rules,
            pairs_told,
            taxa: self.taxa,
            nodes_of_taxa: self.nodes_of_taxa,
            nodes_of_hazard: self.nodes_of_hazard,
            graph: self.graph,
        }
    }
}

/// Whether advice against an order says only that the two are of one family, which the return interval already covers.
fn restates_family(before: TaxonFacts, after: TaxonFacts, is_of_family: bool) -> bool {
    let is_replant = before.is_permanent && after.is_permanent;
    before.botanical == after.botanical && !is_replant && (before.family == after.family || is_of_family)
}

/// Firm advice is a breach if it binds; otherwise it is a caution, as usual advice is.
fn severity_of(rule: &FollowRule) -> Severity {
    match (rule.advice, rule.strength) {
        (Advice::Avoid, Strength::Strong) if rule.is_binding => Severity::Breach,
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
        is_risk_only: matches!(facts.asks, Asks::LessRisk { .. }),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parts_of_a_year_in_a_break_count_as_whole_years() {
        let book = CropBook::embedded().unwrap();
        let mut hazard = book.hazards()[0].clone();
        (hazard.break_years, hazard.persistence_years) = ((1.5, 2.5), (1.0, 3.2, 9.0));
        let facts = hazard_facts(&hazard);
        assert_eq!((facts.break_min_years, facts.break_usual_years, facts.alive_years), (2, 3, 4));
    }
}
