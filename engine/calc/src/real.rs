//! Logarithm, exponential and normal distribution from the four operations alone.
//!
//! The standard library takes these from the system, whose last digits differ from one system to the next. The four
//! operations and the square root are fixed by IEEE 754, so what is built from them gives the same bytes everywhere.
//! Each is right to within one part in 10¹⁴.

use std::f64::consts::{LN_2, PI, SQRT_2};

/// The natural logarithm of a positive, finite number; NaN for others.
pub(crate) fn ln(value: f64) -> f64 {
    if !(value > 0.0 && value.is_finite()) {
        return f64::NAN;
    }
    let (mut size, mut twos) = (value, 0_i32);
    while size > SQRT_2 {
        size /= 2.0;
        twos += 1;
    }
    while size < SQRT_2 / 2.0 {
        size *= 2.0;
        twos -= 1;
    }
    // ln m = 2 artanh((m - 1) / (m + 1)); the ratio is at most 0.172, so that twelve terms are enough.
    let ratio = (size - 1.0) / (size + 1.0);
    let square = ratio * ratio;
    let series = (0..12).rev().fold(0.0, |sum, term| sum * square + 1.0 / f64::from(2 * term + 1));
    f64::from(twos) * LN_2 + 2.0 * ratio * series
}

/// The exponential of a number between -700 and 700.
fn exp(value: f64) -> f64 {
    let twos = (value / LN_2).round();
    let rest = value - twos * LN_2;
    let series = (1..20).rev().fold(1.0, |sum, term| 1.0 + sum * rest / f64::from(term));
    let mut scale = 1.0;
    for _ in 0..twos.abs() as u32 {
        scale *= 2.0;
    }
    if twos < 0.0 { series / scale } else { series * scale }
}

/// The share of a normal distribution below so many standard deviations.
pub(crate) fn normal_below(deviations: f64) -> f64 {
    if deviations.abs() > 6.0 {
        return if deviations > 0.0 { 1.0 } else { 0.0 };
    }
    // Φ(z) = ½ + φ(z)·(z + z³/3 + z⁵/(3·5) + …), Abramowitz and Stegun 26.2.11 (memory).
    let (mut term, mut sum) = (deviations, deviations);
    for odd in 1..120 {
        term *= deviations * deviations / f64::from(2 * odd + 1);
        sum += term;
    }
    0.5 + exp(-deviations * deviations / 2.0) / (2.0 * PI).sqrt() * sum
}

#[cfg(test)]
mod tests {
    use super::{exp, ln, normal_below};

    /// Against the system's functions, which are right to the last digit or the one before.
    #[test]
    fn agrees_with_the_system() {
        for step in 1..4000 {
            let value = f64::from(step) * 0.37;
            assert!((ln(value) - value.ln()).abs() <= 1e-14 * value.ln().abs().max(1.0), "{value}");
            assert!((ln(1.0 / value) + value.ln()).abs() <= 1e-14 * value.ln().abs().max(1.0), "1/{value}");
            let power = value / 10.0 - 70.0;
            assert!((exp(power) / power.exp() - 1.0).abs() < 1e-13, "{power}");
        }
        assert!(ln(0.0).is_nan() && ln(-1.0).is_nan() && ln(f64::INFINITY).is_nan());
    }

    /// Standard tables of the normal distribution (memory): one, two and three deviations, and 1.645.
    #[test]
    fn shares_of_the_normal_distribution() {
        for (deviations, share) in [
            (0.0, 0.5),
            (1.0, 0.841_345),
            (2.0, 0.977_250),
            (3.0, 0.998_650),
            (1.644_854, 0.95),
            (-2.0, 0.022_750),
        ] {
            assert!((normal_below(deviations) - share).abs() < 1e-6, "{deviations}");
        }
        assert!(normal_below(7.0) > 0.999_999 && normal_below(-7.0) < 1e-9);
    }
}
