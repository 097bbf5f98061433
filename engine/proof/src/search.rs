//! Shortest runs to what the exploration found violated.

use crate::boxes::{permitted, successors};
use crate::concrete::{SearchEdge, SearchNode};
use crate::diagram::{Space, frontiers};
use crate::join::{Arrival, join};
use crate::reduce::Reduction;
use crate::witness::{Halt, WitnessSearch, on_arrival};
use machine::{AbstractState, Place, ReplayError};
use std::collections::{BTreeMap, BTreeSet};

/// Boxes of one layer, with every way they were reached.
type Layer = BTreeMap<Place, Vec<Arrival<SearchEdge>>>;

/// Breadth first, a move a layer, until each violated obligation has been met once or the budget ends: over boxes, and
/// over diagrams from the start again once the boxes of one layer are too many.
pub(crate) fn traces<'a>(
    search: &mut WitnessSearch<'a, '_>,
    space: &mut Option<Space<'a>>,
    reduction: &Reduction,
    boxes_at_join: usize,
) -> Result<(), ReplayError> {
    let ended = match over_boxes(search, space, reduction, boxes_at_join) {
        Ok(true) => Ok(()),
        Ok(false) => frontiers::traces(search, space),
        Err(halt) => Err(halt),
    };
    match ended {
        Ok(()) | Err(Halt::BudgetExhausted) => Ok(()),
        Err(Halt::Fault(error)) => Err(error),
    }
}

/// Whether everything was looked at; if not, the boxes became too many.
fn over_boxes(
    search: &mut WitnessSearch<'_, '_>,
    space: &mut Option<Space<'_>>,
    reduction: &Reduction,
    boxes_at_join: usize,
) -> Result<bool, Halt> {
    if search.wanted.is_empty() {
        return Ok(true);
    }
    let machine = search.machine;
    let start = machine.start();
    search.start(&start)?;
    let mut tree: Vec<SearchNode> = Vec::new();
    let mut seen: BTreeMap<Place, Vec<AbstractState>> = BTreeMap::new();
    let all: Vec<_> = machine.layout.ids().collect();
    let parts = permitted(machine, &start, &all, None, &mut BTreeSet::new());
    let parts = parts.into_iter().map(|state| Arrival { state, from: Vec::new() }).collect();
    let mut layer: Layer = BTreeMap::from([(start.place, parts)]);
    while !search.wanted.is_empty() && !layer.is_empty() {
        let mut next = Layer::new();
        let mut joined = 0;
        for arrivals in layer.values_mut() {
            join(machine, arrivals, search.meter)?;
            joined += arrivals.len();
        }
        if joined > boxes_at_join {
            return Ok(false);
        }
        for (place, arrivals) in layer {
            let known = seen.entry(place).or_default();
            for arrival in arrivals {
                search.meter.work(1 + known.len() / 16)?;
                if known.iter().any(|known| arrival.state.is_within(known)) {
                    continue;
                }
                known.push(arrival.state.clone());
                search.meter.keep(1)?;
                let at = tree.len();
                tree.push(SearchNode { state: arrival.state, from: arrival.from });
                visit(search, space, reduction, &tree, at, &mut next)?;
            }
        }
        layer = next;
    }
    Ok(true)
}

fn visit(
    search: &mut WitnessSearch<'_, '_>,
    space: &mut Option<Space<'_>>,
    reduction: &Reduction,
    tree: &[SearchNode],
    at: usize,
    next: &mut Layer,
) -> Result<(), Halt> {
    let (machine, here) = (search.machine, &tree[at]);
    let mut violated = BTreeSet::new();
    let follow = |place, outcome| reduction.follows(machine, place, outcome);
    let steps = successors(machine, &here.state, &follow, &mut violated);
    search.find_violations(space.as_mut(), tree, at, &violated)?;
    for (outcome, step, part) in &steps {
        let mut state = part.clone();
        search.live.project_dead(machine, &mut state);
        let link = SearchEdge {
            parent: at,
            outcome: *outcome,
            origin: on_arrival(machine, &here.state, &step.origin),
            own: part.bits.clone(),
            changed: step.changed.clone(),
        };
        next.entry(state.place).or_default().push(Arrival { state, from: vec![link] });
    }
    Ok(())
}
