//! What is known on the way to leave a machine, and since when: no act of a plan counts on what was looked at too long ago.

use machine::{AbstractState, Conjunct, Effect, Machine, VarId};
use proof::PlanStep;
use std::collections::{BTreeMap, BTreeSet};

/// What is known by what was said since work stopped.
pub(crate) struct Lately<'m> {
    machine: &'m Machine,
    state: AbstractState,
    /// When each condition was last looked at or written, in milliseconds since 1970.
    since: BTreeMap<VarId, i64>,
}

impl<'m> Lately<'m> {
    /// Where the machine is as one of these records says.
    pub(crate) fn new(machine: &'m Machine, possible: &[AbstractState], since: BTreeMap<VarId, i64>) -> Self {
        let mut states = possible.iter();
        let mut state = states.next().cloned().unwrap_or_else(|| machine.unknown(machine.start().place));
        states.for_each(|other| state.widen(other));
        Self { machine, state, since }
    }

    /// The condition that a step relies on and that was looked at too long ago by now, with the values it had then; of several the
    /// one that was so first, so that what is asked stays what it is while time passes.
    pub(crate) fn old(&self, step: Option<&PlanStep>, now_ms: i64) -> Option<Conjunct> {
        let relied_on = self.relied_on(step?);
        let is_known = |var: VarId| self.field(var) != self.machine.layout.all(var);
        let var = self.lapsed(now_ms).into_iter().find(|var| relied_on.contains(var) && is_known(*var))?;
        Some(Conjunct { var, set: self.field(var) })
    }

    /// What is known where another plan begins: nothing of what was looked at too long ago by then.
    pub(crate) fn known(&self, at_ms: Option<i64>) -> AbstractState {
        let mut known = self.state.clone();
        for var in at_ms.map(|at_ms| self.lapsed(at_ms)).into_iter().flatten() {
            self.machine.apply(&mut known, Effect::Lose(var));
        }
        known
    }

    fn lapsed(&self, at_ms: i64) -> Vec<VarId> {
        self.machine.lapsed(|var| self.since.get(&var).copied(), at_ms)
    }

    /// Whether somebody can look at the condition.
    pub(crate) fn can_see(&self, var: VarId) -> bool {
        self.machine.sight(var).reaches(&self.machine.layout, &self.state.bits)
    }

    /// A look showed one of these values; none of them where nobody can tell.
    pub(crate) fn looked(&mut self, seen: Conjunct, at_ms: i64) {
        let effect = if seen.set == 0 { Effect::Lose(seen.var) } else { Effect::Look(seen) };
        self.machine.apply(&mut self.state, effect);
        self.since.insert(seen.var, at_ms);
    }

    /// An act was done, or a wait is over.
    pub(crate) fn done(&mut self, step: Option<&PlanStep>, at_ms: i64) {
        match step {
            Some(PlanStep::Act(action)) => {
                for effect in &self.machine.restoring[*action].effects {
                    self.machine.apply(&mut self.state, *effect);
                    self.since.insert(effect.var(), at_ms);
                }
            }
            Some(PlanStep::Wait { millis, .. }) => self.state = self.machine.pass_time(&self.state, *millis),
            Some(PlanStep::Look { .. } | PlanStep::Again { .. } | PlanStep::Universal | PlanStep::Cannot)
            | None => {}
        }
    }

    fn field(&self, var: VarId) -> u64 {
        self.state.bits.field(&self.machine.layout, var)
    }

    /// What an act needs, with all that decides whether it breaks a rule or ends evidence; what a wait counts under.
    fn relied_on(&self, step: &PlanStep) -> BTreeSet<VarId> {
        let machine = self.machine;
        match step {
            PlanStep::Act(action) => {
                let action = &machine.restoring[*action];
                let written = action.effects.iter().map(|effect| effect.var()).collect();
                let cubes = machine.consequences(written).looked_at;
                let named = cubes.into_iter().chain([&action.needs]).flat_map(|cube| &cube.0);
                machine.with_what_bears(named.map(|part| part.var).collect())
            }
            PlanStep::Wait { var, .. } => machine.rests_on(*var).collect(),
            PlanStep::Look { .. } | PlanStep::Again { .. } | PlanStep::Universal | PlanStep::Cannot => {
                BTreeSet::new()
            }
        }
    }
}
