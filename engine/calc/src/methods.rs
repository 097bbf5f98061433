//! Methods that work a figure out: each one a file, with its formula, validity ranges, rounding and source.
//!
//! To add one, write its file with a `pub(crate) static METHOD` and list it in `METHODS` below.

mod application_rate;
mod bolt;
mod charge_time;
mod clamp_force;
mod coverage;
mod dilution_dose;
mod dilution_liquid;
mod dilution_powder;
mod dilution_ratio;
mod dilution_tablets;
mod error;
mod given;
mod guard_band;
mod input;
mod lifting;
mod line_purge;
mod mix_strength;
mod orifice_flow;
mod purge_mixed;
mod rest_voltage;
mod rounded;
mod source;
mod static_discharge;
mod stored_energy;
mod strength;
mod tightening_torque;
mod torque_stage;
mod torque_unit;
mod value;
mod walking_speed;

pub use error::MethodError;
pub use input::{Input, Kind, Lowest, Presence};
pub use source::{Basis, Mark, Source, SourceKind};
pub use value::Value;

use crate::nearest;
use crate::quantity::{Duration, Quantity, QuantityError};
use given::Given;
use std::collections::BTreeMap;

static METHODS: [&Method; 22] = [
    &line_purge::METHOD,
    &purge_mixed::METHOD,
    &dilution_liquid::METHOD,
    &dilution_tablets::METHOD,
    &dilution_powder::METHOD,
    &dilution_ratio::METHOD,
    &dilution_dose::METHOD,
    &mix_strength::METHOD,
    &coverage::METHOD,
    &application_rate::METHOD,
    &walking_speed::METHOD,
    &charge_time::METHOD,
    &rest_voltage::METHOD,
    &lifting::METHOD,
    &static_discharge::METHOD,
    &stored_energy::METHOD,
    &torque_unit::METHOD,
    &torque_stage::METHOD,
    &tightening_torque::METHOD,
    &clamp_force::METHOD,
    &guard_band::METHOD,
    &orifice_flow::METHOD,
];

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

/// All methods, in a fixed order.
pub fn methods() -> &'static [&'static Method] {
    &METHODS
}

/// Finds a method by name.
///
/// # Errors
/// [`MethodError::UnknownMethod`] with the nearest name.
pub fn method(name: &str) -> Result<&'static Method, MethodError> {
    METHODS.iter().copied().find(|method| method.name == name).ok_or_else(|| MethodError::UnknownMethod {
        name: name.into(),
        nearest: nearest(name, METHODS.iter().map(|method| method.name)),
    })
}

impl Method {
    /// Checks the inputs and works the result out.
    ///
    /// # Errors
    /// [`MethodError`] names the input that is unknown, missing, of another dimension or outside its range, or
    /// says why these inputs do not go together. No result is given outside the ranges.
    pub fn work(&'static self, inputs: &BTreeMap<String, Value>) -> Result<Worked, MethodError> {
        let given = Given::check(self, inputs)?;
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
}

impl Worked {
    /// The result as a time to wait.
    ///
    /// # Errors
    /// [`QuantityError::Dimension`] when the method works out something else.
    pub fn duration(&self) -> Result<Duration, QuantityError> {
        Duration::from_quantity(&self.result)
    }
}

#[cfg(test)]
mod cautious;
#[cfg(test)]
mod published;
#[cfg(test)]
mod refusals;
#[cfg(test)]
mod tests;
