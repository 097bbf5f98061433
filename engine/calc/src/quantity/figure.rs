//! A decimal figure, kept as it was written.

use super::error::QuantityError;
use super::ratio::Ratio;
use std::fmt;

/// So many digits a 64-bit floating-point number gives back unchanged.
const DIGITS_MOST: usize = 15;
/// Enough for picofarads written in farads, and small enough for exact comparison.
const DECIMALS_MOST: usize = 12;
/// How near to a whole step, as a share of the figure, a worked figure counts as being on it. Without this,
/// 0.1 × 3 rounded up to tenths would be 0.4, and a wait that is exactly 90 s would become 95 s.
const ON_THE_STEP: f64 = 1e-9;

/// Which way a worked figure is rounded. Which is right follows from what the figure is for: capacity down,
/// waits and volumes to be moved up, display to the nearest.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Rounding {
    /// To the next figure that is not smaller.
    Up,
    /// To the next figure that is not greater.
    Down,
    /// To the nearest figure, halves away from zero.
    Nearest,
}

impl Rounding {
    /// Rounds to a whole number. A value within one part in 10⁹ of a whole number is that number.
    pub(crate) fn whole(self, value: f64) -> f64 {
        let nearest = value.round();
        if (value - nearest).abs() <= ON_THE_STEP * nearest.abs() {
            return nearest;
        }
        match self {
            Rounding::Up => value.ceil(),
            Rounding::Down => value.floor(),
            Rounding::Nearest => nearest,
        }
    }
}

/// A power of ten, exact up to 10²²; the standard library leaves the last digit of its powers open.
fn scale(decimals: u8) -> f64 {
    (0..decimals).fold(1.0, |scale, _| scale * 10.0)
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Figure {
    text: String,
    mantissa: i64,
    decimals: u8,
}

impl Figure {
    /// Reads `-?digits[.digits]`. The caller has split off the unit.
    pub(crate) fn parse(text: &str) -> Result<Figure, QuantityError> {
        let bare = text.strip_prefix(['-', '\u{2212}']).unwrap_or(text);
        let (whole, part) = bare.split_once('.').unwrap_or((bare, "0"));
        let all_digits =
            |digits: &str| !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit());
        if !all_digits(whole) || !all_digits(part) {
            return Err(QuantityError::NoFigure { text: text.into() });
        }
        let part = if bare.contains('.') { part } else { "" };
        let digits = [whole, part].concat();
        let significant = digits.trim_start_matches('0');
        let too_long = || QuantityError::TooLong { figure: text.into() };
        if significant.len() > DIGITS_MOST || part.len() > DECIMALS_MOST {
            return Err(too_long());
        }
        let size: i64 =
            if significant.is_empty() { 0 } else { significant.parse().map_err(|_| too_long())? };
        let mantissa = if bare.len() < text.len() { -size } else { size };
        let decimals = u8::try_from(part.len()).map_err(|_| too_long())?;
        Ok(Figure { text: text.into(), mantissa, decimals })
    }

    /// Rounds a worked value to so many decimals.
    pub(crate) fn worked(value: f64, decimals: u8, rounding: Rounding) -> Result<Figure, QuantityError> {
        let scaled = rounding.whole(value * scale(decimals));
        let too_long = || QuantityError::TooLong { figure: format!("{value}") };
        if !scaled.is_finite() || scaled.abs() >= 1e15 || usize::from(decimals) > DECIMALS_MOST {
            return Err(too_long());
        }
        Ok(Figure::from_parts(scaled as i64, decimals))
    }

    fn from_parts(mantissa: i64, decimals: u8) -> Figure {
        let width = usize::from(decimals) + 1;
        let mut text = format!("{:0width$}", mantissa.unsigned_abs());
        if decimals > 0 {
            text.insert(text.len() - usize::from(decimals), '.');
        }
        if mantissa < 0 {
            text.insert(0, '-');
        }
        Figure { text, mantissa, decimals }
    }

    pub(crate) fn trimmed(&self) -> Figure {
        let (mut mantissa, mut decimals) = (self.mantissa, self.decimals);
        while decimals > 0 && mantissa % 10 == 0 {
            (mantissa, decimals) = (mantissa / 10, decimals - 1);
        }
        Figure::from_parts(mantissa, decimals)
    }

    pub(crate) fn decimals(&self) -> u8 {
        self.decimals
    }

    pub(crate) fn ratio(&self) -> Option<Ratio> {
        Ratio::new(self.mantissa.into(), 10_i128.pow(self.decimals.into()))
    }

    pub(crate) fn value(&self) -> f64 {
        self.mantissa as f64 / scale(self.decimals)
    }
}

impl fmt::Display for Figure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.text)
    }
}

#[cfg(test)]
mod tests {
    use super::{Figure, Rounding};

    fn worked(value: f64, decimals: u8, rounding: Rounding) -> String {
        Figure::worked(value, decimals, rounding).unwrap().to_string()
    }

    #[test]
    fn rounding_never_jumps_over_an_exact_step() {
        // 0.1 × 3 is 0.30000000000000004 in floating point: the trap this test is about.
        assert_eq!(worked(0.1 * 3.0, 1, Rounding::Up), "0.3");
        assert_eq!(worked(0.3 - 1e-17, 1, Rounding::Down), "0.3");
        assert_eq!(worked(0.300_001, 1, Rounding::Up), "0.4");
        assert_eq!(worked(0.299_999, 1, Rounding::Down), "0.2");
        assert_eq!(worked(-0.25, 1, Rounding::Up), "-0.2");
        assert_eq!(worked(1e-12, 2, Rounding::Up), "0.01", "a trace is not nothing");
    }

    #[test]
    fn worked_figures_keep_their_zeros_until_trimmed() {
        assert_eq!(worked(2.0, 2, Rounding::Nearest), "2.00");
        assert_eq!(worked(-0.05, 2, Rounding::Nearest), "-0.05");
        assert_eq!(Figure::worked(1.5, 3, Rounding::Nearest).unwrap().trimmed().to_string(), "1.5");
        assert!(Figure::worked(f64::NAN, 0, Rounding::Up).is_err());
        assert!(Figure::worked(f64::INFINITY, 0, Rounding::Up).is_err());
        assert!(Figure::worked(1e15, 0, Rounding::Up).is_err());
    }
}
