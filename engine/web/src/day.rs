//! Days and times as people and programs read them, in universal time.

use chrono::{DateTime, SecondsFormat};
use std::time::{SystemTime, UNIX_EPOCH};

/// The time of day in milliseconds since 1970.
pub(crate) fn now_ms() -> i64 {
    let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
    i64::try_from(now.as_millis()).unwrap_or(i64::MAX)
}

/// RFC 3339 in universal time, to the second.
#[must_use]
pub fn time(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms)
        .map_or_else(|| format!("{at_ms} ms"), |time| time.to_rfc3339_opts(SecondsFormat::Secs, true))
}

/// The day, `2026-11-02`.
#[must_use]
pub fn day_of(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms).unwrap_or_default().format("%Y-%m-%d").to_string()
}

/// A time as pages show it, `2026-11-02 14:03:20`.
pub(crate) fn shown(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms).unwrap_or_default().format("%Y-%m-%d %H:%M:%S").to_string()
}
