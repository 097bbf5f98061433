//! A move, and the start: the first half of section 2, and section 3.
use crate::effect::{Run, is_act};
use crate::record::{NO, State, YES, ways};
use crate::refusal::{Reason, none};
use form::{Cube, Duty, EffectKind, Guard, Outcome, Part, Place, outside, passed};
use std::iter::repeat_n;

/// Refuses too many ways on from one set by one outcome.
fn few<T>(run: &Run<'_>, ways: &[T]) -> Result<(), Reason> {
    none(Some(&run.form.procedure).filter(|_| ways.len() > 4096), "too many ways on in")
}
/// The records inside each of some cubes, where there are any.
pub(crate) fn cut<'a>(runs: &[Run<'a>], cubes: &[Cube]) -> Result<Vec<Run<'a>>, Reason> {
    let mut left = Vec::new();
    for (from, cube) in runs.iter().flat_map(|run| cubes.iter().map(move |cube| (run, cube))) {
        let mut run = from.clone();
        cube.iter().for_each(|part| run.state.vars[part.var as usize].may &= part.set);
        left.extend(Some(run).filter(|run| cube.iter().all(|part| run.state.of(part.var).may != 0)));
        few(from, &left)?;
    }
    Ok(left)
}
/// From the record of which nothing is known to the one that stands at the entry.
pub(crate) fn start(mut run: Run<'_>) -> Result<State, Reason> {
    let (form, start) = (run.form, &run.form.start);
    let name = |part: &Part| &form.vars[part.var as usize].name;
    none(start.iter().find(|part| part.set == 0).map(name), "nothing is possible at the start of")?;
    start.iter().for_each(|part| run.state.vars[part.var as usize].may = part.set);
    run.settle(YES);
    let mut rules = form.rules.iter().filter(|rule| run.state.holds(&rule.when) != NO);
    none(rules.next().map(|rule| &rule.name), "the start breaks")?;
    run.lose(start.iter().map(|part| (part.var, run.fleeting(part.var))).collect());
    let unseen = form.unseen.iter().find(|part| run.state.holds(&[**part]) != YES);
    none(unseen.map(name), "the start does not ensure").map(|()| run.state)
}
/// What an outcome leads to from some records at a place; nothing if its guard lets none through.
pub(crate) fn take(source: &Run<'_>, at: Place, outcome: &Outcome) -> Result<Vec<(Place, State)>, Reason> {
    let (form, mut runs, mut waiting) = (source.form, Vec::new(), vec![source.clone()]);
    if outcome.guard != Guard::Always {
        waiting = cut(&waiting, &passed(form, &outcome.guard))?;
        waiting.iter_mut().for_each(|run| run.settle(YES));
    }
    for wait in &outcome.waits {
        let mut inside = cut(&waiting, std::slice::from_ref(&wait.cube))?;
        inside.iter_mut().try_for_each(|run| run.pass(wait.millis))?;
        runs.append(&mut inside);
        waiting = cut(&waiting, &outside(form, &wait.cube))?;
    }
    runs.append(&mut waiting);
    if outcome.duty == Duty::Absent {
        runs.iter().try_for_each(|run| none(run.found().next(), "there may not be found"))?;
    }
    let (here, there) = (form.nodes[at.node as usize].block, form.nodes[outcome.to as usize].block);
    let (items, again) = if here == there && here.is_some() { (at.items, at.again) } else { (0, 0) };
    let to = Place { node: outcome.to, items: items | outcome.ends.map_or(0, |item| 1 << item), again };
    let offerable = at.items & to.items & !at.again;
    let mut all: Vec<(Place, Run<'_>)> = runs.into_iter().map(|run| (to, run)).collect();
    for effect in &outcome.effects {
        let offered = effect.offers.map_or(0, |item| 1 << item) & offerable;
        let is_told = matches!(effect.kind, EffectKind::Look | EffectKind::Find) || offered != 0;
        let mut next = Vec::new();
        for (to, run) in all {
            let misses = -run.state.of(effect.var).meets(effect.set);
            let is_look = effect.kind == EffectKind::Look;
            let asked = if is_look { run.state.opened[effect.var as usize] } else { NO };
            let opened = |misses: bool| ways(if misses { NO } else { asked }).iter();
            let told = ways(if is_told { misses } else { NO }).iter();
            let each = told.flat_map(|misses| opened(*misses).map(move |opened| (*misses, *opened)));
            for ((misses, opened), mut run) in each.clone().zip(repeat_n(run, each.count())) {
                run.apply(effect, misses, opened)?;
                let again = if misses { offered } else { 0 };
                next.push((Place { items: to.items & !again, again: to.again | again, ..to }, run));
            }
            few(source, &next)?;
        }
        all = next;
    }
    all.iter_mut().try_for_each(|(_, run)| finish(run, outcome))?;
    Ok(all.into_iter().map(|(to, run)| (to, run.state)).collect())
}
/// After looks, after acts, and the duty.
fn finish(run: &mut Run<'_>, outcome: &Outcome) -> Result<(), Reason> {
    let looks = outcome.effects.iter().filter(|effect| !is_act(effect)).map(|effect| (effect.var, YES));
    let noted: Vec<_> = looks.chain(run.changed.iter().copied()).collect();
    if !outcome.effects.iter().all(is_act) {
        run.find(&noted).and_then(|()| run.end_rules())?;
    }
    let rules = run.form.rules.iter().zip(&run.state.found).filter(|(_, found)| **found == NO);
    let mut broken = rules.filter(|(rule, _)| outcome.effects.iter().any(is_act) && run.breaks(rule));
    none(broken.next().map(|(rule, _)| &rule.name), "an act may break")?;
    let (before, left) = (run.found().count(), run.found().next());
    matches!(outcome.duty, Duty::May | Duty::Mend).then(|| run.end_rules()).transpose()?;
    let mends = outcome.duty != Duty::Mend || run.found().count() < before;
    none(left.filter(|_| !mends), "nothing is mended of")
}
