//! The clock.

use std::time::{SystemTime, UNIX_EPOCH};

/// The time of day in milliseconds since 1970.
pub(crate) fn now_ms() -> i64 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(now.as_millis()).unwrap_or(i64::MAX)
}
