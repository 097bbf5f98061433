//! The one step function.

use crate::bits::Bits;
use crate::cube::Cube;
use crate::layout::VarId;
use crate::machine::{Machine, Restoring};
use crate::node::{Choice, Goto, Guard, Outcome, Place};
use crate::state::AbstractState;

/// A state that an outcome leads to.
#[derive(Clone, Debug)]
pub struct Next {
    /// The state.
    pub state: AbstractState,
    /// The part of the state before that leads here.
    pub origin: Bits,
    /// The variables that were written, sorted: by the step, or because evidence ended.
    pub changed: Vec<VarId>,
}

/// A box on its way through a step.
struct Part {
    bits: Bits,
    origin: Bits,
    written: Vec<VarId>,
}

impl Machine {
    /// The outcomes open at a place, as indices into the node's outcomes: all of them, except in the choosing node of an
    /// any-order block, where an item is open until it is done and the block ends when all are.
    pub fn open(&self, place: Place) -> impl Iterator<Item = usize> + '_ {
        let outcomes = &self.node(place.node).outcomes;
        let items =
            outcomes.iter().filter(|outcome| matches!(outcome.choice, Choice::Item(_))).count() as u32;
        let all = place.items.count_ones() == items;
        outcomes.iter().enumerate().filter_map(move |(at, outcome)| {
            let open = match outcome.choice {
                Choice::Item(item) => place.items >> item & 1 == 0,
                Choice::AllItems => all,
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver => true,
            };
            open.then_some(at)
        })
    }

    /// All states that an outcome of the state's node leads to; none if the outcome is impossible there.
    ///
    /// The states are disjoint in what led to them: `origin` parts the box where an effect depends on it. Preconditions
    /// are not looked at here: callers ask [`Machine::unmet`] first.
    #[must_use]
    pub fn step(&self, state: &AbstractState, outcome: usize) -> Vec<Next> {
        let outcome = &self.node(state.place.node).outcomes[outcome];
        let place = self.place_after(state.place, outcome.to);
        let mut next = Vec::with_capacity(1);
        // What a step leaves is true after it: its own wait never counts for what it sets.
        for (state, origin) in self.waited(state, &outcome.waits) {
            for mut part in self.guarded(&state, &origin, outcome) {
                for set in &outcome.sets {
                    part.bits.set_field(&self.layout, set.var, set.set);
                    part.written.push(set.var);
                }
                next.extend(
                    self.lose_evidence(part).into_iter().map(|part| self.arrived(&state, place, part)),
                );
            }
        }
        next
    }

    /// The preconditions of the state's node that the state may fail, as indices into its needs.
    #[must_use]
    pub fn unmet(&self, state: &AbstractState) -> Vec<usize> {
        let needs = &self.node(state.place.node).needs;
        (0..needs.len())
            .filter(|&at| {
                let conjunct = needs[at].conjunct;
                state.bits.field(&self.layout, conjunct.var) & !conjunct.set != 0
            })
            .collect()
    }

    /// The part of a state inside a cube: what is entitled to be believed once the cube has been confirmed.
    #[must_use]
    pub fn narrow(&self, state: &AbstractState, cube: &Cube) -> Option<AbstractState> {
        let bits = cube.inside(&self.layout, &state.bits)?;
        let mut part = AbstractState { bits, ..state.clone() };
        self.settle(&mut part);
        Some(part)
    }

    /// The parts of a state outside a cube.
    #[must_use]
    pub fn outside(&self, state: &AbstractState, cube: &Cube) -> Vec<AbstractState> {
        let parts = cube.outside(&self.layout, &state.bits);
        parts
            .into_iter()
            .map(|bits| {
                let mut part = AbstractState { bits, ..state.clone() };
                self.settle(&mut part);
                part
            })
            .collect()
    }

    /// The states that a restoring action leads to, wherever the state is. Its needs are not looked at here.
    #[must_use]
    pub fn restore(&self, state: &AbstractState, action: &Restoring) -> Vec<Next> {
        let mut part = Part { bits: state.bits.clone(), origin: state.bits.clone(), written: Vec::new() };
        for set in &action.sets {
            part.bits.set_field(&self.layout, set.var, set.set);
            part.written.push(set.var);
        }
        let parts = self.lose_evidence(part).into_iter();
        parts.map(|part| self.arrived(state, state.place, part)).collect()
    }

    /// Havoc: `vars` may have any value, wherever the state is, and evidence that ends when they change has ended.
    #[must_use]
    pub fn havoc(&self, state: &AbstractState, vars: &[VarId]) -> Vec<Next> {
        let mut part = Part { bits: state.bits.clone(), origin: state.bits.clone(), written: Vec::new() };
        for &var in vars {
            part.bits.set_field(&self.layout, var, self.layout.all(var));
            part.written.push(var);
        }
        let parts = self.lose_evidence(part).into_iter();
        parts.map(|part| self.arrived(state, state.place, part)).collect()
    }

    /// So much time has surely passed at the state's place.
    #[must_use]
    pub fn pass_time(&self, state: &AbstractState, millis: u64) -> AbstractState {
        let mut state = state.clone();
        self.add_time(&mut state, millis);
        state
    }

    /// A settling value may fall at any moment, and a clock counts only while that value is possible.
    pub(crate) fn settle(&self, state: &mut AbstractState) {
        for (settling, clock) in self.settling.iter().zip(&mut state.clocks) {
            let field = state.bits.field(&self.layout, settling.var);
            if field & settling.from == 0 {
                *clock = settling.after;
            } else {
                state.bits.set_field(&self.layout, settling.var, field | settling.to);
            }
        }
    }

    fn place_after(&self, before: Place, to: Goto) -> Place {
        let same_block =
            self.node(to.node).block.is_some() && self.node(to.node).block == self.node(before.node).block;
        let mut items = if same_block { before.items } else { 0 };
        if let Some(item) = to.item {
            items |= 1 << item;
        }
        Place { node: to.node, items }
    }

    /// The state once the time of an outcome has passed, parted by the variants that decide how long it is; each with
    /// the part of the box before.
    fn waited(&self, state: &AbstractState, waits: &[(Cube, u64)]) -> Vec<(AbstractState, Bits)> {
        let mut after = Vec::with_capacity(1);
        let mut rest = vec![state.bits.clone()];
        for (cube, millis) in waits {
            for bits in std::mem::take(&mut rest) {
                rest.extend(cube.outside(&self.layout, &bits));
                if let Some(bits) = cube.inside(&self.layout, &bits) {
                    let part = AbstractState { bits: bits.clone(), ..state.clone() };
                    after.push((self.pass_time(&part, *millis), bits));
                }
            }
        }
        after.extend(
            rest.into_iter().map(|bits| (AbstractState { bits: bits.clone(), ..state.clone() }, bits)),
        );
        after
    }

    fn guarded(&self, state: &AbstractState, origin: &Bits, outcome: &Outcome) -> Vec<Part> {
        let mut bits = state.bits.clone();
        for &var in &outcome.havoc {
            bits.set_field(&self.layout, var, self.layout.all(var));
        }
        let (cube, boxes) = match &outcome.guard {
            Guard::Always => (None, vec![bits]),
            Guard::Is(cube) => (Some(cube), cube.inside(&self.layout, &bits).into_iter().collect()),
            Guard::IsNot(cube) => (Some(cube), cube.outside(&self.layout, &bits)),
        };
        boxes
            .into_iter()
            .map(|bits| {
                let origin = match cube {
                    Some(cube) => origin_of(self, origin, &outcome.havoc, cube, &bits),
                    None => origin.clone(),
                };
                Part { bits, origin, written: outcome.havoc.clone() }
            })
            .collect()
    }

    /// Ends evidence whose cause an act has just made true: all of it at once, so that the order in which conditions are
    /// declared decides nothing. Where that depends on a value not yet known, the box parts; lost evidence is itself a
    /// change that may end other evidence.
    fn lose_evidence(&self, part: Part) -> Vec<Part> {
        let mut finished = Vec::with_capacity(1);
        let mut open = vec![(part, vec![false; self.lost_when.len()])];
        while let Some((mut part, mut lost)) = open.pop() {
            let concerned = |at: &usize| {
                let cause = &self.lost_when[*at].when;
                !lost[*at]
                    && part.written.iter().any(|&var| cause.mentions(var))
                    && cause.meets(&self.layout, &part.bits)
            };
            let due: Vec<usize> = (0..self.lost_when.len()).filter(concerned).collect();
            if due.is_empty() {
                finished.push(part);
                continue;
            }
            let causes = || due.iter().map(|&at| &self.lost_when[at].when);
            if let Some(cause) = causes().find(|cause| !cause.holds(&self.layout, &part.bits)) {
                let inside = cause.inside(&self.layout, &part.bits);
                for bits in cause.outside(&self.layout, &part.bits).into_iter().chain(inside) {
                    let origin = origin_of(self, &part.origin, &part.written, cause, &bits);
                    open.push((Part { bits, origin, written: part.written.clone() }, lost.clone()));
                }
                continue;
            }
            for at in due {
                let var = self.lost_when[at].var;
                part.bits.set_field(&self.layout, var, self.layout.all(var));
                part.written.push(var);
                lost[at] = true;
            }
            open.push((part, lost));
        }
        finished
    }

    /// The state after a step: what was written settles anew.
    fn arrived(&self, before: &AbstractState, place: Place, part: Part) -> Next {
        let mut changed = part.written;
        changed.sort_unstable();
        changed.dedup();
        let mut state = AbstractState { place, bits: part.bits, clocks: before.clocks.clone() };
        for (settling, clock) in self.settling.iter().zip(&mut state.clocks) {
            if changed.binary_search(&settling.var).is_ok() {
                *clock = 0;
            }
        }
        self.settle(&mut state);
        Next { state, origin: part.origin, changed }
    }

    fn add_time(&self, state: &mut AbstractState, millis: u64) {
        for (settling, clock) in self.settling.iter().zip(&mut state.clocks) {
            *clock = settling.after.min(clock.saturating_add(millis));
            if *clock == settling.after {
                let field = state.bits.field(&self.layout, settling.var);
                state.bits.set_field(&self.layout, settling.var, field & !settling.from);
            }
        }
    }
}

/// The part of `origin` that leads into `bits`, which `cube` split off: what was written has its value from the act, not
/// from before.
fn origin_of(machine: &Machine, origin: &Bits, written: &[VarId], cube: &Cube, bits: &Bits) -> Bits {
    let mut origin = origin.clone();
    for conjunct in cube.0.iter().filter(|conjunct| !written.contains(&conjunct.var)) {
        origin.set_field(&machine.layout, conjunct.var, bits.field(&machine.layout, conjunct.var));
    }
    origin
}
