//! One view: its start, and at every place every set.

use form::{Certificate, Node, Outcome, Part, Role, Takes, View};

use crate::cover::{Answer, answers, is_stood, left_out, question};
use crate::plan::Planner;
use crate::record::{State, Tri};
use crate::refusal::{Place, Reason, Refusal, words};
use crate::run::Run;
use crate::scope::{Index, Scope};
use crate::sets::{Claimed, Sets};

/// More pieces than this are not cut out of the values that a question is about.
const MOST_PIECES: usize = 4096;

/// The first view has plans; the others only speak of less.
pub(crate) fn plans(
    index: &Index<'_>,
    certificate: &Certificate,
    scopes: &[Scope<'_>],
) -> Result<(), Refusal> {
    let form = index.form;
    let (Some(scope), Some(view), Some(_)) = (scopes.first(), certificate.views.first(), &form.rest) else {
        return Ok(());
    };
    let vars: Vec<u32> = (0..).zip(&form.vars).map(|(var, _)| var).collect();
    let (whole, sets) = (Scope::new(index, &vars), Sets::of(scope, view));
    let mut planner = Planner::new(&whole, &certificate.plans);
    let mut state = State::default();
    for claimed in &sets.places {
        let role = form.nodes[claimed.place.node as usize].role;
        if role == Role::Passing {
            continue;
        }
        for set in &claimed.sets {
            sets.records(scope, *set, &mut state);
            let good = set.2.ok_or(Reason::NoPlan);
            good.and_then(|plan| planner.is_good((set.0, set.1, plan), scope, &state))
                .map_err(|reason| Refusal::of(0, reason).at(form, claimed.place, words(scope, &state)))?;
        }
    }
    Ok(())
}

/// A view under check.
pub(crate) struct Check<'a> {
    scope: &'a Scope<'a>,
    sets: Sets,
    run: Run<'a>,
    /// What can move the view at choosing nodes while a person is in an item left out.
    elsewhere: Vec<(u32, Vec<&'a Outcome>)>,
}

/// Whether the view is right, but for its plans.
pub(crate) fn view(number: usize, view: &View, scope: &Scope<'_>) -> Result<(), Refusal> {
    let elsewhere = left_out(scope.form, view, scope).map_err(|reason| Refusal::of(number, reason))?;
    let (sets, run) = (Sets::of(scope, view), Run::new(scope));
    let mut check = Check { scope, sets, run, elsewhere };
    let (form, entry) = (scope.form, Place { node: scope.form.entry, items: 0, again: 0 });
    check
        .start(entry)
        .map_err(|reason| Refusal::of(number, reason).at(form, entry, "the start".to_owned()))?;
    let mut state = State::default();
    for i in 0..check.sets.places.len() {
        let Claimed { place, .. } = check.sets.places[i];
        let node = &form.nodes[place.node as usize];
        let speaks = |vars: &Vec<u32>| vars.iter().all(|var| scope.slot(*var).is_some());
        let asked = question(node).filter(speaks).map(|_| answers(form, node));
        for s in 0..check.sets.places[i].sets.len() {
            let set = check.sets.places[i].sets[s];
            check.sets.records(scope, set, &mut state);
            let wrong = check.set(i, node, asked.as_deref(), &state).err();
            if let Some(reason) = wrong {
                return Err(Refusal::of(number, reason).at(form, place, words(scope, &state)));
            }
        }
    }
    Ok(())
}

impl Check<'_> {
    fn start(&mut self, entry: Place) -> Result<(), Reason> {
        if !self.scope.follows(entry.node) {
            return Err(Reason::LeftOut("the first node belongs to it".to_owned()));
        }
        let (first, sets) = (self.run.first()?, &self.sets);
        self.run.every(&first, |run| {
            run.start()?;
            claimed(sets, run, entry).map(|_| ())
        })
    }

    /// Whether all is well with the records of one set: `i` is the place.
    fn set(&mut self, i: usize, node: &Node, asked: Option<&[Answer]>, state: &State) -> Result<(), Reason> {
        let (scope, at) = (self.scope, self.sets.places[i].place);
        let is_end = matches!(node.role, Role::Done | Role::Stop);
        if is_end != (self.sets.places[i].rank == 0) {
            return Err(Reason::Rank);
        }
        let is_so =
            |part: &Part| scope.slot(part.var).is_none_or(|s| state.vars[s].within(part.set) == Tri::Yes);
        let name = |part: &Part| scope.form.vars[part.var as usize].name.clone();
        if let Some(need) = node.needs.iter().find(|part| !is_so(part)) {
            return Err(Reason::Need(name(need)));
        }
        if node.role == Role::Done {
            let wrote = |var: u32| scope.slot(var).is_none_or(|slot| state.vars[slot].wrote != Tri::No);
            let mut promises =
                scope.form.promises.iter().filter(|promise| !promise.usual || wrote(promise.part.var));
            if let Some(promise) = promises.find(|promise| !is_so(&promise.part)) {
                return Err(Reason::Promise(name(&promise.part)));
            }
            if let Some(rule) = state.found.iter().position(|found| *found) {
                return Err(Reason::Found(scope.rule(rule).name.clone()));
            }
        }
        if asked.is_some_and(|asked| !are_answered(scope, state, asked)) {
            return Err(Reason::Question);
        }
        if is_stood(node.role) {
            let sets = &self.sets;
            self.run.every(state, |run| {
                if run.interrupt() { claimed(sets, run, at).map(|_| ()) } else { Ok(()) }
            })?;
        }
        self.elsewhere(at, state)?;
        if is_end || self.leads_on(i, node, state)? || self.leads_on(i, node, &state.at_most())? {
            return Ok(());
        }
        Err(Reason::NoWayOn)
    }

    /// Takes every outcome; whether one of them surely leads to places of lower rank.
    fn leads_on(&mut self, i: usize, node: &Node, state: &State) -> Result<bool, Reason> {
        let Self { scope, sets, run, .. } = self;
        let here = &sets.places[i];
        let followed = scope.homes[here.place.node as usize].1;
        let is_followed = |item: u8| followed >> item & 1 == 1;
        let item_of = |outcome: &Outcome| match outcome.takes {
            Takes::Item(item) => 1 << item,
            _ => 0,
        };
        let items = node.outcomes.iter().fold(0, |items, outcome| items | item_of(outcome)) & followed;
        let mut leads_on = false;
        for outcome in &node.outcomes {
            let is_open = match outcome.takes {
                Takes::Always | Takes::Answer => true,
                Takes::Item(item) => is_followed(item) && here.place.items >> item & 1 == 0,
                Takes::AllItems => items & !here.place.items == 0,
            };
            if !is_open {
                continue;
            }
            let (mut any, mut all) = (false, true);
            run.every(state, |run| {
                if let Some(place) = run.take(here.place, outcome)? {
                    let rank = claimed(sets, run, place)?;
                    any = true;
                    all &= rank < here.rank;
                }
                Ok(())
            })?;
            leads_on |= any && all;
        }
        Ok(leads_on)
    }

    /// While a person is in an item left out, the view stands at the choosing node or goes to the stop.
    fn elsewhere(&mut self, at: Place, state: &State) -> Result<(), Reason> {
        let (sets, run) = (&self.sets, &mut self.run);
        for outcome in
            self.elsewhere.iter().filter(|(node, _)| *node == at.node).flat_map(|(_, outcomes)| outcomes)
        {
            run.every(state, |run| match run.take(at, outcome)? {
                Some(place) => claimed(sets, run, place).map(|_| ()),
                None => Ok(()),
            })?;
        }
        Ok(())
    }
}

/// Whether the records lie in a set claimed at the place; its rank.
fn claimed(sets: &Sets, run: &mut Run<'_>, place: Place) -> Result<u32, Reason> {
    if let Some(claimed) = sets.at(place) {
        loop {
            if sets.hold(claimed, &run.state) {
                return Ok(claimed.rank);
            }
            if !run.resolve(|state| sets.unsure(claimed, state)) {
                break;
            }
        }
    }
    Err(Reason::NotClaimed(place, words(run.scope, &run.state)))
}

/// Whether every combination of values that the records allow fits some answer: what fits is cut out, piece by piece.
fn are_answered(scope: &Scope<'_>, state: &State, answers: &[Answer]) -> bool {
    let mut vars: Vec<u32> = answers.iter().flatten().map(|part| part.var).collect();
    vars.sort_unstable();
    vars.dedup();
    let may =
        |var: &u32| scope.slot(*var).map_or(scope.index.all[*var as usize], |slot| state.vars[slot].may);
    let mut open = vec![vars.iter().map(may).collect::<Vec<u64>>()];
    for answer in answers {
        let mut left = Vec::new();
        for mut piece in open {
            for part in answer {
                let Ok(i) = vars.binary_search(&part.var) else { return false };
                if piece[i] & !part.set != 0 {
                    let mut outside = piece.clone();
                    outside[i] &= !part.set;
                    left.push(outside);
                }
                piece[i] &= part.set;
                if piece[i] == 0 {
                    break;
                }
            }
        }
        if left.len() > MOST_PIECES {
            return false;
        }
        open = left;
    }
    open.is_empty()
}
