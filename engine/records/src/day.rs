//! Days and times as people and programs read them, in universal time.

use chrono::{DateTime, Days, NaiveDate, SecondsFormat};

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
#[must_use]
pub fn shown(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms).unwrap_or_default().format("%Y-%m-%d %H:%M:%S").to_string()
}

/// The day so many days later; the same day where no calendar goes so far.
pub(crate) fn later(day: &str, days: u32) -> String {
    let parsed = NaiveDate::parse_from_str(day, "%Y-%m-%d").ok();
    let later = parsed.and_then(|day| day.checked_add_days(Days::new(days.into())));
    later.map_or_else(|| day.to_owned(), |day| day.format("%Y-%m-%d").to_string())
}

#[cfg(test)]
mod tests {
    use super::later;

    /// 2024 is a leap year and 2026 is none (the Gregorian rule).
    #[test]
    fn days_are_counted_over_months_and_leap_days() {
        let on = |day: &str, days| later(day, days);
        assert_eq!(on("2026-02-27", 2), "2026-03-01");
        assert_eq!(on("2024-02-27", 2), "2024-02-29");
        assert_eq!(on("2026-11-25", 365), "2027-11-25");
        assert_eq!(on("2026-11-25", 0), "2026-11-25");
    }
}
