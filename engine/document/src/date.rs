//! Days, as ISO 8601 writes them.

use crate::day::is_day;
use serde::{Deserialize, Serialize};
use std::fmt;

/// A day of the Gregorian calendar, `2026-11-02`; later days are greater.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Date(String);

/// A text that is no day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DateError(String);

impl fmt::Display for DateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is no day; write one such as 2026-11-02", self.0)
    }
}

impl std::error::Error for DateError {}

impl Date {
    /// Reads a day.
    ///
    /// # Errors
    /// If the text has another form, or the calendar has no such day.
    pub fn parse(text: &str) -> Result<Self, DateError> {
        if is_day(text) { Ok(Self(text.to_owned())) } else { Err(DateError(text.to_owned())) }
    }
}

impl fmt::Display for Date {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl std::str::FromStr for Date {
    type Err = DateError;
    fn from_str(text: &str) -> Result<Self, DateError> {
        Self::parse(text)
    }
}

impl TryFrom<String> for Date {
    type Error = DateError;
    fn try_from(text: String) -> Result<Self, DateError> {
        Self::parse(&text)
    }
}

impl From<Date> for String {
    fn from(date: Date) -> Self {
        date.0
    }
}

#[cfg(test)]
mod tests {
    use super::Date;

    #[test]
    fn days_of_the_calendar() {
        for day in ["2026-11-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(Date::parse(day).is_ok(), "{day}");
        }
        // 1900 and 2100 were and will be no leap years: the Gregorian rule (2nd: ISO 8601 refers to it).
        for day in ["2026-11-31", "2023-02-29", "1900-02-29", "2100-02-29", "2026-13-01", "2026-00-10"] {
            assert!(Date::parse(day).is_err(), "{day}");
        }
        for text in ["", "2026-11", "26-11-02", "2026-1-2", "2026-11-0a", "2026-11-02-", "+026-11-02"] {
            assert!(Date::parse(text).is_err(), "{text}");
        }
        assert!(Date::parse("2026-09-30").unwrap() < Date::parse("2026-10-01").unwrap());
    }
}
