//! Moves through the machine. Only its step function moves a walk.

use crate::questions::{is_fresh, next_question, question, questions};
use crate::state::Walk;
use machine::{AbstractState, Choice, Cube, NodeKind};

/// Takes the outcome with that choice. A choice that leads nowhere is refused before it is recorded; if a record says so
/// all the same, the walk stays where it is.
pub(crate) fn choose(walk: &mut Walk, choice: Choice) {
    if let Some(next) = after(walk, choice) {
        walk.states = next;
        walk.looked.clear();
        walk.timer = None;
        walk.ticks = 0;
        walk.ticks_doubted = false;
    }
}

/// Takes a choice at once, or, where the step names a role that verifies it, once that person has signed.
pub(crate) fn verified(walk: &mut Walk, choice: Choice) {
    if walk.step().is_some_and(|step| step.common.verified_by.is_some()) {
        walk.unverified = Some(choice);
    } else {
        choose(walk, choice);
    }
}

/// The states a choice leads to; `None` if what is believed rules it out or the node has no such way.
pub(crate) fn after(walk: &Walk, choice: Choice) -> Option<Vec<AbstractState>> {
    let mut next: Vec<AbstractState> = Vec::new();
    for state in &walk.states {
        let open = walk.machine.open(state.place).find(|&at| walk.node().outcomes[at].choice == choice)?;
        for step in walk.machine.step(state, open) {
            if !next.contains(&step.state) {
                next.push(step.state);
            }
        }
    }
    (!next.is_empty()).then_some(next)
}

/// Goes through nodes at which nobody is asked anything.
pub(crate) fn silently(walk: &mut Walk) {
    // A procedure has finitely many nodes and no silent loop without a question in it; the limit guards against a fault.
    for _ in 0..machine::NODE_LIMIT {
        if walk.is_starting() || walk.paused || walk.gate().is_some() {
            return;
        }
        let choice = match &walk.node().kind {
            NodeKind::Enter => Choice::Done,
            NodeKind::Route if walk.node().outcomes.len() == 1 => Choice::Done,
            NodeKind::Route if after(walk, Choice::Applies).is_some() => Choice::Applies,
            NodeKind::Route => Choice::PassedOver,
            NodeKind::AnyOrder { .. } if after(walk, Choice::AllItems).is_some() => Choice::AllItems,
            _ => return,
        };
        choose(walk, choice);
    }
}

/// One question of a confirming step was answered: a no decides it, the last yes passes it.
pub(crate) fn looked(walk: &mut Walk, condition: &str, yes: bool) {
    let Some(conjunct) = question(walk, condition) else { return };
    if yes {
        walk.looked.insert(conjunct.var);
        if next_question(walk).is_none() {
            verified(walk, Choice::Pass);
        }
    } else if is_fresh(walk) {
        choose(walk, Choice::Fail);
    } else {
        let rest: Vec<AbstractState> =
            walk.states.iter().flat_map(|state| walk.machine.outside(state, &Cube(vec![conjunct]))).collect();
        walk.states = rest;
        choose(walk, Choice::Fail);
    }
}

/// The choice that an answer stands for.
pub(crate) fn answer_choice(walk: &Walk, answer: &str) -> Option<Choice> {
    let number = walk.step()?.kind.answers().position(|(known, _)| known == answer)?;
    Some(Choice::Answer(number as u32))
}

pub(crate) fn answered(walk: &mut Walk, answer: &str) {
    if let Some(choice) = answer_choice(walk, answer) {
        verified(walk, choice);
    }
}

/// The items of the any-order block that are still open, by the names of their steps.
pub(crate) fn open_items(walk: &Walk) -> Vec<(Choice, String)> {
    let Some(state) = walk.states.first() else { return Vec::new() };
    let outcomes = &walk.node().outcomes;
    walk.machine
        .open(state.place)
        .filter(|&at| matches!(outcomes[at].choice, Choice::Item(_)))
        .map(|at| (outcomes[at].choice, walk.machine.node(outcomes[at].to.node).path.clone()))
        .collect()
}

pub(crate) fn chosen(walk: &mut Walk, step: &str) {
    if let Some((choice, _)) = open_items(walk).into_iter().find(|(_, path)| path == step) {
        choose(walk, choice);
    }
}

/// A timer ran its time: at a lapsed condition it settles that; at a wait for nothing else the step is done.
pub(crate) fn wait_over(walk: &mut Walk) {
    let Some(timer) = walk.timer else { return };
    if let Some(gate) = walk.gate() {
        walk.states = walk.states.iter().map(|state| walk.machine.pass_time(state, timer.millis)).collect();
        walk.lapsed.retain(|due| due.var != gate.var);
        walk.timer = None;
    } else if questions(walk).is_empty() {
        verified(walk, Choice::Done);
    } else {
        walk.timer = Some(crate::state::Running { over: true, ..timer });
    }
}
