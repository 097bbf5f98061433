//! Times as people and programs read them, in universal time.

use chrono::{DateTime, SecondsFormat};

/// RFC 3339 in universal time, to the second.
#[must_use]
pub fn time(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms)
        .map_or_else(|| format!("{at_ms} ms"), |time| time.to_rfc3339_opts(SecondsFormat::Secs, true))
}

/// A time as pages show it, `2026-11-02 14:03:20`.
#[must_use]
pub fn shown(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms).unwrap_or_default().format("%Y-%m-%d %H:%M:%S").to_string()
}
