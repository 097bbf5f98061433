//! Going on after an interruption: what lapsed and cannot be looked at must not matter.
//!
//! At a node where a person stands, let a condition lapse that nobody can look at and that the steps from there on rely
//! on. Whatever value it then has, as far as it does not settle away by itself, the state must be one that the
//! exploration has met at that node: then all that was proved counts for it too. Otherwise the interruption leads where
//! nothing was proved, and nobody can tell.

use crate::diagram::{Clocks, NONE, Root, Space};
use crate::meter::BudgetExhausted;
use crate::obligation::Obligation;
use crate::relied::{Reliance, Relied};
use machine::{Conjunct, Machine, NodeId, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// What lapses unseen, and the states met so far where it matters.
pub(crate) struct Resume {
    /// Variables of which nothing is known after an interruption and that nobody can look at.
    pub(crate) vars: BTreeSet<VarId>,
    /// What decides whether their evidence ends.
    pub(crate) causes: BTreeSet<VarId>,
    /// What the steps rely on, if there are such variables.
    reliance: Option<Reliance>,
    reached: BTreeMap<NodeId, Root>,
}

impl Resume {
    pub(crate) fn new(machine: &Machine) -> Self {
        let lapsing = machine.lapses.iter().map(|(var, _)| *var).collect();
        let mut vars = machine.consequences(lapsing).changed;
        // What can only fall falls by itself, and every set of states has the fallen ones.
        let only_falls = |var| {
            let settling = machine.settling.iter().find(|settling| settling.var == var);
            settling.is_some_and(|s| s.from | s.to == machine.layout.all(var))
        };
        vars.retain(|&var| !machine.askable[var.0 as usize] && !only_falls(var));
        let of = |lost: &&machine::LostWhen| vars.contains(&lost.var);
        let causes = machine.lost_when.iter().filter(of).flat_map(|lost| &lost.when.0);
        let causes = causes.map(|conjunct| conjunct.var).collect();
        let reliance = (!vars.is_empty()).then(|| Reliance::new(machine));
        Self { vars, causes, reliance, reached: BTreeMap::new() }
    }

    /// Whether something that lapses unseen is still relied on at the node, with some of its block's items done.
    pub(crate) fn concerns(&self, node: NodeId) -> bool {
        self.reliance
            .as_ref()
            .is_some_and(|reliance| self.vars.iter().any(|&var| reliance.at(node, var) != Relied::Never))
    }

    /// The exploration has met these states at the node.
    pub(crate) fn reached(
        &mut self,
        space: &mut Space<'_>,
        node: NodeId,
        states: Root,
    ) -> Result<(), BudgetExhausted> {
        let Some(reliance) = &self.reliance else { return Ok(()) };
        let states = space.relied_on(states, node, reliance, &self.causes)?;
        let known = self.reached.get(&node).copied().unwrap_or(NONE);
        self.reached.insert(node, space.store.union(known, states)?);
        Ok(())
    }

    /// Once everything has been met: from which states a lapse leads elsewhere.
    pub(crate) fn close(
        &self,
        machine: &Machine,
        space: Option<&mut Space<'_>>,
        lapsed: &mut BTreeMap<Obligation, Root>,
    ) -> Result<(), (BudgetExhausted, NodeId)> {
        let (Some(reliance), Some(space)) = (&self.reliance, space) else { return Ok(()) };
        for (&node, &reached) in &self.reached {
            for &var in self.vars.iter().filter(|&&var| reliance.at(node, var) != Relied::Never) {
                let lost = lost(machine, space, reliance, node, var, reached).map_err(|over| (over, node))?;
                if lost != NONE {
                    lapsed.insert(Obligation::Resume { node, var }, lost);
                }
            }
        }
        Ok(())
    }
}

/// The states from which the variable may get a value that none of the reached states has with all else equal.
fn lost(
    machine: &Machine,
    space: &mut Space<'_>,
    reliance: &Reliance,
    node: NodeId,
    var: VarId,
    reached: Root,
) -> Result<Root, BudgetExhausted> {
    let lapsing: Vec<VarId> = machine.lapses.iter().map(|(var, _)| *var).collect();
    let clocks: Clocks = vec![0; machine.settling.len()].into();
    let settling = machine.settling.iter().find(|settling| settling.var == var);
    let (layout, nothing) = (&machine.layout, BTreeSet::new());
    let met = space.relied_on(reached, node, reliance, &nothing)?;
    let relied = space.relied_where(node, reliance.at(node, var))?;
    let reached = space.intersect(reached, relied)?;
    let mut lost = NONE;
    for part in machine.havoc(&space.anything_at(node, &clocks), &lapsing) {
        if part.changed.binary_search(&var).is_err() {
            continue;
        }
        // What settles by itself is waited for.
        let values = part.state.bits.field(layout, var) & !settling.map_or(0, |settling| settling.from);
        let origin = layout.ids().map(|var| Conjunct { var, set: part.origin.field(layout, var) });
        let from = space.restrict(reached, origin.collect::<Vec<_>>())?;
        let after = space.written(from, var, values)?;
        let after = space.relied_on(after, node, reliance, &nothing)?;
        let missing = space.store.minus(after, met)?;
        if missing != NONE {
            let anyhow = space.written(missing, var, layout.all(var))?;
            let here = space.intersect(from, anyhow)?;
            lost = space.store.union(lost, here)?;
        }
    }
    Ok(lost)
}
