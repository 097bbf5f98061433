//! The ways to leave a place, and what one of them makes of one concrete state.

use super::place::{Level, Phase, Place};
use super::plan::{Planned, Test, World, holds};

/// One value a variable, and for every settling condition the time since it was last set.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct State {
    pub(crate) values: Vec<u8>,
    pub(crate) since: Vec<u64>,
}

pub(crate) enum When {
    Always,
    Is(Test),
    IsNot(Test),
}

/// One way to leave a place.
pub(crate) struct Way {
    pub(crate) label: String,
    pub(crate) when: When,
    /// Found out afresh before `when` is looked at.
    pub(crate) fresh: Test,
    pub(crate) effects: Test,
    pub(crate) times: Vec<(Test, u64)>,
    pub(crate) to: Place,
}

fn way(label: &str, to: Place) -> Way {
    Way { label: label.to_owned(), when: When::Always, fresh: vec![], effects: vec![], times: vec![], to }
}

impl World {
    pub(crate) fn ways(&self, place: &Place) -> Vec<Way> {
        let Place::At(levels, phase) = place else { return Vec::new() };
        let plan = self.plan(levels);
        let (effects, disturbed) = (|| plan.effects.clone(), || plan.disturbed.clone());
        let otherwise = || self.target(levels, plan.otherwise.as_deref().expect("an `otherwise`"));
        let inside = |level: &[Level]| self.arrive([&levels[..], level].concat());
        match (*phase, &plan.kind) {
            (Phase::Only, _) => vec![
                Way {
                    when: When::Is(plan.only.clone()),
                    ..way("Applies", Place::At(levels.clone(), Phase::Body))
                },
                Way { when: When::IsNot(plan.only.clone()), ..way("PassedOver", self.after(levels)) },
            ],
            (Phase::Last, _) | (Phase::Body, Planned::Act) => {
                vec![Way { effects: effects(), ..way("Done", self.finish(levels)) }]
            }
            (Phase::Body, Planned::Confirm(test)) => vec![
                Way { when: When::Is(test.clone()), effects: effects(), ..way("Pass", self.finish(levels)) },
                Way { when: When::IsNot(test.clone()), effects: disturbed(), ..way("Fail", otherwise()) },
            ],
            (Phase::Body, Planned::Measure { shows, attempts }) => self.reading(levels, shows, 1, *attempts),
            (Phase::Attempt(attempt), Planned::Measure { shows, attempts }) => {
                self.reading(levels, shows, attempt, *attempts)
            }
            (Phase::Body, Planned::Wait { times, until }) if until.is_empty() => {
                vec![Way { times: times.clone(), effects: effects(), ..way("Done", self.finish(levels)) }]
            }
            (Phase::Body, Planned::Wait { times, until }) => {
                let fresh: Test = until.iter().map(|&(var, _)| (var, self.all(var))).collect();
                let (is, is_not) = (When::Is(until.clone()), When::IsNot(until.clone()));
                let common = |way| Way { times: times.clone(), fresh: fresh.clone(), ..way };
                vec![
                    common(Way { when: is, effects: effects(), ..way("Pass", self.finish(levels)) }),
                    common(Way { when: is_not, effects: disturbed(), ..way("Fail", otherwise()) }),
                ]
            }
            (Phase::Body, Planned::Ask(answers)) => {
                let answer = |(at, (shows, to)): (usize, &(Option<Test>, String))| Way {
                    when: shows.clone().map_or(When::Always, When::Is),
                    effects: effects(),
                    ..way(&format!("Answer({at})"), self.target(levels, to))
                };
                answers.iter().enumerate().map(answer).collect()
            }
            (Phase::Body, Planned::AnyOrder(_)) => {
                vec![way("Done", Place::At(levels.clone(), Phase::Choose(0)))]
            }
            (Phase::Choose(done), Planned::AnyOrder(items)) => {
                let open = (0..items.len()).filter(|at| done >> at & 1 == 0);
                let mut ways: Vec<Way> =
                    open.map(|at| way(&format!("Item({at})"), inside(&[Level::Item(at, done)]))).collect();
                if ways.is_empty() {
                    ways.push(Way { effects: effects(), ..way("AllItems", self.finish(levels)) });
                }
                ways
            }
            (Phase::Body, Planned::Repeat { .. }) => {
                vec![way("Done", inside(&[Level::Round(1), Level::Step(0)]))]
            }
            (Phase::Until(round), Planned::Repeat { until, at_most, .. }) => {
                let last = round == *at_most;
                let again =
                    if last { otherwise() } else { inside(&[Level::Round(round + 1), Level::Step(0)]) };
                let left = if last { disturbed() } else { Test::new() };
                vec![
                    Way {
                        when: When::Is(until.clone()),
                        effects: effects(),
                        ..way("Pass", self.finish(levels))
                    },
                    Way { when: When::IsNot(until.clone()), effects: left, ..way("Fail", again) },
                ]
            }
            (Phase::Body, Planned::Perform(_)) => {
                vec![way("Done", inside(&[Level::Inside, Level::Step(0)]))]
            }
            _ => unreachable!("a phase of another kind of step"),
        }
    }

    fn reading(&self, levels: &[Level], shows: &Test, attempt: u32, attempts: u32) -> Vec<Way> {
        let plan = self.plan(levels);
        let again = if attempt == attempts {
            self.target(levels, plan.otherwise.as_deref().expect("an `otherwise`"))
        } else {
            Place::At(levels.to_vec(), Phase::Attempt(attempt + 1))
        };
        let fresh: Test = shows.iter().map(|&(var, _)| (var, self.all(var))).collect();
        // A reading that shows nothing may pass or fail whatever is true.
        let (is, is_not) = match shows.is_empty() {
            true => (When::Always, When::Always),
            false => (When::Is(shows.clone()), When::IsNot(shows.clone())),
        };
        vec![
            Way {
                when: is,
                fresh: fresh.clone(),
                effects: plan.effects.clone(),
                ..way("Pass", self.finish(levels))
            },
            Way { when: is_not, fresh, effects: plan.disturbed.clone(), ..way("Fail", again) },
        ]
    }

    /// All states that a way leads to from one state, each with what was written. Time passes first: what a step leaves
    /// is true after it, so that its own wait never counts for what it sets.
    pub(crate) fn take(&self, way: &Way, state: &State) -> Vec<(State, Vec<usize>)> {
        let mut state = state.clone();
        if let Some(&(_, time)) = way.times.iter().find(|(test, _)| holds(test, &state.values)) {
            for (&(var, from, to, after), since) in self.settles.iter().zip(&mut state.since) {
                if state.values[var] == from {
                    *since += time;
                    if *since >= after {
                        (state.values[var], *since) = (to, 0);
                    }
                }
            }
        }
        let mut found = Vec::new();
        for values in choices(state.values.clone(), &way.fresh) {
            let open = match &way.when {
                When::Always => true,
                When::Is(test) => holds(test, &values),
                When::IsNot(test) => !holds(test, &values),
            };
            if !open {
                continue;
            }
            let written: Vec<usize> = way.fresh.iter().chain(&way.effects).map(|&(var, _)| var).collect();
            for values in choices(values, &way.effects) {
                self.lose(values, written.clone(), vec![false; self.lost.len()], &state.since, &mut found);
            }
        }
        found.sort();
        found.dedup();
        found
    }

    /// What evidence ends once these were written: all states, each with what was written in the end.
    pub(crate) fn lost(
        &self,
        values: Vec<u8>,
        written: Vec<usize>,
        since: &[u64],
    ) -> Vec<(State, Vec<usize>)> {
        let mut found = Vec::new();
        self.lose(values, written, vec![false; self.lost.len()], since, &mut found);
        found
    }

    /// Evidence whose cause was written and is true ends, all at once; ended evidence may have any value.
    fn lose(
        &self,
        values: Vec<u8>,
        written: Vec<usize>,
        lost: Vec<bool>,
        since: &[u64],
        found: &mut Vec<(State, Vec<usize>)>,
    ) {
        let due = |at: &usize| {
            let cause = &self.lost[*at].1;
            !lost[*at] && cause.iter().any(|(var, _)| written.contains(var)) && holds(cause, &values)
        };
        let due: Vec<usize> = (0..self.lost.len()).filter(due).collect();
        if !due.is_empty() {
            // All at once: none of them keeps another from ending.
            let mut lost = lost;
            due.iter().for_each(|&at| lost[at] = true);
            let ended: Test = due.iter().map(|&at| (self.lost[at].0, self.all(self.lost[at].0))).collect();
            let written: Vec<usize> =
                written.iter().copied().chain(ended.iter().map(|&(var, _)| var)).collect();
            for values in choices(values, &ended) {
                self.lose(values, written.clone(), lost.clone(), since, found);
            }
            return;
        }
        let mut state = State { values, since: since.to_vec() };
        for (&(var, from, ..), since) in self.settles.iter().zip(&mut state.since) {
            if written.contains(&var) || state.values[var] != from {
                *since = 0;
            }
        }
        found.extend(self.fallen(state).into_iter().map(|state| (state, written.clone())));
    }

    /// The state, and the state in which each settling condition has just fallen.
    pub(crate) fn fallen(&self, state: State) -> Vec<State> {
        let mut states = vec![state];
        for (at, &(var, from, to, _)) in self.settles.iter().enumerate() {
            let fall = |state: &State| {
                let mut state = state.clone();
                (state.values[var], state.since[at]) = (to, 0);
                state
            };
            let fallen: Vec<State> =
                states.iter().filter(|state| state.values[var] == from).map(fall).collect();
            states.extend(fallen);
        }
        states
    }
}

/// The values with each variable of the test at each of its values.
pub(crate) fn choices(values: Vec<u8>, test: &Test) -> Vec<Vec<u8>> {
    let mut all = vec![values];
    for &(var, set) in test {
        let each = |values: Vec<u8>| {
            (0..64u8).filter(move |value| set >> value & 1 == 1).map(move |value| {
                let mut values = values.clone();
                values[var] = value;
                values
            })
        };
        all = all.into_iter().flat_map(each).collect();
    }
    all
}
