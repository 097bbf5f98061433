//! Going on after an interruption: of what the rest relies on somebody must be able to make sure again.

use crate::live::risky;
use machine::{AbstractState, Machine, NodeId, Place, Reliance, VarId};
use std::collections::BTreeSet;

/// What an interruption may lose.
pub(crate) struct Resume {
    /// What the steps rely on, if there is anything of which nobody can always make sure again.
    reliance: Option<Reliance>,
    /// Those conditions, with what decides whether somebody can.
    pub(crate) hangs_on: BTreeSet<VarId>,
    risky: Vec<VarId>,
}

impl Resume {
    pub(crate) fn new(machine: &Machine) -> Self {
        let (risky, hangs_on) = risky(machine);
        let reliance = (!risky.is_empty()).then(|| Reliance::new(machine));
        Self { reliance, hangs_on, risky }
    }

    /// The conditions of a record, relied on at its place, of which nobody can make sure again after an interruption there.
    pub(crate) fn lost(&self, machine: &Machine, state: &AbstractState) -> BTreeSet<VarId> {
        let Some(reliance) = &self.reliance else { return BTreeSet::new() };
        machine.lost_among(state, reliance, &self.risky)
    }

    /// How many of them are relied on at a node.
    pub(crate) fn count(&self, node: NodeId) -> usize {
        let Some(reliance) = &self.reliance else { return 0 };
        let place = Place::at(node);
        let everything = self.risky.iter().copied().collect();
        self.risky.iter().filter(|&&var| reliance.relies(place, var, &everything)).count()
    }
}
