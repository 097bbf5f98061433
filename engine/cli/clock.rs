//! The time of day, for walks that may jump over it.

use std::time::{SystemTime, UNIX_EPOCH};
use walk::Walk;

/// Now, in milliseconds since 1970.
pub(crate) fn now_ms() -> i64 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(now.as_millis()).unwrap_or(i64::MAX)
}

/// The time of day; in a rehearsal it jumps over waits.
pub(crate) struct Clock {
    ahead_ms: i64,
    rehearsal: bool,
}

impl Clock {
    pub(crate) fn now(rehearsal: bool) -> Self {
        Self { ahead_ms: 0, rehearsal }
    }

    /// A rehearsal that jumped ahead stays ahead.
    pub(crate) fn after(walk: &Walk) -> Self {
        let mut clock = Self::now(walk.begin().rehearsal);
        if clock.rehearsal {
            clock.ahead_ms = (walk.last_ms() - clock.millis()).max(0);
        }
        clock
    }

    pub(crate) fn is_rehearsal(&self) -> bool {
        self.rehearsal
    }

    /// A rehearsal jumps over a wait.
    pub(crate) fn jump(&mut self, millis: u64) {
        self.ahead_ms = self.ahead_ms.saturating_add(i64::try_from(millis).unwrap_or(i64::MAX));
    }

    pub(crate) fn millis(&self) -> i64 {
        now_ms().saturating_add(self.ahead_ms)
    }
}
