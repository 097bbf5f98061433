//! Which steps are passed on every way to another.

use machine::{Machine, NodeId};
use std::collections::{BTreeMap, BTreeSet};

/// The graph of the procedure's own steps.
pub(super) struct Passed<'a> {
    machine: &'a Machine,
    /// The nodes of each step, by its pointer.
    nodes: BTreeMap<&'a str, BTreeSet<usize>>,
}

impl<'a> Passed<'a> {
    pub(super) fn of(machine: &'a Machine) -> Self {
        let mut nodes: BTreeMap<&str, BTreeSet<usize>> = BTreeMap::new();
        for (at, node) in
            machine.nodes.iter().enumerate().filter(|(_, node)| node.procedure == machine.procedure)
        {
            nodes.entry(&node.pointer).or_default().insert(at);
        }
        Self { machine, nodes }
    }

    /// The steps that cannot be reached without the given one: a way that goes round it is looked for.
    pub(super) fn behind(&self, gate: &str) -> BTreeSet<&'a str> {
        let Some(shut) = self.nodes.get(gate) else { return BTreeSet::new() };
        let mut reached: BTreeSet<usize> = BTreeSet::new();
        let mut open = vec![self.machine.entry];
        while let Some(NodeId(node)) = open.pop() {
            let node = node as usize;
            if !shut.contains(&node) && reached.insert(node) {
                let outcomes =
                    self.machine.nodes.get(node).map(|node| &node.outcomes[..]).unwrap_or_default();
                open.extend(outcomes.iter().map(|outcome| outcome.to.node));
            }
        }
        let behind = self.nodes.iter().filter(|(_, nodes)| nodes.is_disjoint(&reached));
        behind.map(|(pointer, _)| *pointer).filter(|pointer| *pointer != gate).collect()
    }
}
