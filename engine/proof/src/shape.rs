//! What the graph alone tells: steps that nothing leads to, steps that lead nowhere, loops without a bound.

use crate::order::graph;
use machine::{DONE, Machine, NodeId, STOP};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::DiGraph;
use petgraph::visit::{Dfs, Reversed};

/// Faults of the graph of steps.
#[derive(Clone, Debug, Default)]
pub struct Shape {
    /// Nodes that no way from the first leads to.
    pub unreachable: Vec<NodeId>,
    /// Nodes from which no way leads to `done` or `stop`.
    pub endless: Vec<NodeId>,
    /// Loops, each with its nodes in order. A repeat is written out round by round and is none.
    pub loops: Vec<Vec<NodeId>>,
    /// Whether no way from the first node leads to `done`.
    pub never_done: bool,
}

/// For every node, whether some way leads from it to done.
pub(crate) fn can_be_done(machine: &Machine) -> Vec<bool> {
    leads_to(machine, &graph(machine, true), DONE)
}

fn leads_to(machine: &Machine, whole: &DiGraph<(), ()>, end: NodeId) -> Vec<bool> {
    let mut found = vec![false; machine.nodes.len()];
    let reversed = Reversed(whole);
    let mut walk = Dfs::new(reversed, end.0.into());
    while let Some(node) = walk.next(reversed) {
        found[node.index()] = true;
    }
    found
}

/// Looks at the graph of a machine, whatever its conditions.
#[must_use]
pub fn shape(machine: &Machine) -> Shape {
    let whole = graph(machine, true);
    let mut forward = vec![false; machine.nodes.len()];
    let mut walk = Dfs::new(&whole, (machine.entry.0).into());
    while let Some(node) = walk.next(&whole) {
        forward[node.index()] = true;
    }
    let (to_done, to_stop) = (leads_to(machine, &whole, DONE), leads_to(machine, &whole, STOP));
    let nodes = || (0..machine.nodes.len() as u32).map(NodeId).filter(|&node| node != DONE && node != STOP);
    let cut = graph(machine, false);
    let mut loops: Vec<Vec<NodeId>> = kosaraju_scc(&cut)
        .into_iter()
        .filter(|members| members.len() > 1 || members.iter().any(|&node| cut.contains_edge(node, node)))
        .map(|members| {
            let mut nodes: Vec<NodeId> =
                members.into_iter().map(|node| NodeId(node.index() as u32)).collect();
            nodes.sort_unstable();
            nodes
        })
        .collect();
    loops.sort_unstable();
    Shape {
        unreachable: nodes().filter(|node| !forward[node.0 as usize]).collect(),
        endless: nodes()
            .filter(|node| forward[node.0 as usize] && !to_done[node.0 as usize] && !to_stop[node.0 as usize])
            .collect(),
        loops,
        never_done: !forward[DONE.0 as usize],
    }
}
