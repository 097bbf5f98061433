//! What no longer counts after a pause, a handover or a restart.

use crate::fasten;
use crate::state::Walk;
use machine::{AbstractState, Conjunct, NodeKind, VarId};

/// Takes up a walk again and lets lapse what lapses. Every condition of which less is then known than before is asked
/// again before anything relies on it, so that the belief the proof counts on is established anew or work stops.
pub(crate) fn resumed(walk: &mut Walk, person: &str, unannounced: bool, at_ms: i64) {
    let handover = !same_person(&walk.person, person);
    let away = at_ms - walk.last_ms;
    // A clock that went backwards says nothing about how long it was.
    let unknown = unannounced || away < 0;
    person.clone_into(&mut walk.person);
    walk.paused = false;
    let mut lapsing: Vec<VarId> = walk
        .machine
        .lapses
        .iter()
        .filter(|(_, after)| {
            handover
                || unknown
                || after.is_some_and(|after| u64::try_from(away).is_ok_and(|away| away >= after))
        })
        .map(|(var, _)| *var)
        .collect();
    if walk.ticks > 0 && walk.unverified.is_none() && (handover || unknown || !lapsing.is_empty()) {
        // Half loosened is neither tight nor loose: the ticks are looked at instead.
        walk.ticks_doubted = true;
        let under_way = fasten::under_way(walk);
        lapsing.retain(|var| !under_way.contains(var));
    }
    if lapsing.is_empty() {
        return;
    }
    let clocks = walk.states.first().map(|state| state.clocks.clone());
    ask_again(walk, &lapsing);
    walk.looked.clear();
    // What was seen and not yet verified may be otherwise now; what was done is done.
    if walk.node().kind != NodeKind::Act {
        walk.unverified = None;
    }
    // The cause of a running timer may have come again: it counts from now.
    if clocks != walk.states.first().map(|state| state.clocks.clone()) || walk.gate().is_some() {
        walk.timer = None;
    }
}

/// Nothing is known of these any more. Every condition of which less is then known than before is asked again, and must
/// be what it was.
pub(crate) fn ask_again(walk: &mut Walk, vars: &[VarId]) {
    let before: Vec<(VarId, u64)> =
        walk.machine.layout.ids().map(|var| (var, known(walk, &walk.states, var))).collect();
    let forgotten: Vec<AbstractState> =
        walk.states.iter().flat_map(|state| walk.machine.havoc(state, vars)).map(|next| next.state).collect();
    for (var, set) in before {
        // What was not asked yet is asked anyway.
        let mut due = walk.lapsed.iter().chain(&walk.start_due).chain(&walk.normals_due);
        if known(walk, &forgotten, var) != set && due.all(|due| due.var != var) {
            walk.lapsed.push(Conjunct { var, set });
        }
    }
    walk.states = forgotten;
    walk.states.dedup();
}

/// Everything a variable may be, over all boxes.
fn known(walk: &Walk, states: &[AbstractState], var: VarId) -> u64 {
    states.iter().fold(0, |set, state| set | state.bits.field(&walk.machine.layout, var))
}

/// Names are compared without regard to case and spaces around them.
pub(crate) fn same_person(a: &str, b: &str) -> bool {
    a.trim().to_lowercase() == b.trim().to_lowercase()
}
