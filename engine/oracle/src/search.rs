//! Every concrete state, breadth first: what is reached, what goes wrong, and after how many moves.

use crate::fault::Fault;
use crate::model::{Conjunction, Model, StepKind, holds};
use crate::place::{Phase, Place};
use crate::resuming::{Arrivals, Astray};
use crate::transitions::{State, choices};
use std::collections::{BTreeMap, BTreeSet};

/// What an exploration found.
#[derive(Debug, Default)]
pub struct Explored {
    /// What goes wrong, with the fewest moves after which it does.
    pub faults: BTreeMap<Fault, usize>,
    /// Names of the places reached.
    pub reached: BTreeSet<String>,
    /// Rules that hold in some state, whether or not a move is to blame.
    pub broken: BTreeSet<String>,
    /// How many states there are.
    pub states: usize,
    /// Acts that change something, by the name of their place.
    pub busy: BTreeSet<String>,
    /// All values with which some run ends at done.
    pub done: BTreeSet<Vec<u8>>,
    /// Everything that arrives where a person stands.
    pub arrivals: Arrivals,
    /// From where an interruption leads astray.
    pub astray: Astray,
    /// What is known of leaving the machine, by values and times.
    left: BTreeMap<State, bool>,
}

/// Explores the whole procedure, or gives up past so many states.
///
/// After something has gone wrong the run goes on only where it has not: a precondition leaves the states that meet it,
/// a rule those that do not break it. A settling value may fall again at once.
#[must_use]
pub fn explore(model: &Model, limit: usize) -> Option<Explored> {
    let mut found = Explored::default();
    let mut seen: BTreeMap<Place, BTreeSet<State>> = BTreeMap::new();
    let mut layer = BTreeMap::from([(model.entry(), start(model, &mut found))]);
    let mut depth = 0;
    while !layer.is_empty() {
        let mut next: BTreeMap<Place, BTreeSet<State>> = BTreeMap::new();
        for (place, mut states) in layer {
            let seen = seen.entry(place.clone()).or_default();
            states.retain(|state| seen.insert(state.clone()));
            if states.is_empty() {
                continue;
            }
            found.states += states.len();
            if found.states > limit {
                return None;
            }
            leave(model, &place, states, depth, &mut found, &mut next);
        }
        layer = next;
        depth += 1;
    }
    found.astray = model.astray(&found.arrivals);
    found.faults.extend(found.astray.iter().map(|(wrong, (moves, _))| (wrong.clone(), *moves)));
    Some(found)
}

impl Model {
    /// All states in which the procedure may start: what is asked holds, and what settles may just have done so.
    #[must_use]
    pub fn starts(&self) -> BTreeSet<State> {
        let mut free = self.start.clone();
        for var in 0..self.vars.len() {
            if !free.iter().any(|&(known, _)| known == var) {
                free.push((var, self.all(var)));
            }
        }
        let values = choices(vec![0; self.vars.len()], &free);
        let states = values.into_iter().map(|values| State { values, since: vec![0; self.settles.len()] });
        states.flat_map(|state| self.fallen(state)).collect()
    }

    /// Whether a question has an answer for the state; what is no question needs none.
    #[must_use]
    pub fn has_an_answer(&self, place: &Place, state: &State) -> bool {
        let Place::At(levels, Phase::Body) = place else { return true };
        let StepKind::Ask(answers) = &self.step_at(levels).kind else { return true };
        answers.iter().any(|(shows, _)| shows.as_ref().is_none_or(|test| holds(test, &state.values)))
    }

    /// Whether a state breaks a rule that speaks of what was written.
    #[must_use]
    pub fn breaks_a_rule(&self, state: &State, written: &[usize]) -> bool {
        self.rules
            .iter()
            .any(|(_, when)| when.iter().any(|(var, _)| written.contains(var)) && holds(when, &state.values))
    }

    /// What a place asks for on arrival.
    #[must_use]
    pub fn needs(&self, place: &Place) -> &Conjunction {
        match place {
            Place::At(levels, Phase::Body) => &self.step_at(levels).needs,
            _ => const { &Conjunction::new() },
        }
    }
}

fn start(model: &Model, found: &mut Explored) -> BTreeSet<State> {
    let all: Vec<usize> = (0..model.vars.len()).collect();
    let mut kept = model.starts();
    kept.retain(|state| permitted(model, state, &all, None, 0, found));
    kept.into_iter().flat_map(|state| model.fallen(state)).collect()
}

fn permitted(
    model: &Model,
    state: &State,
    written: &[usize],
    by: Option<&str>,
    depth: usize,
    found: &mut Explored,
) -> bool {
    let mut permitted = true;
    for (rule, when) in &model.rules {
        if !holds(when, &state.values) {
            continue;
        }
        found.broken.insert(rule.clone());
        if when.iter().any(|(var, _)| written.contains(var)) {
            permitted = false;
            found
                .faults
                .entry(Fault::Rule { rule: rule.clone(), by: by.map(str::to_owned) })
                .or_insert(depth);
        }
    }
    permitted
}

fn leave(
    model: &Model,
    place: &Place,
    states: BTreeSet<State>,
    depth: usize,
    found: &mut Explored,
    next: &mut BTreeMap<Place, BTreeSet<State>>,
) {
    let key = model.key(place);
    found.reached.insert(key.clone());
    if model.person_stands_at(place) {
        stop(model, &key, &states, depth, found);
        let arrived = found.arrivals.entry(place.clone()).or_default();
        arrived.extend(states.iter().map(|state| (state.clone(), depth)));
    }
    if changes(model, place, &states) {
        found.busy.insert(key.clone());
    }
    if *place == Place::Done {
        found.done.extend(states.iter().map(|state| state.values.clone()));
        for &(var, set) in &model.promises {
            if states.iter().any(|state| set >> state.values[var] & 1 == 0) {
                found.faults.entry(Fault::Promise(model.vars[var].0.clone())).or_insert(depth);
            }
        }
    }
    if matches!(place, Place::Done | Place::Stop) {
        return;
    }
    let needs = model.needs(place);
    for &(var, set) in needs {
        if states.iter().any(|state| set >> state.values[var] & 1 == 0) {
            let wrong = Fault::Need { at: key.clone(), condition: model.vars[var].0.clone(), set };
            found.faults.entry(wrong).or_insert(depth);
        }
    }
    let met = states.into_iter().filter(|state| holds(needs, &state.values));
    let states: BTreeSet<State> = met.flat_map(|state| model.fallen(state)).collect();
    if !states.iter().all(|state| model.has_an_answer(place, state)) {
        found.faults.entry(Fault::Unanswered(key.clone())).or_insert(depth);
    }
    for transition in model.transitions(place) {
        let to = next.entry(transition.to.clone()).or_default();
        for state in &states {
            for (state, written) in model.successors(&transition, state) {
                if permitted(model, &state, &written, Some(&key), depth + 1, found) {
                    to.extend(model.fallen(state));
                }
            }
        }
    }
}

/// Whether the machine can be left from every state that arrives.
fn stop(model: &Model, key: &str, states: &BTreeSet<State>, depth: usize, found: &mut Explored) {
    if model.rest.is_none() {
        return;
    }
    for state in states {
        let way = |state: &State| model.moves_to_leave(&model.belief(state)).is_some();
        if !*found.left.entry(model.for_leaving(state)).or_insert_with_key(way) {
            found.faults.entry(Fault::Stop(key.to_owned())).or_insert(depth);
        }
    }
}

/// Whether an act changes something of what it sets, in some of the states.
fn changes(model: &Model, place: &Place, states: &BTreeSet<State>) -> bool {
    let Place::At(levels, Phase::Body) = place else { return false };
    let plan = model.step_at(levels);
    let differs = |&(var, set): &(usize, u64)| states.iter().any(|state| set != 1 << state.values[var]);
    matches!(plan.kind, StepKind::Act) && plan.effects.iter().any(differs)
}
