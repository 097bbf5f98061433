//! Which variables are live at a node. Dead ones are projected away, so that boxes meet.

use crate::order::Order;
use machine::{AbstractState, DONE, Guard, Machine, NodeId, NodeKind, Outcome, VarId};
use std::collections::BTreeSet;

/// For every node, the variables whose value there can still decide something.
pub(crate) struct LiveVars {
    words: usize,
    /// What the steps rely on, and what an act sets: whether the act changes it can be told only from what was so before.
    sets: Vec<u64>,
    vars: Vec<VarId>,
    /// Variables that are never projected away, whether or not the steps still need them.
    kept: Vec<bool>,
}

impl LiveVars {
    /// Backwards over the nodes until nothing is added: at most once a node on every loop.
    ///
    /// `kept` are variables that must not be projected away anywhere: what plans for stopping rely on, and variants that
    /// decide a way.
    pub(crate) fn new(machine: &Machine, order: &Order, kept: &BTreeSet<VarId>) -> Self {
        let vars: Vec<VarId> = machine.layout.ids().collect();
        let words = vars.len().div_ceil(64).max(1);
        let kept = vars.iter().map(|var| kept.contains(var)).collect();
        let none = vec![0; words * machine.nodes.len()];
        let mut live = Self { words, sets: none, vars, kept };
        let order = order.backwards();
        loop {
            let mut grown = false;
            for &node in &order {
                grown |= live.update(machine, node);
            }
            if !grown {
                return live;
            }
        }
    }

    /// Whether the variable is not projected away at the node.
    pub(crate) fn stays(&self, node: NodeId, var: VarId) -> bool {
        let at = var.0 as usize;
        self.kept[at] || self.sets[node.0 as usize * self.words + at / 64] >> (at % 64) & 1 == 1
    }

    /// Projects the variables away that are dead at the state's place. More states, but none that decides differently.
    pub(crate) fn project_dead(&self, machine: &Machine, state: &mut AbstractState) {
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

    fn words_at(&self, node: NodeId) -> &[u64] {
        let at = node.0 as usize * self.words;
        &self.sets[at..at + self.words]
    }

    fn update(&mut self, machine: &Machine, id: NodeId) -> bool {
        let node = machine.node(id);
        let mut set = self.words_at(id).to_vec();
        node.needs.iter().for_each(|need| mark(&mut set, need.conjunct.var));
        if id == DONE {
            machine.promises.iter().for_each(|promise| mark(&mut set, promise.conjunct.var));
        }
        for outcome in &node.outcomes {
            reads(outcome, &mut set);
            let (wrote, decides) = written(machine, outcome, self.words);
            let after = self.words_at(outcome.to.node);
            for (at, set) in set.iter_mut().enumerate() {
                *set |= (after[at] | decides[at]) & !wrote[at];
            }
        }
        if node.kind == NodeKind::Act {
            node.outcomes.iter().flat_map(|outcome| &outcome.sets).for_each(|act| mark(&mut set, act.var));
        }
        let at = id.0 as usize * self.words;
        let grown = self.sets[at..at + self.words] != set[..];
        self.sets[at..at + self.words].copy_from_slice(&set);
        grown
    }
}

/// Adds what decides whether an outcome is possible and how long it takes.
pub(crate) fn reads(outcome: &Outcome, set: &mut [u64]) {
    if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
        let known = cube.0.iter().filter(|conjunct| !outcome.havoc.contains(&conjunct.var));
        known.for_each(|conjunct| mark(set, conjunct.var));
    }
    outcome.waits.iter().flat_map(|(cube, _)| &cube.0).for_each(|conjunct| mark(set, conjunct.var));
}

/// What an outcome writes, and what then decides whether evidence ends and whether a rule is broken.
pub(crate) fn written(machine: &Machine, outcome: &Outcome, words: usize) -> (Vec<u64>, Vec<u64>) {
    let (mut wrote, mut decided) = (vec![0; words], vec![0; words]);
    let vars = outcome.havoc.iter().copied().chain(outcome.sets.iter().map(|set| set.var));
    vars.clone().for_each(|var| mark(&mut wrote, var));
    decides(machine, &vars.collect()).into_iter().for_each(|var| mark(&mut decided, var));
    (wrote, decided)
}

/// Adds a variable to a set.
pub(crate) fn mark(set: &mut [u64], var: VarId) {
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
