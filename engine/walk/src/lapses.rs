//! What no longer counts after a pause, a handover or a restart.

use crate::state::Walk;
use crate::ticks;
use document::same_person;
use machine::{AbstractState, Conjunct, NodeKind, VarId};

/// How long nobody was at the machine, as far as the records tell.
enum Absence {
    /// Nobody announced it, or the clock went backwards: it says nothing.
    Unknown,
    /// Somebody else goes on, who has seen nothing.
    Handover,
    /// The same person was away for so many milliseconds.
    Pause(u64),
}

impl Absence {
    fn new(walk: &Walk, person: &str, unannounced: bool, at_ms: i64) -> Self {
        match u64::try_from(at_ms - walk.last_ms) {
            Ok(away) if !unannounced => {
                if same_person(&walk.person, person) {
                    Self::Pause(away)
                } else {
                    Self::Handover
                }
            }
            Ok(_) | Err(_) => Self::Unknown,
        }
    }

    /// Whether a condition that lapses after that time has lapsed: without anybody who saw to it, whatever the time.
    fn lapses(&self, after: u64) -> bool {
        match self {
            Self::Unknown | Self::Handover => true,
            Self::Pause(away) => *away >= after,
        }
    }
}

/// Takes up a walk again and lets lapse what lapses. Every condition of which less is then known than before is asked
/// again before anything relies on it, so that the belief the proof counts on is established anew or work stops.
pub(crate) fn resumed(walk: &mut Walk, person: &str, unannounced: bool, at_ms: i64) {
    let absence = Absence::new(walk, person, unannounced, at_ms);
    person.clone_into(&mut walk.person);
    walk.paused = false;
    let lapses = walk.machine.lapses.iter().filter(|(_, after)| absence.lapses(*after));
    let mut lapsing: Vec<VarId> = lapses.map(|(var, _)| *var).collect();
    let doubted = !matches!(absence, Absence::Pause(_)) || !lapsing.is_empty();
    if walk.ticks > 0 && walk.unverified.is_none() && doubted {
        // Half loosened is neither tight nor loose: the ticks are looked at instead.
        walk.ticks_doubted = true;
        let under_way = ticks::under_way(walk);
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

/// The ticks were looked at. If something is otherwise, they count no more, and what the step writes is asked again as
/// it was before the step.
pub(crate) fn ticks_looked(walk: &mut Walk, yes: bool) {
    walk.ticks_doubted = false;
    if !yes {
        let written = ticks::under_way(walk);
        walk.ticks = 0;
        let lapsing: Vec<VarId> =
            walk.machine.lapses.iter().map(|(var, _)| *var).filter(|var| written.contains(var)).collect();
        ask_again(walk, &lapsing);
    }
}
