//! Times as people write them, in milliseconds: read here anew, so that no one else's reading is trusted.

/// A time such as `10 s` or `1.5 min`.
pub(crate) fn parsed(text: &str) -> u64 {
    let (value, unit) = text.split_once(' ').expect("a figure and a unit");
    millis(value.parse().expect("a figure"), unit)
}

/// So many of a unit.
pub(crate) fn millis(value: f64, unit: &str) -> u64 {
    let each = match unit {
        "ms" => 1.0,
        "s" => 1_000.0,
        "min" => 60_000.0,
        "h" => 3_600_000.0,
        other => panic!("`{other}` is no time"),
    };
    (value * each).round() as u64
}

#[cfg(test)]
mod tests {
    use super::parsed;

    #[test]
    fn every_unit_is_read() {
        let times = ["5999 ms", "10 s", "1.5 min", "2 h"].map(parsed);
        assert_eq!(times, [5_999, 10_000, 90_000, 7_200_000]);
    }
}
