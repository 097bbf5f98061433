//! What one box violates at a node, and where it goes on.

use crate::obligation::Obligation;
use machine::{AbstractState, Cube, DONE, Machine, NodeId, NodeKind, Place, VarId};
use std::collections::BTreeSet;

/// Everything that follows from one box, and what it violates: the outcome taken, the step's result as the machine gave
/// it, and the permitted part of its state.
pub(crate) fn successors(
    machine: &Machine,
    state: &AbstractState,
    follow: &dyn Fn(Place, usize) -> bool,
    violated: &mut BTreeSet<Obligation>,
) -> Vec<(usize, machine::Next, AbstractState)> {
    let id = state.place.node;
    if id == DONE {
        for (at, promise) in machine.promises.iter().enumerate() {
            if state.bits.field(&machine.layout, promise.conjunct.var) & !promise.conjunct.set != 0 {
                violated.insert(Obligation::Promise(at));
            }
        }
        return Vec::new();
    }
    let Some(state) = met(machine, state, violated) else { return Vec::new() };
    let node = machine.node(id);
    if node.kind == NodeKind::Ask && machine.unanswered(&state).is_some() {
        violated.insert(Obligation::Answered(id));
    }
    let mut next = Vec::new();
    for outcome in machine.open(state.place).filter(|&outcome| follow(state.place, outcome)) {
        for step in machine.step(&state, outcome) {
            let parts = permitted(machine, &step.state, &step.changed, Some(id), violated);
            next.extend(parts.into_iter().map(|part| (outcome, step.clone(), part)));
        }
    }
    next
}

/// Reports the preconditions that a box may fail, and goes on with the part that meets them: otherwise one fault would
/// hide or multiply others.
pub(crate) fn met(
    machine: &Machine,
    state: &AbstractState,
    violated: &mut BTreeSet<Obligation>,
) -> Option<AbstractState> {
    let unmet = machine.unmet(state);
    if unmet.is_empty() {
        return Some(state.clone());
    }
    let node = state.place.node;
    violated.extend(unmet.iter().map(|&need| Obligation::Need { node, need }));
    let needs = &machine.node(node).needs;
    machine.narrow(state, &Cube(unmet.iter().map(|&need| needs[need].conjunct).collect()))
}

/// Reports the rules that a box may break, and goes on with the parts that break none. Only at the end may a settling
/// value fall again: between two rules that would bring states back that the first one took away.
pub(crate) fn permitted(
    machine: &Machine,
    state: &AbstractState,
    changed: &[VarId],
    by: Option<NodeId>,
    violated: &mut BTreeSet<Obligation>,
) -> Vec<AbstractState> {
    let mut parts = vec![state.bits.clone()];
    for rule in machine.broken(state, changed) {
        violated.insert(Obligation::Rule { rule, by });
        let when = &machine.rules[rule].when;
        parts = parts.iter().flat_map(|bits| when.outside(&machine.layout, bits)).collect();
    }
    let whole = Cube::default();
    parts
        .into_iter()
        .filter_map(|bits| machine.narrow(&AbstractState { bits, ..state.clone() }, &whole))
        .collect()
}

/// Whether leaving the state's node by its first outcome may change a variable it sets.
pub(crate) fn changes(machine: &Machine, state: &AbstractState) -> bool {
    let sets = machine.node(state.place.node).outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
    sets.iter().any(|set| state.bits.field(&machine.layout, set.var) != set.set)
}
