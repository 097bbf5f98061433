//! A run that a person can act out, from where a search found something wrong: its outcomes again from the start, with one value
//! of each variant and nothing projected away.

use crate::obligation::Obligation;
use crate::record::one_by_one;
use crate::search::{Halt, Search};
use machine::{
    AbstractState, Bits, Machine, Move, Next, NodeId, ReplayError, Trace, VarId, VarOrigin, Violation,
};
use std::collections::BTreeSet;

/// How many combinations of variants are tried. The first fits, unless only some of those of a record go wrong.
const VARIANTS_TRIED: usize = 256;

/// What goes wrong at the end of a run to it, if one leads there.
fn violation(of: Obligation) -> Option<Violation> {
    Some(match of {
        Obligation::Need { node, need } => Violation::Need { node, need },
        Obligation::Rule { rule, by: _ } => Violation::Rule(rule),
        Obligation::Unmended(node) => Violation::Unmended(node),
        Obligation::Unseen(at) => Violation::Unseen(at),
        Obligation::Promise(at) => Violation::Promise(at),
        Obligation::Answered(node) => Violation::Unanswered(node),
        Obligation::Stop(node) => Violation::Stuck(node),
        Obligation::StopAfter(node) => Violation::StuckAfter(node),
        Obligation::Resume { node, var } => Violation::Lapsed { node, var },
        Obligation::Universal => return None,
    })
}

/// A record on the way, with the one before it among those of the layer before.
struct Step {
    next: Next,
    before: usize,
}

impl Search<'_, '_> {
    /// Whether this goes wrong in a record that was come to by leaving the node `left`, if any.
    pub(crate) fn goes_wrong(
        &mut self,
        of: Obligation,
        state: &AbstractState,
        left: Option<NodeId>,
        by: Option<&Next>,
    ) -> Result<bool, Halt> {
        let machine = self.machine;
        let Some(violation) = violation(of) else { return Ok(false) };
        if !machine.goes_wrong(state, left, by, violation) {
            return Ok(false);
        }
        Ok(match of {
            Obligation::Stop(_) | Obligation::StopAfter(_) => match self.planner.as_deref_mut() {
                Some(planner) => planner.is_stuck(state, self.meter)? == Some(true),
                None => false,
            },
            Obligation::Resume { node: _, var } => self.resume.lost(machine, state).contains(&var),
            Obligation::Need { .. }
            | Obligation::Rule { .. }
            | Obligation::Unmended(_)
            | Obligation::Unseen(_)
            | Obligation::Promise(_)
            | Obligation::Answered(_)
            | Obligation::Universal => true,
        })
    }

    /// The run to a record of the tree, and on by the outcome `last` if there is one, replayed.
    pub(crate) fn trace(&mut self, at: usize, last: Option<usize>, of: Obligation) -> Result<Trace, Halt> {
        let (mut outcomes, mut here) = (Vec::from_iter(last), at);
        while let Some((before, outcome)) = self.tree[here].from {
            outcomes.push(outcome);
            here = before;
        }
        outcomes.reverse();
        let none = ReplayError { at: outcomes.len(), what: "no values of the variants lead there" };
        let Some(violation) = violation(of) else { return Err(none.into()) };
        for variants in combinations(self.machine, &self.tree[at].state.bits) {
            if let Some(trace) = self.act_out(&variants, &outcomes, of, violation)? {
                self.machine.replay(&trace)?;
                return Ok(trace);
            }
        }
        Err(none.into())
    }

    /// The run of these outcomes with these variants, if it goes wrong at its end.
    fn act_out(
        &mut self,
        variants: &Bits,
        outcomes: &[usize],
        of: Obligation,
        violation: Violation,
    ) -> Result<Option<Trace>, Halt> {
        let machine = self.machine;
        let Some(start) = machine.start_of(variants, violation) else { return Ok(None) };
        let mut layers: Vec<Vec<Step>> = Vec::with_capacity(outcomes.len());
        for (at, &outcome) in outcomes.iter().enumerate() {
            let is_last = at + 1 == outcomes.len();
            let fits = |broken: bool| match (is_last, violation) {
                (true, Violation::Rule(_)) => broken,
                // What else is done than ending what was found broken may break a rule besides.
                (true, Violation::Unmended(_)) => true,
                (true | false, _) => !broken,
            };
            let mut layer: Vec<Step> = Vec::new();
            // The same record may come about rightly and wrongly.
            let mut met: BTreeSet<(AbstractState, bool, bool)> = BTreeSet::new();
            let records = match layers.last() {
                Some(layer) => layer.iter().map(|step| &step.next.state).collect(),
                None => vec![&start],
            };
            for (before, record) in records.into_iter().enumerate() {
                if !machine.open(record.place).any(|open| open == outcome) {
                    continue;
                }
                for next in machine.follow(record, outcome) {
                    self.meter.work(1)?;
                    let breaks = !next.broken.is_empty();
                    if fits(breaks) && met.insert((next.state.clone(), breaks, next.unmended)) {
                        layer.push(Step { next, before });
                    }
                }
            }
            layers.push(layer);
        }
        let Some(last) = layers.last() else {
            let wrong = self.goes_wrong(of, &start, None, None)?;
            let end = start.place;
            let trace = Trace { start: start.bits, moves: Vec::new(), end, violation };
            return Ok(wrong.then_some(trace));
        };
        for (at, step) in last.iter().enumerate() {
            let before = match layers.iter().rev().nth(1) {
                Some(layer) => &layer[step.before].next.state,
                None => &start,
            };
            let state = step.next.state.clone();
            if self.goes_wrong(of, &state, Some(before.place.node), Some(&step.next))? {
                return Ok(Some(backwards(&start, &layers, outcomes, at, violation)));
            }
        }
        Ok(None)
    }
}

/// The run to a record of the last layer.
fn backwards(
    start: &AbstractState,
    layers: &[Vec<Step>],
    outcomes: &[usize],
    at: usize,
    violation: Violation,
) -> Trace {
    let mut moves = Vec::with_capacity(layers.len());
    let (mut at, mut end) = (at, start.place);
    for (depth, (layer, &outcome)) in layers.iter().zip(outcomes).enumerate().rev() {
        let Step { next, before } = &layer[at];
        if depth + 1 == layers.len() {
            end = next.state.place;
        }
        let place = if depth == 0 { start.place } else { layers[depth - 1][*before].next.state.place };
        moves.push(Move { place, outcome, surprise: next.surprise, after: next.state.bits.clone() });
        at = *before;
    }
    moves.reverse();
    Trace { start: start.bits.clone(), moves, end, violation }
}

/// Boxes in which each variant has one of its values in this one, some of all such boxes.
fn combinations(machine: &Machine, bits: &Bits) -> Vec<Bits> {
    let layout = &machine.layout;
    let is_variant = |var: &VarId| layout.var(*var).origin == VarOrigin::Variant;
    let mut all = vec![bits.clone()];
    for var in layout.ids().filter(is_variant) {
        let field = bits.field(layout, var);
        let values: Vec<u64> = one_by_one(field).collect();
        let with = |bits: &Bits, value: u64| {
            let mut bits = bits.clone();
            bits.set_field(layout, var, value);
            bits
        };
        all = all
            .iter()
            .flat_map(|bits| values.iter().map(|&value| with(bits, value)))
            .take(VARIANTS_TRIED)
            .collect();
    }
    all
}
