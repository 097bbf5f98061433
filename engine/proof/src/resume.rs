//! Going on after an interruption: of what the rest relies on somebody must be able to make sure again.

use crate::live::risky;
use machine::{AbstractState, Machine, NodeId, Place, VarId};
use std::collections::BTreeSet;

/// What an interruption may lose.
pub(crate) struct Resume {
    /// Of which nobody can always make sure again.
    risky: Vec<VarId>,
    /// Those conditions, with what decides whether somebody can.
    pub(crate) hangs_on: BTreeSet<VarId>,
}

impl Resume {
    pub(crate) fn new(machine: &Machine) -> Self {
        let (risky, hangs_on) = risky(machine);
        Self { risky, hangs_on }
    }

    /// The conditions of a record, relied on at its place, of which nobody can make sure again after an interruption there.
    pub(crate) fn lost(&self, machine: &Machine, state: &AbstractState) -> BTreeSet<VarId> {
        if self.risky.is_empty() {
            return BTreeSet::new();
        }
        machine.lost_among(state, &self.risky)
    }

    /// How many of them are relied on at a node.
    pub(crate) fn count(&self, machine: &Machine, node: NodeId) -> usize {
        if self.risky.is_empty() {
            return 0;
        }
        let place = Place::at(node);
        let everything = self.risky.iter().copied().collect();
        self.risky.iter().filter(|&&var| machine.reliance().relies(place, var, &everything)).count()
    }
}
