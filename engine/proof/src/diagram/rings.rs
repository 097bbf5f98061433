//! Shortest runs over diagrams: rings of states, a move apart, and from a state in the last one a way back.

use super::space::{Clocks, Space};
use super::store::{NONE, Root};
use super::visit::Way;
use crate::Obligation;
use crate::boxes::{permitted, successors};
use crate::concrete::{Knot, Link};
use crate::hunt::{Halt, Hunt, on_arrival};
use crate::meter::Over;
use machine::{Conjunct, Cube, Machine, NodeId, ReplayError, State};
use std::collections::{BTreeMap, BTreeSet};

/// The states that so many moves lead to and no fewer, with where they go on.
type Ring = Vec<Reached>;

struct Reached {
    node: NodeId,
    clocks: Clocks,
    root: Root,
    ways: Vec<Way>,
}

type Layer = BTreeMap<NodeId, BTreeMap<Clocks, Root>>;

/// Breadth first, a move a ring, until each violated obligation has been met once or the budget ends.
pub(crate) fn traces<'a>(hunt: &mut Hunt<'a, '_>, space: &mut Option<Space<'a>>) -> Result<(), Halt> {
    if space.is_none() {
        *space = Space::new(hunt.machine, hunt.live, hunt.meter);
    }
    let Some(space) = space else { return Ok(()) };
    let mut rings: Vec<Ring> = Vec::new();
    let mut seen = Layer::new();
    let mut layer = start(hunt, space)?;
    while !hunt.wanted.is_empty() && !layer.is_empty() {
        let mut next = Layer::new();
        let mut ring = Ring::new();
        for (node, sets) in layer {
            let seen = seen.entry(node).or_default();
            for (clocks, root) in sets {
                let root = space.unknown(root, &clocks, seen, false)?;
                if root == NONE {
                    continue;
                }
                hunt.meter.keep(1)?;
                add(space, seen, clocks.clone(), root)?;
                let visit = space.visit(node, &clocks, root)?;
                let mut violated = visit.violated;
                violated.extend(about_arrival(hunt, space, node, &clocks, root)?);
                violated.retain(|of, _| hunt.wanted.contains(of));
                for (of, states) in violated {
                    let knots = way_back(hunt, space, &rings, node, &clocks, states)?;
                    hunt.look(Some(&mut *space), &knots, knots.len() - 1, &BTreeSet::from([of]))?;
                }
                for way in &visit.ways {
                    add(space, next.entry(way.to).or_default(), way.clocks.clone(), way.root)?;
                }
                ring.push(Reached { node, clocks, root, ways: visit.ways });
            }
        }
        rings.push(ring);
        layer = next;
    }
    Ok(())
}

/// What is violated at a node whatever its step does: from which of the states.
fn about_arrival(
    hunt: &mut Hunt<'_, '_>,
    space: &mut Space<'_>,
    node: NodeId,
    clocks: &Clocks,
    root: Root,
) -> Result<Vec<(Obligation, Root)>, Halt> {
    let mut violated = Vec::new();
    for of in hunt.wanted_at(node) {
        match of {
            Obligation::Resume { .. } => {
                let lost = hunt.lapsed.get(&of).copied().unwrap_or(NONE);
                violated.push((of, space.both(root, lost)?));
            }
            Obligation::Stop(_) => {
                let relevant =
                    hunt.planner.as_deref().map_or(Vec::new(), |planner| planner.relevant().to_vec());
                for state in space.beliefs(&relevant, root, node, clocks)? {
                    if let Some(cube) = hunt.stuck(&state)? {
                        violated.push((of, space.keep(root, cube.0)?));
                        break;
                    }
                }
            }
            _ => {}
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
) -> Result<(), Over> {
    let known = sets.get(&clocks).copied().unwrap_or(NONE);
    sets.insert(clocks, space.store.union(known, root)?);
    Ok(())
}

fn start(hunt: &Hunt<'_, '_>, space: &mut Space<'_>) -> Result<Layer, Halt> {
    let (machine, start) = (hunt.machine, hunt.machine.start());
    let all: Vec<_> = machine.layout.ids().collect();
    let mut layer = Layer::new();
    for state in permitted(machine, &start, &all, None, &mut BTreeSet::new()) {
        let root = space.of(&state)?;
        add(space, layer.entry(start.place.node).or_default(), state.clocks, root)?;
    }
    Ok(layer)
}

/// One state on a way back.
struct Stand {
    /// Its place, and a value for every variable.
    one: State,
    /// The clocks of the set that it was found in.
    clocks: Clocks,
}

impl Stand {
    /// The first state of a box. What may fall has not: then both may be so.
    fn of(machine: &Machine, found: &State) -> Self {
        let mut one = found.clone();
        for var in machine.layout.ids() {
            let field = found.bits.field(&machine.layout, var);
            let from = machine.settling.iter().find(|s| s.var == var && s.from & field != 0).map(|s| s.from);
            one.bits.set_field(&machine.layout, var, from.unwrap_or(field & field.wrapping_neg()));
        }
        Self { one, clocks: found.clocks.clone() }
    }

    /// The box of the state and of what may just have settled in it.
    fn closed(&self, machine: &Machine) -> State {
        machine.narrow(&self.one, &Cube::default()).unwrap_or_else(|| self.one.clone())
    }
}

/// A run from the start to one of the states, as knots of one way each.
fn way_back(
    hunt: &Hunt<'_, '_>,
    space: &mut Space<'_>,
    rings: &[Ring],
    node: NodeId,
    clocks: &Clocks,
    states: Root,
) -> Result<Vec<Knot>, Halt> {
    let astray = |at| ReplayError { at, what: "no way leads back from there" };
    let end = space.boxes(states, node, clocks, 1);
    let mut stand = Stand::of(hunt.machine, end.first().ok_or(astray(rings.len()))?);
    let mut back_to_front = Vec::with_capacity(rings.len() + 1);
    for (depth, ring) in rings.iter().enumerate().rev() {
        let (before, link) = back(hunt, space, ring, &stand)?.ok_or(astray(depth))?;
        let link = Link { parent: depth, ..link };
        back_to_front.push(Knot { state: stand.closed(hunt.machine), from: vec![link] });
        stand = before;
    }
    back_to_front.push(Knot { state: stand.closed(hunt.machine), from: Vec::new() });
    back_to_front.reverse();
    Ok(back_to_front)
}

/// A state of the ring, and the step from it that leads to the target.
fn back(
    hunt: &Hunt<'_, '_>,
    space: &mut Space<'_>,
    ring: &Ring,
    target: &Stand,
) -> Result<Option<(Stand, Link)>, Over> {
    for reached in ring {
        let here = |way: &&Way| way.to == target.one.place.node && way.clocks == target.clocks;
        for way in reached.ways.iter().filter(here) {
            let before = candidates(hunt, space, reached, way, target)?;
            let first = space.boxes(before, reached.node, &reached.clocks, 1);
            let Some(stand) = first.first().map(|state| Stand::of(hunt.machine, state)) else { continue };
            if let Some(link) = link(hunt, &stand.closed(hunt.machine), way.outcome, target) {
                return Ok(Some((stand, link)));
            }
        }
    }
    Ok(None)
}

/// The states that a way leads to the target from: first a state that the step may leave and that is, or by falling may
/// become, the target; then what it came from.
fn candidates(
    hunt: &Hunt<'_, '_>,
    space: &mut Space<'_>,
    reached: &Reached,
    way: &Way,
    target: &Stand,
) -> Result<Root, Over> {
    let (machine, place) = (hunt.machine, target.one.place);
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
    let stay = layout.ids().filter(|&var| hunt.live.stays(place.node, var));
    let wanted = stay.map(|var| {
        let set = target.one.bits.field(layout, var);
        let settling = machine.settling.iter().find(|s| s.var == var && s.to & set != 0);
        Conjunct { var, set: set | settling.map_or(0, |settling| settling.from) }
    });
    let after = space.keep(after, wanted)?;
    let Some(left) =
        space.boxes(after, place.node, &way.clocks, 1).first().map(|left| Stand::of(machine, left))
    else {
        return Ok(NONE);
    };
    let values = layout.ids().map(|var| Conjunct { var, set: left.one.bits.field(layout, var) });
    let before = space.before(met, &step, &Cube(values.collect()))?;
    space.on_arrival(reached.node, reached.root, before)
}

/// The step by an outcome that leads from a box to the target, if one does.
fn link(hunt: &Hunt<'_, '_>, state: &State, outcome: usize, target: &Stand) -> Option<Link> {
    let layout = &hunt.machine.layout;
    let node = target.one.place.node;
    let steps = successors(hunt.machine, state, &|_, at| at == outcome, &mut BTreeSet::new());
    let there = |part: &State| {
        let has = |var| part.bits.field(layout, var) & target.one.bits.field(layout, var) != 0;
        part.place == target.one.place && layout.ids().all(|var| !hunt.live.stays(node, var) || has(var))
    };
    let (_, step, part) = steps.into_iter().find(|(_, _, part)| there(part))?;
    let origin = on_arrival(hunt.machine, state, &step.origin);
    Some(Link { parent: 0, outcome, origin, own: part.bits, changed: step.changed })
}
