//! The path through the graph that joins the two of a finding; sought only when somebody asks why.

use petgraph::algo::astar;
use petgraph::graph::NodeIndex;
use petgraph::visit::{EdgeFiltered, EdgeRef};

use super::graph::{Edge, HostKind, Path};
use super::{CropGraph, RotationFinding, Taxon};

impl CropGraph {
    /// The shortest path through the graph that joins what a finding speaks of.
    pub fn path(&self, finding: &RotationFinding) -> Path {
        let node_of = |taxon: Taxon| self.taxon_idx(taxon).map(|idx| self.nodes_of_taxa[idx]);
        let Some(about) = node_of(finding.about_taxon) else { return Path::default() };
        let earlier = finding.earlier_taxon.and_then(node_of);
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
        // The surest edge wins over a shorter one: a family named as a whole over a doubtful mention.
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
