//! The ways to leave a place, and what one of them makes of one concrete state.

use crate::model::{Conjunction, Model, StepKind, holds};
use crate::place::{Level, Phase, Place};

/// One value a variable, and for every settling condition the time since it was last set.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct State {
    /// The value of each variable, by its number.
    pub values: Vec<u8>,
    /// For each settling condition the time in milliseconds since it was set; 0 unless it has the value that gives way.
    pub since: Vec<u64>,
}

/// What must be so for a transition.
pub enum Guard {
    /// Nothing.
    Always,
    /// The conjunction holds.
    Is(Conjunction),
    /// It does not.
    IsNot(Conjunction),
}

/// One way to leave a place.
pub struct Transition {
    /// A name of it among those of its place: `Done`, `Pass`, `Answer(1)`.
    pub label: String,
    /// What must be so.
    pub when: Guard,
    /// May have any of these values before `when` is looked at.
    pub havoc: Conjunction,
    /// What it writes: any of these values.
    pub effects: Conjunction,
    /// How many milliseconds pass; the first conjunction over variants that holds decides.
    pub times: Vec<(Conjunction, u64)>,
    /// Where it leads.
    pub to: Place,
}

fn transition(label: &str, to: Place) -> Transition {
    Transition {
        label: label.to_owned(),
        when: Guard::Always,
        havoc: vec![],
        effects: vec![],
        times: vec![],
        to,
    }
}

impl Model {
    /// The ways to leave a place.
    #[must_use]
    pub fn transitions(&self, place: &Place) -> Vec<Transition> {
        let Place::At(levels, phase) = place else { return Vec::new() };
        let plan = self.step_at(levels);
        let (effects, disturbed) = (|| plan.effects.clone(), || plan.disturbed.clone());
        let otherwise = || self.target(levels, plan.otherwise.as_deref().expect("an `otherwise`"));
        let inside = |level: &[Level]| self.arrive([&levels[..], level].concat());
        match (*phase, &plan.kind) {
            (Phase::Only, _) => vec![
                Transition {
                    when: Guard::Is(plan.only.clone()),
                    ..transition("Applies", Place::At(levels.clone(), Phase::Body))
                },
                Transition {
                    when: Guard::IsNot(plan.only.clone()),
                    ..transition("PassedOver", self.after(levels))
                },
            ],
            (Phase::Last, _) | (Phase::Body, StepKind::Act) => {
                vec![Transition { effects: effects(), ..transition("Done", self.finish(levels)) }]
            }
            (Phase::Body, StepKind::Confirm(test)) => vec![
                Transition {
                    when: Guard::Is(test.clone()),
                    effects: effects(),
                    ..transition("Pass", self.finish(levels))
                },
                Transition {
                    when: Guard::IsNot(test.clone()),
                    effects: disturbed(),
                    ..transition("Fail", otherwise())
                },
            ],
            (Phase::Body, StepKind::Measure { shows, attempts }) => self.reading(levels, shows, 1, *attempts),
            (Phase::Attempt(attempt), StepKind::Measure { shows, attempts }) => {
                self.reading(levels, shows, attempt, *attempts)
            }
            (Phase::Body, StepKind::Wait { times, until }) if until.is_empty() => {
                vec![Transition {
                    times: times.clone(),
                    effects: effects(),
                    ..transition("Done", self.finish(levels))
                }]
            }
            (Phase::Body, StepKind::Wait { times, until }) => {
                let havoc: Conjunction = until.iter().map(|&(var, _)| (var, self.all(var))).collect();
                let (is, is_not) = (Guard::Is(until.clone()), Guard::IsNot(until.clone()));
                let common =
                    |way: Transition| Transition { times: times.clone(), havoc: havoc.clone(), ..way };
                vec![
                    common(Transition {
                        when: is,
                        effects: effects(),
                        ..transition("Pass", self.finish(levels))
                    }),
                    common(Transition {
                        when: is_not,
                        effects: disturbed(),
                        ..transition("Fail", otherwise())
                    }),
                ]
            }
            (Phase::Body, StepKind::Ask(answers)) => {
                let answer = |(at, (shows, to)): (usize, &(Option<Conjunction>, String))| Transition {
                    when: shows.clone().map_or(Guard::Always, Guard::Is),
                    effects: effects(),
                    ..transition(&format!("Answer({at})"), self.target(levels, to))
                };
                answers.iter().enumerate().map(answer).collect()
            }
            (Phase::Body, StepKind::AnyOrder(_)) => {
                vec![transition("Done", Place::At(levels.clone(), Phase::Choose(0)))]
            }
            (Phase::Choose(done), StepKind::AnyOrder(items)) => {
                let open = (0..items.len()).filter(|at| done >> at & 1 == 0);
                let mut ways: Vec<Transition> = open
                    .map(|at| transition(&format!("Item({at})"), inside(&[Level::Item(at, done)])))
                    .collect();
                if ways.is_empty() {
                    ways.push(Transition {
                        effects: effects(),
                        ..transition("AllItems", self.finish(levels))
                    });
                }
                ways
            }
            (Phase::Body, StepKind::Repeat { .. }) => {
                vec![transition("Done", inside(&[Level::Round(1), Level::Step(0)]))]
            }
            (Phase::Until(round), StepKind::Repeat { until, at_most, .. }) => {
                let last = round == *at_most;
                let again =
                    if last { otherwise() } else { inside(&[Level::Round(round + 1), Level::Step(0)]) };
                let left = if last { disturbed() } else { Conjunction::new() };
                vec![
                    Transition {
                        when: Guard::Is(until.clone()),
                        effects: effects(),
                        ..transition("Pass", self.finish(levels))
                    },
                    Transition {
                        when: Guard::IsNot(until.clone()),
                        effects: left,
                        ..transition("Fail", again)
                    },
                ]
            }
            (Phase::Body, StepKind::Perform(_)) => {
                vec![transition("Done", inside(&[Level::Inside, Level::Step(0)]))]
            }
            _ => unreachable!("a phase of another kind of step"),
        }
    }

    fn reading(&self, levels: &[Level], shows: &Conjunction, attempt: u32, attempts: u32) -> Vec<Transition> {
        let plan = self.step_at(levels);
        let again = if attempt == attempts {
            self.target(levels, plan.otherwise.as_deref().expect("an `otherwise`"))
        } else {
            Place::At(levels.to_vec(), Phase::Attempt(attempt + 1))
        };
        let havoc: Conjunction = shows.iter().map(|&(var, _)| (var, self.all(var))).collect();
        // A reading that shows nothing may pass or fail whatever is true.
        let (is, is_not) = match shows.is_empty() {
            true => (Guard::Always, Guard::Always),
            false => (Guard::Is(shows.clone()), Guard::IsNot(shows.clone())),
        };
        vec![
            Transition {
                when: is,
                havoc: havoc.clone(),
                effects: plan.effects.clone(),
                ..transition("Pass", self.finish(levels))
            },
            Transition { when: is_not, havoc, effects: plan.disturbed.clone(), ..transition("Fail", again) },
        ]
    }

    /// All states that a transition leads to from one state, each with what was written. Time passes first: what a step leaves
    /// is true after it, so that its own wait never counts for what it sets.
    #[must_use]
    pub fn successors(&self, transition: &Transition, state: &State) -> Vec<(State, Vec<usize>)> {
        let mut state = state.clone();
        if let Some(&(_, time)) = transition.times.iter().find(|(test, _)| holds(test, &state.values)) {
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
        for values in choices(state.values.clone(), &transition.havoc) {
            let open = match &transition.when {
                Guard::Always => true,
                Guard::Is(test) => holds(test, &values),
                Guard::IsNot(test) => !holds(test, &values),
            };
            if !open {
                continue;
            }
            let written: Vec<usize> =
                transition.havoc.iter().chain(&transition.effects).map(|&(var, _)| var).collect();
            for values in choices(values, &transition.effects) {
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
            let ended: Conjunction =
                due.iter().map(|&at| (self.lost[at].0, self.all(self.lost[at].0))).collect();
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
    #[must_use]
    pub fn fallen(&self, state: State) -> Vec<State> {
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
#[must_use]
pub fn choices(values: Vec<u8>, test: &Conjunction) -> Vec<Vec<u8>> {
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
