//! The clock.

use std::time::{SystemTime, UNIX_EPOCH};
use walk::Walk;

/// The time of day in milliseconds since 1970.
pub(crate) fn now_ms() -> i64 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(now.as_millis()).unwrap_or(i64::MAX)
}

/// The time of day; a rehearsal that jumped ahead stays ahead.
pub(crate) fn clock(walk: &Walk) -> i64 {
    if walk.begin().rehearsal { now_ms().max(walk.last_ms()) } else { now_ms() }
}
