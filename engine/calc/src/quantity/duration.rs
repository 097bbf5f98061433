//! How long to wait.

use super::amount::Quantity;
use super::dimension::Dimension;
use super::error::QuantityError;
use super::figure::Rounding;
use super::unit::Unit;
use std::fmt;

const SECOND: u64 = 1000;
const MINUTE: u64 = 60 * SECOND;
const HOUR: u64 = 60 * MINUTE;

/// A time in whole milliseconds, zero or more.
///
/// Shown in the units a person counts in: `45 s`, `2 min 40 s`, `9 h`, `1.5 s`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Duration(u64);

impl Duration {
    /// A duration of so many milliseconds.
    pub fn from_millis(millis: u64) -> Duration {
        Duration(millis)
    }

    /// Reads a time such as `45 s` or `9 h`.
    ///
    /// # Errors
    /// As [`Quantity::parse`] and [`Duration::from_quantity`].
    pub fn parse(text: &str) -> Result<Duration, QuantityError> {
        Duration::from_quantity(&Quantity::parse(text)?)
    }

    /// Takes a quantity of time.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when it is not a time, [`QuantityError::NotADuration`] when it is negative or
    /// has parts of a millisecond.
    pub fn from_quantity(quantity: &Quantity) -> Result<Duration, QuantityError> {
        quantity.expect_dimension(Dimension::Time)?;
        let millis = quantity.value_in(Unit::parse("ms")?)?;
        // A figure has at most 15 digits; past that a day count no longer fits whole milliseconds exactly.
        if millis < 0.0 || millis.fract() != 0.0 || millis > 9e15 {
            return Err(QuantityError::NotADuration { quantity: quantity.to_string() });
        }
        Ok(Duration(millis as u64))
    }

    /// The whole time in milliseconds.
    pub fn as_millis(self) -> u64 {
        self.0
    }

    /// The same time as a quantity in seconds, as a worked result is written.
    ///
    /// # Errors
    /// [`QuantityError::TooLong`] beyond 10¹⁵ ms.
    pub fn to_quantity(self) -> Result<Quantity, QuantityError> {
        let seconds = self.0 as f64 / SECOND as f64;
        Ok(Quantity::worked(seconds, Unit::parse("s")?, 3, Rounding::Nearest)?.trimmed())
    }
}

impl fmt::Display for Duration {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (hours, minutes) = (self.0 / HOUR, self.0 % HOUR / MINUTE);
        let (seconds, millis) = (self.0 % MINUTE / SECOND, self.0 % SECOND);
        let mut parts = Vec::new();
        if hours > 0 {
            parts.push(format!("{hours} h"));
        }
        if minutes > 0 {
            parts.push(format!("{minutes} min"));
        }
        if millis > 0 {
            parts.push(format!("{} s", format!("{seconds}.{millis:03}").trim_end_matches('0')));
        } else if seconds > 0 || parts.is_empty() {
            parts.push(format!("{seconds} s"));
        }
        f.write_str(&parts.join(" "))
    }
}

#[cfg(test)]
mod tests {
    use super::Duration;

    #[test]
    fn shows_the_units_a_person_counts_in() {
        for (text, shown) in [
            ("45 s", "45 s"),
            ("160 s", "2 min 40 s"),
            ("8 min", "8 min"),
            ("480 s", "8 min"),
            ("9 h", "9 h"),
            ("0.5 h", "30 min"),
            ("1.5 s", "1.5 s"),
            ("3661 s", "1 h 1 min 1 s"),
            ("3600.25 s", "1 h 0.25 s"),
            ("0 s", "0 s"),
            ("2 d", "48 h"),
        ] {
            assert_eq!(Duration::parse(text).unwrap().to_string(), shown, "{text}");
        }
    }

    #[test]
    fn refuses_what_no_clock_can_count() {
        assert!(Duration::parse("-1 s").is_err());
        assert!(Duration::parse("0.5 ms").is_err());
        assert!(Duration::parse("45 mm").is_err());
        assert!(Duration::parse("45").is_err());
        assert!(Duration::parse("999999999999999 d").is_err());
    }

    #[test]
    fn goes_back_to_seconds() {
        assert_eq!(Duration::parse("2.5 min").unwrap().to_quantity().unwrap().to_string(), "150 s");
        assert_eq!(Duration::from_millis(1500).to_quantity().unwrap().to_string(), "1.5 s");
        assert_eq!(Duration::parse("0.1 s").unwrap().as_millis(), 100);
    }
}
