//! Taking up a walk after a pause, a handover or an end without notice: what is looked at again, what is waited for.

use crate::event::Because;
use crate::gate::{Gate, GateLook};
use crate::state::{Doubt, Since, Walk};
use crate::status::Status;
use machine::{AbstractState, Conjunct, Cube, Effect, TakingUp, VarId};
use std::collections::BTreeSet;

/// Takes up a walk again, whoever left it for however long, with notice or without: what the rest relies on is looked at again,
/// and what nobody sees is waited for in full. After a stop the way to leave the machine begins anew.
pub(crate) fn resumed(walk: &mut Walk, person: &str) {
    person.clone_into(&mut walk.person);
    walk.hands.came_on(person);
    walk.paused = false;
    if walk.status() == Status::Stopped {
        (walk.left_alone, walk.way_left) = (true, true);
        walk.leaving.clear();
        return;
    }
    if walk.earlier.is_some() {
        return;
    }
    let is_in_act = walk.may_be_in_act();
    walk.taken_up_in_act = None;
    walk.releases_end();
    // What a timer waits for may have come again: it counts from now.
    walk.timer = None;
    walk.unlooked = walk.not_kept();
    let otherwise = seen_otherwise(walk);
    let offered = walk.offered();
    walk.half.extend(offered);
    walk.half.extend(otherwise);
    if !walk.has_started {
        if let Some(mut gate) = walk.gate.take() {
            gate.looks = gate.looks.iter().map(GateLook::anew).collect();
            walk.state = walk.forgotten(&gate.goal, false);
            walk.gate = Some(gate);
        }
        return;
    }
    if is_in_act {
        walk.doubt = Some(if walk.ticks > 0 { Doubt::Ticks } else { Doubt::Begun });
        return;
    }
    if walk.doubt.is_none() {
        let half = walk.half.clone();
        take_up(walk, None, &half);
    }
}

/// What keeps and was seen, or put right, otherwise in the gate here than it was proved to be.
fn seen_otherwise(walk: &Walk) -> Vec<VarId> {
    let Some(gate) = walk.gate.as_ref().filter(|_| walk.has_started) else { return Vec::new() };
    let layout = &walk.machine.layout;
    let is_otherwise = |var: &VarId| {
        walk.machine.sight(*var).keeps
            && walk.state.bits.field(layout, *var) & !gate.goal.bits.field(layout, *var) != 0
    };
    layout.ids().filter(is_otherwise).collect()
}

/// Work is stopped: where somebody is named, by one who was not at the walk. Whoever stops work that was left, without taking
/// it up, has looked at nothing.
pub(crate) fn stopped(walk: &mut Walk, person: Option<&str>) {
    walk.left_alone = walk.paused || person.is_some();
    if let Some(person) = person {
        person.clone_into(&mut walk.person);
    }
}

/// It was said whether the act had been begun, or whether its ticked fasteners are as they were left. Either way hands come to
/// it anew: all that it relies on is looked at again, be it what the act itself changes.
pub(crate) fn undoubted(walk: &mut Walk, is_begun: bool, at_ms: i64) {
    walk.doubt = None;
    walk.in_act = is_begun;
    if is_begun {
        walk.taken_up_in_act = Some(at_ms);
    } else {
        walk.ticks = 0;
    }
    let changed = walk.under_way().into_iter().chain(walk.half.iter().copied()).collect();
    take_up(walk, None, &changed);
}

/// An act is done in which work was taken up: the rest is taken up now, but for what was looked at since.
pub(crate) fn act_done(walk: &mut Walk) {
    if let Some(since_ms) = walk.taken_up_in_act.take() {
        take_up(walk, Some(since_ms), &BTreeSet::new());
    }
}

/// An act is to be done once more, or its last fastener, or was gone back from before anybody said that it is done: of what the
/// rest relies on, what it may have changed is looked at first.
pub(crate) fn hands_off(walk: &mut Walk, changed: &BTreeSet<VarId>) {
    let goal = walk.gate.as_ref().map_or_else(|| walk.state.clone(), |gate| gate.goal.clone());
    let mut taken = walk.machine.taking_up(&goal);
    look_at_changed(walk, &goal, changed, &mut taken);
    let hangs = |var: VarId| changed.contains(&var) || hangs_on(walk, var, changed);
    taken.looked_at.retain(|var| hangs(*var));
    taken.waited.retain(|(var, _)| hangs(*var));
    taken.lost.retain(|var| hangs(*var));
    if taken.looked_at.is_empty() && taken.waited.is_empty() && taken.lost.is_empty() {
        return;
    }
    // What was waited for here may have come again.
    walk.timer = None;
    let under =
        taken.waited.iter().flat_map(|(var, _)| walk.machine.rests_on(*var)).collect::<BTreeSet<VarId>>();
    taken.looked_at.extend(under.into_iter().filter(|var| walk.can_see(&goal, *var)));
    let state = walk.lost(&walk.state, changed);
    shut(walk, (goal, state), taken, None);
}

/// Shuts the gate before everything that the rest relies on, be it what an act under way may have `changed`.
fn take_up(walk: &mut Walk, since_ms: Option<i64>, changed: &BTreeSet<VarId>) {
    let goal = walk.gate.as_ref().map_or_else(|| walk.state.clone(), |gate| gate.goal.clone());
    let mut taken = walk.machine.taking_up(&goal);
    begin_clocks_anew(walk, &goal, &mut taken);
    look_at_changed(walk, &goal, changed, &mut taken);
    let state = walk.lost(&walk.forgotten(&goal, true), changed);
    shut(walk, (goal, state), taken, since_ms);
}

/// What keeps through an interruption an act may have changed all the same: of that the rest relies on what can be seen is looked at,
/// and of evidence what the act did that would end it.
fn look_at_changed(walk: &Walk, goal: &AbstractState, changed: &BTreeSet<VarId>, taken: &mut TakingUp) {
    let machine = &walk.machine;
    let wrote = machine.all_wrote(goal);
    let is_kept = |var: &VarId| {
        let is_known = goal.bits.field(&machine.layout, *var) != machine.layout.all(*var);
        is_known && machine.sight(*var).keeps && machine.reliance().relies(goal.place, *var, &wrote)
    };
    for var in changed.iter().copied().filter(is_kept) {
        let causes = machine.lost_when.iter().filter(|lost| lost.var == var);
        let causes: BTreeSet<VarId> = causes
            .flat_map(|lost| &lost.when.0)
            .map(|part| part.var)
            .filter(|of| changed.contains(of))
            .collect();
        let due = if causes.is_empty() { BTreeSet::from([var]) } else { causes };
        if due.iter().all(|of| walk.can_see(goal, *of)) {
            taken.looked_at.extend(due);
        } else if !taken.waited.iter().any(|(waited, _)| *waited == var) {
            taken.lost.insert(var);
        }
    }
}

/// Shuts the gate, besides what it asks for already, for all of this. The record is what is known by now; looks since then count.
fn shut(
    walk: &mut Walk,
    (goal, mut state): (AbstractState, AbstractState),
    taken: TakingUp,
    since_ms: Option<i64>,
) {
    let before = walk.gate.take();
    let mut looks: Vec<GateLook> = Vec::new();
    for look in before.iter().flat_map(|gate| &gate.looks) {
        looks.push(look.anew());
    }
    let mut waits = taken.waited;
    let mut lost: Vec<VarId> = taken.lost.into_iter().collect();
    waits.extend(before.iter().flat_map(|gate| &gate.waits));
    lost.extend(before.iter().flat_map(|gate| &gate.lost));
    for var in taken.looked_at {
        let due = Conjunct { var, set: goal.bits.field(&walk.machine.layout, var) };
        if due.set == walk.machine.layout.all(var) || looks.iter().any(|look| look.due.var == var) {
            continue;
        }
        let known = walk.known.get(var.0 as usize).copied().unwrap_or_default();
        if known.since == Since::Seen
            && since_ms.is_some_and(|since| known.since_ms.is_some_and(|at| at >= since))
        {
            walk.machine.apply(&mut state, Effect::Look(due));
        } else {
            looks.push(GateLook::new(due, Because::TakenUp));
        }
    }
    waits.sort_unstable();
    waits.dedup();
    walk.state = state;
    let seen = before.map_or_else(|| goal.clone(), |gate| gate.seen);
    walk.gate = Some(Gate { goal, seen, looks, waits, lost });
    walk.open_gate();
}

/// Whether seeing the condition, its time or the evidence hangs on one of these.
fn hangs_on(walk: &Walk, var: VarId, vars: &BTreeSet<VarId>) -> bool {
    let names = |cube: &Cube| cube.0.iter().any(|part| vars.contains(&part.var));
    let settling = walk.machine.settling.iter().find(|settling| settling.var == var);
    names(&walk.machine.sight(var).when)
        || settling.and_then(|settling| settling.holds.as_ref()).is_some_and(names)
        || walk.machine.lost_when.iter().any(|lost| lost.var == var && names(&lost.when))
}

/// A clock that had partly run begins anew: what the rest relies on is waited for in full, under what its time counts under;
/// where nobody can see that, it is lost.
fn begin_clocks_anew(walk: &Walk, goal: &AbstractState, taken: &mut TakingUp) {
    let wrote = walk.machine.all_wrote(goal);
    for (settling, clock) in walk.machine.settling.iter().zip(&goal.clocks) {
        let has_partly_run = *clock > 0 && *clock < settling.after;
        let is_relied_on = walk.machine.reliance().relies(goal.place, settling.var, &wrote);
        if !has_partly_run || !is_relied_on || taken.waited.iter().any(|(var, _)| *var == settling.var) {
            continue;
        }
        let under = || settling.holds.iter().flat_map(|under| &under.0);
        let is_known = |var: VarId| walk.machine.sight(var).keeps || walk.can_see(goal, var);
        let counts = settling.holds.as_ref().is_none_or(|cube| cube.holds(&walk.machine.layout, &goal.bits));
        if counts && under().all(|part| is_known(part.var)) {
            taken.looked_at.extend(under().map(|part| part.var).filter(|var| walk.can_see(goal, *var)));
            taken.waited.push((settling.var, settling.after));
        } else {
            taken.lost.insert(settling.var);
        }
    }
}
