//! What comes about on every run: by acts, and without a surprise.

use crate::boxes::met;
use crate::join::{is_covered, join};
use crate::live::LiveVars;
use crate::meter::{Budget, Meter};
use crate::order::{Key, Order};
use machine::{AbstractState, Cube, Machine, Next, NodeId, Place, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// For each combination the nodes at which an act writes one of its conditions, and it may be so after that. `None` if the budget
/// ended first: then nothing is known.
pub(crate) fn bringing_about(
    machine: &Machine,
    combinations: &[&Cube],
    budget: &Budget<'_>,
) -> Option<Vec<BTreeSet<NodeId>>> {
    let mut found = vec![BTreeSet::new(); combinations.len()];
    let exactly = combinations.iter().flat_map(|cube| &cube.0).map(|part| part.var).collect();
    acts(machine, &exactly, budget, &mut |at, step| {
        for (cube, found) in combinations.iter().zip(&mut found) {
            let is_written = step.changed.iter().any(|&var| cube.mentions(var));
            if is_written && cube.meets(&machine.layout, &step.state.bits) {
                found.insert(at);
            }
        }
    })?;
    Some(found)
}

/// Follows every run and tells of everything that an act brings about, with the node that it leaves. Boxes say `exactly` what is
/// so of these. `None` if the budget ended first.
pub(crate) fn acts(
    machine: &Machine,
    exactly: &BTreeSet<VarId>,
    budget: &Budget<'_>,
    told: &mut dyn FnMut(NodeId, &Next),
) -> Option<()> {
    moves(machine, exactly, budget, &mut |at, outcome, step| {
        if machine.node(at).outcomes[outcome].effects.iter().any(|one| one.is_act()) {
            told(at, step);
        }
        true
    })
}

/// The same of every move; what is refused is not followed.
pub(crate) fn moves(
    machine: &Machine,
    exactly: &BTreeSet<VarId>,
    budget: &Budget<'_>,
    follow: &mut dyn FnMut(NodeId, usize, &Next) -> bool,
) -> Option<()> {
    // A broken rule does not hold a person back, and what follows is looked at all the same.
    let machine = &machine.lawless();
    let order = Order::new(machine);
    let live = LiveVars::new(machine, &order, exactly, false);
    let mut waiting: BTreeMap<(Key, Place), Vec<AbstractState>> = BTreeMap::new();
    let mut seen: BTreeMap<Place, Vec<AbstractState>> = BTreeMap::new();
    let mut ignored = BTreeSet::new();
    let mut start = machine.start();
    live.project_dead(&mut start);
    let key = (order.key(start.place), start.place);
    waiting.entry(key).or_default().push(start);
    let meter = Meter::new(budget);
    while let Some(((_, place), mut states)) = waiting.pop_first() {
        join(machine, &live, &mut states, &meter).ok()?;
        if order.is_looped(place.node) {
            let seen = seen.entry(place).or_default();
            meter.work(states.len() * seen.len() / 16).ok()?;
            states.retain(|state| !seen.iter().any(|known| is_covered(machine, &live, state, known)));
            seen.extend(states.iter().cloned());
        }
        for state in states {
            meter.keep(1).ok()?;
            // A precondition holds a person back.
            let Some(state) = met(machine, &state, &mut ignored) else { continue };
            for outcome in machine.open(state.place) {
                for mut step in machine.step(&state, outcome) {
                    if !follow(place.node, outcome, &step) {
                        continue;
                    }
                    live.project_dead(&mut step.state);
                    let key = (order.key(step.state.place), step.state.place);
                    waiting.entry(key).or_default().push(step.state);
                }
            }
        }
    }
    Some(())
}
