//! The multipliers that follow a formula: DHHS (NIOSH) 94-110, pages 8 to 18 (2nd hand), metric.
//!
//! Where a table of the manual and its formula differ in the last digit, the formula governs (page 7).

/// Centimetres, 25 at least; the caller keeps it at or below 63.
pub(super) fn horizontal(centimetres: f64) -> f64 {
    25.0 / centimetres.max(25.0)
}

/// Height of the hands in centimetres, 0 to 175.
pub(super) fn vertical(centimetres: f64) -> f64 {
    1.0 - 0.003 * (centimetres - 75.0).abs()
}

/// Centimetres, 25 at least; the caller keeps it at or below 175.
pub(super) fn distance(centimetres: f64) -> f64 {
    0.82 + 4.5 / centimetres.max(25.0)
}

/// Degrees, 0 to 135.
pub(super) fn asymmetry(degrees: f64) -> f64 {
    1.0 - 0.0032 * degrees
}

/// Table 7 (page 18), by the height of the hands at the end that is worked out.
pub(super) fn coupling(grip: &str, vertical: f64) -> f64 {
    match grip {
        "good" => 1.0,
        "fair" if vertical < 75.0 => 0.95,
        "fair" => 1.0,
        _ => 0.9,
    }
}
