//! How much liquid a walking sprayer leaves on an area.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::{AgencyTable, Derived};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};

pub(crate) const FLOW: Input =
    Input::in_unit("flow", "flow out of the tip or tips", "L/min", Lowest::Above(0.0), 1000.0);
pub(crate) const SWATH: Input = Input::in_unit(
    "swath",
    "width covered in one pass; for tips in a row, the whole row",
    "m",
    Lowest::At(0.01),
    100.0,
);

pub(crate) static METHOD: Method = Method {
    name: "application-rate",
    purpose: "How much liquid a sprayer leaves on an area at a speed.",
    formula: "rate = flow ÷ (speed × swath)",
    inputs: &[FLOW, Input::in_unit("speed", "speed over the area", "m/s", Lowest::At(0.01), 20.0), SWATH],
    rounding: "Rounded down to four digits, so that a surface is never taken to be wetter than it is.",
    source: Basis {
        sources: &[
            Source::new(
                AgencyTable(Mark::Read),
                "gal/acre = 5940 × gpm ÷ (mph × in): University of Florida, publication WG013",
            ),
            Source::new(Derived, "5940 = 43 560 × 12 ÷ 88 exactly"),
        ],
        holds: "",
    },
    example: &[("flow", "0.30 L/min"), ("speed", "0.3 m/s"), ("swath", "0.4 m")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let metres_squared = given.value("speed")? * given.value("swath")? * 60.0;
    let rate = given.value("flow")? * 1000.0 / metres_squared;
    let result = digits(rate, 4, Unit::parse("mL/m²")?, Rounding::Down)?;
    let line = format!(
        "rate = {} ÷ ({} × {}) = {result}",
        given.quantity("flow")?,
        given.quantity("speed")?,
        given.quantity("swath")?
    );
    Ok(Answer { lines: vec![line], result, also: Vec::new() })
}
