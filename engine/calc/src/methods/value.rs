//! What an input is given.

use crate::quantity::Quantity;
use std::fmt;

/// What an input is given: a figure, or one of the words it takes.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Value {
    /// A figure with its unit, or a plain number.
    Quantity(Quantity),
    /// A word such as `fair`.
    Word(String),
}

impl Value {
    /// The figure, if it is one.
    pub fn quantity(&self) -> Option<&Quantity> {
        match self {
            Value::Quantity(quantity) => Some(quantity),
            Value::Word(_) => None,
        }
    }
}

impl From<Quantity> for Value {
    fn from(quantity: Quantity) -> Value {
        Value::Quantity(quantity)
    }
}

impl fmt::Display for Value {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Value::Quantity(quantity) => quantity.fmt(f),
            Value::Word(word) => f.write_str(word),
        }
    }
}
