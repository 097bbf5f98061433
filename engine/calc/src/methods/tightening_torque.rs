//! The torque that clamps with a force.

use super::bolt::{BASIS, DIAMETER, NUT_FACTOR, SCATTER};
use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "tightening-torque",
    purpose: "The torque that clamps with a force, and how far the force may then be off.",
    formula: "torque = nut_factor × diameter × force",
    inputs: &[
        NUT_FACTOR,
        DIAMETER,
        Input::in_unit("force", "force with which the bolt is to clamp", "N", Lowest::At(1.0), 10_000_000.0),
        SCATTER,
    ],
    rounding: "The torque and the least force are rounded down and the greatest force up, to three digits: too \
               much torque damages the joint.",
    source: BASIS,
    example: &[("nut_factor", "0.20"), ("diameter", "12 mm"), ("force", "34.2 kN")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (kilonewton, newton_metre) = (Unit::parse("kN")?, Unit::parse("N·m")?);
    let (force, spread) = (given.value("force")?, given.value("scatter")? / 100.0);
    let torque = given.value("nut_factor")? * given.value("diameter")? / 1000.0 * force;
    let result = digits(torque, 3, newton_metre, Rounding::Down)?;
    let least = digits(force / (1.0 + spread) / 1000.0, 3, kilonewton, Rounding::Down)?;
    let greatest = digits(force / (1.0 - spread) / 1000.0, 3, kilonewton, Rounding::Up)?;
    let lines = vec![
        format!(
            "torque = {} × {} × {} = {result}",
            given.quantity("nut_factor")?,
            given.quantity("diameter")?,
            given.quantity("force")?
        ),
        format!("with K off by {} the force is {least} to {greatest}", given.quantity("scatter")?),
    ];
    Ok(Answer { lines, result, also: vec![("least_force", least), ("greatest_force", greatest)] })
}
