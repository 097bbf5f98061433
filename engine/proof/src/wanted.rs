//! What runs are looked for, and where in the graph they can still be found.

use crate::obligation::Obligation;
use machine::{AbstractState, DONE, Machine, NodeId};
use std::collections::BTreeSet;

/// What is still looked for.
pub(crate) struct Wanted {
    left: BTreeSet<Obligation>,
    /// For every node, those from which an edge leads to it.
    before: Vec<Vec<NodeId>>,
    /// For every node, whether a way leads from it to where something is looked for; worked out for so many.
    leads_on: Vec<bool>,
    worked_out_for: usize,
}

impl Wanted {
    pub(crate) fn new(machine: &Machine, wanted: &BTreeSet<Obligation>) -> Self {
        let mut before = vec![Vec::new(); machine.nodes.len()];
        for (at, node) in (0..).zip(&machine.nodes) {
            for outcome in &node.outcomes {
                before[outcome.to.node.0 as usize].push(NodeId(at));
            }
        }
        let mut all = Self { left: wanted.clone(), before, leads_on: Vec::new(), worked_out_for: 0 };
        // Nothing is done on the way to it.
        all.left.remove(&Obligation::Universal);
        all.work_out(machine);
        all
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.left.is_empty()
    }

    pub(crate) fn has(&self, of: Obligation) -> bool {
        self.left.contains(&of)
    }

    /// It was found.
    pub(crate) fn remove(&mut self, machine: &Machine, of: Obligation) {
        self.left.remove(&of);
        if self.left.len() * 2 <= self.worked_out_for {
            self.work_out(machine);
        }
    }

    /// Whether a run through the node may come to something that is looked for.
    pub(crate) fn leads_on(&self, node: NodeId) -> bool {
        self.leads_on[node.0 as usize]
    }

    /// What is looked for at the start itself.
    pub(crate) fn at_start(&self) -> Vec<Obligation> {
        let is_there = |of: &Obligation| match of {
            Obligation::Unseen(_) | Obligation::Rule { by: None, .. } => true,
            Obligation::Rule { by: Some(_), .. }
            | Obligation::Need { .. }
            | Obligation::Unmended(_)
            | Obligation::Promise(_)
            | Obligation::Answered(_)
            | Obligation::Stop(_)
            | Obligation::StopAfter(_)
            | Obligation::Universal
            | Obligation::Resume { .. } => false,
        };
        self.left.iter().copied().filter(is_there).collect()
    }

    /// What is looked for in a record on arrival at its place.
    pub(crate) fn here(&self, machine: &Machine, state: &AbstractState) -> Vec<Obligation> {
        let here = state.place.node;
        let told = machine.told_at(here);
        let is_there = |of: &Obligation| match *of {
            Obligation::Need { node, .. } | Obligation::Answered(node) => node == here,
            Obligation::Stop(node) | Obligation::Resume { node, .. } => node == told,
            Obligation::Promise(_) | Obligation::Unmended(DONE) => here == DONE,
            Obligation::Rule { .. }
            | Obligation::Unmended(_)
            | Obligation::Unseen(_)
            | Obligation::StopAfter(_)
            | Obligation::Universal => false,
        };
        self.left.iter().copied().filter(is_there).collect()
    }

    fn work_out(&mut self, machine: &Machine) {
        self.worked_out_for = self.left.len();
        let (mut nodes, mut acts, mut told) = (BTreeSet::new(), BTreeSet::new(), BTreeSet::new());
        for &of in &self.left {
            match of {
                Obligation::Need { node, .. } | Obligation::Answered(node) => nodes.insert(node),
                Obligation::Rule { by: Some(node), .. } | Obligation::Unmended(node) => acts.insert(node),
                Obligation::Stop(node) | Obligation::StopAfter(node) | Obligation::Resume { node, .. } => {
                    told.insert(node)
                }
                Obligation::Promise(_) => nodes.insert(DONE),
                Obligation::Rule { by: None, .. } | Obligation::Unseen(_) | Obligation::Universal => false,
            };
        }
        let all = (0..machine.nodes.len() as u32).map(NodeId);
        let mut open: Vec<NodeId> = all
            .filter(|node| {
                nodes.contains(node)
                    || acts.contains(&machine.act_of(*node))
                    || told.contains(&machine.told_at(*node))
            })
            .collect();
        self.leads_on = vec![false; machine.nodes.len()];
        while let Some(node) = open.pop() {
            if !std::mem::replace(&mut self.leads_on[node.0 as usize], true) {
                open.extend(&self.before[node.0 as usize]);
            }
        }
    }
}
