//! Where a procedure isolates, locks, unlocks and restores a source of energy, on every way through it.

use crate::text::{Owner, Text};
use crate::written::{StepAt, WrittenProcedure};
use document::model::{Answer, Cube, EnergySource, Kind, Name, Values};
use machine::StepGraph;
use std::collections::BTreeMap;
use std::rc::Rc;

/// One source of energy at one step that isolates it, with work after it that rests on the isolation.
pub(crate) struct Isolation<'w, 'a> {
    pub(crate) name: &'a Name,
    pub(crate) energy: &'a EnergySource,
    pub(crate) written: &'w WrittenProcedure<'a>,
    /// The steps by their pointers.
    steps: Rc<BTreeMap<&'w str, &'w StepAt<'a>>>,
    ways: Rc<StepGraph<'w>>,
    /// The step that isolates it.
    pub(crate) isolated: &'w StepAt<'a>,
}

impl<'w, 'a> Isolation<'w, 'a> {
    /// Every step that isolates a source of the equipment before work. Switching off after a trial is none.
    pub(crate) fn all(written: &'w WrittenProcedure<'a>) -> Vec<Self> {
        let Some(machine) = written.compiled else { return Vec::new() };
        let ways = Rc::new(StepGraph::new(machine));
        let steps: Rc<BTreeMap<&str, &StepAt<'_>>> =
            Rc::new(written.steps.iter().map(|step| (step.at.as_str(), step)).collect());
        let mut all = Vec::new();
        for (name, energy) in &written.equipment.energy {
            for step in written.steps.iter().filter(|step| makes_any(written, step, &energy.isolated, true)) {
                let (steps, ways) = (Rc::clone(&steps), Rc::clone(&ways));
                let isolation = Self { name, energy, written, steps, ways, isolated: step };
                let worked = isolation.after(step, &|_| false).any(|step| isolation.is_work(step));
                if worked {
                    all.push(isolation);
                }
            }
        }
        all
    }

    fn step(&self, pointer: &str) -> Option<&'w StepAt<'a>> {
        self.steps.get(pointer).copied()
    }

    /// The steps that can come after one before the energy comes back, without a step that `between` holds of.
    pub(crate) fn after(
        &self,
        step: &StepAt<'a>,
        between: &dyn Fn(&StepAt<'a>) -> bool,
    ) -> impl Iterator<Item = &'w StepAt<'a>> {
        let shut = |pointer: &str| self.step(pointer).is_some_and(|step| between(step) || self.revives(step));
        let reached = self.ways.after(&step.at, shut);
        self.written.steps.iter().filter(move |step| reached.contains(step.at.as_str()))
    }

    /// Whether a step can be reached from the start without a step that `before` holds of.
    pub(crate) fn is_reached_without(&self, step: &StepAt<'a>, before: &dyn Fn(&StepAt<'a>) -> bool) -> bool {
        let shut = |pointer: &str| self.step(pointer).is_some_and(before);
        self.ways.reached(shut).contains(step.at.as_str())
    }

    /// The first of these steps after which work can begin without what has to lie between, if there is one.
    pub(crate) fn works_without(
        &self,
        from: Vec<&'w StepAt<'a>>,
        between: &dyn Fn(&StepAt<'a>) -> bool,
    ) -> Option<&'w StepAt<'a>> {
        from.into_iter().find(|step| self.after(step, between).any(|step| self.is_work(step)))
    }

    /// The steps that put locks on after the isolation.
    pub(crate) fn locked(&self) -> Vec<&'w StepAt<'a>> {
        self.after(self.isolated, &|_| false).filter(|step| self.locks(step, true)).collect()
    }

    /// For every step that puts locks on, those that take them off after it with nothing between that `between` holds of.
    pub(crate) fn unlocked(
        &self,
        between: &dyn Fn(&StepAt<'a>) -> bool,
    ) -> Vec<(&'w StepAt<'a>, &'w StepAt<'a>)> {
        let mut pairs = Vec::new();
        for lock in self.locked() {
            let off = self.after(lock, between).filter(|step| self.locks(step, false));
            pairs.extend(off.map(|step| (lock, step)));
        }
        pairs
    }

    /// The steps that bring the energy back, with nothing between that `between` holds of; after the locks if there are.
    pub(crate) fn revived(&self, between: &dyn Fn(&StepAt<'a>) -> bool) -> Vec<&'w StepAt<'a>> {
        let off: Vec<&StepAt<'_>> = self.unlocked(&|_| false).into_iter().map(|(_, off)| off).collect();
        let from = if self.energy.locked.is_empty() { vec![self.isolated] } else { off };
        let mut back: Vec<&StepAt<'_>> = Vec::new();
        for step in from {
            let shut = |pointer: &str| self.step(pointer).is_some_and(between);
            let reached = self.ways.after(&step.at, shut);
            let steps = self.written.steps.iter().filter(|one| reached.contains(one.at.as_str()));
            for one in steps.filter(|one| self.revives(one)) {
                if !back.iter().any(|known| known.at == one.at) {
                    back.push(one);
                }
            }
        }
        back
    }

    fn revives(&self, step: &StepAt<'a>) -> bool {
        makes_any(self.written, step, &self.energy.isolated, false)
    }

    pub(crate) fn locks(&self, step: &StepAt<'a>, on: bool) -> bool {
        makes_any(self.written, step, &self.energy.locked, on)
    }

    /// Whether a step is work that rests on the isolation: it, or its type of work, asks for it. Where no step of the
    /// procedure says so, every act counts that is no part of the control itself.
    fn is_work(&self, step: &StepAt<'a>) -> bool {
        let asked = |step: &StepAt<'a>| {
            let equipment = self.written.equipment;
            let action = step.step.kind.action().and_then(|name| equipment.actions.get(name));
            let work = step.step.common.work.iter().chain(action.and_then(|action| action.work.as_ref()));
            let works = work.filter_map(|name| equipment.work.get(name)).map(|work| &work.requires);
            works.chain([&step.step.common.requires]).any(|needs| {
                self.energy.isolated.iter().any(|(name, values)| within(needs, name, values) == Some(true))
            })
        };
        if self.written.steps.iter().any(asked) {
            return asked(step) && !self.controls(step);
        }
        matches!(step.step.kind, Kind::Do(_)) && !self.controls(step)
    }

    /// Whether a step is part of the control of the energy.
    fn controls(&self, step: &StepAt<'a>) -> bool {
        let stored = |(name, values): (&Name, &Values)| {
            leaves(self.written, step, name, values).is_some() || self.looks(step, name, values)
        };
        self.tells(step)
            || self.energy.stored.iter().any(stored)
            || self.locks(step, true)
            || self.locks(step, false)
            || makes_any(self.written, step, &self.energy.isolated, true)
            || self.revives(step)
    }

    /// Whether the step makes a condition one of these values.
    pub(crate) fn makes(&self, step: &StepAt<'a>, name: &Name, values: &Values) -> bool {
        leaves(self.written, step, name, values) == Some(true)
    }

    /// Whether the step looks at a condition and goes on where it is one of these values, or waits until it has settled.
    pub(crate) fn looks(&self, step: &StepAt<'a>, name: &Name, values: &Values) -> bool {
        let step = step.step;
        let answers = step.kind.answers().filter_map(|(_, answer)| match answer {
            Answer::Shows(outcome) => Some(&outcome.shows),
            Answer::Goes(_) => None,
        });
        let settles = matches!(step.kind, Kind::Wait(_))
            && self
                .written
                .equipment
                .conditions
                .get(name)
                .and_then(|condition| condition.settles.as_ref())
                .is_some_and(|settles| values.0.contains(&settles.to));
        settles
            || step
                .kind
                .looked_for()
                .into_iter()
                .chain(answers)
                .any(|cube| within(cube, name, values) == Some(true))
    }

    /// Whether the step asks or confirms something other than the energy itself.
    pub(crate) fn inspects(&self, step: &StepAt<'a>) -> bool {
        let step = step.step;
        let energy =
            |name: &Name| self.energy.isolated.contains_key(name) || self.energy.stored.contains_key(name);
        match &step.kind {
            Kind::Ask(_) | Kind::Hold(_) => true,
            Kind::Confirm(cube) => !cube.keys().all(energy),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => false,
        }
    }

    /// Whether the step tells people something.
    pub(crate) fn tells(&self, step: &StepAt<'a>) -> bool {
        let told = |text: &Text<'_>| {
            let first = text.sentences.first().and_then(|sentence| sentence.after_condition().first());
            first.is_some_and(|word| matches!(&*word.lower, "tell" | "notify" | "inform" | "warn"))
        };
        let own = |text: &&Text<'_>| {
            matches!(step.step.kind, Kind::Do(_))
                && matches!(text.owner, Owner::Step(name) if *name == *step.step.common.id)
        };
        self.written.texts.iter().filter(own).any(told)
    }
}

/// Whether a step leaves any of these conditions so, or not so.
fn makes_any(written: &WrittenProcedure<'_>, step: &StepAt<'_>, cube: &Cube, so: bool) -> bool {
    cube.iter().any(|(name, values)| leaves(written, step, name, values) == Some(so))
}

/// Whether a step leaves a condition at one of these values; `None` if it does not touch it.
fn leaves(written: &WrittenProcedure<'_>, one: &StepAt<'_>, name: &Name, values: &Values) -> Option<bool> {
    let action = one.step.kind.action().and_then(|name| written.equipment.actions.get(name));
    within(&one.step.common.leaves, name, values).or_else(|| within(&action?.leaves, name, values))
}

fn within(cube: &Cube, name: &Name, values: &Values) -> Option<bool> {
    Some(cube.get(name)?.0.iter().all(|value| values.0.contains(value)))
}
