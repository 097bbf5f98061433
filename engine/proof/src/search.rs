//! Shortest runs to what the exploration found violated.

use crate::boxes::{permitted, successors};
use crate::concrete::{Knot, Link};
use crate::diagram::{self, Space};
use crate::hunt::{Halt, Hunt, on_arrival};
use crate::join::{Arrival, join};
use crate::reduce::Reduction;
use machine::{Place, ReplayError, State};
use std::collections::{BTreeMap, BTreeSet};

/// Boxes of one layer, with every way they were reached.
type Layer = BTreeMap<Place, Vec<Arrival<Link>>>;

/// Breadth first, a move a layer, until each violated obligation has been met once or the budget ends: over boxes, and
/// over diagrams from the start again once the boxes of one layer are too many.
pub(crate) fn traces<'a>(
    hunt: &mut Hunt<'a, '_>,
    space: &mut Option<Space<'a>>,
    reduction: &Reduction,
    boxes_at_join: usize,
) -> Result<(), ReplayError> {
    let ended = match over_boxes(hunt, space, reduction, boxes_at_join) {
        Ok(true) => Ok(()),
        Ok(false) => diagram::traces(hunt, space),
        Err(halt) => Err(halt),
    };
    match ended {
        Ok(()) | Err(Halt::Over) => Ok(()),
        Err(Halt::Fault(error)) => Err(error),
    }
}

/// Whether everything was looked at; if not, the boxes became too many.
fn over_boxes(
    hunt: &mut Hunt<'_, '_>,
    space: &mut Option<Space<'_>>,
    reduction: &Reduction,
    boxes_at_join: usize,
) -> Result<bool, Halt> {
    if hunt.wanted.is_empty() {
        return Ok(true);
    }
    let machine = hunt.machine;
    let start = machine.start();
    hunt.start(&start)?;
    let mut knots: Vec<Knot> = Vec::new();
    let mut seen: BTreeMap<Place, Vec<State>> = BTreeMap::new();
    let all: Vec<_> = machine.layout.ids().collect();
    let parts = permitted(machine, &start, &all, None, &mut BTreeSet::new());
    let parts = parts.into_iter().map(|state| Arrival { state, from: Vec::new() }).collect();
    let mut layer: Layer = BTreeMap::from([(start.place, parts)]);
    while !hunt.wanted.is_empty() && !layer.is_empty() {
        let mut next = Layer::new();
        let mut joined = 0;
        for arrivals in layer.values_mut() {
            join(machine, arrivals, hunt.meter)?;
            joined += arrivals.len();
        }
        if joined > boxes_at_join {
            return Ok(false);
        }
        for (place, arrivals) in layer {
            let known = seen.entry(place).or_default();
            for arrival in arrivals {
                hunt.meter.work(1 + known.len() / 16)?;
                if known.iter().any(|known| arrival.state.is_within(known)) {
                    continue;
                }
                known.push(arrival.state.clone());
                hunt.meter.keep(1)?;
                let at = knots.len();
                knots.push(Knot { state: arrival.state, from: arrival.from });
                visit(hunt, space, reduction, &knots, at, &mut next)?;
            }
        }
        layer = next;
    }
    Ok(true)
}

fn visit(
    hunt: &mut Hunt<'_, '_>,
    space: &mut Option<Space<'_>>,
    reduction: &Reduction,
    knots: &[Knot],
    at: usize,
    next: &mut Layer,
) -> Result<(), Halt> {
    let (machine, knot) = (hunt.machine, &knots[at]);
    let mut violated = BTreeSet::new();
    let follow = |place, outcome| reduction.follows(machine, place, outcome);
    let steps = successors(machine, &knot.state, &follow, &mut violated);
    hunt.look(space.as_mut(), knots, at, &violated)?;
    for (outcome, step, part) in &steps {
        let mut state = part.clone();
        hunt.live.widen(machine, &mut state);
        let link = Link {
            parent: at,
            outcome: *outcome,
            origin: on_arrival(machine, &knot.state, &step.origin),
            own: part.bits.clone(),
            changed: step.changed.clone(),
        };
        next.entry(state.place).or_default().push(Arrival { state, from: vec![link] });
    }
    Ok(())
}
