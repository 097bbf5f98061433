//! Plans for stopping, followed from one record that is known in full (section 5).

use std::collections::BTreeSet;

use form::{Act, Effect, EffectKind, Part, PlanStep};

use crate::record::{State, Tri};
use crate::refusal::Reason;
use crate::run::Run;
use crate::scope::Scope;

/// Looks within looks, at most.
pub(crate) const MOST_NESTED: usize = 64;
/// Steps from one record, on all sides together, at most.
const MOST_STEPS: usize = 100_000;

/// Follows plans in the scope of the whole form.
pub(crate) struct Planner<'a> {
    run: Run<'a>,
    plans: &'a [Vec<PlanStep>],
    /// Row, care and plan of what was found good already.
    good: BTreeSet<(u32, u32, u32)>,
    steps: usize,
}

impl<'a> Planner<'a> {
    pub(crate) fn new(scope: &'a Scope<'a>, plans: &'a [Vec<PlanStep>]) -> Self {
        Self { run: Run::new(scope), plans, good: BTreeSet::new(), steps: 0 }
    }

    /// Whether the plan is good from the set at its most; row and care say which set of the view it is.
    pub(crate) fn is_good(
        &mut self,
        (row, care, plan): (u32, u32, u32),
        view: &Scope<'_>,
        set: &State,
    ) -> Result<(), Reason> {
        let Some(steps) = self.plans.get(plan as usize) else { return Err(Reason::NoPlan) };
        if self.good.contains(&(row, care, plan)) {
            return Ok(());
        }
        self.steps = 0;
        let mut start = self.most(view, set);
        (start, ()) = self.one(start, |run| {
            run.end_rules();
        })?;
        let ends = self.follow(steps, vec![start], 0)?;
        let rest = self.run.scope.form.rest.iter().flatten();
        for end in ends {
            if let Some(rule) = end.found.iter().position(|found| *found) {
                return fails(format!("the rule `{}` stays found broken", self.run.scope.rule(rule).name));
            }
            // In the scope of the whole form a slot is the number of the variable.
            if let Some(part) =
                rest.clone().find(|part| end.vars[part.var as usize].within(part.set) != Tri::Yes)
            {
                return fails(format!("`{}` is not at rest at its end", self.name(part.var)));
            }
        }
        self.good.insert((row, care, plan));
        Ok(())
    }

    /// The record of the whole form that is the set at its most.
    fn most(&self, view: &Scope<'_>, set: &State) -> State {
        let (scope, set) = (self.run.scope, set.at_most());
        let mut state = scope.blank();
        for (var, known) in state.vars.iter_mut().enumerate() {
            known.opened = Tri::Yes;
            known.wrote = Tri::Yes;
            if let Some(slot) = u32::try_from(var).ok().and_then(|var| view.slot(var)) {
                *known = set.vars[slot];
            }
        }
        for ((s, clock), entry) in (0..).zip(&mut state.clocks).zip(&scope.form.settling) {
            clock.look_only = (!scope.form.vars[entry.var as usize].is_hidden).into();
            if let Some(slot) = view.entry_slot(s) {
                *clock = set.clocks[slot];
            }
        }
        for (slot, rule) in view.rules.iter().enumerate() {
            state.found[*rule as usize] = set.found[slot];
        }
        state
    }

    /// Does something with one record. A question that has no answer there would be a fault of this program.
    fn one<T>(&mut self, state: State, once: impl FnOnce(&mut Run<'a>) -> T) -> Result<(State, T), Reason> {
        self.run.surely(state, once).ok_or_else(|| Reason::Plan("it is not clear what happens".to_owned()))
    }

    /// Where the steps lead to from some records.
    fn follow(
        &mut self,
        steps: &[PlanStep],
        mut states: Vec<State>,
        depth: usize,
    ) -> Result<Vec<State>, Reason> {
        if depth > MOST_NESTED {
            return Err(Reason::TooManyWays);
        }
        for step in steps {
            let mut next = Vec::new();
            for state in states {
                self.steps += 1;
                if self.steps > MOST_STEPS {
                    return Err(Reason::TooManyWays);
                }
                match step {
                    PlanStep::Act(act) => next.push(self.act(*act, state)?),
                    PlanStep::Wait(var, millis) => next.push(self.wait(*var, *millis, state)?),
                    PlanStep::Look(var, ways) => next.extend(self.look(*var, ways, state, depth)?),
                }
            }
            next.sort_unstable();
            next.dedup();
            states = next;
        }
        Ok(states)
    }

    fn act(&mut self, act: u32, mut state: State) -> Result<State, Reason> {
        let form = self.run.scope.form;
        let Some(Act { name, needs, effects }) = form.restoring.get(act as usize) else {
            return fails("it has an act that there is not".to_owned());
        };
        let is_so = |part: Part| state.vars[part.var as usize].within(part.set) == Tri::Yes;
        if effects.iter().all(|it| it.kind == EffectKind::Write && is_so(Part { var: it.var, set: it.set })) {
            return Ok(state);
        }
        if let Some(need) = needs.iter().find(|part| !is_so(**part)) {
            return fails(format!("`{name}` needs `{}`", self.name(need.var)));
        }
        for effect in effects {
            let before = state.clone();
            let (after, broken) = self.one(state, |run| {
                run.apply(effect, false);
                let held = |part: &Part| before.vars[part.var as usize].within(part.set) == Tri::Yes;
                let mut rules = form.rules.iter().chain(&form.released);
                rules.find(|rule| {
                    rule.when.iter().any(|part| run.changed.contains(&part.var))
                        && run.would_meet(&rule.when) != Tri::No
                        && !rule.when.iter().all(held)
                })
            })?;
            if let Some(rule) = broken {
                return fails(format!("`{name}` may break the rule `{}`", rule.name));
            }
            state = after;
        }
        let (state, _) = self.one(state, Run::end_rules)?;
        Ok(state)
    }

    fn wait(&mut self, var: u32, millis: u64, state: State) -> Result<State, Reason> {
        let scope = self.run.scope;
        let first = scope.index.settling.get(var as usize).and_then(|entries| entries.first());
        let Some(entry) = first.map(|s| &scope.form.settling[*s as usize]) else {
            return fails("it waits for what does not settle".to_owned());
        };
        if state.vars[var as usize].meets(entry.from) == Tri::No {
            return Ok(state);
        }
        let (state, waited) = self.one(state, |run| {
            let is_running = entry.holds.as_ref().is_none_or(|cube| run.holds(cube));
            let passed = if is_running { run.pass(millis) } else { Ok(()) };
            run.end_rules();
            passed.map(|()| is_running)
        })?;
        if waited? { Ok(state) } else { fails(format!("time does not count for `{}`", self.name(var))) }
    }

    fn look(
        &mut self,
        var: u32,
        ways: &[(u64, Vec<PlanStep>)],
        state: State,
        depth: usize,
    ) -> Result<Vec<State>, Reason> {
        let form = self.run.scope.form;
        let (Some(it), Some(known)) = (form.vars.get(var as usize), state.vars.get(var as usize).copied())
        else {
            return fails("it looks at what there is not".to_owned());
        };
        if known.may & !ways.iter().fold(0, |all, (set, _)| all | set) != 0 {
            return fails(format!("it has no side for some value of `{}`", it.name));
        }
        let sides: Vec<_> = ways.iter().filter(|(set, _)| known.may & set != 0).collect();
        if let [(_, plan)] = sides[..] {
            return self.follow(plan, vec![state], depth + 1);
        }
        if it.is_hidden
            || it.seen_when.iter().any(|part| state.vars[part.var as usize].within(part.set) != Tri::Yes)
        {
            return fails(format!("`{}` cannot be looked at", it.name));
        }
        let mut ends = Vec::new();
        for (set, plan) in sides {
            let look = Effect { kind: EffectKind::Look, var, set: known.may & set, offers: None };
            let (seen, ()) = self.one(state.clone(), |run| {
                run.apply(&look, false);
                let mut noted = std::mem::take(&mut run.changed);
                noted.push(var);
                run.note(&noted);
            })?;
            ends.extend(self.follow(plan, vec![seen], depth + 1)?);
        }
        Ok(ends)
    }

    fn name(&self, var: u32) -> &'a str {
        &self.run.scope.form.vars[var as usize].name
    }
}

fn fails<T>(why: String) -> Result<T, Reason> {
    Err(Reason::Plan(why))
}
