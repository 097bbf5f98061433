//! What one box violates at a node, and where it goes on.

use crate::obligation::Obligation;
use machine::{AbstractState, Cube, DONE, Machine, NodeKind, Place, STOP};
use std::collections::BTreeSet;

/// Everything that follows from one box, and what it violates: the outcome taken and the state after it.
pub(crate) fn successors(
    machine: &Machine,
    state: &AbstractState,
    follow: &dyn Fn(Place, usize) -> bool,
    violated: &mut BTreeSet<Obligation>,
) -> Vec<(usize, AbstractState)> {
    let id = state.place.node;
    if id == DONE {
        violated.extend(machine.unkept(state).into_iter().map(Obligation::Promise));
        if !machine.found(state).is_empty() {
            violated.insert(Obligation::Unmended(DONE));
        }
        return Vec::new();
    }
    if id == STOP {
        return Vec::new();
    }
    let Some(state) = met(machine, state, violated) else { return Vec::new() };
    let node = machine.node(id);
    if node.kind == NodeKind::Ask && machine.unanswered(&state).is_some() {
        violated.insert(Obligation::Answered(id));
    }
    let by = machine.act_of(id);
    let mut next = Vec::new();
    for outcome in machine.open(state.place).filter(|&outcome| follow(state.place, outcome)) {
        for step in machine.step(&state, outcome) {
            if step.unmended {
                violated.insert(Obligation::Unmended(by));
            }
            if !step.broken.is_empty() {
                let rules = step.broken.iter().map(|&rule| Obligation::Rule { rule, by: Some(by) });
                violated.extend(rules);
                continue;
            }
            next.push((outcome, step.state));
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

/// Whether leaving the state's node may change something.
pub(crate) fn changes(machine: &Machine, state: &AbstractState) -> bool {
    let effects = machine.node(state.place.node).outcomes.first().map_or(&[][..], |outcome| &outcome.effects);
    effects.iter().any(|effect| match *effect {
        machine::Effect::Write(set) => state.bits.field(&machine.layout, set.var) != set.set,
        machine::Effect::Open(_)
        | machine::Effect::Look(_)
        | machine::Effect::Find(_)
        | machine::Effect::Lose(_)
        | machine::Effect::Verify(_) => true,
    })
}
