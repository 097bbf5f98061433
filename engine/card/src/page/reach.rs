//! What a procedure has its hands on: its own steps and those of the procedures it performs.

use super::scope::Scope;
use document::model::{Answer, Condition, Cube, Kind, Name, Procedure, Step};
use std::collections::{BTreeMap, BTreeSet};

/// Everything a procedure touches and names.
#[derive(Default)]
pub(super) struct Reach<'a> {
    /// The values that its steps may give to conditions.
    pub(super) changes: BTreeMap<&'a Name, BTreeSet<&'a str>>,
    /// The conditions that it speaks of itself.
    pub(super) named: BTreeSet<&'a Name>,
    /// The hazards it warns of, and those of its types of work.
    pub(super) hazards: BTreeSet<&'a Name>,
    /// Protective equipment of its types of work, in the order of the steps.
    pub(super) wear: Vec<&'a Name>,
    performed: BTreeSet<&'a Name>,
}

impl<'a> Reach<'a> {
    pub(super) fn from_scope(scope: &Scope<'a>) -> Self {
        let mut reach = Self::default();
        reach.procedure(scope, &scope.procedure.model);
        reach.lose_evidence(scope);
        let changed: Vec<&Name> = reach.changes.keys().copied().collect();
        reach.named.extend(changed);
        reach.rules(scope);
        reach
    }

    fn procedure(&mut self, scope: &Scope<'a>, procedure: &'a Procedure) {
        // A procedure that performs itself is a finding, and must not be walked for ever.
        if !self.performed.insert(&procedure.procedure) {
            return;
        }
        self.named.extend(procedure.requires.keys().chain(procedure.leaves.keys()));
        self.steps(scope, &procedure.steps);
    }

    fn steps(&mut self, scope: &Scope<'a>, steps: &'a [Step]) {
        for step in steps {
            self.named.extend(step.common.requires.keys());
            self.hazards.extend(&step.common.warn);
            self.change(&step.common.leaves);
            self.disturb(scope, &step.common.disturbs);
            if let Some((_, action)) = scope.action(step) {
                self.change(&action.leaves);
                self.disturb(scope, &action.disturbs);
            }
            for (_, work) in scope.work(step) {
                self.hazards.extend(&work.hazard);
                self.wear.extend(&work.wear);
            }
            match &step.kind {
                Kind::Confirm(cube) => self.named.extend(cube.keys()),
                Kind::Wait(wait) => self.named.extend(wait.until.keys()),
                Kind::Repeat(repeat) => self.named.extend(repeat.until.keys()),
                Kind::Measure(measure) => self.disturb(scope, measure.shows.keys()),
                Kind::Ask(question) => {
                    for answer in question.answers.values() {
                        if let Answer::Shows(outcome) = answer {
                            self.change(&outcome.shows);
                        }
                    }
                }
                Kind::Perform(name) => {
                    if let Some(document) = scope.library.procedures.get(name) {
                        self.procedure(scope, &document.model);
                    }
                }
                Kind::Do(_) | Kind::Action(_) | Kind::Hold(_) | Kind::Fasten(_) | Kind::AnyOrder(_) => {}
            }
            if let Some((_, inner)) = step.inner() {
                self.steps(scope, inner);
            }
        }
    }

    fn change(&mut self, cube: &'a Cube) {
        for (condition, values) in cube {
            self.changes.entry(condition).or_default().extend(values.0.iter().map(String::as_str));
        }
    }

    fn disturb(&mut self, scope: &Scope<'a>, conditions: impl IntoIterator<Item = &'a Name>) {
        for name in conditions {
            if let Some(condition) = scope.machine().conditions.get(name) {
                self.changes.entry(name).or_default().extend(condition.values.iter().map(String::as_str));
            }
        }
    }

    /// Evidence that the changes take away is changed as well. One loss can lead to the next, so until nothing is
    /// added; every round adds a condition, which bounds the rounds.
    fn lose_evidence(&mut self, scope: &Scope<'a>) {
        let lost = |reach: &Self, condition: &Condition| {
            condition.lost_when.iter().flatten().any(|(name, values)| reach.meets(name, &values.0))
        };
        loop {
            let more: Vec<&Name> = scope
                .machine()
                .conditions
                .iter()
                .filter(|(name, condition)| lost(self, condition) && !self.changes.contains_key(name))
                .map(|(name, _)| name)
                .collect();
            if more.is_empty() {
                return;
            }
            self.disturb(scope, more);
        }
    }

    /// The hazards of the rules that this procedure could come near: a step brings about a part of the rule, and the
    /// procedure itself speaks of all of it. All rules of the machine on every card would be read by no one.
    fn rules(&mut self, scope: &Scope<'a>) {
        for rule in scope.machine().never.values() {
            let near = rule.when.iter().any(|(name, values)| self.meets(name, &values.0));
            if near && rule.when.keys().all(|name| self.named.contains(name)) {
                self.hazards.insert(&rule.hazard);
            }
        }
    }

    fn meets(&self, name: &Name, values: &[String]) -> bool {
        self.changes
            .get(name)
            .is_some_and(|changed| values.iter().any(|value| changed.contains(value.as_str())))
    }
}
