//! The planner's ways to leave the machine, held against the interpreter's.
//!
//! At every place where a person stands the proof says "no way" if and only if some concrete state that arrives there has
//! none, whatever of it may just have settled. For one such state, and for the box around two of them, the planner's plan
//! has exactly as many moves as the shortest sequence that works for every member at once; where there is none for a single
//! state, the planner is stuck.

use machine::{AbstractState, Bits, Cube, Machine, NodeId, Place, VarId};
use oracle::{Belief, Model, State, choices};
use proof::{Leaving, Planner};
use std::collections::{BTreeMap, BTreeSet};

/// Holds the planner against the interpreter, for the states and for pairs of them.
pub(super) fn plans_agree(model: &Model, machine: &Machine, states: &BTreeSet<State>) -> Result<(), String> {
    let Some(mut planner) = Planner::new(machine) else { return Ok(()) };
    let mut agree = |belief: &Belief, one: bool| {
        let least = model.moves_to_leave(belief);
        let found = match planner.leave(&boxed(model, machine, belief)) {
            Leaving::Plan(moves) => Some(moves.len()),
            Leaving::Stuck(_) => None,
            Leaving::Look(..) if !one => None,
            other => return Err(format!("{other:?} for {belief:?}")),
        };
        if least == found {
            Ok(())
        } else {
            Err(format!("{least:?} moves to leave {belief:?}, not {found:?}"))
        }
    };
    let few: Vec<&State> = states.iter().step_by(1 + states.len() / 40).collect();
    for (at, state) in few.iter().enumerate() {
        agree(&model.belief(state), true)?;
        let other = few[(at * 7 + 3) % few.len()];
        let differ = state.values.iter().zip(&other.values).filter(|(one, other)| one != other).count();
        if other.since == state.since && differ <= 5 {
            let both: oracle::Conjunction = (0..model.vars.len())
                .map(|var| (var, 1 << state.values[var] | 1 << other.values[var]))
                .collect();
            let hull = choices(state.values.clone(), &both);
            let hull = hull.into_iter().map(|values| State { values, since: state.since.clone() });
            agree(&hull.flat_map(|state| model.fallen(state)).collect(), false)?;
        }
    }
    Ok(())
}

/// The same as a box. All members have waited equally long for what has not settled.
fn boxed(model: &Model, machine: &Machine, belief: &Belief) -> AbstractState {
    let by_name: BTreeMap<&str, VarId> =
        machine.layout.ids().map(|id| (&*machine.layout.var(id).name.0, id)).collect();
    let mut bits = Bits::clear(machine.layout.words());
    for (at, (name, _)) in model.vars.iter().enumerate() {
        let values = belief.iter().fold(0, |set, state| set | 1 << state.values[at]);
        bits.set_field(&machine.layout, by_name[name.as_str()], values);
    }
    let since = |var: VarId| {
        let name = &*machine.layout.var(var).name.0;
        let at = model.settles.iter().position(|&(var, ..)| model.vars[var].0 == name).expect("it settles");
        let (var, from, ..) = model.settles[at];
        belief.iter().filter(|state| state.values[var] == from).map(|state| state.since[at]).min()
    };
    let clocks = machine.settling.iter().map(|s| since(s.var).unwrap_or(s.after)).collect();
    let place = Place { node: NodeId(0), items: 0 };
    let state = AbstractState { place, bits, clocks };
    machine.narrow(&state, &Cube::default()).expect("a box")
}
