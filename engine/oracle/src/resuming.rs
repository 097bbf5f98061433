//! Going on after an interruption.
//!
//! At a place where a person stands, a condition that lapses (or whose evidence ends with what
//! lapses), that has no question and that the steps from there on rely on, is a fault if and only if some state that
//! arrives there may thereby come to a value, other than one that settles away, with which no state arrives there that
//! has all else the steps rely on. What the steps rely on is a matter of the steps alone, not of what is true.

use crate::fault::Fault;
use crate::model::{Conjunction, Model};
use crate::place::{Phase, Place};
use crate::transitions::{Guard, State, choices};
use std::collections::{BTreeMap, BTreeSet};

/// Every state that arrives at each place, with the fewest moves to it.
pub type Arrivals = BTreeMap<Place, BTreeMap<State, usize>>;

/// From which states an interruption leads astray, and after how many moves at the least.
pub type Astray = BTreeMap<Fault, (usize, BTreeSet<(Place, Vec<u8>)>)>;

impl Model {
    /// Whether somebody is asked or told something at a place.
    pub(crate) fn person_stands_at(&self, place: &Place) -> bool {
        let Place::At(levels, phase) = place else { return false };
        let holds_steps = self.step_at(levels).kind.steps().is_some();
        match phase {
            Phase::Only | Phase::Last => false,
            Phase::Body => !holds_steps,
            Phase::Attempt(_) | Phase::Choose(_) | Phase::Until(_) => true,
        }
    }

    /// From which states an interruption leads astray, and after how many moves at the least.
    pub(crate) fn astray(&self, arrivals: &Arrivals) -> Astray {
        let mut astray = Astray::new();
        if self.lapsing.is_empty() {
            return astray;
        }
        let relied_on = self.relied_on();
        for (place, states) in arrivals.iter().filter(|(place, _)| self.person_stands_at(place)) {
            let key = self.key(place);
            let Some(live) = relied_on.get(place) else { continue };
            let unseen = |var: &usize| live.contains(var) && !self.askable[*var];
            if !self.decides(&self.lapsing.iter().copied().collect()).iter().chain(&self.lapsing).any(unseen)
                && !self.lost.iter().any(|(var, _)| unseen(var))
            {
                continue;
            }
            let only = |values: &[u8]| live.iter().map(|&var| values[var]).collect::<Vec<u8>>();
            let met: BTreeSet<Vec<u8>> = states.keys().map(|state| only(&state.values)).collect();
            for (state, &moves) in states {
                for var in self.lost_from(state).into_iter().filter(|(var, value)| {
                    let mut values = state.values.clone();
                    values[*var] = *value;
                    live.contains(var) && !met.contains(&only(&values))
                }) {
                    let wrong = Fault::Resume { at: key.clone(), condition: self.vars[var.0].0.clone() };
                    let (least, from) = astray.entry(wrong).or_insert((moves, BTreeSet::new()));
                    *least = moves.min(*least);
                    from.insert((place.clone(), state.values.clone()));
                }
            }
        }
        astray
    }

    /// Values that conditions without a question may come to during an interruption.
    fn lost_from(&self, state: &State) -> BTreeSet<(usize, u8)> {
        let mut lost = BTreeSet::new();
        // What can be looked at and ends no evidence need not be tried with every value.
        let matters = |var: &usize| {
            !self.askable[*var] || self.lost.iter().any(|(_, cause)| cause.iter().any(|(of, _)| of == var))
        };
        let tried = self.lapsing.iter().copied().filter(matters);
        let anything: Conjunction = tried.map(|var| (var, self.all(var))).collect();
        for values in choices(state.values.clone(), &anything) {
            for (after, written) in self.lost(values, self.lapsing.clone(), &state.since) {
                for var in written.into_iter().filter(|&var| !self.askable[var]) {
                    let value = after.values[var];
                    if !self.settles.iter().any(|&(settling, from, ..)| (settling, from) == (var, value)) {
                        lost.insert((var, value));
                    }
                }
            }
        }
        lost
    }

    /// For every place, what the steps from there on read before they write it.
    fn relied_on(&self) -> BTreeMap<Place, BTreeSet<usize>> {
        let (mut places, mut open) = (BTreeSet::new(), vec![self.entry()]);
        while let Some(place) = open.pop() {
            if places.insert(place.clone()) {
                open.extend(self.transitions(&place).into_iter().map(|way| way.to));
            }
        }
        let mut relied_on: BTreeMap<Place, BTreeSet<usize>> = BTreeMap::new();
        loop {
            let before = relied_on.values().map(BTreeSet::len).sum::<usize>();
            for place in &places {
                let reads = self.reads(place, &relied_on);
                relied_on.entry(place.clone()).or_default().extend(reads);
            }
            if relied_on.values().map(BTreeSet::len).sum::<usize>() == before {
                return relied_on;
            }
        }
    }

    fn reads(&self, place: &Place, later: &BTreeMap<Place, BTreeSet<usize>>) -> BTreeSet<usize> {
        let vars = |test: &Conjunction| test.iter().map(|&(var, _)| var).collect::<Vec<_>>();
        let mut reads: BTreeSet<usize> = vars(self.needs(place)).into_iter().collect();
        if *place == Place::Done {
            reads.extend(vars(&self.promises));
        }
        for way in self.transitions(place) {
            let havoc = vars(&way.havoc);
            if let Guard::Is(test) | Guard::IsNot(test) = &way.when {
                reads.extend(vars(test).into_iter().filter(|var| !havoc.contains(var)));
            }
            reads.extend(way.times.iter().flat_map(|(test, _)| vars(test)));
            let written: BTreeSet<usize> = havoc.into_iter().chain(vars(&way.effects)).collect();
            let mut after = later.get(&way.to).cloned().unwrap_or_default();
            after.extend(self.decides(&written));
            reads.extend(after.difference(&written));
        }
        reads
    }

    /// What decides which evidence ends and which rule is broken once these are written.
    pub(crate) fn decides(&self, written: &BTreeSet<usize>) -> BTreeSet<usize> {
        let mut changed = written.clone();
        for _ in 0..=self.lost.len() {
            for (var, cause) in &self.lost {
                if cause.iter().any(|(var, _)| changed.contains(var)) {
                    changed.insert(*var);
                }
            }
        }
        let causes = self.lost.iter().map(|(_, cause)| cause);
        let tests = causes.chain(self.rules.iter().map(|(_, when)| when));
        let concerned = tests.filter(|test| test.iter().any(|(var, _)| changed.contains(var)));
        concerned.flatten().map(|&(var, _)| var).collect()
    }
}
