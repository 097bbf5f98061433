//! Which steps of a procedure some way leads to, whatever is true: its graph alone.

use crate::machine::Machine;
use crate::node::NodeId;
use std::collections::{BTreeMap, BTreeSet};

/// The graph of a procedure's own steps; a step is told by its pointer. Ways go through performed procedures, whose steps
/// are none of its own.
#[derive(Debug)]
pub struct StepGraph<'m> {
    machine: &'m Machine,
    nodes: BTreeMap<&'m str, Vec<NodeId>>,
}

impl<'m> StepGraph<'m> {
    /// Of a compiled procedure.
    #[must_use]
    pub fn new(machine: &'m Machine) -> Self {
        let mut nodes: BTreeMap<&str, Vec<NodeId>> = BTreeMap::new();
        for (at, node) in (0..).zip(&machine.nodes).filter(|(_, node)| node.procedure == machine.procedure) {
            nodes.entry(&node.pointer).or_default().push(NodeId(at));
        }
        Self { machine, nodes }
    }

    /// The steps that some way leads to from the start without going through a step that `shut` names.
    pub fn reached(&self, shut: impl Fn(&str) -> bool) -> BTreeSet<&'m str> {
        self.follow(vec![self.machine.entry], shut)
    }

    /// The same from behind a step.
    pub fn after(&self, step: &str, shut: impl Fn(&str) -> bool) -> BTreeSet<&'m str> {
        let nodes = self.nodes.get(step).into_iter().flatten().map(|&id| self.machine.node(id));
        let outcomes = nodes.flat_map(|node| &node.outcomes);
        self.follow(outcomes.map(|outcome| outcome.to.node).collect(), shut)
    }

    /// The steps that no way leads to but through the given one; none if there is no such step.
    #[must_use]
    pub fn only_through(&self, step: &str) -> BTreeSet<&'m str> {
        if !self.nodes.contains_key(step) {
            return BTreeSet::new();
        }
        let reached = self.reached(|other| other == step);
        self.nodes.keys().copied().filter(|other| *other != step && !reached.contains(other)).collect()
    }

    fn follow(&self, mut open: Vec<NodeId>, shut: impl Fn(&str) -> bool) -> BTreeSet<&'m str> {
        let (mut seen, mut reached) = (BTreeSet::new(), BTreeSet::new());
        while let Some(id) = open.pop() {
            if !seen.insert(id) {
                continue;
            }
            let node = self.machine.node(id);
            if node.procedure == self.machine.procedure {
                if shut(&node.pointer) {
                    continue;
                }
                reached.insert(node.pointer.as_str());
            }
            open.extend(node.outcomes.iter().map(|outcome| outcome.to.node));
        }
        reached
    }
}
