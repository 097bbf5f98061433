//! What a method is given.

use crate::quantity::{Dimension, Quantity, QuantityError, Unit};
use std::fmt;

/// One input of a method.
#[derive(Debug)]
pub struct Input {
    /// The name by which a document gives it.
    pub name: &'static str,
    /// What it is, in words.
    pub meaning: &'static str,
    /// What it measures, and the unit of its range.
    pub kind: Kind,
    /// The lower end of the range in which the method holds.
    pub from: Lowest,
    /// The upper end, included.
    pub to: f64,
    /// Whether it may be left out.
    pub presence: Presence,
}

/// What an input measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Kind {
    /// A quantity of the dimension of this unit, in which its range is given.
    Of(&'static str),
    /// A plain number, written without a unit.
    Number,
    /// The strength of a mix: a mass concentration, or a fraction read as mass by volume in a liquid as dense as
    /// water, so that 1 % is 10 000 mg/L (source: Red Cross items catalogue, sodium dichloroisocyanurate page,
    /// read). Its range is in mg/L.
    Strength,
}

/// The lower end of a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lowest {
    /// This figure and more.
    At(f64),
    /// More than this figure.
    Above(f64),
}

/// Whether an input may be left out.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Presence {
    /// It must be given.
    Required,
    /// It has this value when it is left out.
    Default(&'static str),
    /// The method does without it.
    Optional,
}

impl Input {
    /// The unit of its range and of the working.
    ///
    /// # Errors
    /// Never for an input of a listed method.
    pub fn unit(&self) -> Result<Unit, QuantityError> {
        match self.kind {
            Kind::Of(unit) => Unit::parse(unit),
            Kind::Number => Ok(Unit::NUMBER),
            Kind::Strength => Unit::parse("mg/L"),
        }
    }

    /// The figure in the unit of its range.
    pub(crate) fn value_of(&self, quantity: &Quantity) -> Result<f64, QuantityError> {
        let unit = self.unit()?;
        if self.kind == Kind::Strength && quantity.dimension() == Dimension::Fraction {
            return quantity.value_in(Unit::parse("ppm")?);
        }
        quantity.value_in(unit)
    }

    pub(crate) fn allows(&self, value: f64) -> bool {
        let above = match self.from {
            Lowest::At(least) => value >= least,
            Lowest::Above(least) => value > least,
        };
        above && value <= self.to
    }

    /// The range in words, such as `1 mm to 100 mm` or `above 0 L/min, at most 1000 L/min`.
    pub fn range(&self) -> String {
        let unit = match self.kind {
            Kind::Of(unit) => format!(" {unit}"),
            Kind::Number => String::new(),
            Kind::Strength => " mg/L".into(),
        };
        match self.from {
            Lowest::At(least) => format!("{least}{unit} to {}{unit}", self.to),
            Lowest::Above(least) => format!("above {least}{unit}, at most {}{unit}", self.to),
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Kind::Of(unit) => match Unit::parse(unit) {
                Ok(unit) => write!(f, "{}", unit.dimension()),
                Err(_) => f.write_str(unit),
            },
            Kind::Number => f.write_str("plain number"),
            Kind::Strength => f.write_str("strength, such as `500 mg/L` or `4 %`"),
        }
    }
}
