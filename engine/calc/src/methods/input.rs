//! What a method is given.

use crate::quantity::{Dimension, Quantity, QuantityError, Range, Rounding, Unit};
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
    /// A quantity of any dimension. Its range is in its own unit.
    Any,
    /// A quantity that goes with another input: of its dimension, in its unit.
    Like(&'static str),
    /// How far a reading of another input may be off: of its dimension, and a difference for a temperature.
    Uncertainty(&'static str),
    /// One of these words.
    Word(&'static [&'static str]),
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

/// Beyond this a figure no longer has a digit after its point; the range of an input of any dimension.
const ANY: f64 = 1e12;

impl Input {
    pub(crate) const fn new(
        name: &'static str,
        meaning: &'static str,
        kind: Kind,
        from: Lowest,
        to: f64,
    ) -> Input {
        Input { name, meaning, kind, from, to, presence: Presence::Required }
    }

    /// A required quantity with its range in the unit.
    pub(crate) const fn in_unit(
        name: &'static str,
        meaning: &'static str,
        unit: &'static str,
        from: Lowest,
        to: f64,
    ) -> Input {
        Input::new(name, meaning, Kind::Of(unit), from, to)
    }

    /// A required quantity that a range cannot be given for, because its dimension is open.
    pub(crate) const fn open(name: &'static str, meaning: &'static str, kind: Kind) -> Input {
        Input::new(name, meaning, kind, Lowest::At(-ANY), ANY)
    }

    /// A required word.
    pub(crate) const fn word(
        name: &'static str,
        meaning: &'static str,
        words: &'static [&'static str],
    ) -> Input {
        Input::new(name, meaning, Kind::Word(words), Lowest::At(0.0), 0.0)
    }

    /// The same input with a value for when it is left out.
    pub(crate) const fn or(self, default: &'static str) -> Input {
        Input { presence: Presence::Default(default), ..self }
    }

    /// The same input, which the method does without.
    pub(crate) const fn optional(self) -> Input {
        Input { presence: Presence::Optional, ..self }
    }

    /// The unit of its range and of the working, where the method fixes one.
    ///
    /// # Errors
    /// Never for an input of a listed method.
    pub fn unit(&self) -> Result<Option<Unit>, QuantityError> {
        match self.kind {
            Kind::Of(unit) => Unit::parse(unit).map(Some),
            Kind::Number => Ok(Some(Unit::NUMBER)),
            Kind::Strength => Unit::parse("mg/L").map(Some),
            Kind::Any | Kind::Like(_) | Kind::Uncertainty(_) | Kind::Word(_) => Ok(None),
        }
    }

    /// The figure in the unit of its range.
    pub(crate) fn value_of(&self, quantity: &Quantity, like: Option<Unit>) -> Result<f64, QuantityError> {
        if self.kind == Kind::Strength && quantity.dimension() == Dimension::Fraction {
            return quantity.value_in(Unit::parse("ppm")?);
        }
        let unit = match (self.unit()?, like) {
            (Some(unit), _) => unit,
            (None, Some(like)) if matches!(self.kind, Kind::Uncertainty(_)) => like.of_difference(),
            (None, Some(like)) => like,
            (None, None) => quantity.unit(),
        };
        quantity.value_in(unit)
    }

    pub(crate) fn allows(&self, value: f64) -> bool {
        let above = match self.from {
            Lowest::At(least) => value >= least,
            Lowest::Above(least) => value > least,
        };
        above && value <= self.to
    }

    /// The range as limits for a reading; none for a word and where the dimension is open.
    pub fn limits(&self) -> Option<Range> {
        let unit = self.unit().ok()??;
        let (Lowest::At(least) | Lowest::Above(least)) = self.from;
        let write = |value| Quantity::worked(value, unit, 6, Rounding::Nearest).map(|one| one.trimmed()).ok();
        Range::new(write(least), write(self.to)).ok()
    }

    /// The range in words, such as `1 mm to 100 mm` or `above 0 L/min, at most 1000 L/min`.
    pub fn range(&self) -> String {
        let unit = match self.kind {
            Kind::Of("°") => "°".into(),
            Kind::Of(unit) => format!(" {unit}"),
            Kind::Strength => " mg/L".into(),
            Kind::Number => String::new(),
            Kind::Any => return "any quantity".into(),
            Kind::Like(other) => return format!("a quantity that goes with `{other}`"),
            Kind::Uncertainty(other) => {
                return format!("above zero, in the unit of `{other}` or another of its dimension");
            }
            Kind::Word(words) => return one_of(words),
        };
        match self.from {
            Lowest::At(least) => format!("{least}{unit} to {}{unit}", self.to),
            Lowest::Above(least) => format!("above {least}{unit}, at most {}{unit}", self.to),
        }
    }
}

/// Words as a choice: `good`, `fair` or `poor`.
pub(crate) fn one_of(words: &[&str]) -> String {
    let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
    match quoted.split_last() {
        Some((last, [])) => last.clone(),
        Some((last, before)) => format!("{} or {last}", before.join(", ")),
        None => String::new(),
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
            Kind::Any => f.write_str("quantity"),
            Kind::Like(other) => write!(f, "quantity of the dimension of `{other}`"),
            Kind::Uncertainty(other) => {
                write!(f, "quantity of the dimension of `{other}`, or a difference if that is a temperature")
            }
            Kind::Word(words) => write!(f, "word: {}", one_of(words)),
        }
    }
}
