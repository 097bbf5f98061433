//! What a method is, and what it gives.

use super::error::MethodError;
use super::given::{Given, find_input, read_input};
use super::input::Input;
use super::source::Basis;
use super::value::Value;
use crate::quantity::Quantity;
use std::collections::BTreeMap;

/// A calculator.
#[derive(Debug)]
pub struct Method {
    /// The name by which a document asks for it.
    pub name: &'static str,
    /// What it finds, in a sentence.
    pub purpose: &'static str,
    /// The formula, in the names of the inputs.
    pub formula: &'static str,
    /// What it is given, each with the range in which the formula holds.
    pub inputs: &'static [Input],
    /// Which way the result is rounded, and why.
    pub rounding: &'static str,
    /// Where the formula comes from and when it holds.
    pub source: Basis,
    /// Inputs that go together, to show how it is asked for.
    pub example: &'static [(&'static str, &'static str)],
    pub(crate) figure: fn(&Given) -> Result<Answer, MethodError>,
}

/// A method's result with everything a card needs to print the working.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// The method's name.
    pub method: &'static str,
    /// Every input used, defaults included, in the method's order.
    pub inputs: Vec<(&'static str, Value)>,
    /// The formula.
    pub formula: &'static str,
    /// The working, a line a step, with the figures filled in. The last line ends in the result.
    pub lines: Vec<String>,
    /// The result, rounded as the method says.
    pub result: Quantity,
    /// Further results that belong with it, by name.
    pub also: Vec<(&'static str, Quantity)>,
    /// Which way the result is rounded, and why.
    pub rounding: &'static str,
    /// Where the formula comes from and when it holds.
    pub source: Basis,
}

/// What a method's own file works out; the rest of [`Worked`] is the same for all.
#[derive(Debug)]
pub(crate) struct Answer {
    pub(crate) lines: Vec<String>,
    pub(crate) result: Quantity,
    pub(crate) also: Vec<(&'static str, Quantity)>,
}

impl Method {
    /// Checks the inputs and works the result out.
    ///
    /// # Errors
    /// [`MethodError`] names the input that is unknown, missing, of another dimension or outside its range, or
    /// says why these inputs do not go together. No result is given outside the ranges.
    pub fn work(&'static self, inputs: &BTreeMap<String, Value>) -> Result<Worked, MethodError> {
        let given = Given::check(self.name, self.inputs, inputs)?;
        let answer = (self.figure)(&given)?;
        Ok(Worked {
            method: self.name,
            inputs: given.listed(),
            formula: self.formula,
            lines: answer.lines,
            result: answer.result,
            also: answer.also,
            rounding: self.rounding,
            source: self.source,
        })
    }

    /// An input by name.
    ///
    /// # Errors
    /// [`MethodError::UnknownInput`] with the nearest name.
    pub fn input(&'static self, name: &str) -> Result<&'static Input, MethodError> {
        find_input(self.name, self.inputs, name)
    }

    /// Reads what an input is given as a text, and makes sure that it lies in the input's range: for a figure that comes
    /// before the others.
    ///
    /// # Errors
    /// As [`read`](Method::read), and [`MethodError::WrongKind`] and [`MethodError::OutOfRange`].
    pub fn read_in_range(&'static self, name: &str, text: &str) -> Result<Value, MethodError> {
        let (input, value) = (self.input(name)?, self.read(name, text)?);
        Given::check_alone(self.name, input, &value)?;
        Ok(value)
    }

    /// Reads what an input is given as a text: a figure with its unit, a plain number, or a word, as it needs.
    ///
    /// # Errors
    /// [`MethodError::UnknownInput`], [`MethodError::Unreadable`], and [`MethodError::OutOfRange`] for a word that
    /// the input does not take.
    pub fn read(&'static self, name: &str, text: &str) -> Result<Value, MethodError> {
        read_input(self.name, self.input(name)?, text)
    }
}
