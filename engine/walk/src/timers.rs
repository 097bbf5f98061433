//! Timers: how long, since when, and whether the time is over.

use crate::state::{Running, Walk};
use calc::quantity::Duration;
use document::model::Kind;
use machine::Cube;

/// How far the timer of a wait is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Clock {
    /// It is still to be started.
    Due,
    /// It runs.
    Running {
        /// Since when, in milliseconds since 1970.
        since_ms: i64,
        /// How long it runs, in milliseconds.
        millis: u64,
    },
    /// It has run its time: only what is waited for is still open.
    Over {
        /// Since when it ran, in milliseconds since 1970.
        since_ms: i64,
    },
}

impl Clock {
    pub(crate) fn new(walk: &Walk) -> Self {
        match walk.timer {
            None => Self::Due,
            Some(Running { since_ms, over: true, .. }) => Self::Over { since_ms },
            Some(Running { since_ms, millis, over: false }) => Self::Running { since_ms, millis },
        }
    }

    /// When the timer was started; none while it is due.
    pub(crate) fn since_ms(self) -> Option<i64> {
        match self {
            Self::Due => None,
            Self::Running { since_ms, .. } | Self::Over { since_ms } => Some(since_ms),
        }
    }
}

/// How long the wait is at which the walk stands, in milliseconds. A wait for a condition alone has a timer of no time: it
/// is over at once, and the limit counts from its start.
pub(crate) fn length(walk: &Walk) -> u64 {
    let waits = walk.node().outcomes.first().map_or(&[][..], |outcome| &outcome.waits);
    let holds =
        |(cube, millis): &(Cube, u64)| cube.holds(&walk.machine.layout, &walk.state.bits).then_some(*millis);
    waits.iter().find_map(holds).unwrap_or(0)
}

/// The longest wait for a condition, in milliseconds.
pub(crate) fn limit(walk: &Walk) -> Option<u64> {
    let Some(Kind::Wait(wait)) = walk.step().map(|step| &step.kind) else { return None };
    let limit = walk.figure(wait.limit.as_ref()?).ok()??;
    Duration::from_quantity(&limit).ok().map(Duration::as_millis)
}

/// How much of a timer is left; `None` if the clock went backwards since it was started, so that nothing is known.
pub(crate) fn left(since_ms: i64, millis: u64, now_ms: i64) -> Option<u64> {
    let passed = u64::try_from(now_ms - since_ms).ok()?;
    Some(millis.saturating_sub(passed))
}
