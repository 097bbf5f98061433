//! Where a procedure isolates, locks, unlocks and restores a source of energy, in written order.

use crate::writing::text::{Owner, Text};
use crate::writing::{StepAt, Writing};
use document::model::{Answer, Cube, EnergySource, Name, Values};

/// One source of energy that a procedure isolates.
pub(super) struct Control<'w, 'a> {
    pub(super) name: &'a Name,
    pub(super) energy: &'a EnergySource,
    pub(super) steps: &'w [StepAt<'a>],
    writing: &'w Writing<'a>,
    /// The first step that isolates it.
    pub(super) isolated: usize,
    /// The first step after it that locks it.
    pub(super) locked: Option<usize>,
    /// The first step after that which unlocks it.
    pub(super) unlocked: Option<usize>,
    /// The first step after that which brings the energy back.
    pub(super) live: Option<usize>,
}

impl<'w, 'a> Control<'w, 'a> {
    /// Every source of the equipment that the procedure isolates and works on under isolation.
    pub(super) fn all(writing: &'w Writing<'a>) -> Vec<Self> {
        let sources = writing.machine().energy.iter();
        sources.filter_map(|(name, energy)| Self::of(writing, name, energy)).collect()
    }

    fn of(writing: &'w Writing<'a>, name: &'a Name, energy: &'a EnergySource) -> Option<Self> {
        let steps = &writing.steps[..];
        let first = |from: usize, cube: &Cube, so: bool| {
            (from..steps.len()).find(|&at| {
                cube.iter().any(|(name, values)| leaves(writing, &steps[at], name, values) == Some(so))
            })
        };
        let isolated = first(0, &energy.isolated, true)?;
        let locked = first(isolated, &energy.locked, true);
        let unlocked = locked.and_then(|from| first(from, &energy.locked, false));
        let live = unlocked.and_then(|from| first(from, &energy.isolated, false));
        Some(Self { name, energy, steps, writing, isolated, locked, unlocked, live })
    }

    /// Whether the step makes a condition one of these values.
    pub(super) fn makes(&self, at: usize, name: &Name, values: &Values) -> bool {
        leaves(self.writing, &self.steps[at], name, values) == Some(true)
    }

    /// Whether the step looks at a condition and goes on where it is one of these values.
    pub(super) fn looks(&self, at: usize, name: &Name, values: &Values) -> bool {
        let step = self.steps[at].step;
        let answers =
            step.answers.iter().flat_map(|answers| answers.values()).filter_map(|answer| match answer {
                Answer::Shows(outcome) => Some(&outcome.shows),
                Answer::Goes(_) => None,
            });
        let looked = [
            step.confirm.as_ref(),
            step.measure.as_ref().map(|measure| &measure.shows),
            step.wait.as_ref().map(|wait| &wait.until),
        ];
        looked.into_iter().flatten().chain(answers).any(|cube| within(cube, name, values) == Some(true))
    }

    /// Whether the step asks or confirms something other than the energy itself.
    pub(super) fn inspects(&self, at: usize) -> bool {
        let step = self.steps[at].step;
        let energy =
            |name: &Name| self.energy.isolated.contains_key(name) || self.energy.stored.contains_key(name);
        step.ask.is_some()
            || step.hold.is_some()
            || step.confirm.as_ref().is_some_and(|cube| !cube.keys().all(energy))
    }

    /// Whether the step tells people something.
    pub(super) fn tells(&self, at: usize) -> bool {
        let told = |text: &Text<'_>| {
            let first = text.sentences.first().and_then(|sentence| sentence.after_condition().first());
            first.is_some_and(|word| matches!(&*word.lower, "tell" | "notify" | "inform" | "warn"))
        };
        let step = self.steps[at].step;
        let own = |text: &&Text<'_>| {
            step.act.is_some() && matches!(text.owner, Owner::Step(name) if *name == *step.id)
        };
        self.writing.texts.iter().filter(own).any(told)
    }
}

/// Whether a step leaves a condition at one of these values; `None` if it does not touch it.
fn leaves(writing: &Writing<'_>, one: &StepAt<'_>, name: &Name, values: &Values) -> Option<bool> {
    let action = one.step.action.as_ref().and_then(|name| writing.machine().actions.get(name));
    within(&one.step.leaves, name, values).or_else(|| within(&action?.leaves, name, values))
}

fn within(cube: &Cube, name: &Name, values: &Values) -> Option<bool> {
    Some(cube.get(name)?.0.iter().all(|value| values.0.contains(value)))
}
