//! Whole numbers as they are written in digits.

/// The whole number that a decimal number is, exactly: 3, 3.0 and 30e-1 are all 3 (JSON Schema takes them for one number:
/// from memory). Nothing for what is negative, not whole, larger than it can hold, or no number.
pub(crate) fn whole(written: &str) -> Option<u64> {
    let (number, exponent) = match written.split_once(['e', 'E']) {
        Some((number, exponent)) => (number, exponent.parse::<i32>().ok()?),
        None => (written, 0),
    };
    let (before, after) = number.split_once('.').unwrap_or((number, ""));
    if before.is_empty() || !before.bytes().chain(after.bytes()).all(|byte| byte.is_ascii_digit()) {
        return None;
    }
    let digits = format!("{before}{after}");
    let (kept, leading) = (digits.trim_end_matches('0'), digits.trim_start_matches('0'));
    if leading.is_empty() {
        return Some(0);
    }
    let zeros = i64::from(exponent) - i64::try_from(after.len()).ok()?
        + i64::try_from(digits.len() - kept.len()).ok()?;
    let power = 10_u64.checked_pow(u32::try_from(zeros).ok()?)?;
    kept.parse::<u64>().ok()?.checked_mul(power)
}

#[test]
fn whole_numbers_are_read_exactly() {
    for (written, number) in [
        ("0", 0),
        ("0e999", 0),
        ("007", 7),
        ("3.0", 3),
        ("30e-1", 3),
        ("0.5E+1", 5),
        ("1.20e2", 120),
        ("9007199254740993", 9_007_199_254_740_993),
        ("18446744073709551615", u64::MAX),
    ] {
        assert_eq!(whole(written), Some(number), "{written}");
    }
    for not in [
        "",
        "-1",
        "1.5",
        "x",
        "1e",
        "e1",
        ".5",
        "1e-1",
        "9007199254740991.5",
        "18446744073709551616",
        "1e20",
        "1e9999999999",
    ] {
        assert_eq!(whole(not), None, "{not}");
    }
}
