//! An order of the nodes in which every box meets the others at a join before it goes on.

use machine::{Machine, NodeId, Place};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};

/// Ranks of nodes.
pub(crate) struct Order {
    /// For every node, the rank of its group; groups are nodes that can reach each other.
    group: Vec<u32>,
    /// For every node, its rank without the edges that finish an item of an any-order block.
    rank: Vec<u32>,
    /// For every node, whether it lies on a loop of steps.
    looped: Vec<bool>,
}

/// Where a node comes in the exploration, and how often items were finished or offered again there: fewer come first.
pub(crate) type Key = (u32, u32, u32, NodeId);

impl Order {
    pub(crate) fn new(machine: &Machine) -> Self {
        let count = machine.nodes.len();
        let whole = kosaraju_scc(&graph(machine, true));
        let mut group = vec![0; count];
        // The groups come last first.
        for (rank, members) in whole.iter().rev().enumerate() {
            for member in members {
                group[member.index()] = rank as u32;
            }
        }
        let (mut rank, mut looped) = (vec![0; count], vec![false; count]);
        let cut = graph(machine, false);
        for (at, members) in kosaraju_scc(&cut).iter().rev().enumerate() {
            let in_loop = members.len() > 1 || members.iter().any(|&node| cut.contains_edge(node, node));
            for member in members {
                rank[member.index()] = at as u32;
                looped[member.index()] = in_loop;
            }
        }
        Self { group, rank, looped }
    }

    pub(crate) fn key(&self, place: Place) -> Key {
        let node = place.node.0 as usize;
        // An item that a look offers again is done no more, and was offered: neither is ever less.
        let items = place.items.count_ones() + place.again.count_ones();
        (self.group[node], items, self.rank[node], place.node)
    }

    /// Whether the node lies on a loop, so that boxes explored there must be remembered.
    pub(crate) fn is_looped(&self, node: NodeId) -> bool {
        self.looped[node.0 as usize]
    }

    /// All nodes, last first.
    pub(crate) fn backwards(&self) -> Vec<NodeId> {
        let mut nodes: Vec<NodeId> = (0..self.group.len() as u32).map(NodeId).collect();
        nodes.sort_by_key(|node| {
            let at = node.0 as usize;
            std::cmp::Reverse((self.group[at], self.rank[at]))
        });
        nodes
    }
}

/// The nodes with an edge for every outcome; without `finishing`, those that finish an item of a block are left out.
pub(crate) fn graph(machine: &Machine, finishing: bool) -> DiGraph<(), ()> {
    let mut graph = DiGraph::with_capacity(machine.nodes.len(), machine.nodes.len());
    for _ in &machine.nodes {
        graph.add_node(());
    }
    for (at, node) in machine.nodes.iter().enumerate() {
        for outcome in node.outcomes.iter().filter(|outcome| finishing || outcome.to.item.is_none()) {
            graph.add_edge(NodeIndex::new(at), NodeIndex::new(outcome.to.node.0 as usize), ());
        }
    }
    graph
}
