//! Witnesses over diagrams: frontiers of a breadth-first search, a move apart, and from a state in the last one a way back.

use super::space::{Clocks, Space};
use super::store::{NONE, Root};
use super::visit::Way;
use crate::boxes::{permitted, successors};
use crate::concrete::{SearchEdge, SearchNode};
use crate::meter::BudgetExhausted;
use crate::obligation::Obligation;
use crate::witness::{Halt, WitnessSearch, on_arrival};
use machine::{AbstractState, Conjunct, Cube, Machine, NodeId, ReplayError};
use std::collections::{BTreeMap, BTreeSet};

/// The states that so many moves lead to and no fewer, with where they go on.
type Frontier = Vec<Reached>;

struct Reached {
    node: NodeId,
    clocks: Clocks,
    root: Root,
    ways: Vec<Way>,
}

type Layer = BTreeMap<NodeId, BTreeMap<Clocks, Root>>;

/// Breadth first, a move a frontier, until each violated obligation has been met once or the budget ends.
pub(crate) fn traces<'a>(
    search: &mut WitnessSearch<'a, '_>,
    space: &mut Option<Space<'a>>,
) -> Result<(), Halt> {
    if space.is_none() {
        *space = Space::new(search.machine, search.live, search.meter);
    }
    let Some(space) = space else { return Ok(()) };
    let mut frontiers: Vec<Frontier> = Vec::new();
    let mut seen = Layer::new();
    let mut layer = start(search, space)?;
    while !search.wanted.is_empty() && !layer.is_empty() {
        let mut next = Layer::new();
        let mut frontier = Frontier::new();
        for (node, sets) in layer {
            let seen = seen.entry(node).or_default();
            for (clocks, root) in sets {
                let root = space.unknown(root, &clocks, seen, false)?;
                if root == NONE {
                    continue;
                }
                search.meter.keep(1)?;
                add(space, seen, clocks.clone(), root)?;
                let visit = space.visit(node, &clocks, root)?;
                let mut violated = visit.violated;
                violated.extend(about_arrival(search, space, node, &clocks, root)?);
                violated.retain(|of, _| search.wanted.contains(of));
                for (of, states) in violated {
                    let tree = way_back(search, space, &frontiers, node, &clocks, states)?;
                    search.find_violations(
                        Some(&mut *space),
                        &tree,
                        tree.len() - 1,
                        &BTreeSet::from([of]),
                    )?;
                }
                for way in &visit.ways {
                    add(space, next.entry(way.to).or_default(), way.clocks.clone(), way.root)?;
                }
                frontier.push(Reached { node, clocks, root, ways: visit.ways });
            }
        }
        frontiers.push(frontier);
        layer = next;
    }
    Ok(())
}

/// What is violated at a node whatever its step does: from which of the states.
fn about_arrival(
    search: &mut WitnessSearch<'_, '_>,
    space: &mut Space<'_>,
    node: NodeId,
    clocks: &Clocks,
    root: Root,
) -> Result<Vec<(Obligation, Root)>, Halt> {
    let mut violated = Vec::new();
    for of in search.wanted_at(node) {
        match of {
            Obligation::Resume { .. } => {
                let lost = search.lapsed.get(&of).copied().unwrap_or(NONE);
                violated.push((of, space.intersect(root, lost)?));
            }
            Obligation::Stop(_) => {
                let relevant = search
                    .planner
                    .as_deref()
                    .map_or(Vec::new(), |planner| planner.relevant().iter().copied().collect());
                for state in space.beliefs(&relevant, root, node, clocks)? {
                    if let Some(cube) = search.stuck(&state)? {
                        violated.push((of, space.restrict(root, cube.0)?));
                        break;
                    }
                }
            }
            // What its step violates is told by the visit.
            Obligation::Need { .. }
            | Obligation::Rule { .. }
            | Obligation::Promise(_)
            | Obligation::Answered(_) => {}
        }
    }
    violated.retain(|(_, states)| *states != NONE);
    Ok(violated)
}

fn add(
    space: &mut Space<'_>,
    sets: &mut BTreeMap<Clocks, Root>,
    clocks: Clocks,
    root: Root,
) -> Result<(), BudgetExhausted> {
    let known = sets.get(&clocks).copied().unwrap_or(NONE);
    sets.insert(clocks, space.store.union(known, root)?);
    Ok(())
}

fn start(search: &WitnessSearch<'_, '_>, space: &mut Space<'_>) -> Result<Layer, Halt> {
    let (machine, start) = (search.machine, search.machine.start());
    let all: Vec<_> = machine.layout.ids().collect();
    let mut layer = Layer::new();
    for state in permitted(machine, &start, &all, None, &mut BTreeSet::new()) {
        let root = space.encode(&state)?;
        add(space, layer.entry(start.place.node).or_default(), state.clocks, root)?;
    }
    Ok(layer)
}

/// One state on a way back.
struct ConcreteState {
    /// Its place, and a value for every variable.
    one: AbstractState,
    /// The clocks of the set that it was found in.
    clocks: Clocks,
}

impl ConcreteState {
    /// The first state of a box. What may fall has not: then both may be so.
    fn first_in(machine: &Machine, found: &AbstractState) -> Self {
        let mut one = found.clone();
        for var in machine.layout.ids() {
            let field = found.bits.field(&machine.layout, var);
            let from = machine.settling.iter().find(|s| s.var == var && s.from & field != 0).map(|s| s.from);
            one.bits.set_field(&machine.layout, var, from.unwrap_or(field & field.wrapping_neg()));
        }
        Self { one, clocks: found.clocks.clone() }
    }

    /// The box of the state and of what may just have settled in it.
    fn closed(&self, machine: &Machine) -> AbstractState {
        machine.narrow(&self.one, &Cube::default()).unwrap_or_else(|| self.one.clone())
    }
}

/// A run from the start to one of the states, as tree of one way each.
fn way_back(
    search: &WitnessSearch<'_, '_>,
    space: &mut Space<'_>,
    frontiers: &[Frontier],
    node: NodeId,
    clocks: &Clocks,
    states: Root,
) -> Result<Vec<SearchNode>, Halt> {
    let astray = |at| ReplayError { at, what: "no way leads back from there" };
    let end = space.boxes(states, node, clocks, 1);
    let mut stand = ConcreteState::first_in(search.machine, end.first().ok_or(astray(frontiers.len()))?);
    let mut back_to_front = Vec::with_capacity(frontiers.len() + 1);
    for (depth, frontier) in frontiers.iter().enumerate().rev() {
        let (before, link) = back(search, space, frontier, &stand)?.ok_or(astray(depth))?;
        let link = SearchEdge { parent: depth, ..link };
        back_to_front.push(SearchNode { state: stand.closed(search.machine), from: vec![link] });
        stand = before;
    }
    back_to_front.push(SearchNode { state: stand.closed(search.machine), from: Vec::new() });
    back_to_front.reverse();
    Ok(back_to_front)
}

/// A state of the frontier, and the step from it that leads to the target.
fn back(
    search: &WitnessSearch<'_, '_>,
    space: &mut Space<'_>,
    frontier: &Frontier,
    target: &ConcreteState,
) -> Result<Option<(ConcreteState, SearchEdge)>, BudgetExhausted> {
    for reached in frontier {
        let here = |way: &&Way| way.to == target.one.place.node && way.clocks == target.clocks;
        for way in reached.ways.iter().filter(here) {
            let before = candidates(search, space, reached, way, target)?;
            let first = space.boxes(before, reached.node, &reached.clocks, 1);
            let Some(stand) = first.first().map(|state| ConcreteState::first_in(search.machine, state))
            else {
                continue;
            };
            if let Some(link) = link(search, &stand.closed(search.machine), way.outcome, target) {
                return Ok(Some((stand, link)));
            }
        }
    }
    Ok(None)
}

/// The states that a way leads to the target from: first a state that the step may leave and that is, or by falling may
/// become, the target; then what it came from.
fn candidates(
    search: &WitnessSearch<'_, '_>,
    space: &mut Space<'_>,
    reached: &Reached,
    way: &Way,
    target: &ConcreteState,
) -> Result<Root, BudgetExhausted> {
    let (machine, place) = (search.machine, target.one.place);
    let layout = &machine.layout;
    let Some(step) = space.steps(reached.node, &reached.clocks, way.outcome).into_iter().nth(way.part) else {
        return Ok(NONE);
    };
    let met = space.met(reached.node, reached.root)?;
    let met = space.open(met, reached.node, way.outcome)?;
    let met = space.with_items(met, reached.node, way.outcome, place)?;
    let mut after = space.after(met, reached.node, way.outcome, &step)?;
    for rule in machine.broken(&step.state, &step.changed) {
        after = space.without(after, &machine.rules[rule].when)?;
    }
    let stay = layout.ids().filter(|&var| search.live.stays(place.node, var));
    let wanted = stay.map(|var| {
        let set = target.one.bits.field(layout, var);
        let settling = machine.settling.iter().find(|s| s.var == var && s.to & set != 0);
        Conjunct { var, set: set | settling.map_or(0, |settling| settling.from) }
    });
    let after = space.restrict(after, wanted)?;
    let Some(left) = space
        .boxes(after, place.node, &way.clocks, 1)
        .first()
        .map(|left| ConcreteState::first_in(machine, left))
    else {
        return Ok(NONE);
    };
    let values = layout.ids().map(|var| Conjunct { var, set: left.one.bits.field(layout, var) });
    let before = space.before(met, &step, &Cube(values.collect()))?;
    space.on_arrival(reached.node, reached.root, before)
}

/// The step by an outcome that leads from a box to the target, if one does.
fn link(
    search: &WitnessSearch<'_, '_>,
    state: &AbstractState,
    outcome: usize,
    target: &ConcreteState,
) -> Option<SearchEdge> {
    let layout = &search.machine.layout;
    let node = target.one.place.node;
    let steps = successors(search.machine, state, &|_, at| at == outcome, &mut BTreeSet::new());
    let there = |part: &AbstractState| {
        let has = |var| part.bits.field(layout, var) & target.one.bits.field(layout, var) != 0;
        part.place == target.one.place && layout.ids().all(|var| !search.live.stays(node, var) || has(var))
    };
    let (_, step, part) = steps.into_iter().find(|(_, _, part)| there(part))?;
    let origin = on_arrival(search.machine, state, &step.origin);
    Some(SearchEdge { parent: 0, outcome, origin, own: part.bits, changed: step.changed })
}
