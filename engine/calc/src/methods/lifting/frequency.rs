//! The frequency multiplier: DHHS (NIOSH) 94-110, pages 13 to 15 (2nd hand).

/// How long is lifted, with what rest after it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Period {
    /// At most an hour, with as much light work after it.
    Short,
    /// At most two hours, with three tenths as much light work after it.
    Moderate,
    /// At most eight hours.
    Long,
}

impl Period {
    /// Both in hours. Too little recovery makes the next longer class.
    pub(super) fn from_times(duration: f64, recovery: f64) -> Period {
        // A billionth, as in rounding, so that 0.3 × 1 h is met by 18 min.
        if duration <= 1.0 && recovery >= duration * (1.0 - 1e-9) {
            Period::Short
        } else if duration <= 2.0 && recovery >= 0.3 * duration * (1.0 - 1e-9) {
            Period::Moderate
        } else {
            Period::Long
        }
    }
}

/// Lifts a minute, then for each period the multiplier with the hands below 75 cm at the origin, and at or above.
const TABLE_5: [(f64, [f64; 6]); 17] = [
    (0.2, [1.00, 1.00, 0.95, 0.95, 0.85, 0.85]),
    (0.5, [0.97, 0.97, 0.92, 0.92, 0.81, 0.81]),
    (1.0, [0.94, 0.94, 0.88, 0.88, 0.75, 0.75]),
    (2.0, [0.91, 0.91, 0.84, 0.84, 0.65, 0.65]),
    (3.0, [0.88, 0.88, 0.79, 0.79, 0.55, 0.55]),
    (4.0, [0.84, 0.84, 0.72, 0.72, 0.45, 0.45]),
    (5.0, [0.80, 0.80, 0.60, 0.60, 0.35, 0.35]),
    (6.0, [0.75, 0.75, 0.50, 0.50, 0.27, 0.27]),
    (7.0, [0.70, 0.70, 0.42, 0.42, 0.22, 0.22]),
    (8.0, [0.60, 0.60, 0.35, 0.35, 0.18, 0.18]),
    (9.0, [0.52, 0.52, 0.30, 0.30, 0.00, 0.15]),
    (10.0, [0.45, 0.45, 0.26, 0.26, 0.00, 0.13]),
    (11.0, [0.41, 0.41, 0.00, 0.23, 0.00, 0.00]),
    (12.0, [0.37, 0.37, 0.00, 0.21, 0.00, 0.00]),
    (13.0, [0.00, 0.34, 0.00, 0.00, 0.00, 0.00]),
    (14.0, [0.00, 0.31, 0.00, 0.00, 0.00, 0.00]),
    (15.0, [0.00, 0.28, 0.00, 0.00, 0.00, 0.00]),
];

/// Between the rows a straight line (page 7). Between the last row that allows a weight and the next one the manual is
/// silent; none is allowed there.
pub(super) fn multiplier(lifts_a_minute: f64, period: Period, origin_centimetres: f64) -> f64 {
    let column = match period {
        Period::Short => 0,
        Period::Moderate => 2,
        Period::Long => 4,
    } + usize::from(origin_centimetres >= 75.0);
    let lifts = lifts_a_minute.max(0.2);
    for pair in TABLE_5.windows(2) {
        let [(below, first), (above, second)] = pair else { continue };
        let (first, second) = (first.get(column).copied(), second.get(column).copied());
        let (Some(first), Some(second)) = (first, second) else { continue };
        if lifts <= *below {
            return first;
        }
        if lifts < *above {
            let share = (lifts - below) / (above - below);
            return if second > 0.0 { first + share * (second - first) } else { 0.0 };
        }
    }
    TABLE_5
        .last()
        .and_then(|(most, row)| if lifts <= *most { row.get(column).copied() } else { None })
        .unwrap_or(0.0)
}

#[cfg(test)]
mod tests {
    use super::{Period, multiplier};

    /// Pages 13 and 14 (2nd hand): classes of duration by what follows.
    #[test]
    fn recovery_decides_the_period() {
        for (minutes, rest, period) in [
            (45.0, 45.0, Period::Short),
            (45.0, 44.0, Period::Moderate),
            (75.0, 22.5, Period::Moderate),
            (120.0, 36.0, Period::Moderate),
            (120.0, 35.0, Period::Long),
            (30.0, 8.0, Period::Long),
            (150.0, 300.0, Period::Long),
        ] {
            assert_eq!(
                Period::from_times(minutes / 60.0, rest / 60.0),
                period,
                "{minutes} min, then {rest} min"
            );
        }
    }

    #[test]
    fn between_rows_it_is_a_straight_line_and_beyond_the_last_nothing() {
        let near = |lifts, period, height: f64, wanted: f64| {
            let got = multiplier(lifts, period, height);
            assert!((got - wanted).abs() < 1e-12, "{lifts} {period:?} {height}: {got}");
        };
        near(0.05, Period::Short, 80.0, 1.0);
        near(1.5, Period::Short, 80.0, 0.925);
        near(0.35, Period::Long, 10.0, 0.83);
        near(12.0, Period::Short, 74.9, 0.37);
        near(12.001, Period::Short, 74.9, 0.0);
        near(14.5, Period::Short, 75.0, 0.295);
        near(15.0, Period::Short, 75.0, 0.28);
        near(15.001, Period::Short, 75.0, 0.0);
        near(8.5, Period::Long, 74.9, 0.0);
        near(8.5, Period::Long, 75.0, 0.165);
    }
}
