//! Taking up a walk after a pause, a handover or an end without notice: what is looked at again, what is waited for.

use crate::gate::GateLook;
use crate::state::{Doubt, Walk};
use crate::status::Status;
use machine::VarId;

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
    walk.releases_end();
    // What a timer waits for may have come again: it counts from now.
    walk.timer = None;
    let in_doubt = walk.not_kept().into_iter().chain(walk.in_hand());
    walk.belief.doubt(in_doubt.collect::<Vec<VarId>>());
    walk.belief.begin_clocks_anew(&walk.machine);
    if let Some(gate) = &mut walk.gate {
        gate.looks = gate.looks.iter().map(GateLook::anew).collect();
    }
    if !walk.has_started {
        walk.belief = walk.nothing_known();
        return;
    }
    if is_in_act {
        walk.doubt = Some(if walk.ticks > 0 { Doubt::Ticks } else { Doubt::Begun });
    }
}

/// It was said that the act had been done to its end before the interruption, and its tick was lost: work is taken up after it.
pub(crate) fn was_done(walk: &mut Walk, at_ms: i64) {
    walk.doubt = None;
    walk.act_done(at_ms);
    walk.belief.doubt(walk.not_kept());
}

impl Walk {
    /// Whether the act here, of which nobody has said yet whether it was begun, may be said to have been done to its end: it is no
    /// pass of ticks, and no gate was shut before it when work was interrupted.
    pub(crate) fn may_be_done(&self) -> bool {
        self.doubt == Some(Doubt::Begun) && self.gate.is_none() && self.tick().is_none()
    }
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
pub(crate) fn undoubted(walk: &mut Walk, is_begun: bool) {
    walk.doubt = None;
    walk.in_act = is_begun;
    if is_begun {
        let made = walk.made_in_hand();
        walk.unmake(&made);
    } else {
        walk.ticks = 0;
    }
}
