//! What is believed of the machine beside the record that was proved: all that was seen and done, and what nobody can vouch for.

use machine::{AbstractState, Cube, Effect, Machine, VarId};
use std::collections::BTreeSet;

/// What is believed of the machine. The one place where a walk keeps its doubts: gates, plans for stopping and the end of a walk
/// ask nothing else.
#[derive(Clone, Debug)]
pub(crate) struct Belief {
    /// By all that was seen, done and waited for, in its order and doubt apart; at the place of the proved record.
    told: AbstractState,
    /// What may be otherwise than was told: nobody was at the machine, or an act of which nobody said how far it went may have
    /// changed it. Nobody looked at it, waited for it or wrote it since. What was looked at too long ago the clock alone tells.
    doubted: BTreeSet<VarId>,
}

impl Belief {
    /// Of a record that nobody doubts.
    pub(crate) fn new(told: AbstractState) -> Self {
        Self { told, doubted: BTreeSet::new() }
    }

    /// What was told, doubt apart.
    pub(crate) fn told(&self) -> &AbstractState {
        &self.told
    }

    pub(crate) fn doubted(&self) -> &BTreeSet<VarId> {
        &self.doubted
    }

    /// What may be so, with these in doubt, too.
    pub(crate) fn may_be<'v>(
        &self,
        machine: &Machine,
        doubted: impl IntoIterator<Item = &'v VarId>,
    ) -> AbstractState {
        let all: BTreeSet<VarId> = self.doubted.iter().copied().chain(doubted.into_iter().copied()).collect();
        lost(machine, &self.told, &all)
    }

    /// From now on nobody can vouch for these.
    pub(crate) fn doubt(&mut self, vars: impl IntoIterator<Item = VarId>) {
        self.doubted.extend(vars);
    }

    /// It may have these values, too: its time counts from now.
    pub(crate) fn widen(&mut self, machine: &Machine, var: VarId, values: u64) {
        let field = self.told.bits.field(&machine.layout, var) | values;
        self.told.bits.set_field(&machine.layout, var, field);
        for (settling, clock) in machine.settling.iter().zip(&mut self.told.clocks) {
            if settling.var == var && field & settling.from != 0 {
                *clock = 0;
            }
        }
    }

    /// A value may keep through an interruption, a clock that has partly run does not.
    pub(crate) fn begin_clocks_anew(&mut self, machine: &Machine) {
        for (settling, clock) in machine.settling.iter().zip(&mut self.told.clocks) {
            if *clock < settling.after {
                *clock = 0;
            }
        }
    }

    /// What is vouched for by what was looked at or waited for.
    pub(crate) fn vouch(&mut self, vars: &BTreeSet<VarId>) {
        self.doubted.retain(|var| !vars.contains(var));
    }

    /// A variant was given.
    pub(crate) fn narrow(&mut self, machine: &Machine, cube: &Cube) {
        if let Some(kept) = machine.narrow(&self.told, cube) {
            self.told = kept;
        }
    }

    /// Something was seen or done apart from the steps.
    pub(crate) fn apply(&mut self, machine: &Machine, effect: Effect) -> Vec<VarId> {
        self.doubted.remove(&effect.var());
        machine.apply(&mut self.told, effect).changed
    }

    /// An outcome of the place was taken, which led the proved record to `after`.
    pub(crate) fn step(&mut self, machine: &Machine, outcome: usize, after: &AbstractState) {
        let taken = &machine.node(self.told.place.node).outcomes[outcome];
        let (before, may_be) = (self.told.clone(), self.may_be(machine, []));
        let mut ways = machine.step(&self.told, outcome).into_iter().map(|next| next.state);
        // What no way leads on from is something nobody expected: then nothing counts.
        let Some(mut told) = ways.next() else {
            self.told = machine.unknown(after.place);
            return;
        };
        ways.for_each(|other| told.widen(&other));
        told.place = after.place;
        self.told = told;
        if !taken.waits.is_empty() {
            self.hold_back(machine, &before, &may_be);
        }
        for effect in &taken.effects {
            self.doubted.remove(&effect.var());
        }
    }

    /// So much time passed before anything else, for the sake of these: they are as they should be after it.
    pub(crate) fn waited(&mut self, machine: &Machine, vars: &[VarId], millis: u64) {
        let may_be = self.may_be(machine, []);
        for (at, settling) in machine.settling.iter().enumerate() {
            if vars.contains(&settling.var) && self.doubted.remove(&settling.var) {
                let field = self.told.bits.field(&machine.layout, settling.var);
                self.told.bits.set_field(&machine.layout, settling.var, field | settling.from | settling.to);
                self.told.clocks[at] = 0;
            }
        }
        let before = self.told.clone();
        self.told = machine.pass_time(&self.told, millis);
        self.hold_back(machine, &before, &may_be);
    }

    /// Time counts only under what nobody doubts.
    fn hold_back(&mut self, machine: &Machine, before: &AbstractState, may_be: &AbstractState) {
        let layout = &machine.layout;
        for (at, settling) in machine.settling.iter().enumerate() {
            if settling.holds.as_ref().is_none_or(|under| under.holds(layout, &may_be.bits)) {
                continue;
            }
            let field = |state: &AbstractState| state.bits.field(layout, settling.var);
            let both = field(&self.told) | field(before);
            self.told.bits.set_field(layout, settling.var, both);
            self.told.clocks[at] = self.told.clocks[at].min(before.clocks[at]);
        }
    }
}

/// The record once nothing is known of these any more.
pub(crate) fn lost<'v>(
    machine: &Machine,
    state: &AbstractState,
    vars: impl IntoIterator<Item = &'v VarId>,
) -> AbstractState {
    let mut state = state.clone();
    for var in vars {
        machine.apply(&mut state, Effect::Lose(*var));
    }
    state
}
