//! The graph of crops, families, hazards and follow rules, and the tables read from it.
//!
//! Nodes are crops, known plants, families, botanical families, groups of crops and hazards. Edges say what belongs to what, what
//! a hazard lives on, and what had better (or better not) follow what. The code calls an entry of the book (crop, known plant or
//! family) a *taxon*. For each pair of taxa the tables hold the rules that join them, so that a check only reads arrays.

use std::collections::BTreeSet;

use petgraph::graph::{DiGraph, NodeIndex};

use crate::crops::{Advice, LimeEffect, PlantRef, Strength};
use crate::garden::Severity;

use super::Taxon;

/// What a node stands for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Node {
    /// A crop, by its place in the book.
    Crop(usize),
    /// A plant of which only the name is known, by its place in the book.
    Known(usize),
    /// A family as growers know it, by its place in the book.
    Family(usize),
    /// A botanical family.
    Botanical(String),
    /// Plants that a rule or hazard speaks of under one name.
    Group(String),
    /// A hazard, by its place in the book.
    Hazard(usize),
}

/// What an edge means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
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
    /// A follow rule speaks of the second after the first; its place in the book.
    Follow(usize),
}

/// How surely a plant is a host.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum HostKind {
    /// No host.
    #[default]
    None,
    /// In a family with hosts, but not named by the source.
    Relative,
    /// A family some of whose plants are hosts, where it is not known which plant stood.
    Part,
    /// Named, or of a family named as a whole.
    Named,
}

/// The path that joins the two sides of a finding: its nodes, and the edge between each and the next.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Path {
    /// The first is what the finding is about; empty if the graph does not know it.
    pub nodes: Vec<Node>,
    /// One fewer.
    pub edges: Vec<Edge>,
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
    pub strength: Strength,
    pub severity: Severity,
    pub within_years: f64,
    /// Holds only where one of these hazards was seen; empty: always.
    pub needs_seen: Vec<usize>,
}

/// What the engine needs to know of one taxon.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct TaxonFacts {
    pub family: Option<u16>,
    /// Place of the botanical family; a taxon without one has a place of its own.
    pub botanical: u16,
    /// The same number for all entries of the book that count as one crop in rotation (`onion`).
    pub species: u16,
    pub is_heavy: bool,
    pub is_root: bool,
    /// What lime does to it, and for how many years after liming.
    pub after_lime: Option<(LimeEffect, u32)>,
    pub is_green_manure: bool,
    pub is_permanent: bool,
    /// Growers commonly leave it out of strict rotation, though not its whole family.
    pub is_left_out: bool,
    /// Another family that it counts as of too.
    pub counts_with: Option<u16>,
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
    /// The sources report a risk that falls with time instead of asking for a break.
    pub is_risk_only: bool,
}

/// The graph of crops, families, hazards and follow rules of one book.
///
/// Built once. Every check is given the book from which it was built.
#[derive(Debug)]
pub struct CropGraph {
    pub(super) graph: DiGraph<Node, Edge>,
    pub(super) nodes_of_taxa: Vec<NodeIndex>,
    pub(super) nodes_of_hazard: Vec<NodeIndex>,
    pub(super) n_crops: usize,
    pub(super) n_plants: usize,
    pub(super) taxa: Vec<TaxonFacts>,
    pub(super) families: Vec<FamilyFacts>,
    pub(super) hazards: Vec<HazardFacts>,
    pub(super) rules: Vec<RuleFacts>,
    /// By taxon, then by hazard.
    pub(super) hosts: Vec<HostKind>,
    /// For each pair (before, after): start in `pair_rules`.
    pub(super) pair_starts: Vec<u32>,
    pub(super) pair_rules: Vec<u16>,
    /// For each pair (before, after), a bit: whether anything at all may be said of the order.
    pub(super) pairs_told: Vec<u64>,
}

impl CropGraph {
    /// Place of a taxon in the tables; unknown places give `None`.
    pub(crate) fn taxon_idx(&self, taxon: Taxon) -> Option<usize> {
        let idx = match taxon {
            Taxon::Plant(PlantRef::Crop(idx)) if idx < self.n_crops => idx,
            Taxon::Plant(PlantRef::Known(idx)) if idx < self.n_plants - self.n_crops => self.n_crops + idx,
            Taxon::Family(idx) if idx < self.families.len() => self.n_plants + idx,
            _ => return None,
        };
        Some(idx)
    }

    /// How surely the taxon is a host of the hazard.
    pub(super) fn host(&self, taxon_idx: usize, hazard_idx: usize) -> HostKind {
        if hazard_idx >= self.hazards.len() {
            return HostKind::None;
        }
        self.hosts.get(taxon_idx * self.hazards.len() + hazard_idx).copied().unwrap_or_default()
    }

    /// Follow rules that speak of `after` after `before`.
    pub(crate) fn rules_between(&self, before: usize, after: usize) -> &[u16] {
        let pair = before * self.taxa.len() + after;
        &self.pair_rules[self.pair_starts[pair] as usize..self.pair_starts[pair + 1] as usize]
    }

    /// Whether anything may be said of one after the other: they are of one botanical family, both feed heavily, or a follow rule
    /// speaks of them. Most pairs are none of these, and histories are long.
    pub(super) fn is_told_of(&self, before: usize, after: usize) -> bool {
        let pair = before * self.taxa.len() + after;
        self.pairs_told[pair / 64] >> (pair % 64) & 1 != 0
    }

    /// Follow rules that give no edge between two crops: they speak of no crop in particular, of what is done to the ground, or
    /// of one family after itself, which other rules cover.
    pub fn unlinked_rules(&self) -> Vec<usize> {
        let linked: BTreeSet<usize> = self
            .graph
            .edge_weights()
            .filter_map(|edge| if let Edge::Follow(rule) = edge { Some(*rule) } else { None })
            .collect();
        (0..self.rules.len()).filter(|rule| !linked.contains(rule)).collect()
    }

    /// Whether the plant or family is a named host of the hazard.
    pub fn is_host(&self, taxon: Taxon, hazard_idx: usize) -> bool {
        self.taxon_idx(taxon).is_some_and(|taxon_idx| self.host(taxon_idx, hazard_idx) >= HostKind::Part)
    }
}
