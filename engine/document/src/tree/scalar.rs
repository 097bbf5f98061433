//! What a plain text stands for: the core schema of YAML 1.2 (section 10.3.2), so that `yes` and `no` stay words.

use super::Value;

/// Reads an unquoted text. What looks like a number but should keep its digits, such as `007`, stays a text.
pub(super) fn resolve(text: &str) -> Value {
    match text {
        "" | "~" | "null" | "Null" | "NULL" => return Value::Null,
        "true" | "True" | "TRUE" => return Value::Bool(true),
        "false" | "False" | "FALSE" => return Value::Bool(false),
        _ => {}
    }
    number(text).unwrap_or_else(|| Value::Text(text.to_owned()))
}

fn number(text: &str) -> Option<Value> {
    let radix = |digits: &str, radix| i64::from_str_radix(digits, radix).ok().map(Value::Integer);
    if let Some(digits) = text.strip_prefix("0x") {
        return digits.bytes().all(|b| b.is_ascii_hexdigit()).then(|| radix(digits, 16))?;
    }
    if let Some(digits) = text.strip_prefix("0o") {
        return digits.bytes().all(|b| matches!(b, b'0'..=b'7')).then(|| radix(digits, 8))?;
    }
    let unsigned = text.strip_prefix(['+', '-']).unwrap_or(text);
    let whole = unsigned.bytes().take_while(u8::is_ascii_digit).count();
    if whole > 1 && unsigned.starts_with('0') {
        return None;
    }
    if whole == unsigned.len() && whole > 0 {
        return text.parse().ok().map(Value::Integer).or_else(|| float(text));
    }
    let rest = &unsigned[whole..];
    let fraction =
        rest.strip_prefix('.').map_or(0, |rest| rest.bytes().take_while(u8::is_ascii_digit).count());
    if whole + fraction == 0 {
        return None;
    }
    let rest = rest.strip_prefix('.').map_or(rest, |rest| &rest[fraction..]);
    let exponent = rest.strip_prefix(['e', 'E']).map(|rest| rest.strip_prefix(['+', '-']).unwrap_or(rest));
    match exponent {
        None if rest.is_empty() => float(text),
        Some(digits) if !digits.is_empty() && digits.bytes().all(|b| b.is_ascii_digit()) => float(text),
        _ => None,
    }
}

/// A finite number; one without a fraction is a whole number, as JSON Schema has it.
fn float(text: &str) -> Option<Value> {
    const EXACT: f64 = 9_007_199_254_740_992.0;
    let value: f64 = text.parse().ok().filter(|value: &f64| value.is_finite())?;
    #[expect(
        clippy::cast_possible_truncation,
        reason = "whole and at most 2^53 in size, so the conversion is exact"
    )]
    let whole = (value.fract().abs() == 0.0 && value.abs() <= EXACT).then_some(value as i64);
    Some(whole.map_or(Value::Number(value), Value::Integer))
}

#[cfg(test)]
mod tests {
    use super::{Value, resolve};

    /// YAML 1.2.2, section 10.3.2 (memory), and what this reader keeps as text on purpose.
    #[test]
    fn core_schema() {
        for text in [
            "yes", "No", "on", "off", "4 m", "007", "1_000", "1.2.3", "-", "+", ".", "e5", "1e", "0x",
            "0xZZ", "0b1", ".inf", ".nan", "12:30", "-1-", "1e999",
        ] {
            assert_eq!(resolve(text), Value::Text(text.to_owned()), "{text}");
        }
        for (text, value) in [
            ("0", 0),
            ("12", 12),
            ("-7", -7),
            ("+3", 3),
            ("0x1F", 31),
            ("0o17", 15),
            ("3.00", 3),
            ("1e3", 1000),
            ("2.", 2),
        ] {
            assert_eq!(resolve(text), Value::Integer(value), "{text}");
        }
        for (text, value) in [
            ("0.5", 0.5),
            (".5", 0.5),
            ("-1.25e-2", -0.0125),
            ("1e300", 1e300),
            ("99999999999999999999", 1e20),
        ] {
            assert_eq!(resolve(text), Value::Number(value), "{text}");
        }
        assert_eq!(resolve("~"), Value::Null);
        assert_eq!(resolve("TRUE"), Value::Bool(true));
    }
}
