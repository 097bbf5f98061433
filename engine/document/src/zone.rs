//! The zone of a site: which day it is there at an instant.

use crate::day::Day;
use chrono::DateTime;
use chrono_tz::{TZ_VARIANTS, Tz};
use serde::Deserialize;
use std::fmt;

/// A time zone of the IANA database, by its name: `Pacific/Auckland`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub struct Zone(Tz);

/// A text that names no zone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ZoneError(String);

impl fmt::Display for ZoneError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let near = calc::nearest(&self.0, TZ_VARIANTS.iter().map(|zone| zone.name()));
        let help = match near {
            Some(near) => format!("did you mean `{near}`?"),
            None => "write one as the IANA database has it, such as `Pacific/Auckland`".to_owned(),
        };
        write!(f, "`{}` is no time zone; {help}", self.0)
    }
}

impl std::error::Error for ZoneError {}

impl Zone {
    /// Universal time.
    pub const UTC: Self = Self(Tz::UTC);

    /// Reads the name of a zone.
    ///
    /// # Errors
    /// If the database has no such zone; letters must have the case that it gives them.
    pub fn parse(name: &str) -> Result<Self, ZoneError> {
        name.parse().map(Self).map_err(|_| ZoneError(name.to_owned()))
    }

    /// Its name.
    #[must_use]
    pub fn name(self) -> &'static str {
        self.0.name()
    }

    /// The day that an instant lies in, in milliseconds since 1970. Every instant has one, whatever times of day the zone
    /// has twice or never; 1970-01-01 where no calendar goes so far.
    #[must_use]
    pub fn day_of(self, at_ms: i64) -> Day {
        let instant = DateTime::from_timestamp_millis(at_ms).unwrap_or_default();
        Day::from_date(instant.with_timezone(&self.0).date_naive())
    }
}

impl TryFrom<String> for Zone {
    type Error = ZoneError;
    fn try_from(name: String) -> Result<Self, ZoneError> {
        Self::parse(&name)
    }
}

#[cfg(test)]
mod tests {
    use super::Zone;
    use chrono::DateTime;

    fn day(zone: &str, instant: &str) -> String {
        let at = DateTime::parse_from_rfc3339(instant).unwrap().timestamp_millis();
        Zone::parse(zone).unwrap().day_of(at).to_string()
    }

    /// Offsets and the instants of the changes are those of the IANA time zone database (memory; `zdump -v` lists them).
    #[test]
    fn an_instant_has_the_day_of_its_zone() {
        assert_eq!(day("America/Los_Angeles", "2026-11-03T03:00:00Z"), "2026-11-02");
        assert_eq!(day("Pacific/Auckland", "2026-11-02T12:00:00Z"), "2026-11-03");
        assert_eq!(day("Etc/UTC", "2026-11-02T23:59:59Z"), "2026-11-02");
        // Half an hour and three quarters are offsets too.
        assert_eq!(day("Asia/Kolkata", "2026-11-02T18:29:59Z"), "2026-11-02");
        assert_eq!(day("Asia/Kolkata", "2026-11-02T18:30:00Z"), "2026-11-03");
        assert_eq!(day("Asia/Kathmandu", "2026-11-02T18:15:00Z"), "2026-11-03");
    }

    /// Havana has the hour before one twice when summer time ends at 01:00, so that midnight comes twice.
    #[test]
    fn a_midnight_that_comes_twice_begins_one_day() {
        let at = |instant| day("America/Havana", instant);
        assert_eq!(at("2026-11-01T03:59:59Z"), "2026-10-31");
        assert_eq!(at("2026-11-01T04:00:00Z"), "2026-11-01");
        assert_eq!(at("2026-11-01T04:59:59Z"), "2026-11-01");
        // 00:00 again, an hour later.
        assert_eq!(at("2026-11-01T05:00:00Z"), "2026-11-01");
    }

    /// In São Paulo summer time began at midnight until 2018: that day began at 01:00. Samoa went from 29 to 31 December
    /// 2011, and Kwajalein had no 21 August 1993.
    #[test]
    fn a_midnight_or_a_day_that_never_comes_is_passed_over() {
        assert_eq!(day("America/Sao_Paulo", "2018-11-04T02:59:59Z"), "2018-11-03");
        assert_eq!(day("America/Sao_Paulo", "2018-11-04T03:00:00Z"), "2018-11-04");
        assert_eq!(day("Pacific/Apia", "2011-12-30T09:59:59Z"), "2011-12-29");
        assert_eq!(day("Pacific/Apia", "2011-12-30T10:00:00Z"), "2011-12-31");
        assert_eq!(day("Pacific/Kwajalein", "1993-08-21T11:59:59Z"), "1993-08-20");
        assert_eq!(day("Pacific/Kwajalein", "1993-08-21T12:00:00Z"), "1993-08-22");
    }

    #[test]
    fn what_is_no_zone_is_refused_with_what_may_be_meant() {
        assert_eq!(Zone::parse("Etc/UTC").unwrap().name(), "Etc/UTC");
        let told = |name: &str| Zone::parse(name).unwrap_err().to_string();
        assert_eq!(
            told("Pacific/Aukland"),
            "`Pacific/Aukland` is no time zone; did you mean `Pacific/Auckland`?"
        );
        for name in ["", "+13:00", "here"] {
            assert!(told(name).contains("is no time zone"), "{name}");
        }
    }
}
