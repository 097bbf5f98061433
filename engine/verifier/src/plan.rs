//! Plans for stopping, followed from one record that is known in full (section 5).
use crate::effect::Run;
use crate::record::{EITHER, NO, State, YES, tri};
use form::{Effect, EffectKind, Form, Part, PlanStep, Rule};

/// Whether a plan is good from the record that a set is at its most.
pub(crate) fn is_good(mut run: Run<'_>, plan: &[PlanStep]) -> bool {
    let (form, state) = (run.form, &mut run.state);
    state.vars.iter_mut().for_each(|known| known.exact = true);
    state.opened.iter_mut().for_each(|mark| *mark = tri(*mark != NO));
    for (look_only, entry) in state.look_only.iter_mut().zip(&form.settling).filter(|it| *it.0 == EITHER) {
        *look_only = tri(!form.vars[entry.var as usize].is_hidden);
    }
    state.found.iter_mut().for_each(|mark| *mark = tri(*mark == YES));
    let rest = form.rest.as_deref().unwrap_or_default();
    // Of one record no question is open, at no step: else something would not be exact by now.
    let is_one = |end: &State| end.vars.iter().all(|known| known.exact) && !end.opened.contains(&EITHER);
    let is_end = |end: &State| is_one(end) && end.holds(rest) == YES && !end.found.contains(&YES);
    let ends = run.end_rules().ok().and_then(|()| follow(form, vec![run.state], plan, &mut 0));
    ends.is_some_and(|ends| ends.iter().all(is_end))
}

/// Where steps lead to from some records; nothing if one cannot be taken, or there are too many. In good data looks are not nested deeply.
fn follow(form: &Form, mut states: Vec<State>, plan: &[PlanStep], taken: &mut usize) -> Option<Vec<State>> {
    for step in plan {
        let mut next = Vec::new();
        for state in states {
            *taken += 1;
            let mut run = Run { form, state, changed: Vec::new() };
            match step {
                _ if *taken > 100_000 => return None,
                PlanStep::Look(var, ways) => next.append(&mut look(run, *var, ways, taken)?),
                PlanStep::Act(number) => act(&mut run, *number).then(|| next.push(run.state))?,
                PlanStep::Wait(var, time) => wait(&mut run, *var, *time).then(|| next.push(run.state))?,
            }
        }
        next.sort_unstable();
        next.dedup();
        states = next;
    }
    Some(states)
}
fn act(run: &mut Run<'_>, number: u32) -> bool {
    let (form, act, opened) = (run.form, &run.form.restoring[number as usize], run.state.opened.clone());
    let is_so = |it: &Effect| run.state.holds(&[Part { var: it.var, set: it.set }]) == YES;
    let writes = act.effects.iter().all(|it| it.kind == EffectKind::Write);
    let is_passed = writes && act.effects.iter().all(is_so);
    let is_able = run.state.holds(&act.needs) == YES;
    let breaks_nothing = |effect: &Effect| {
        let before = run.state.clone();
        run.changed.clear();
        let is_done = run.apply(effect, false, false).is_ok();
        let is_new = |rule: &Rule| run.breaks(rule) && before.holds(&rule.when) != YES;
        is_done && !form.rules.iter().chain(&form.released).any(is_new)
    };
    let is_done = is_passed || is_able && act.effects.iter().all(breaks_nothing) && run.end_rules().is_ok();
    writes.then(|| run.state.opened = opened); // Who knows more may pass it over.
    is_done
}
fn wait(run: &mut Run<'_>, var: u32, time: u64) -> bool {
    let Some((_, entry)) = run.entries(var).next() else { return false };
    let counts = entry.holds.as_ref().is_none_or(|cube| run.state.holds(cube) == YES);
    (counts || run.state.of(var).meets(entry.from) == NO) && run.pass(time).is_ok() && run.end_rules().is_ok()
}
fn look(run: Run<'_>, var: u32, ways: &[(u64, Vec<PlanStep>)], taken: &mut usize) -> Option<Vec<State>> {
    let (it, may) = (&run.form.vars[var as usize], run.state.of(var).may);
    let sides: Vec<_> = ways.iter().filter(|(set, _)| may & set != 0).collect();
    (may & !sides.iter().fold(0, |all, (set, _)| all | set) == 0).then_some(())?;
    if let [(_, plan)] = sides[..] {
        return follow(run.form, vec![run.state], plan, taken);
    }
    (!it.is_hidden && run.state.holds(&it.seen_when) == YES).then_some(())?;
    let (mut ends, opened) = (Vec::new(), run.state.opened[var as usize] == YES);
    for (set, plan) in sides {
        let look = Effect { kind: EffectKind::Look, var, set: may & set, offers: None };
        let mut seen = Run { changed: vec![(var, YES)], ..run.clone() };
        seen.apply(&look, false, opened).and_then(|()| seen.find(&seen.changed.clone())).ok()?;
        seen.end_rules().ok()?;
        seen.state.opened[var as usize] = run.state.opened[var as usize]; // Who knows more may not look.
        ends.append(&mut follow(run.form, vec![seen.state], plan, taken)?);
    }
    Some(ends)
}
