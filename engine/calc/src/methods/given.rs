//! Inputs that passed their checks.

use super::Method;
use super::error::MethodError;
use super::input::Presence;
use crate::nearest;
use crate::quantity::{Dimension, Quantity, QuantityError};
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
    quantity: Quantity,
    value: f64,
}

impl Given {
    pub(crate) fn check(
        method: &'static Method,
        inputs: &BTreeMap<String, Quantity>,
    ) -> Result<Given, MethodError> {
        for name in inputs.keys() {
            if !method.inputs.iter().any(|input| input.name == name) {
                return Err(MethodError::UnknownInput {
                    method: method.name,
                    name: name.clone(),
                    nearest: nearest(name, method.inputs.iter().map(|input| input.name)),
                });
            }
        }
        let mut entries = Vec::new();
        for input in method.inputs {
            let quantity = match (inputs.get(input.name), input.presence) {
                (Some(quantity), _) => quantity.clone(),
                (None, Presence::Default(text)) => Quantity::parse(text)?,
                (None, Presence::Optional) => continue,
                (None, Presence::Required) => {
                    return Err(MethodError::Missing { method: method.name, input: input.name });
                }
            };
            let value = input.value_of(&quantity).map_err(|error| match error {
                QuantityError::Dimension { quantity, found, .. } => MethodError::WrongKind {
                    method: method.name,
                    input: input.name,
                    quantity,
                    found,
                    wanted: input.kind,
                },
                other => MethodError::Quantity(other),
            })?;
            if !input.allows(value) {
                return Err(MethodError::OutOfRange {
                    method: method.name,
                    input: input.name,
                    quantity: quantity.to_string(),
                    range: input.range(),
                });
            }
            // `3 tablets` is a count too, but only a plain number says how many times something is done.
            if quantity.dimension() == Dimension::Count && quantity.unit() != input.unit()? {
                return Err(MethodError::WrongKind {
                    method: method.name,
                    input: input.name,
                    quantity: quantity.to_string(),
                    found: Dimension::Count,
                    wanted: input.kind,
                });
            }
            entries.push(Entry { name: input.name, quantity, value });
        }
        Ok(Given { method: method.name, entries })
    }

    /// The value of an input, in the unit of its range.
    pub(crate) fn value(&self, name: &'static str) -> Result<f64, MethodError> {
        self.find(name)
            .map(|entry| entry.value)
            .ok_or(MethodError::Missing { method: self.method, input: name })
    }

    /// An input as it was written.
    pub(crate) fn quantity(&self, name: &'static str) -> Result<&Quantity, MethodError> {
        self.find(name)
            .map(|entry| &entry.quantity)
            .ok_or(MethodError::Missing { method: self.method, input: name })
    }

    /// An optional input, as written and in the unit of its range.
    pub(crate) fn optional(&self, name: &'static str) -> Option<(&Quantity, f64)> {
        self.find(name).map(|entry| (&entry.quantity, entry.value))
    }

    pub(crate) fn listed(&self) -> Vec<(&'static str, Quantity)> {
        self.entries.iter().map(|entry| (entry.name, entry.quantity.clone())).collect()
    }

    /// The inputs are each in range but do not go together.
    pub(crate) fn refuse(&self, because: String) -> MethodError {
        MethodError::Refused { method: self.method, because }
    }

    fn find(&self, name: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.name == name)
    }
}
