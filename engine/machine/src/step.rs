//! The one step function.

use crate::bits::Bits;
use crate::cube::Cube;
use crate::layout::VarId;
use crate::machine::{Machine, Rule};
use crate::node::{Choice, Duty, Effect, Goto, Guard, NodeId, Outcome, Place};
use crate::state::AbstractState;

/// What an outcome leads to.
#[derive(Clone, Debug)]
pub struct Next {
    /// The state.
    pub state: AbstractState,
    /// The values before that lead here: an outcome parts a state by variants alone.
    pub origin: Bits,
    /// The variables that were written, sorted: by the step, or because evidence ended.
    pub changed: Vec<VarId>,
    /// The rules that an act of this step may break, as indices into the machine's. Where there are some, nothing goes on
    /// from this state.
    pub broken: Vec<usize>,
    /// Whether a look contradicted the record.
    pub surprise: bool,
    /// Whether a rule had been found broken and the step does something else than ending it.
    pub unmended: bool,
}

impl Machine {
    /// The outcomes open at a place, as indices into the node's outcomes: all of them, except in the choosing node of an
    /// any-order block, where an item is open until it is done and the block ends when all are.
    pub fn open(&self, place: Place) -> impl Iterator<Item = usize> + '_ {
        let outcomes = &self.node(place.node).outcomes;
        let items = outcomes.iter().filter(|outcome| outcome.choice.item().is_some()).count() as u32;
        let all = place.items.count_ones() == items;
        outcomes.iter().enumerate().filter_map(move |(at, outcome)| {
            let open = match outcome.choice {
                Choice::Item(item) => place.items >> item & 1 == 0,
                Choice::AllItems => all,
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Is(_)
                | Choice::CannotTell
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver => true,
            };
            open.then_some(at)
        })
    }

    /// All that an outcome of the state's node leads to; nothing if the outcome is impossible there. A state that breaks rules
    /// (`broken`) is told and leads nowhere: what goes on beside it are the parts of it that break none.
    ///
    /// Preconditions are not looked at here: callers ask [`Machine::unmet`] first.
    #[must_use]
    pub fn step(&self, state: &AbstractState, outcome: usize) -> Vec<Next> {
        let outcome = &self.node(state.place.node).outcomes[outcome];
        let place = self.place_after(state.place, outcome.to);
        let mut all = Vec::with_capacity(1);
        for part in self.of_variants(state, &outcome.guard) {
            for (after, origin) in self.waited(part, &outcome.waits) {
                self.finish(after, origin, outcome, place, &mut all);
            }
        }
        all
    }

    /// Applies what the outcome does once its time has passed.
    fn finish(
        &self,
        mut state: AbstractState,
        origin: Bits,
        outcome: &Outcome,
        place: Place,
        all: &mut Vec<Next>,
    ) {
        let before = std::mem::replace(&mut state.place, place);
        // Where the block is left no item counts any more.
        let may_be_offered = before.items & place.items & !before.again;
        // What lets time pass or releases is judged before anything comes of it.
        let absent = outcome.duty == Duty::Absent && self.owes(&mut state, Duty::Absent);
        let duty = if outcome.duty == Duty::Absent { Duty::Nothing } else { outcome.duty };
        let (mut changed, mut looked_at, mut surprise) = (Vec::new(), Vec::new(), false);
        for &effect in &outcome.effects {
            if may_be_offered != 0
                && let Some(item) = self.contradicted(&state, before.node, effect)
                && may_be_offered >> item & 1 == 1
            {
                state.place.items &= !(1 << item);
                state.place.again |= 1 << item;
            }
            let applied = self.apply_alone(&mut state, effect);
            surprise |= applied.surprise;
            changed.extend(applied.changed);
            if !effect.is_act() {
                looked_at.push(effect.var());
            }
        }
        changed.sort_unstable();
        changed.dedup();
        if !looked_at.is_empty() {
            self.note_look(&mut state, looked_at.into_iter().chain(changed.iter().copied()));
        }
        let acts = outcome.effects.iter().any(|effect| effect.is_act());
        let broken = match &self.sought {
            Some(sought)
                if acts
                    && sought.0.iter().any(|part| changed.contains(&part.var))
                    && sought.meets(&self.layout, &state.bits) =>
            {
                vec![0]
            }
            None if acts => self.broken(&state, &changed),
            Some(_) | None => Vec::new(),
        };
        if broken.is_empty() {
            let unmended = self.owes(&mut state, duty) || absent;
            all.push(Next { state, origin, changed, broken, surprise, unmended });
            return;
        }
        let mut parts = vec![state.bits.clone()];
        for &rule in &broken {
            let when = &self.rules[rule].when;
            parts = parts.iter().flat_map(|bits| when.outside(&self.layout, bits)).collect();
        }
        let told = Next { state, origin, changed, broken, surprise, unmended: absent };
        for bits in parts {
            // Only here may a settling value fall again: between two rules that would bring states back that the first took.
            let mut state = AbstractState { bits, ..told.state.clone() };
            self.settle(&mut state);
            let unmended = self.owes(&mut state, duty) || absent;
            all.push(Next { state, broken: Vec::new(), unmended, ..told.clone() });
        }
        all.push(told);
    }

    /// The item of which alone something is that a look there says otherwise of than the record.
    fn contradicted(&self, state: &AbstractState, node: NodeId, effect: Effect) -> Option<u8> {
        let item = self.offers(self.node(node), effect)?;
        let seen = effect.seen()?;
        (state.bits.field(&self.layout, seen.var) & seen.set == 0).then_some(item)
    }

    /// Takes rules that an act ended from those found broken. Whether the outcome owed that and did not do it: that is told
    /// once, and the run goes on as if it had been put right.
    fn owes(&self, state: &mut AbstractState, duty: Duty) -> bool {
        let (may_end, must) = match duty {
            Duty::Nothing => return false,
            Duty::May => (true, false),
            Duty::Mend => (true, true),
            Duty::Absent => (false, true),
        };
        let found = self.found(state);
        let ends = |rule: &usize| may_end && !self.rules[*rule].when.meets(&self.layout, &state.bits);
        let ended: Vec<usize> = found.iter().copied().filter(ends).collect();
        let unmended = must && ended.is_empty() && !found.is_empty();
        for rule in if unmended { found } else { ended } {
            self.set_found(state, rule, false);
        }
        unmended
    }

    /// The rules that a record may break, among those that speak of a variable in `changed` and were not found broken before.
    #[must_use]
    pub fn broken(&self, state: &AbstractState, changed: &[VarId]) -> Vec<usize> {
        let may_be_broken = |rule: &usize| {
            !self.is_found(state, *rule) && self.rules[*rule].when.meets(&self.layout, &state.bits)
        };
        self.speaking_of(changed).iter().copied().filter(may_be_broken).collect()
    }

    /// The combination that a person may release and that may now be so, where these were written, though it was not surely so
    /// before: no plan and no gate comes to it, for nobody releases it there.
    #[must_use]
    pub fn unreleased(&self, before: &Bits, after: &Bits, written: &[VarId]) -> Option<&Rule> {
        let layout = &self.layout;
        let comes = |rule: &&Rule| {
            written.iter().any(|&var| rule.when.mentions(var))
                && rule.when.meets(layout, after)
                && !rule.when.holds(layout, before)
        };
        self.released.iter().find(comes)
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

    /// The part of a state inside a cube.
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
        let parts = cube.outside(&self.layout, &state.bits).into_iter();
        let part = |bits| {
            let mut part = AbstractState { bits, ..state.clone() };
            self.settle(&mut part);
            part
        };
        parts.map(part).collect()
    }

    fn place_after(&self, before: Place, to: Goto) -> Place {
        let same_block =
            self.node(to.node).block.is_some() && self.node(to.node).block == self.node(before.node).block;
        let mut after = if same_block { Place { node: to.node, ..before } } else { Place::at(to.node) };
        if let Some(item) = to.item {
            after.items |= 1 << item;
        }
        after
    }

    fn of_variants(&self, state: &AbstractState, guard: &Guard) -> Vec<AbstractState> {
        match guard {
            Guard::Always => vec![state.clone()],
            Guard::Is(cube) => self.narrow(state, cube).into_iter().collect(),
            Guard::IsNot(cube) => self.outside(state, cube),
        }
    }

    /// The state once the time of an outcome has passed, parted by the variants that decide how long it is; each with the
    /// values before.
    fn waited(&self, state: AbstractState, waits: &[(Cube, u64)]) -> Vec<(AbstractState, Bits)> {
        let mut after = Vec::with_capacity(1);
        let mut rest = vec![state];
        for (cube, millis) in waits {
            for part in std::mem::take(&mut rest) {
                if let Some(inside) = self.narrow(&part, cube) {
                    after.push((self.pass_time(&inside, *millis), inside.bits));
                }
                rest.extend(self.outside(&part, cube));
            }
        }
        after.extend(rest.into_iter().map(|part| (part.clone(), part.bits)));
        after
    }
}
