//! Which variables still matter at a node. What no longer matters is widened, so that boxes meet.

use crate::order::Order;
use machine::{DONE, Guard, Machine, NodeId, NodeKind, State, VarId};
use std::collections::BTreeSet;

/// For every node, the variables whose value there can still decide something.
pub(crate) struct Live {
    words: usize,
    /// What the steps rely on.
    sets: Vec<u64>,
    /// That, and what an act sets: whether the act changes it can be told only from what was so before.
    watched: Vec<u64>,
    vars: Vec<VarId>,
    /// Variables that are never widened, whether or not the steps still need them.
    kept: Vec<bool>,
}

impl Live {
    /// Backwards over the nodes until nothing is added: at most once a node on every loop.
    ///
    /// `kept` are variables that must not be widened anywhere: what plans for stopping rely on, and variants that
    /// decide a way.
    pub(crate) fn new(machine: &Machine, order: &Order, kept: &BTreeSet<VarId>) -> Self {
        let vars: Vec<VarId> = machine.layout.ids().collect();
        let words = vars.len().div_ceil(64).max(1);
        let kept = vars.iter().map(|var| kept.contains(var)).collect();
        let none = vec![0; words * machine.nodes.len()];
        let mut live = Self { words, sets: none, watched: Vec::new(), vars, kept };
        let order = order.backwards();
        live.settle(machine, &order, false);
        let relied_on = live.sets.clone();
        live.settle(machine, &order, true);
        live.watched = std::mem::replace(&mut live.sets, relied_on);
        live
    }

    fn settle(&mut self, machine: &Machine, order: &[NodeId], watch: bool) {
        loop {
            let mut grown = false;
            for &node in order {
                grown |= self.update(machine, node, watch);
            }
            if !grown {
                return;
            }
        }
    }

    /// Whether the steps from the node on rely on the variable.
    pub(crate) fn is_live(&self, node: NodeId, var: VarId) -> bool {
        self.has(&self.sets, node, var)
    }

    /// Whether the variable is not widened at the node.
    pub(crate) fn stays(&self, node: NodeId, var: VarId) -> bool {
        self.kept[var.0 as usize] || self.has(&self.watched, node, var)
    }

    /// Forgets what no longer matters at the state's place. More states, but none that decides differently.
    pub(crate) fn widen(&self, machine: &Machine, state: &mut State) {
        for &var in &self.vars {
            if !self.stays(state.place.node, var) {
                state.bits.set_field(&machine.layout, var, machine.layout.all(var));
            }
        }
        for (settling, clock) in machine.settling.iter().zip(&mut state.clocks) {
            if !self.stays(state.place.node, settling.var) {
                *clock = 0;
            }
        }
    }

    fn has(&self, sets: &[u64], node: NodeId, var: VarId) -> bool {
        let var = var.0 as usize;
        sets[node.0 as usize * self.words + var / 64] >> (var % 64) & 1 == 1
    }

    fn of(&self, node: NodeId) -> &[u64] {
        let at = node.0 as usize * self.words;
        &self.sets[at..at + self.words]
    }

    fn update(&mut self, machine: &Machine, id: NodeId, watch: bool) -> bool {
        let node = machine.node(id);
        let mut set = self.of(id).to_vec();
        for need in &node.needs {
            mark(&mut set, need.conjunct.var);
        }
        if id == DONE {
            machine.promises.iter().for_each(|promise| mark(&mut set, promise.conjunct.var));
        }
        for outcome in &node.outcomes {
            if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
                let known = cube.0.iter().filter(|conjunct| !outcome.fresh.contains(&conjunct.var));
                known.for_each(|conjunct| mark(&mut set, conjunct.var));
            }
            outcome
                .waits
                .iter()
                .flat_map(|(cube, _)| &cube.0)
                .for_each(|conjunct| mark(&mut set, conjunct.var));
            let mut written = vec![0; self.words];
            let vars = outcome.fresh.iter().copied().chain(outcome.sets.iter().map(|set| set.var));
            vars.clone().for_each(|var| mark(&mut written, var));
            let mut after = self.of(outcome.to.node).to_vec();
            decides(machine, &vars.collect()).into_iter().for_each(|var| mark(&mut after, var));
            for ((set, after), written) in set.iter_mut().zip(after).zip(written) {
                *set |= after & !written;
            }
        }
        if watch && node.kind == NodeKind::Act {
            node.outcomes.iter().flat_map(|outcome| &outcome.sets).for_each(|act| mark(&mut set, act.var));
        }
        let at = id.0 as usize * self.words;
        let grown = self.sets[at..at + self.words] != set[..];
        self.sets[at..at + self.words].copy_from_slice(&set);
        grown
    }
}

fn mark(set: &mut [u64], var: VarId) {
    set[var.0 as usize / 64] |= 1 << (var.0 % 64);
}

/// What decides, once an outcome has written its variables, whether evidence ends and whether a rule is broken.
fn decides(machine: &Machine, written: &BTreeSet<VarId>) -> BTreeSet<VarId> {
    if machine.lost_when.is_empty() && machine.rules.is_empty() {
        return BTreeSet::new();
    }
    let follows = machine.consequences(written.clone());
    follows.looked_at.into_iter().flat_map(|cube| &cube.0).map(|conjunct| conjunct.var).collect()
}
