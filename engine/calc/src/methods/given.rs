//! Inputs that passed their checks.

use super::error::MethodError;
use super::input::{Input, Kind, Presence};
use super::value::Value;
use crate::nearest;
use crate::quantity::{Dimension, Quantity, QuantityError, Unit};
use std::collections::BTreeMap;

/// The inputs of one method, complete and in range. Values are in the unit of each input's range.
#[derive(Debug)]
pub(crate) struct Given {
    method: &'static str,
    entries: Vec<Entry>,
}

#[derive(Debug)]
struct Entry {
    name: &'static str,
    value: Value,
    /// In the unit of the input's range; zero for a word.
    size: f64,
}

impl Given {
    /// Checks what the inputs of a method, all of them declared, are given.
    pub(crate) fn check(
        method: &'static str,
        declared: &'static [Input],
        inputs: &BTreeMap<String, Value>,
    ) -> Result<Given, MethodError> {
        for name in inputs.keys() {
            find_input(method, declared, name)?;
        }
        let mut given = Given { method, entries: Vec::new() };
        for input in declared {
            let value = match (inputs.get(input.name), input.presence) {
                (Some(value), _) => value.clone(),
                (None, Presence::Default(text)) => read_input(method, input, text)?,
                (None, Presence::Optional) => continue,
                (None, Presence::Required) => {
                    let wanted = format!("{}: {}", input.meaning, input.range());
                    return Err(MethodError::Missing { method, input: input.name, wanted });
                }
            };
            let size = given.size(input, &value)?;
            given.entries.push(Entry { name: input.name, value, size });
        }
        Ok(given)
    }

    /// Makes sure that one value lies in its input's range, before the others are known.
    pub(crate) fn check_alone(
        method: &'static str,
        input: &'static Input,
        value: &Value,
    ) -> Result<(), MethodError> {
        Given { method, entries: Vec::new() }.size(input, value).map(|_| ())
    }

    /// The value in the unit of the input's range, if it lies in that range.
    fn size(&self, input: &'static Input, value: &Value) -> Result<f64, MethodError> {
        let quantity = match (value, input.kind) {
            (Value::Word(word), Kind::Word(words)) => {
                return if words.contains(&word.as_str()) {
                    Ok(0.0)
                } else {
                    Err(self.out_of_range(input, word.clone()))
                };
            }
            (Value::Quantity(quantity), Kind::Word(_)) => {
                return Err(self.out_of_range(input, quantity.to_string()));
            }
            (Value::Word(word), _) => {
                return Err(MethodError::Quantity(QuantityError::NoFigure { text: word.clone() }));
            }
            (Value::Quantity(quantity), _) => quantity,
        };
        let like = match input.kind {
            Kind::Like(other) | Kind::Uncertainty(other) => Some(self.quantity(other)?.unit()),
            _ => None,
        };
        let size = input.value_of(quantity, like).map_err(|error| match error {
            QuantityError::Dimension { .. } => self.wrong_kind(input, quantity),
            other => MethodError::Quantity(other),
        })?;
        if !input.allows(size) {
            return Err(self.out_of_range(input, quantity.to_string()));
        }
        // `3 tablets` is a count too, but only a plain number says how many times something is done.
        if quantity.dimension() == Dimension::Count
            && input.unit()?.is_some_and(|unit| unit != quantity.unit())
        {
            return Err(self.wrong_kind(input, quantity));
        }
        Ok(size)
    }

    fn wrong_kind(&self, input: &'static Input, quantity: &Quantity) -> MethodError {
        MethodError::WrongKind {
            method: self.method,
            input: input.name,
            quantity: quantity.to_string(),
            found: quantity.dimension(),
            wanted: input.kind,
        }
    }

    fn out_of_range(&self, input: &'static Input, quantity: String) -> MethodError {
        MethodError::OutOfRange { method: self.method, input: input.name, quantity, range: input.range() }
    }

    /// The value of an input, in the unit of its range.
    pub(crate) fn value(&self, name: &'static str) -> Result<f64, MethodError> {
        self.entry(name).map(|entry| entry.size)
    }

    /// An input as it was written.
    pub(crate) fn quantity(&self, name: &'static str) -> Result<&Quantity, MethodError> {
        self.entry(name)?.value.quantity().ok_or_else(|| self.undeclared(name))
    }

    /// A word.
    pub(crate) fn word(&self, name: &'static str) -> Result<&str, MethodError> {
        match &self.entry(name)?.value {
            Value::Word(word) => Ok(word),
            Value::Quantity(_) => Err(self.undeclared(name)),
        }
    }

    /// An optional figure, as written and in the unit of its range.
    pub(crate) fn optional(&self, name: &'static str) -> Option<(&Quantity, f64)> {
        let entry = self.entries.iter().find(|entry| entry.name == name)?;
        entry.value.quantity().map(|quantity| (quantity, entry.size))
    }

    pub(crate) fn listed(&self) -> Vec<(&'static str, Value)> {
        self.entries.iter().map(|entry| (entry.name, entry.value.clone())).collect()
    }

    /// The inputs are each in range but do not go together.
    pub(crate) fn refuse(&self, because: impl Into<String>) -> MethodError {
        MethodError::Refused { method: self.method, because: because.into() }
    }

    fn entry(&self, name: &'static str) -> Result<&Entry, MethodError> {
        let found = self.entries.iter().find(|entry| entry.name == name);
        found.ok_or_else(|| self.undeclared(name))
    }

    /// The method asks for an input that it does not declare, or not as this kind.
    fn undeclared(&self, input: &'static str) -> MethodError {
        MethodError::Missing { method: self.method, input, wanted: String::new() }
    }
}

/// An input of a method, by its name among those declared.
pub(crate) fn find_input(
    method: &'static str,
    declared: &'static [Input],
    name: &str,
) -> Result<&'static Input, MethodError> {
    declared.iter().find(|input| input.name == name).ok_or_else(|| MethodError::UnknownInput {
        method,
        name: name.into(),
        nearest: nearest(name, declared.iter().map(|input| input.name)),
    })
}

/// Reads what an input of a method is given as a text.
pub(crate) fn read_input(
    method: &'static str,
    input: &'static Input,
    text: &str,
) -> Result<Value, MethodError> {
    let read = match input.kind {
        Kind::Word(words) if words.contains(&text.trim()) => return Ok(Value::Word(text.trim().into())),
        Kind::Word(_) => {
            return Err(MethodError::OutOfRange {
                method,
                input: input.name,
                quantity: text.trim().into(),
                range: input.range(),
            });
        }
        Kind::Number => Quantity::number(text),
        _ => Quantity::parse(text),
    };
    read.map(Value::Quantity).map_err(|because| MethodError::Unreadable {
        method,
        input: input.name,
        because,
        range: input.range(),
    })
}

impl Unit {
    /// The unit of a difference of two figures in this unit.
    pub(crate) fn of_difference(self) -> Unit {
        let symbol = match self.symbol() {
            "°C" => "Δ°C",
            "°F" => "Δ°F",
            other => other,
        };
        Unit::parse(symbol).unwrap_or(self)
    }
}
