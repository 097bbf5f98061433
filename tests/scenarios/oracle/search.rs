//! Every concrete state, breadth first: what is reached, what goes wrong, and after how many moves.

use super::moves::{State, choices};
use super::place::{Phase, Place};
use super::plan::{Planned, Test, World, holds};
use super::resuming::{Arrivals, Astray};
use std::collections::{BTreeMap, BTreeSet};

/// Something that goes wrong.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Wrong {
    /// A precondition of a place: the condition and its permitted values.
    Need { at: String, condition: String, set: u64 },
    /// A rule, by leaving a place or by the start.
    Rule { rule: String, by: Option<String> },
    /// A promise at done, by its condition.
    Promise(String),
    /// A question without an answer.
    Unanswered(String),
    /// No way to leave the machine from a place.
    Stop(String),
    /// An interruption at a place after which nobody can tell a condition that is relied on.
    Resume { at: String, condition: String },
}

#[derive(Debug, Default)]
pub(crate) struct Found {
    /// With the fewest moves after which it goes wrong.
    pub(crate) wrong: BTreeMap<Wrong, usize>,
    pub(crate) reached: BTreeSet<String>,
    /// Rules that hold in some state, whether or not a move is to blame.
    pub(crate) broken: BTreeSet<String>,
    pub(crate) states: usize,
    /// Acts that change something, by the name of their place.
    pub(crate) busy: BTreeSet<String>,
    /// All values with which some run ends at done.
    pub(crate) done: BTreeSet<Vec<u8>>,
    /// Everything that arrives where a person stands.
    pub(crate) arrivals: Arrivals,
    pub(crate) astray: Astray,
    /// What is known of leaving the machine, by values and times.
    left: BTreeMap<State, bool>,
}

/// Explores the whole procedure, or gives up past so many states.
///
/// After something has gone wrong the run goes on only where it has not: a precondition leaves the states that meet it,
/// a rule those that do not break it. A settling value may fall again at once.
pub(crate) fn explore(world: &World, limit: usize) -> Option<Found> {
    let mut found = Found::default();
    let mut seen: BTreeMap<Place, BTreeSet<State>> = BTreeMap::new();
    let mut layer = BTreeMap::from([(world.entry(), start(world, &mut found))]);
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
            leave(world, &place, states, depth, &mut found, &mut next);
        }
        layer = next;
        depth += 1;
    }
    found.astray = world.astray(&found.arrivals);
    found.wrong.extend(found.astray.iter().map(|(wrong, (moves, _))| (wrong.clone(), *moves)));
    Some(found)
}

impl World {
    /// All states in which the procedure may start: what is asked holds, and what settles may just have done so.
    pub(crate) fn starts(&self) -> BTreeSet<State> {
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
    pub(crate) fn has_an_answer(&self, place: &Place, state: &State) -> bool {
        let Place::At(levels, Phase::Body) = place else { return true };
        let Planned::Ask(answers) = &self.plan(levels).kind else { return true };
        answers.iter().any(|(shows, _)| shows.as_ref().is_none_or(|test| holds(test, &state.values)))
    }

    /// Whether a state breaks a rule that speaks of what was written.
    pub(crate) fn breaks_a_rule(&self, state: &State, written: &[usize]) -> bool {
        self.rules
            .iter()
            .any(|(_, when)| when.iter().any(|(var, _)| written.contains(var)) && holds(when, &state.values))
    }

    /// What a place asks for on arrival.
    pub(crate) fn needs(&self, place: &Place) -> &Test {
        match place {
            Place::At(levels, Phase::Body) => &self.plan(levels).needs,
            _ => const { &Test::new() },
        }
    }
}

fn start(world: &World, found: &mut Found) -> BTreeSet<State> {
    let all: Vec<usize> = (0..world.vars.len()).collect();
    let mut kept = world.starts();
    kept.retain(|state| permitted(world, state, &all, None, 0, found));
    kept.into_iter().flat_map(|state| world.fallen(state)).collect()
}

fn permitted(
    world: &World,
    state: &State,
    written: &[usize],
    by: Option<&str>,
    depth: usize,
    found: &mut Found,
) -> bool {
    let mut permitted = true;
    for (rule, when) in &world.rules {
        if !holds(when, &state.values) {
            continue;
        }
        found.broken.insert(rule.clone());
        if when.iter().any(|(var, _)| written.contains(var)) {
            permitted = false;
            found.wrong.entry(Wrong::Rule { rule: rule.clone(), by: by.map(str::to_owned) }).or_insert(depth);
        }
    }
    permitted
}

fn leave(
    world: &World,
    place: &Place,
    states: BTreeSet<State>,
    depth: usize,
    found: &mut Found,
    next: &mut BTreeMap<Place, BTreeSet<State>>,
) {
    let key = world.key(place);
    found.reached.insert(key.clone());
    if world.person_stands_at(place) {
        stop(world, &key, &states, depth, found);
        let arrived = found.arrivals.entry(place.clone()).or_default();
        arrived.extend(states.iter().map(|state| (state.clone(), depth)));
    }
    if changes(world, place, &states) {
        found.busy.insert(key.clone());
    }
    if *place == Place::Done {
        found.done.extend(states.iter().map(|state| state.values.clone()));
        for &(var, set) in &world.promises {
            if states.iter().any(|state| set >> state.values[var] & 1 == 0) {
                found.wrong.entry(Wrong::Promise(world.vars[var].0.clone())).or_insert(depth);
            }
        }
    }
    if matches!(place, Place::Done | Place::Stop) {
        return;
    }
    let needs = world.needs(place);
    for &(var, set) in needs {
        if states.iter().any(|state| set >> state.values[var] & 1 == 0) {
            let wrong = Wrong::Need { at: key.clone(), condition: world.vars[var].0.clone(), set };
            found.wrong.entry(wrong).or_insert(depth);
        }
    }
    let met = states.into_iter().filter(|state| holds(needs, &state.values));
    let states: BTreeSet<State> = met.flat_map(|state| world.fallen(state)).collect();
    if !states.iter().all(|state| world.has_an_answer(place, state)) {
        found.wrong.entry(Wrong::Unanswered(key.clone())).or_insert(depth);
    }
    for way in world.ways(place) {
        let to = next.entry(way.to.clone()).or_default();
        for state in &states {
            for (state, written) in world.take(&way, state) {
                if permitted(world, &state, &written, Some(&key), depth + 1, found) {
                    to.extend(world.fallen(state));
                }
            }
        }
    }
}

/// Whether the machine can be left from every state that arrives.
fn stop(world: &World, key: &str, states: &BTreeSet<State>, depth: usize, found: &mut Found) {
    if world.rest.is_none() {
        return;
    }
    for state in states {
        let way = |state: &State| world.moves_to_leave(&world.belief(state)).is_some();
        if !*found.left.entry(world.for_leaving(state)).or_insert_with_key(way) {
            found.wrong.entry(Wrong::Stop(key.to_owned())).or_insert(depth);
        }
    }
}

/// Whether an act changes something of what it sets, in some of the states.
fn changes(world: &World, place: &Place, states: &BTreeSet<State>) -> bool {
    let Place::At(levels, Phase::Body) = place else { return false };
    let plan = world.plan(levels);
    let differs = |&(var, set): &(usize, u64)| states.iter().any(|state| set != 1 << state.values[var]);
    matches!(plan.kind, Planned::Act) && plan.effects.iter().any(differs)
}
