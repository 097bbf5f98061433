//! Why a method gives no result.

use super::input::Kind;
use crate::quantity::{Dimension, QuantityError};
use std::fmt;

/// Why a method gives no result.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum MethodError {
    /// There is no such method.
    UnknownMethod {
        /// The name asked for.
        name: String,
        /// The nearest name, if one is near.
        nearest: Option<&'static str>,
    },
    /// The method has no such input.
    UnknownInput {
        /// The method.
        method: &'static str,
        /// The input's name as given.
        name: String,
        /// The nearest name, if one is near.
        nearest: Option<&'static str>,
    },
    /// An input is not given and has no default.
    Missing {
        /// The method.
        method: &'static str,
        /// The input.
        input: &'static str,
        /// What it is and its range, in words; empty where the method asks for what it does not declare.
        wanted: String,
    },
    /// An input measures something else.
    WrongKind {
        /// The method.
        method: &'static str,
        /// The input.
        input: &'static str,
        /// The quantity as written.
        quantity: String,
        /// What it measures.
        found: Dimension,
        /// What is needed.
        wanted: Kind,
    },
    /// An input lies where the formula does not hold.
    OutOfRange {
        /// The method.
        method: &'static str,
        /// The input.
        input: &'static str,
        /// The quantity as written.
        quantity: String,
        /// The range in words.
        range: String,
    },
    /// The text given for an input is no figure.
    Unreadable {
        /// The method.
        method: &'static str,
        /// The input.
        input: &'static str,
        /// What is wrong with it.
        because: QuantityError,
        /// The range in words.
        range: String,
    },
    /// The inputs are each in range but do not go together.
    Refused {
        /// The method.
        method: &'static str,
        /// Why, and what to do.
        because: String,
    },
    /// A figure could not be converted or written.
    Quantity(QuantityError),
}

impl From<QuantityError> for MethodError {
    fn from(error: QuantityError) -> MethodError {
        MethodError::Quantity(error)
    }
}

impl fmt::Display for MethodError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let hint = |nearest: &Option<&'static str>| {
            nearest.map_or(String::new(), |nearest| format!("; did you mean `{nearest}`?"))
        };
        match self {
            MethodError::UnknownMethod { name, nearest } => {
                write!(f, "there is no method `{name}`{}", hint(nearest))
            }
            MethodError::UnknownInput { method, name, nearest } => {
                write!(f, "the method `{method}` has no input `{name}`{}", hint(nearest))
            }
            MethodError::Missing { method, input, wanted } => {
                write!(f, "the method `{method}` needs `{input}`; give it")?;
                if wanted.is_empty() { Ok(()) } else { write!(f, ", the {wanted}") }
            }
            MethodError::WrongKind { method, input, quantity, found, wanted } => write!(
                f,
                "`{input}` of the method `{method}` is given as `{quantity}`, a {found}; it has to be a {wanted}"
            ),
            MethodError::OutOfRange { method, input, quantity, range } => write!(
                f,
                "`{input}` of the method `{method}` is `{quantity}`; the method holds for {range} only"
            ),
            MethodError::Unreadable { method, input, because, range } => {
                write!(f, "`{input}` of the method `{method}` cannot be read: {because}; it takes {range}")
            }
            MethodError::Refused { method, because } => write!(f, "the method `{method}` refuses: {because}"),
            MethodError::Quantity(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for MethodError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        match self {
            MethodError::Quantity(error) | MethodError::Unreadable { because: error, .. } => Some(error),
            MethodError::UnknownMethod { .. }
            | MethodError::UnknownInput { .. }
            | MethodError::Missing { .. }
            | MethodError::WrongKind { .. }
            | MethodError::OutOfRange { .. }
            | MethodError::Refused { .. } => None,
        }
    }
}
