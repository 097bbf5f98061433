//! Every view: its start, and at every place every set.
use crate::effect::Run;
use crate::plan::is_good;
use crate::record::{NO, State, YES};
use crate::refusal::{Reason, Refusal, none};
use crate::sets::Claim;
use crate::step::{cut, start, take};
use form::{Certificate, Form, Guard, Outcome, Part, Place, Role, Takes, looks, outside, question};

/// Whether a certificate is right for a form, where both are well formed.
pub(crate) fn certificate(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    form::covers(form, certificate).map_err(Reason::Views)?;
    let (entry, blank) = (Place { node: form.entry, items: 0, again: 0 }, State::blank(form, true));
    let run = |state: &State| Run { form, state: state.clone(), changed: Vec::new() };
    let mut good = std::collections::BTreeSet::new();
    for (number, view) in certificate.views.iter().enumerate() {
        let refuse = |(place, state): (Place, &State), reason| {
            let set = format!("`{}` {}", form.nodes[place.node as usize].name, state.words(form));
            Refusal { view: Some(number), place: Some(place), set, reason }
        };
        let of = |reason| refuse((entry, &blank), reason);
        let elsewhere = form::left_out(form, view).map_err(|why| of(Reason::Views(why)))?;
        let claim = Claim { elsewhere, ..Claim::new(form, view) };
        start(run(&blank)).and_then(|state| claim.rank(form, entry, &state)).map_err(of)?;
        for ((place, rank, sets), own) in claim.places.iter().zip(&view.places) {
            let is_passing = form.nodes[place.node as usize].role == Role::Passing;
            for (state, named) in sets.iter().zip(&own.sets) {
                let mut right = set(&claim, *place, *rank, &run(state));
                if number == 0 && form.rest.is_some() && !is_passing && right.is_ok() && good.insert(*named) {
                    let plan = named.2.map(|plan| &certificate.plans[plan as usize]);
                    let is_good = plan.is_some_and(|plan| is_good(run(state), plan));
                    right = is_good.then_some(()).ok_or(Reason::Plan(format!("plan {:?}", named.2)));
                }
                right.map_err(|reason| refuse((*place, state), reason))?;
            }
        }
    }
    Ok(())
}

/// Whether all is well with the records of one set.
fn set(claim: &Claim, at: Place, own: u32, run: &Run<'_>) -> Result<(), Reason> {
    let (form, state) = (run.form, &run.state);
    let (node, go) = (&form.nodes[at.node as usize], |at, state: &State| claim.rank(form, at, state));
    let is_end = matches!(node.role, Role::Done | Role::Stop);
    let promises = form.promises.iter().filter(|_| node.role == Role::Done);
    let promises = promises.filter(|it| !it.usual || state.wrote[it.part.var as usize] != NO);
    let mut owed = node.needs.iter().chain(promises.map(|promise| &promise.part));
    let is_so = |part: &Part| !form::speaks_of(&claim.vars, &[*part]) || state.holds(&[*part]) == YES;
    let name = |part: &Part| &form.vars[part.var as usize].name;
    none(owed.find(|part| !is_so(part)).map(name), "not as needed or promised is")?;
    none(run.found().find(|_| node.role == Role::Done), "at the end is found")?;
    // What fits an answer is cut out. One with a guard is one for those variants alone.
    let answers = question(node);
    let asked: Vec<_> = answers.iter().flat_map(|answer| looks(answer)).collect();
    let is_asked = !asked.is_empty() && form::speaks_of(&claim.vars, &asked);
    let mut open = if is_asked { vec![run.clone()] } else { Vec::new() };
    for answer in answers {
        for cube in form::passed(form, &answer.guard) {
            open = cut(&open, &outside(form, &[looks(answer), cube].concat()))?;
        }
    }
    none(Some(&node.name).filter(|_| !open.is_empty()), "no answer fits some values at")?;
    if !matches!(node.role, Role::Stop | Role::Passing) {
        run.interrupt().map(|left| go(at, &left.state)).transpose()?;
    }
    // While a person is in an item left out, the view stands here, where time may come to count no more, or it goes to the stop.
    for (_, stops) in claim.elsewhere.iter().filter(|(chooser, _)| *chooser == at.node) {
        let (mut settled, stop) = (run.clone(), Place { node: 1, items: 0, again: 0 });
        settled.settle(YES);
        go(at, &settled.state)?;
        if *stops {
            go(stop, state).and_then(|_| go(stop, &settled.state))?;
        }
    }
    let followed = claim.homes[at.node as usize].1;
    let item = |outcome: &Outcome| match outcome.takes {
        Takes::Item(item) => 1 << item & followed,
        _ => 0,
    };
    let (items, mut leads_on) = (node.outcomes.iter().fold(0, |items, it| items | item(it)), is_end);
    let is_open = |outcome: &&Outcome| match outcome.takes {
        Takes::Always | Takes::Answer => true,
        Takes::Item(_) => item(outcome) & !at.items != 0,
        Takes::AllItems => items & !at.items == 0,
    };
    let is_guarded = node.outcomes.iter().any(|it| it.guard != Guard::Always);
    let mut stuck = if is_guarded { vec![run.clone()] } else { Vec::new() };
    for outcome in node.outcomes.iter().filter(is_open) {
        let ways = take(run, at, outcome)?;
        let ranks = ways.iter().map(|(to, state)| go(*to, state)).collect::<Result<Vec<_>, _>>()?;
        if ranks.into_iter().max().is_some_and(|farthest| farthest < own) {
            (leads_on, stuck) = (true, cut(&stuck, &form::held_back(form, &outcome.guard))?);
        }
    }
    let is_right = leads_on && stuck.is_empty() && is_end == (own == 0);
    none(Some(&node.name).filter(|_| !is_right), "nothing leads nearer to an end from")
}
