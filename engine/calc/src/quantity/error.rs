//! What can be wrong with a quantity.

use super::dimension::Dimension;
use std::fmt;

/// Why a text is no quantity, or two quantities do not go together.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum QuantityError {
    /// There is nothing to read.
    Empty,
    /// A figure stands alone.
    NoUnit {
        /// The figure.
        figure: String,
    },
    /// The text does not begin with a decimal figure: a word, an exponent, NaN, infinity.
    NoFigure {
        /// The whole text.
        text: String,
    },
    /// The figure has a comma.
    Comma {
        /// The whole text.
        text: String,
    },
    /// More than 15 significant digits or 12 decimals, so the figure cannot be kept exactly.
    TooLong {
        /// The figure.
        figure: String,
    },
    /// The unit is not in the table.
    UnknownUnit {
        /// The unit as written.
        unit: String,
        /// The nearest known spelling, if one is near.
        nearest: Option<&'static str>,
    },
    /// The unit means different things to different readers.
    Ambiguous {
        /// The unit as written.
        unit: String,
        /// What to write instead.
        choices: &'static [&'static str],
    },
    /// A quantity of another dimension was needed.
    Dimension {
        /// The quantity as written.
        quantity: String,
        /// What it measures.
        found: Dimension,
        /// What it should measure.
        wanted: Dimension,
    },
    /// A time that is negative or has parts of a millisecond.
    NotADuration {
        /// The quantity as written.
        quantity: String,
    },
    /// A range without any limit.
    NoLimits,
    /// A range whose lower limit is above its upper limit.
    LimitsCrossed {
        /// The lower limit.
        at_least: String,
        /// The upper limit.
        at_most: String,
    },
    /// An uncertainty below zero.
    NegativeUncertainty {
        /// The uncertainty.
        uncertainty: String,
    },
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            QuantityError::Empty => {
                f.write_str("there is no figure here; write a figure and its unit, such as `45 s`")
            }
            QuantityError::NoUnit { figure } => {
                write!(f, "`{figure}` has no unit; write one after the figure, such as `{figure} mm`")
            }
            QuantityError::NoFigure { text } => write!(
                f,
                "`{text}` does not begin with a figure; write digits with a decimal point, \
                 then the unit, such as `0.4 mm`"
            ),
            QuantityError::Comma { text } => {
                write!(f, "`{text}` has a comma; write a decimal point, and no separator between thousands")
            }
            QuantityError::TooLong { figure } => write!(
                f,
                "`{figure}` has too many digits to be kept exactly; write at most 15 digits and 12 decimals"
            ),
            QuantityError::UnknownUnit { unit, nearest } => {
                write!(f, "`{unit}` is not a known unit")?;
                match nearest {
                    Some(nearest) => write!(f, "; did you mean `{nearest}`?"),
                    None => f.write_str("; write one from the table of units"),
                }
            }
            QuantityError::Ambiguous { unit, choices } => {
                write!(f, "`{unit}` can mean more than one unit; write ")?;
                for (index, choice) in choices.iter().enumerate() {
                    let before = match index {
                        0 => "",
                        _ if index + 1 == choices.len() => " or ",
                        _ => ", ",
                    };
                    write!(f, "{before}`{choice}`")?;
                }
                Ok(())
            }
            QuantityError::Dimension { quantity, found, wanted } => {
                write!(f, "`{quantity}` is a {found}; a {wanted} is needed here")
            }
            QuantityError::NotADuration { quantity } => {
                write!(f, "`{quantity}` is no time to wait; write zero or more, in whole milliseconds")
            }
            QuantityError::NoLimits => {
                f.write_str("the range has no limits; write `at_least`, `at_most` or both")
            }
            QuantityError::LimitsCrossed { at_least, at_most } => write!(
                f,
                "no reading can be at least `{at_least}` and at most `{at_most}`; the lower limit comes first"
            ),
            QuantityError::NegativeUncertainty { uncertainty } => {
                write!(f, "the uncertainty `{uncertainty}` is below zero; write zero or more")
            }
        }
    }
}

impl std::error::Error for QuantityError {}
