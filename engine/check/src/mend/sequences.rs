//! Which steps a mend tries, shortest first.

use crate::story::found_broken;
use document::model::{Action, Equipment, Name};
use machine::{Conjunct, Machine, Trace, VarId, VarOrigin};
use proof::{Obligation, Refuted};
use std::collections::BTreeSet;

/// How many steps are put in at one place.
const LENGTH_MAX: usize = 3;

/// A step to be put in.
#[derive(Clone, PartialEq, Eq)]
pub(super) enum Inserted {
    /// An action of the equipment.
    Action(Name),
    /// A wait of so many milliseconds.
    Wait(u64),
    /// A look at what is needed; where it is not so the work stops.
    Confirm(Conjunct),
}

/// A step that could be put in, and the variables by which it has to do with others.
struct Candidate {
    step: Inserted,
    /// What it changes.
    writes: BTreeSet<VarId>,
    /// What it changes or needs.
    touches: BTreeSet<VarId>,
}

/// Every sequence in which one step changes what the fault is about, and each of the others has to do with it: it
/// prepares one of them or puts something back. Anything else would stand there for no reason.
pub(super) fn sequences(
    machine: &Machine,
    equipment: &Equipment,
    refuted: &Refuted,
    subjects: &BTreeSet<VarId>,
) -> impl Iterator<Item = Vec<Inserted>> {
    let subjects = subjects.clone();
    let all = candidates(machine, equipment);
    let looks = look(machine, refuted).map(|look| vec![Inserted::Confirm(look)]);
    let acts = (1..=LENGTH_MAX).flat_map(move |length| {
        let mut found = Vec::new();
        let mut chosen = Vec::with_capacity(length);
        choose(&all, length, &mut chosen, &mut |chosen| {
            if belongs_together(&all, chosen, &subjects) {
                found.push(chosen.iter().map(|&at| all[at].step.clone()).collect());
            }
        });
        found
    });
    // A look makes nothing so: it comes after everything that does.
    acts.chain(looks)
}

/// What a step needs, if somebody can look at it and it may be so by the record.
fn look(machine: &Machine, refuted: &Refuted) -> Option<Conjunct> {
    let Obligation::Need { node, need } = refuted.obligation else { return None };
    let needed = machine.node(node).needs[need].conjunct;
    let may_be = |trace: &Trace| trace.last().field(&machine.layout, needed.var) & needed.set != 0;
    if !refuted.trace.as_ref().is_none_or(may_be) {
        return None;
    }
    (machine.sight(needed.var).is_asked && machine.layout.var(needed.var).origin == VarOrigin::Condition)
        .then_some(needed)
}

fn candidates(machine: &Machine, equipment: &Equipment) -> Vec<Candidate> {
    let actions = equipment.actions.iter().map(|(name, action)| {
        let writes: BTreeSet<VarId> = written(action).filter_map(|name| machine.layout.find(name)).collect();
        let work = action.work.as_ref().and_then(|work| equipment.work.get(work));
        let needs = action.requires.keys().chain(work.iter().flat_map(|work| work.requires.keys()));
        let touches =
            needs.filter_map(|name| machine.layout.find(name)).chain(writes.iter().copied()).collect();
        Candidate { step: Inserted::Action(name.clone()), writes, touches }
    });
    let waits = machine.settling.iter().map(|settling| {
        let var = BTreeSet::from([settling.var]);
        Candidate { step: Inserted::Wait(settling.after), writes: var.clone(), touches: var }
    });
    actions.chain(waits).collect()
}

fn written(action: &Action) -> impl Iterator<Item = &Name> {
    action.leaves.keys().chain(&action.disturbs)
}

/// The variables that the fault is about.
pub(super) fn subjects(machine: &Machine, refuted: &Refuted) -> BTreeSet<VarId> {
    match refuted.obligation {
        Obligation::Need { node, need } => BTreeSet::from([machine.node(node).needs[need].conjunct.var]),
        Obligation::Rule { rule, .. } => {
            machine.rules[rule].when.0.iter().map(|conjunct| conjunct.var).collect()
        }
        Obligation::Promise(promise) => BTreeSet::from([machine.promises[promise].conjunct.var]),
        Obligation::Unmended(_) => {
            let found = refuted.trace.iter().flat_map(|trace| found_broken(machine, trace));
            let parts = found.flat_map(|rule| &machine.rules[rule].when.0);
            parts.map(|conjunct| conjunct.var).collect()
        }
        Obligation::Unseen(_)
        | Obligation::Answered(_)
        | Obligation::Stop(_)
        | Obligation::StopAfter(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => BTreeSet::new(),
    }
}

/// Calls `take` with every choice of so many candidates, in order.
fn choose(all: &[Candidate], length: usize, chosen: &mut Vec<usize>, take: &mut impl FnMut(&[usize])) {
    if chosen.len() == length {
        take(chosen);
        return;
    }
    for at in 0..all.len() {
        chosen.push(at);
        choose(all, length, chosen, take);
        chosen.pop();
    }
}

fn belongs_together(all: &[Candidate], chosen: &[usize], subjects: &BTreeSet<VarId>) -> bool {
    let Some(speaks) = chosen.iter().position(|&at| !all[at].writes.is_disjoint(subjects)) else {
        return false;
    };
    let mut reached = vec![false; chosen.len()];
    let mut open = vec![speaks];
    while let Some(one) = open.pop() {
        if std::mem::replace(&mut reached[one], true) {
            continue;
        }
        open.extend((0..chosen.len()).filter(|&other| related(&all[chosen[one]], &all[chosen[other]])));
    }
    reached.into_iter().all(|reached| reached)
}

/// Whether one of the two changes what the other needs or changes.
fn related(one: &Candidate, other: &Candidate) -> bool {
    !one.writes.is_disjoint(&other.touches) || !other.writes.is_disjoint(&one.touches)
}
