//! Which combinations of values some run comes to, and a run to one of them.

use crate::acts::acts;
use crate::meter::Budget;
use crate::obligation::Obligation;
use crate::prove::prove;
use crate::record::one_by_one;
use machine::{AbstractState, Cube, Machine, ReplayError, Trace, VarId};
use std::collections::BTreeSet;

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
            let values = one_by_one(field);
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
