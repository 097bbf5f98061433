//! Shortest runs to what the exploration found violated.

use crate::Obligation;
use crate::concrete::{Knot, Link, trace};
use crate::explore::{Budget, permitted, successors};
use crate::join::{Arrival, join};
use crate::live::Live;
use crate::plan::Planner;
use crate::reduce::Reduction;
use machine::{Bits, Cube, DONE, Machine, Place, ReplayError, State, Trace, Violation};
use std::collections::{BTreeMap, BTreeSet};

/// Breadth first, a move a layer, until each violated obligation has been met once or the budget ends.
pub(crate) fn traces(
    machine: &Machine,
    live: &Live,
    mut planner: Option<&mut Planner<'_>>,
    reduction: &Reduction,
    wanted: &BTreeSet<Obligation>,
    budget: &Budget<'_>,
) -> Result<BTreeMap<Obligation, Trace>, ReplayError> {
    let mut wanted: BTreeSet<Obligation> = wanted.iter().copied().filter(is_run).collect();
    let mut found = BTreeMap::new();
    if wanted.is_empty() {
        return Ok(found);
    }
    let start = machine.start();
    let mut knots: Vec<Knot> = Vec::new();
    let mut seen: BTreeMap<Place, Vec<State>> = BTreeMap::new();
    let mut layer: BTreeMap<Place, Vec<Arrival<Link>>> = BTreeMap::new();
    let all: Vec<_> = machine.layout.ids().collect();
    for rule in machine.broken(&start, &all) {
        let obligation = Obligation::Rule { rule, by: None };
        if wanted.remove(&obligation) {
            let root = Knot { state: start.clone(), from: Vec::new() };
            found.insert(
                obligation,
                trace(machine, live, &knots, &root, &machine.rules[rule].when, Violation::Rule(rule))?,
            );
        }
    }
    let parts = permitted(machine, &start, &all, None, &mut BTreeSet::new());
    layer.insert(start.place, parts.into_iter().map(|state| Arrival { state, from: Vec::new() }).collect());
    while !wanted.is_empty() && !layer.is_empty() {
        let mut next: BTreeMap<Place, Vec<Arrival<Link>>> = BTreeMap::new();
        for (place, arrivals) in std::mem::take(&mut layer) {
            for arrival in join(machine, arrivals) {
                let known = seen.entry(place).or_default();
                if known.iter().any(|known| arrival.state.is_within(known)) {
                    continue;
                }
                known.push(arrival.state.clone());
                if knots.len() >= budget.boxes || knots.len() % 1000 == 999 && !(budget.go_on)() {
                    return Ok(found);
                }
                let at = knots.len();
                knots.push(Knot { state: arrival.state, from: arrival.from });
                if let Some(planner) = planner.as_deref_mut() {
                    stuck(machine, live, planner, &knots, at, &mut wanted, &mut found)?;
                }
                visit(machine, live, reduction, &knots, at, &mut wanted, &mut found, &mut next)?;
            }
        }
        layer = next;
    }
    Ok(found)
}

/// Whether what violates the obligation is a run; the others are gaps.
fn is_run(obligation: &Obligation) -> bool {
    !matches!(obligation, Obligation::Answered(_) | Obligation::Resume { .. })
}

/// A state at this knot from which the machine cannot be left.
fn stuck(
    machine: &Machine,
    live: &Live,
    planner: &mut Planner<'_>,
    knots: &[Knot],
    at: usize,
    wanted: &mut BTreeSet<Obligation>,
    found: &mut BTreeMap<Obligation, Trace>,
) -> Result<(), ReplayError> {
    let knot = &knots[at];
    let node = knot.state.place.node;
    if !wanted.contains(&Obligation::Stop(node)) {
        return Ok(());
    }
    if let Some(bits) = planner.leave(&knot.state).stuck() {
        let of = |&var: &machine::VarId| machine::Conjunct { var, set: bits.field(&machine.layout, var) };
        let bad = Cube(planner.relevant().iter().map(of).collect());
        wanted.remove(&Obligation::Stop(node));
        found
            .insert(Obligation::Stop(node), trace(machine, live, knots, knot, &bad, Violation::Stuck(node))?);
    }
    Ok(())
}

#[expect(clippy::too_many_arguments, reason = "what a search knows and what it collects")]
fn visit(
    machine: &Machine,
    live: &Live,
    reduction: &Reduction,
    knots: &[Knot],
    at: usize,
    wanted: &mut BTreeSet<Obligation>,
    found: &mut BTreeMap<Obligation, Trace>,
    next: &mut BTreeMap<Place, Vec<Arrival<Link>>>,
) -> Result<(), ReplayError> {
    let knot = &knots[at];
    let mut violated = BTreeSet::new();
    let follow = |place, outcome| reduction.follows(machine, place, outcome);
    let steps = successors(machine, &knot.state, &follow, &mut violated);
    for obligation in violated {
        // A rule is broken after the move, a precondition or promise before one.
        let (conjunct, violation) = match obligation {
            Obligation::Need { node, need } => {
                (machine.node(node).needs[need].conjunct, Violation::Need { node, need })
            }
            Obligation::Promise(promise) if knot.state.place.node == DONE => {
                (machine.promises[promise].conjunct, Violation::Promise(promise))
            }
            _ => continue,
        };
        if wanted.remove(&obligation) {
            let wrong = !conjunct.set & machine.layout.all(conjunct.var);
            let bad = Cube(vec![machine::Conjunct { var: conjunct.var, set: wrong }]);
            found.insert(obligation, trace(machine, live, knots, knot, &bad, violation)?);
        }
    }
    for (outcome, step, part) in &steps {
        let mut state = part.clone();
        live.widen(machine, &mut state);
        let link = Link {
            parent: at,
            outcome: *outcome,
            origin: on_arrival(machine, &knot.state, &step.origin),
            own: part.bits.clone(),
            changed: step.changed.clone(),
        };
        next.entry(state.place).or_default().push(Arrival { state, from: vec![link] });
    }
    broken_by_leaving(machine, live, knots, at, wanted, found)
}

/// The part of what leads through an outcome that meets the node's preconditions on arrival. A settling value that they
/// ask for may have fallen by the time the outcome is taken.
fn on_arrival(machine: &Machine, arrived: &State, origin: &Bits) -> Bits {
    let layout = &machine.layout;
    let mut origin = origin.clone();
    let needs = || machine.node(arrived.place.node).needs.iter().map(|need| need.conjunct);
    for conjunct in needs() {
        let field = origin.field(layout, conjunct.var);
        let settling = machine.settling.iter().find(|settling| settling.var == conjunct.var);
        let fell = settling.filter(|settling| field & settling.to != 0).map_or(0, |settling| settling.from);
        let may_fall = fell & arrived.bits.field(layout, conjunct.var);
        origin.set_field(layout, conjunct.var, field | may_fall);
    }
    // Several needs may speak of one condition: it meets all of them.
    for conjunct in needs() {
        let field = origin.field(layout, conjunct.var);
        origin.set_field(layout, conjunct.var, field & conjunct.set);
    }
    origin
}

/// Rules that an outcome of this knot breaks.
fn broken_by_leaving(
    machine: &Machine,
    live: &Live,
    knots: &[Knot],
    at: usize,
    wanted: &mut BTreeSet<Obligation>,
    found: &mut BTreeMap<Obligation, Trace>,
) -> Result<(), ReplayError> {
    let knot = &knots[at];
    let by = knot.state.place.node;
    if !wanted
        .iter()
        .any(|obligation| matches!(obligation, Obligation::Rule { by: Some(node), .. } if *node == by))
    {
        return Ok(());
    }
    let needs = Cube(machine.node(by).needs.iter().map(|need| need.conjunct).collect());
    let Some(state) = machine.narrow(&knot.state, &needs) else { return Ok(()) };
    for outcome in machine.open(state.place) {
        for step in machine.step(&state, outcome) {
            for rule in machine.broken(&step.state, &step.changed) {
                let obligation = Obligation::Rule { rule, by: Some(by) };
                if wanted.remove(&obligation) {
                    let link = Link {
                        parent: at,
                        outcome,
                        origin: on_arrival(machine, &knot.state, &step.origin),
                        own: step.state.bits.clone(),
                        changed: step.changed.clone(),
                    };
                    let end = Knot { state: step.state.clone(), from: vec![link] };
                    let when = &machine.rules[rule].when;
                    found.insert(obligation, trace(machine, live, knots, &end, when, Violation::Rule(rule))?);
                }
            }
        }
    }
    Ok(())
}
