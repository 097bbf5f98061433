//! Which combinations of values some run comes to, which acts bring them about, and a run to one of them.

use crate::boxes::met;
use crate::join::{is_covered, join};
use crate::live::LiveVars;
use crate::meter::{Budget, Meter};
use crate::obligation::Obligation;
use crate::order::{Key, Order};
use crate::prove::prove;
use machine::{AbstractState, Cube, Machine, Next, NodeId, Place, ReplayError, Trace, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// For each group of variables the combinations of their values that an act brings about on some run, or that are asserted at
/// the start, one bit a value, in the order of the group. What a look finds was so all along. `None` if the budget ended first:
/// then nothing is known.
#[must_use]
pub fn reachable(
    machine: &Machine,
    groups: &[Vec<VarId>],
    budget: &Budget<'_>,
) -> Option<Vec<BTreeSet<Vec<u64>>>> {
    let mut found = vec![BTreeSet::new(); groups.len()];
    note(machine, groups, &machine.start(), |group| machine.is_asserted(group), &mut found);
    let exactly = groups.iter().flatten().copied().collect();
    acts(machine, &exactly, budget, &mut |_, step| {
        let is_written = |group: &[VarId]| group.iter().any(|var| step.changed.contains(var));
        note(machine, groups, &step.state, is_written, &mut found);
    })?;
    Some(found)
}

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
fn acts(
    machine: &Machine,
    exactly: &BTreeSet<VarId>,
    budget: &Budget<'_>,
    told: &mut dyn FnMut(NodeId, &Next),
) -> Option<()> {
    // A broken rule does not hold a person back, and what follows is looked at all the same.
    let machine = &machine.lawless();
    let order = Order::new(machine);
    let live = LiveVars::new(machine, &order, exactly, false);
    let mut waiting: BTreeMap<(Key, Place), Vec<AbstractState>> = BTreeMap::new();
    let mut seen: BTreeMap<Place, Vec<AbstractState>> = BTreeMap::new();
    let mut ignored = BTreeSet::new();
    let mut start = machine.start();
    live.project_dead(machine, &mut start);
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
                let acts = machine.node(place.node).outcomes[outcome].effects.iter().any(|one| one.is_act());
                for mut step in machine.step(&state, outcome) {
                    if acts {
                        told(place.node, &step);
                    }
                    live.project_dead(machine, &mut step.state);
                    let key = (order.key(step.state.place), step.state.place);
                    waiting.entry(key).or_default().push(step.state);
                }
            }
        }
    }
    Some(())
}

/// Adds every combination that a box holds, of the groups that are wanted.
fn note(
    machine: &Machine,
    groups: &[Vec<VarId>],
    state: &AbstractState,
    is_wanted: impl Fn(&[VarId]) -> bool,
    found: &mut [BTreeSet<Vec<u64>>],
) {
    let wanted = |(group, _): &(&Vec<VarId>, &mut BTreeSet<Vec<u64>>)| is_wanted(group);
    for (group, found) in groups.iter().zip(found).filter(wanted) {
        let mut tuples: Vec<Vec<u64>> = vec![Vec::new()];
        for &var in group {
            let field = state.bits.field(&machine.layout, var);
            let values = (0..64).map(|at| 1 << at).filter(|value| field & value != 0);
            let values: Vec<u64> = values.collect();
            let longer = |tuple: &Vec<u64>| {
                values.iter().map(|&value| [&tuple[..], &[value]].concat()).collect::<Vec<_>>()
            };
            tuples = tuples.iter().flat_map(longer).collect();
        }
        found.extend(tuples);
    }
}

/// A shortest run to a state inside the cube; `None` if there is none, or the budget ended first.
///
/// # Errors
/// If the run does not replay: a fault of this crate, never of the procedure.
pub fn run_to(machine: &Machine, cube: &Cube, budget: &Budget<'_>) -> Result<Option<Trace>, ReplayError> {
    let asking = machine.seeking(cube.clone());
    let proof = prove(&asking, budget)?;
    let refuted = proof.refuted.into_iter().filter(|one| matches!(one.obligation, Obligation::Rule { .. }));
    Ok(refuted.filter_map(|one| one.trace).min_by_key(|trace| trace.moves.len()))
}
