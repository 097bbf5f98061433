//! Timers: how long, since when, and whether the time is over.

use crate::state::{Running, Walk};
use calc::quantity::Duration;
use document::model::Kind;
use machine::NodeKind;

/// The timer that is due where the walk is: of a lapsed condition that only settles, or of a wait.
pub(crate) fn due(walk: &Walk) -> Option<u64> {
    if let Some(gate) = walk.gate() {
        let settling = walk.machine.settling.iter().find(|settling| settling.var == gate.var)?;
        let name = &walk.machine.layout.var(gate.var).name;
        let asked = walk.equipment()?.conditions.get(name)?.ask.is_some();
        return (!asked && gate.set & settling.from == 0).then_some(settling.after);
    }
    if walk.is_starting() || !matches!(walk.node().kind, NodeKind::Wait(_)) {
        return None;
    }
    let state = walk.states.first()?;
    let outcome = walk.node().outcomes.first()?;
    let holds = |(cube, millis): &(machine::Cube, u64)| {
        cube.holds(&walk.machine.layout, &state.bits).then_some(*millis)
    };
    // A wait for a condition alone has a timer of no time: it is over at once, and the limit counts from its start.
    Some(outcome.waits.iter().find_map(holds).unwrap_or(0))
}

/// The longest wait for a condition, in milliseconds.
pub(crate) fn limit(walk: &Walk) -> Option<u64> {
    let Some(Kind::Wait(wait)) = walk.step().map(|step| &step.kind) else { return None };
    let limit = walk.figure(wait.limit.as_ref()?).ok()??;
    Duration::from_quantity(&limit).ok().map(Duration::as_millis)
}

/// How much of a timer is left; `None` if the clock went backwards since it was started, so that nothing is known.
pub(crate) fn left(timer: Running, now_ms: i64) -> Option<u64> {
    let passed = u64::try_from(now_ms - timer.since_ms).ok()?;
    Some(timer.millis.saturating_sub(passed))
}
