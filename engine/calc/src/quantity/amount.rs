//! A figure with its unit.

use super::dimension::Dimension;
use super::error::QuantityError;
use super::figure::{Figure, Rounding};
use super::ratio::Ratio;
use super::unit::Unit;
use std::cmp::Ordering;
use std::fmt;

/// A decimal figure with a unit.
///
/// It is shown as it was written, so `3.00 mm` keeps its zeros and says how finely someone means to measure.
/// `==` compares the writing; [`compare`](Quantity::compare) compares the amounts. Comparison and unit
/// factors are exact fractions.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quantity {
    figure: Figure,
    unit: Unit,
}

impl Quantity {
    /// Reads a figure and its unit, such as `45 s`, `0.30 L/min`, `72 °F` or `15 lbf·ft`.
    ///
    /// The figure is digits with an optional sign and decimal point, at most 15 significant digits and 12
    /// decimals: no exponent, no comma, no fraction. The space before the unit may be left out.
    ///
    /// # Errors
    /// Every variant of [`QuantityError`] up to [`QuantityError::Ambiguous`] says one thing that can be wrong.
    pub fn parse(text: &str) -> Result<Quantity, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        let in_figure = |(at, letter): (usize, char)| {
            letter.is_ascii_digit() || letter == '.' || at == 0 && is_minus(letter)
        };
        let end = text.char_indices().find(|&place| !in_figure(place)).map_or(text.len(), |(at, _)| at);
        let (figure, unit) = text.split_at(end);
        if unit.starts_with(',') {
            return Err(QuantityError::Comma { text: text.into() });
        }
        if figure.is_empty() || is_exponent(unit) {
            return Err(QuantityError::NoFigure { text: text.into() });
        }
        let figure = Figure::parse(figure).map_err(|error| match error {
            QuantityError::NoFigure { .. } => QuantityError::NoFigure { text: text.into() },
            other => other,
        })?;
        if unit.trim().is_empty() {
            return Err(QuantityError::NoUnit { figure: figure.to_string() });
        }
        Ok(Quantity { figure, unit: Unit::parse(unit)? })
    }

    /// How the unit of a text was read, if it is a word with more than one meaning.
    pub fn how_read(text: &str) -> Option<String> {
        Unit::how_read(
            text.trim().trim_start_matches(|letter: char| {
                letter.is_ascii_digit() || letter == '.' || is_minus(letter)
            }),
        )
    }

    /// Reads a plain number for an input that counts, such as the volumes of a purge: `3`.
    ///
    /// Kept apart from [`parse`](Quantity::parse), so that no figure loses its unit unnoticed.
    ///
    /// # Errors
    /// [`QuantityError::Empty`], [`QuantityError::NoFigure`] or [`QuantityError::TooLong`].
    pub fn number(text: &str) -> Result<Quantity, QuantityError> {
        let text = text.trim();
        if text.is_empty() {
            return Err(QuantityError::Empty);
        }
        Ok(Quantity { figure: Figure::parse(text)?, unit: Unit::NUMBER })
    }

    /// Writes a worked value with so many decimals, rounded as told.
    ///
    /// A value within one part in 10⁹ of a whole last digit is taken to be on it, so that rounding up does not
    /// add a step for the noise of floating point.
    ///
    /// # Errors
    /// [`QuantityError::TooLong`] when the value is not finite or needs more than 15 digits or 12 decimals.
    pub fn worked(
        value: f64,
        unit: Unit,
        decimals: u8,
        rounding: Rounding,
    ) -> Result<Quantity, QuantityError> {
        Ok(Quantity { figure: Figure::worked(value, decimals, rounding)?, unit })
    }

    /// The figure in its own unit.
    pub fn value(&self) -> f64 {
        self.figure.value()
    }

    /// The unit it was written in.
    pub fn unit(&self) -> Unit {
        self.unit
    }

    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension()
    }

    /// How many digits were written after the decimal point.
    pub fn decimals(&self) -> u8 {
        self.figure.decimals()
    }

    /// The figure in another unit of the same dimension, from exact factors.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when the unit measures something else, [`QuantityError::TooLong`] when the
    /// exact fraction no longer fits.
    pub fn value_in(&self, unit: Unit) -> Result<f64, QuantityError> {
        self.expect_dimension(unit.dimension())?;
        if unit == self.unit {
            return Ok(self.value());
        }
        let there = unit.of_base(self.base()?).ok_or_else(|| self.too_long())?;
        Ok(there.to_f64())
    }

    /// Compares two amounts of one dimension, whatever their units.
    ///
    /// There is no `Ord`, because 3 mm is neither more nor less than 3 s.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when they measure different things.
    pub fn compare(&self, other: &Quantity) -> Result<Ordering, QuantityError> {
        other.expect_dimension(self.dimension())?;
        Ok(self.base()?.cmp(&other.base()?))
    }

    /// The same figure without zeros at the end of its decimals.
    pub fn trimmed(&self) -> Quantity {
        Quantity { figure: self.figure.trimmed(), unit: self.unit }
    }

    /// Checks what it measures.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when it measures something else.
    pub fn expect_dimension(&self, wanted: Dimension) -> Result<(), QuantityError> {
        if self.dimension() == wanted {
            return Ok(());
        }
        Err(QuantityError::Dimension { quantity: self.to_string(), found: self.dimension(), wanted })
    }

    pub(super) fn base(&self) -> Result<Ratio, QuantityError> {
        self.figure.ratio().and_then(|figure| self.unit.to_base(figure)).ok_or_else(|| self.too_long())
    }

    fn too_long(&self) -> QuantityError {
        QuantityError::TooLong { figure: self.to_string() }
    }
}

impl fmt::Display for Quantity {
    /// The figure as written, a space, and the unit's symbol. Only the degree of angle follows without a space,
    /// and one of a count is singular.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.unit.symbol() {
            "" => write!(f, "{}", self.figure),
            "°" => write!(f, "{}°", self.figure),
            symbol if self.dimension() == Dimension::Count && self.figure.to_string() == "1" => {
                write!(f, "1 {}", self.unit.spellings().first().unwrap_or(&symbol))
            }
            symbol => write!(f, "{} {symbol}", self.figure),
        }
    }
}

fn is_minus(letter: char) -> bool {
    matches!(letter, '-' | '\u{2212}')
}

/// `e3` or `E-3` directly after the digits: an exponent, not a unit.
fn is_exponent(unit: &str) -> bool {
    unit.strip_prefix(['e', 'E']).is_some_and(|rest| {
        rest.starts_with(|next: char| next.is_ascii_digit() || is_minus(next) || next == '+')
    })
}
