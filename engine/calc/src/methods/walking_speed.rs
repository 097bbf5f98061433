//! How fast to walk with a sprayer.

use super::application_rate::{FLOW, SWATH};
use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};

/// Faster than this nobody walks with a sprayer and looks at the surface.
const METRES_A_SECOND_MOST: f64 = 3.0;

pub(crate) static METHOD: Method = Method {
    name: "walking-speed",
    purpose: "How fast to walk at most, so that a tip leaves the rate that a surface needs.",
    formula: "speed = flow ÷ (rate × swath)",
    inputs: &[
        FLOW,
        Input::in_unit(
            "rate",
            "volume of liquid that each area needs",
            "mL/m²",
            Lowest::Above(0.0),
            10_000.0,
        ),
        SWATH,
    ],
    rounding: "Rounded down to two digits: slower leaves more liquid.",
    source: Basis {
        sources: &[Source::new(
            AgencyTable(Mark::Read),
            "gal/acre = 5940 × gpm ÷ (mph × in), solved for the speed: University of Florida, \
             publication WG013",
        )],
        holds: "",
    },
    example: &[("flow", "0.30 L/min"), ("rate", "40 mL/m²"), ("swath", "0.4 m")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let speed = given.value("flow")? * 1000.0 / 60.0 / (given.value("rate")? * given.value("swath")?);
    if speed > METRES_A_SECOND_MOST {
        return Err(given.refuse(format!(
            "the speed would be over {METRES_A_SECOND_MOST} m/s; use a smaller tip or a narrower swath"
        )));
    }
    let result = digits(speed, 2, Unit::parse("m/s")?, Rounding::Down)?;
    let ten = digits(10.0 / result.value().max(1e-9), 2, Unit::parse("s")?, Rounding::Up)?;
    let lines = vec![
        format!(
            "speed = {} ÷ ({} × {}) = {result}",
            given.quantity("flow")?,
            given.quantity("rate")?,
            given.quantity("swath")?
        ),
        format!("at this speed 10 m take {ten}"),
    ];
    Ok(Answer { lines, result, also: vec![("ten_metres", ten)] })
}
