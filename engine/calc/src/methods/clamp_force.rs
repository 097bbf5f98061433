//! The force that a torque clamps with.

use super::bolt::{BASIS, DIAMETER, NUT_FACTOR, SCATTER};
use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::torque_unit::TORQUE_MOST;
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "clamp-force",
    purpose: "The least force that a torque surely clamps with, and the greatest that it may.",
    formula: "force = torque ÷ (nut_factor × diameter), with nut_factor off by the scatter",
    inputs: &[
        NUT_FACTOR,
        DIAMETER,
        Input::in_unit("torque", "torque at which the wrench clicks", "N·m", Lowest::Above(0.0), TORQUE_MOST),
        SCATTER,
    ],
    rounding: "The result is the least force, rounded down; the greatest is rounded up; three digits each.",
    source: BASIS,
    example: &[("nut_factor", "0.20"), ("diameter", "10 mm"), ("torque", "50 N·m")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let kilonewton = Unit::parse("kN")?;
    let spread = given.value("scatter")? / 100.0;
    let force = given.value("torque")? / (given.value("nut_factor")? * given.value("diameter")?);
    let result = digits(force / (1.0 + spread), 3, kilonewton, Rounding::Down)?;
    let nominal = digits(force, 3, kilonewton, Rounding::Nearest)?;
    let greatest = digits(force / (1.0 - spread), 3, kilonewton, Rounding::Up)?;
    let lines = vec![
        format!(
            "force = {} ÷ ({} × {}) = {nominal}",
            given.quantity("torque")?,
            given.quantity("nut_factor")?,
            given.quantity("diameter")?
        ),
        format!("with K off by {} at least {result}, at most {greatest}", given.quantity("scatter")?),
    ];
    Ok(Answer { lines, result, also: vec![("nominal", nominal), ("greatest", greatest)] })
}
