//! Days, as ISO 8601 writes them.

use chrono::{Days, NaiveDate};
use serde::{Deserialize, Serialize};
use std::fmt;

/// A day of the Gregorian calendar, `2026-11-02`, of the years 0 to 9999; later days are greater.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub struct Day(NaiveDate);

/// A text that is no day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayError(String);

impl fmt::Display for DayError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "`{}` is no day; write one such as 2026-11-02", self.0)
    }
}

impl std::error::Error for DayError {}

impl Day {
    /// Reads a day.
    ///
    /// # Errors
    /// If the text has another form, or the calendar has no such day.
    pub fn parse(text: &str) -> Result<Self, DayError> {
        // `2026-1-2` and `+2026-01-02` would be read too, and a day has one form.
        let day = text.parse().ok().filter(|day: &NaiveDate| day.to_string() == text && text.len() == 10);
        day.map(Self).ok_or_else(|| DayError(text.to_owned()))
    }

    /// The day of a date without a zone.
    pub(crate) fn from_date(date: NaiveDate) -> Self {
        Self(date)
    }

    /// The day so many days later; the same day where no calendar goes so far.
    #[must_use]
    pub fn later(self, days: u32) -> Self {
        Self(self.0.checked_add_days(Days::new(days.into())).unwrap_or(self.0))
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl std::str::FromStr for Day {
    type Err = DayError;
    fn from_str(text: &str) -> Result<Self, DayError> {
        Self::parse(text)
    }
}

impl TryFrom<String> for Day {
    type Error = DayError;
    fn try_from(text: String) -> Result<Self, DayError> {
        Self::parse(&text)
    }
}

impl From<Day> for String {
    fn from(day: Day) -> Self {
        day.to_string()
    }
}

#[cfg(test)]
mod tests {
    use super::Day;

    #[test]
    fn days_of_the_calendar() {
        for day in ["2026-11-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert_eq!(Day::parse(day).unwrap().to_string(), day);
        }
        // 1900 and 2100 were and will be no leap years: the Gregorian rule (2nd: ISO 8601 refers to it).
        for day in
            ["2026-11-31", "2023-02-29", "1900-02-29", "2100-02-29", "2026-13-01", "2026-00-10", "2026-01-00"]
        {
            assert!(Day::parse(day).is_err(), "{day}");
        }
        let other =
            ["", "2026-11", "26-11-02", "2026-1-2", "2026-11-0a", "2026-11-02-", "+026-11-02", "2026/11/02"];
        for text in other.into_iter().chain([
            "2026-11-02 ",
            " 2026-11-02",
            "+2026-11-02",
            "+10000-01-01",
            "-001-01-01",
        ]) {
            assert!(Day::parse(text).is_err(), "{text}");
        }
        assert!(Day::parse("2026-09-30").unwrap() < Day::parse("2026-10-01").unwrap());
    }

    /// 2024 is a leap year and 2026 is none (the Gregorian rule).
    #[test]
    fn days_are_counted_over_months_and_leap_days() {
        let on = |day: &str, days| Day::parse(day).unwrap().later(days).to_string();
        assert_eq!(on("2026-02-27", 2), "2026-03-01");
        assert_eq!(on("2024-02-27", 2), "2024-02-29");
        assert_eq!(on("2026-11-25", 365), "2027-11-25");
        assert_eq!(on("2026-11-25", 0), "2026-11-25");
    }
}
