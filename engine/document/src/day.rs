//! Days, as ISO 8601 writes them.

/// Whether a text is a day of the Gregorian calendar, such as `2026-11-02`. Such days compare as text.
#[must_use]
pub fn is_day(text: &str) -> bool {
    let digits = |part: &str, length: usize| -> Option<u32> {
        (part.len() == length && part.bytes().all(|byte| byte.is_ascii_digit())).then(|| part.parse().ok())?
    };
    let [year, month, day] = text.split('-').collect::<Vec<_>>()[..] else { return false };
    let (Some(year), Some(month), Some(day)) = (digits(year, 4), digits(month, 2), digits(day, 2)) else {
        return false;
    };
    let leap = year.is_multiple_of(4) && (!year.is_multiple_of(100) || year.is_multiple_of(400));
    let days = match month {
        2 => 28 + u32::from(leap),
        4 | 6 | 9 | 11 => 30,
        1..=12 => 31,
        _ => 0,
    };
    (1..=days).contains(&day)
}

#[cfg(test)]
mod tests {
    use super::is_day;

    #[test]
    fn days_of_the_calendar() {
        for day in ["2026-11-02", "2024-02-29", "2000-02-29", "2026-12-31"] {
            assert!(is_day(day), "{day}");
        }
        for day in ["2026-02-29", "1900-02-29", "2026-13-01", "2026-00-10", "2026-04-31", "2026-01-00"] {
            assert!(!is_day(day), "{day}");
        }
        for text in ["", "2026-11-2", "26-11-02", "2026-11-02-", "2026-11-02 ", "+026-11-02", "2026/11/02"] {
            assert!(!is_day(text), "{text}");
        }
    }
}
