//! Stopping: the shortest way of restoring acts and waits to the state in which the machine may be left.

use crate::model::{Conjunction, Model, holds};
use crate::transitions::{State, choices};
use std::collections::{BTreeSet, VecDeque};

/// Sets of states past which the oracle gives up.
const LIMIT: usize = 20_000;

/// What a person may have before them.
pub type Belief = BTreeSet<State>;

impl Model {
    /// What may be so, given one state: it, and what may just have settled in it.
    pub fn belief(&self, state: &State) -> Belief {
        self.fallen(state.clone()).into_iter().collect()
    }

    /// The state as far as it matters to leaving the machine: the rest is taken as the first value.
    pub fn for_leaving(&self, state: &State) -> State {
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
    pub fn moves_to_leave(&self, belief: &Belief) -> Option<usize> {
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
    fn acted(&self, belief: &Belief, effects: &Conjunction) -> Option<Belief> {
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
