//! Which steps can come after which, without a step that would have to lie between.

use machine::{Machine, NodeId};
use std::collections::{BTreeMap, BTreeSet};

/// The graph of the procedure's own steps; steps are told by their pointers.
pub(super) struct Paths<'m> {
    machine: &'m Machine,
    nodes: BTreeMap<&'m str, Vec<usize>>,
}

impl<'m> Paths<'m> {
    pub(super) fn of(machine: &'m Machine) -> Self {
        let mut nodes: BTreeMap<&str, Vec<usize>> = BTreeMap::new();
        for (at, node) in machine.nodes.iter().enumerate() {
            if node.procedure == machine.procedure {
                nodes.entry(&node.pointer).or_default().push(at);
            }
        }
        Self { machine, nodes }
    }

    /// The steps that some way leads to from the start without going through a step that `shut` names.
    pub(super) fn reached(&self, shut: &dyn Fn(&str) -> bool) -> BTreeSet<&'m str> {
        self.follow(vec![self.machine.entry], shut)
    }

    /// The same from behind a step.
    pub(super) fn behind(&self, step: &str, shut: &dyn Fn(&str) -> bool) -> BTreeSet<&'m str> {
        let of = |&at: &usize| self.machine.nodes.get(at);
        let nodes = self.nodes.get(step).into_iter().flatten().filter_map(of);
        self.follow(
            nodes.flat_map(|node| node.outcomes.iter().map(|outcome| outcome.to.node)).collect(),
            shut,
        )
    }

    fn follow(&self, mut open: Vec<NodeId>, shut: &dyn Fn(&str) -> bool) -> BTreeSet<&'m str> {
        let mut seen: BTreeSet<NodeId> = BTreeSet::new();
        let mut reached = BTreeSet::new();
        while let Some(id) = open.pop() {
            let Some(node) = self.machine.nodes.get(id.0 as usize).filter(|_| seen.insert(id)) else {
                continue;
            };
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
