//! Stopping, in the oracle: the shortest way of restoring acts and waits to the state in which the machine may be left.
//!
//! Relation to the proof: at every place where a person stands the proof says "no way" if and only if some concrete state
//! that arrives there has none, whatever of it may just have settled. For one such state, and for the box around two of
//! them, the planner's plan has exactly as many moves as the shortest sequence that works for every member at once;
//! where there is none for a single state, the planner is stuck.

use super::moves::{State, choices};
use super::plan::{World, holds};
use machine::{AbstractState as Boxed, Bits, Cube, Machine, NodeId, Place as Node, VarId};
use proof::{Leaving, Planner};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Sets of states past which the oracle gives up.
const LIMIT: usize = 20_000;

/// What a person may have before them.
pub(crate) type Belief = BTreeSet<State>;

impl World {
    /// What may be so, given one state: it, and what may just have settled in it.
    pub(crate) fn belief(&self, state: &State) -> Belief {
        self.fallen(state.clone()).into_iter().collect()
    }

    /// The state as far as it matters to leaving the machine: the rest is taken as the first value.
    pub(crate) fn for_leaving(&self, state: &State) -> State {
        let mut state = state.clone();
        for (value, _) in state.values.iter_mut().zip(&self.leaving).filter(|(_, matters)| !**matters) {
            *value = 0;
        }
        for (&(var, from, ..), since) in self.settles.iter().zip(&mut state.since) {
            if !self.leaving[var] || state.values[var] != from {
                *since = 0;
            }
        }
        state
    }

    /// For every variable, whether it matters to leaving the machine.
    pub(crate) fn matters_to_leaving(&self) -> Vec<bool> {
        let written = self.restoring.iter().flat_map(|(_, effects)| effects).map(|&(var, _)| var).collect();
        let tests = self.restoring.iter().map(|(needs, _)| needs).chain(&self.rest);
        let mut matter: BTreeSet<usize> = tests.flatten().map(|&(var, _)| var).collect();
        matter.extend(self.decides(&written));
        (0..self.vars.len()).map(|var| matter.contains(&var)).collect()
    }

    /// How many moves lead from every member to the state in which the machine may be left; `None` without such moves.
    /// Panics past its limit: small equipment never comes near it.
    pub(crate) fn moves_to_leave(&self, belief: &Belief) -> Option<usize> {
        let Some(rest) = &self.rest else { return Some(0) };
        let mut seen = BTreeSet::new();
        let mut open = VecDeque::from([(belief.clone(), 0)]);
        while let Some((belief, moves)) = open.pop_front() {
            if belief.iter().all(|state| holds(rest, &state.values)) {
                return Some(moves);
            }
            assert!(seen.len() < LIMIT, "too large for the oracle");
            if !seen.insert(belief.clone()) {
                continue;
            }
            let acts = self.restoring.iter().filter_map(|(needs, effects)| {
                let met = belief.iter().all(|state| holds(needs, &state.values));
                if met { self.acted(&belief, effects) } else { None }
            });
            // Waiting longer never leaves more possible: the longest wait stands for all.
            let waited = belief.iter().flat_map(|state| self.waited(state)).collect();
            open.extend(acts.chain([waited]).map(|next| (next, moves + 1)));
        }
        None
    }

    /// What an act makes of every member, unless one may break a rule.
    fn acted(&self, belief: &Belief, effects: &super::plan::Test) -> Option<Belief> {
        let mut all = Belief::new();
        for state in belief {
            for values in choices(state.values.clone(), effects) {
                let written: Vec<usize> = effects.iter().map(|&(var, _)| var).collect();
                for (state, written) in self.lost(values, written, &state.since) {
                    if self.breaks_a_rule(&state, &written) {
                        return None;
                    }
                    all.insert(state);
                }
            }
        }
        Some(all)
    }

    fn waited(&self, state: &State) -> Vec<State> {
        let mut state = state.clone();
        for (&(var, from, to, _), since) in self.settles.iter().zip(&mut state.since) {
            if state.values[var] == from {
                (state.values[var], *since) = (to, 0);
            }
        }
        vec![state]
    }
}

/// Holds the planner against the oracle, for the states and for pairs of them.
pub(crate) fn plans_agree(world: &World, machine: &Machine, states: &BTreeSet<State>) -> Result<(), String> {
    let Some(mut planner) = Planner::new(machine) else { return Ok(()) };
    let mut agree = |belief: &Belief, one: bool| {
        let least = world.moves_to_leave(belief);
        let found = match planner.leave(&boxed(world, machine, belief)) {
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
        agree(&world.belief(state), true)?;
        let other = few[(at * 7 + 3) % few.len()];
        let differ = state.values.iter().zip(&other.values).filter(|(one, other)| one != other).count();
        if other.since == state.since && differ <= 5 {
            let both: super::plan::Test = (0..world.vars.len())
                .map(|var| (var, 1 << state.values[var] | 1 << other.values[var]))
                .collect();
            let hull = choices(state.values.clone(), &both);
            let hull = hull.into_iter().map(|values| State { values, since: state.since.clone() });
            agree(&hull.flat_map(|state| world.fallen(state)).collect(), false)?;
        }
    }
    Ok(())
}

/// The same as a box. All members have waited equally long for what has not settled.
fn boxed(world: &World, machine: &Machine, belief: &Belief) -> Boxed {
    let by_name: BTreeMap<&str, VarId> =
        machine.layout.ids().map(|id| (&*machine.layout.var(id).name.0, id)).collect();
    let mut bits = Bits::clear(machine.layout.words());
    for (at, (name, _)) in world.vars.iter().enumerate() {
        let values = belief.iter().fold(0, |set, state| set | 1 << state.values[at]);
        bits.set_field(&machine.layout, by_name[name.as_str()], values);
    }
    let since = |var: VarId| {
        let name = &*machine.layout.var(var).name.0;
        let at = world.settles.iter().position(|&(var, ..)| world.vars[var].0 == name).expect("it settles");
        let (var, from, ..) = world.settles[at];
        belief.iter().filter(|state| state.values[var] == from).map(|state| state.since[at]).min()
    };
    let clocks = machine.settling.iter().map(|s| since(s.var).unwrap_or(s.after)).collect();
    let place = Node { node: NodeId(0), items: 0 };
    let state = Boxed { place, bits, clocks };
    machine.narrow(&state, &Cube::default()).expect("a box")
}
