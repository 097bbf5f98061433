//! The exploration that gives the verdicts.

use crate::Obligation;
use crate::join::{Arrival, join};
use crate::live::Live;
use crate::order::{Key, Order};
use crate::plan::{Leaving, Planner};
use crate::reduce::Reduction;
use machine::{
    Choice, Conjunct, Cube, DONE, Guard, Machine, Node, NodeId, NodeKind, Place, State, VarId, VarOrigin,
};
use std::collections::{BTreeMap, BTreeSet};

/// After how many boxes the budget is asked whether to go on.
const ASKED_EVERY: usize = 1000;

/// How far an exploration may go.
pub struct Budget<'a> {
    /// How many boxes may be explored, and kept for the search of a shortest run.
    pub boxes: usize,
    /// Asked every thousand boxes; the exploration ends when it says no. Lets a caller with a clock limit the time.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
}

/// Why and where an exploration ended early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    /// The node at which it ended.
    pub at: NodeId,
    /// How many boxes met there.
    pub boxes_there: usize,
    /// The variables in which they differ, those with the most variety first.
    pub drivers: Vec<VarId>,
}

pub(crate) struct Explored {
    pub(crate) violated: BTreeSet<Obligation>,
    pub(crate) obligations: usize,
    pub(crate) ended: Option<Ended>,
    pub(crate) boxes: usize,
    pub(crate) reached: Vec<bool>,
    pub(crate) never_done: Vec<Cube>,
    pub(crate) reduction: Reduction,
    pub(crate) leaving: BTreeMap<NodeId, Vec<Leaving>>,
    /// Nodes whose act changed something.
    busy: Vec<bool>,
    acts: Vec<NodeId>,
}

impl Explored {
    /// Nodes that were reached and whose act never changed anything.
    pub(crate) fn idle(&self) -> Vec<NodeId> {
        let idle = |id: &NodeId| self.reached[id.0 as usize] && !self.busy[id.0 as usize];
        self.acts.iter().copied().filter(idle).collect()
    }
}

pub(crate) fn explore(
    machine: &Machine,
    order: &Order,
    live: &Live,
    mut planner: Option<&mut Planner<'_>>,
    budget: &Budget<'_>,
) -> Explored {
    let mut explored = Explored {
        violated: BTreeSet::new(),
        obligations: machine.promises.len() + machine.rules.len(),
        ended: None,
        boxes: 0,
        reached: vec![false; machine.nodes.len()],
        never_done: Vec::new(),
        reduction: Reduction::default(),
        leaving: BTreeMap::new(),
        busy: vec![false; machine.nodes.len()],
        acts: acts(machine),
    };
    let mut done: Vec<State> = Vec::new();
    let mut waiting: BTreeMap<Key, Vec<State>> = BTreeMap::new();
    let mut seen: BTreeMap<Place, Vec<State>> = BTreeMap::new();
    let all: Vec<VarId> = machine.layout.ids().collect();
    for mut state in permitted(machine, &machine.start(), &all, None, &mut explored.violated) {
        live.widen(machine, &mut state);
        waiting.entry(order.key(state.place)).or_default().push(state);
    }
    while let Some((key, states)) = waiting.pop_first() {
        let place = key.3;
        // Joining many boxes takes long by itself: the budget is asked before, and below after every thousand boxes.
        if states.len() >= ASKED_EVERY && !(budget.go_on)() {
            explored.ended = Some(ended(machine, place.node, &states));
            return explored;
        }
        let arrivals = states.into_iter().map(|state| Arrival { state, from: Vec::<()>::new() }).collect();
        let mut states: Vec<State> =
            join(machine, arrivals).into_iter().map(|arrival| arrival.state).collect();
        if order.is_looped(place.node) {
            let seen = seen.entry(place).or_default();
            states.retain(|state| !seen.iter().any(|known| state.is_within(known)));
            seen.extend(states.iter().cloned());
        }
        if !std::mem::replace(&mut explored.reached[place.node.0 as usize], true) {
            explored.obligations += obligations_of(machine, machine.node(place.node));
        }
        // On a loop boxes come again later, with more to know: there every order is followed.
        if place.items == 0 && !order.is_looped(place.node) {
            explored.reduction.enter(machine, planner.as_deref(), place.node, &states);
        }
        for (at, state) in states.iter().enumerate() {
            if explored.boxes >= budget.boxes
                || explored.boxes % ASKED_EVERY == ASKED_EVERY - 1 && !(budget.go_on)()
            {
                explored.ended = Some(ended(machine, place.node, &states[at..]));
                return explored;
            }
            explored.boxes += 1;
            if place.node == DONE {
                done.push(state.clone());
            }
            if let Some(planner) = planner.as_deref_mut()
                && person_stands_at(machine.node(place.node))
            {
                let leaving = planner.leave(state);
                if leaving.stuck().is_some() {
                    explored.violated.insert(Obligation::Stop(place.node));
                } else if leaving.is_unknown() {
                    explored.ended = Some(ended(machine, place.node, &states[at..]));
                    return explored;
                }
                let known = explored.leaving.entry(place.node).or_default();
                if !known.contains(&leaving) {
                    known.push(leaving);
                }
            }
            lapse(machine, live, state, &mut explored.violated);
            explored.busy[place.node.0 as usize] |= changes(machine, state);
            let follow = |place, outcome| explored.reduction.follows(machine, place, outcome);
            let next = successors(machine, state, &follow, &mut explored.violated);
            for (_, _, mut state) in next {
                live.widen(machine, &mut state);
                waiting.entry(order.key(state.place)).or_default().push(state);
            }
        }
    }
    explored.never_done = uncovered(machine, &done);
    explored
}

/// Acts that set something and disturb nothing: they can be found to change nothing.
fn acts(machine: &Machine) -> Vec<NodeId> {
    let ids = (0..machine.nodes.len() as u32).map(NodeId);
    let settles = |set: &Conjunct| set.set.count_ones() == 1;
    ids.filter(|&id| {
        let node = machine.node(id);
        let sets = node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
        node.kind == NodeKind::Act && !sets.is_empty() && sets.iter().all(settles)
    })
    .collect()
}

/// Whether leaving the state's node by its first outcome may change a variable it sets.
fn changes(machine: &Machine, state: &State) -> bool {
    let sets = machine.node(state.place.node).outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
    sets.iter().any(|set| state.bits.field(&machine.layout, set.var) != set.set)
}

/// Whether work can be stopped at a node: somebody is asked or told something there.
pub(crate) fn person_stands_at(node: &Node) -> bool {
    !matches!(node.kind, NodeKind::End | NodeKind::Route | NodeKind::Enter)
}

/// What lapses at a state and is relied on later must be a thing that a person can look at again, or that settles by
/// itself to what was known of it.
fn lapse(machine: &Machine, live: &Live, state: &State, violated: &mut BTreeSet<Obligation>) {
    let node = state.place.node;
    if machine.lapses.is_empty() || !person_stands_at(machine.node(node)) {
        return;
    }
    let lapsing: Vec<VarId> = machine.lapses.iter().map(|(var, _)| *var).collect();
    let forgotten = machine.forget(state, &lapsing);
    for var in machine.layout.ids().filter(|&var| live.is_live(node, var)) {
        let known = state.bits.field(&machine.layout, var);
        let lost = forgotten.iter().fold(0, |set, state| set | state.bits.field(&machine.layout, var));
        let settles = machine
            .settling
            .iter()
            .any(|settling| settling.var == var && machine.layout.all(var) & !settling.from & !known == 0);
        if lost & !known != 0 && !machine.askable[var.0 as usize] && !settles {
            violated.insert(Obligation::Resume { node, var });
        }
    }
}

/// The variants that no state at done has.
fn uncovered(machine: &Machine, done: &[State]) -> Vec<Cube> {
    let variants: Vec<VarId> =
        machine.layout.ids().filter(|&var| machine.layout.var(var).origin == VarOrigin::Variant).collect();
    let mut rest = vec![machine.start()];
    for state in done {
        let of = |&var: &VarId| Conjunct { var, set: state.bits.field(&machine.layout, var) };
        let cube = Cube(variants.iter().map(of).collect());
        rest = rest.iter().flat_map(|part| machine.outside(part, &cube)).collect();
    }
    let cube = |state: &State| {
        let all = variants.iter().map(|&var| Conjunct { var, set: state.bits.field(&machine.layout, var) });
        Cube(all.filter(|conjunct| conjunct.set != machine.layout.all(conjunct.var)).collect())
    };
    rest.iter().map(cube).collect()
}

/// Everything that follows from one box, and what it violates: the outcome taken, the step's result as the machine gave
/// it, and the permitted part of its state.
pub(crate) fn successors(
    machine: &Machine,
    state: &State,
    follow: &dyn Fn(Place, usize) -> bool,
    violated: &mut BTreeSet<Obligation>,
) -> Vec<(usize, machine::Next, State)> {
    let id = state.place.node;
    if id == DONE {
        for (at, promise) in machine.promises.iter().enumerate() {
            if state.bits.field(&machine.layout, promise.conjunct.var) & !promise.conjunct.set != 0 {
                violated.insert(Obligation::Promise(at));
            }
        }
        return Vec::new();
    }
    let Some(state) = met(machine, state, violated) else { return Vec::new() };
    let node = machine.node(id);
    if node.kind == NodeKind::Ask && !answered(machine, node, &state) {
        violated.insert(Obligation::Answered(id));
    }
    let mut next = Vec::new();
    for outcome in machine.open(state.place).filter(|&outcome| follow(state.place, outcome)) {
        for step in machine.step(&state, outcome) {
            let parts = permitted(machine, &step.state, &step.changed, Some(id), violated);
            next.extend(parts.into_iter().map(|part| (outcome, step.clone(), part)));
        }
    }
    next
}

/// Reports the preconditions that a box may fail, and goes on with the part that meets them: otherwise one fault would
/// hide or multiply others.
fn met(machine: &Machine, state: &State, violated: &mut BTreeSet<Obligation>) -> Option<State> {
    let unmet = machine.unmet(state);
    if unmet.is_empty() {
        return Some(state.clone());
    }
    let node = state.place.node;
    violated.extend(unmet.iter().map(|&need| Obligation::Need { node, need }));
    let needs = &machine.node(node).needs;
    machine.narrow(state, &Cube(unmet.iter().map(|&need| needs[need].conjunct).collect()))
}

/// Reports the rules that a box may break, and goes on with the parts that break none. Only at the end may a settling
/// value fall again: between two rules that would bring states back that the first one took away.
pub(crate) fn permitted(
    machine: &Machine,
    state: &State,
    changed: &[VarId],
    by: Option<NodeId>,
    violated: &mut BTreeSet<Obligation>,
) -> Vec<State> {
    let mut parts = vec![state.bits.clone()];
    for rule in machine.broken(state, changed) {
        violated.insert(Obligation::Rule { rule, by });
        let when = &machine.rules[rule].when;
        parts = parts.iter().flat_map(|bits| when.outside(&machine.layout, bits)).collect();
    }
    let whole = Cube::default();
    parts.into_iter().filter_map(|bits| machine.narrow(&State { bits, ..state.clone() }, &whole)).collect()
}

/// Whether every state of the box has an answer. Answers that show nothing are open whatever is true.
fn answered(machine: &Machine, node: &Node, state: &State) -> bool {
    let mut rest = vec![state.bits.clone()];
    for outcome in &node.outcomes {
        match &outcome.guard {
            Guard::Is(cube) => {
                rest = rest.iter().flat_map(|bits| cube.outside(&machine.layout, bits)).collect()
            }
            Guard::Always | Guard::IsNot(_) => return true,
        }
    }
    rest.is_empty()
}

/// How much there is to prove at a node: its preconditions, each rule that leaving it may break, and its answers.
fn obligations_of(machine: &Machine, node: &Node) -> usize {
    let written: BTreeSet<VarId> = node
        .outcomes
        .iter()
        .flat_map(|outcome| outcome.fresh.iter().copied().chain(outcome.sets.iter().map(|set| set.var)))
        .collect();
    let rules =
        machine.rules.iter().filter(|rule| written.iter().any(|&var| rule.when.mentions(var))).count();
    let asks = node.outcomes.iter().any(|outcome| matches!(outcome.choice, Choice::Answer(_)));
    let stop = usize::from(machine.rest.is_some() && person_stands_at(node));
    let resume = if person_stands_at(node) { machine.lapses.len() } else { 0 };
    node.needs.len() + rules + usize::from(asks) + stop + resume
}

fn ended(machine: &Machine, at: NodeId, states: &[State]) -> Ended {
    let mut drivers: Vec<(usize, VarId)> = machine
        .layout
        .ids()
        .map(|var| {
            let fields: BTreeSet<u64> =
                states.iter().map(|state| state.bits.field(&machine.layout, var)).collect();
            (fields.len(), var)
        })
        .filter(|(variety, _)| *variety > 1)
        .collect();
    drivers.sort_by_key(|&(variety, var)| (std::cmp::Reverse(variety), var));
    Ended { at, boxes_there: states.len(), drivers: drivers.into_iter().map(|(_, var)| var).collect() }
}
