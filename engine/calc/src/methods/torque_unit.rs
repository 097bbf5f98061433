//! A torque in another unit.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::Standard;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};

/// The greatest torque of any of these methods, in N·m.
pub(crate) const TORQUE_MOST: f64 = 10_000.0;

pub(crate) static METHOD: Method = Method {
    name: "torque-unit",
    purpose: "A torque in the unit of the wrench at hand.",
    formula: "result = torque, in the unit",
    inputs: &[
        Input::in_unit("torque", "torque as the maker gives it", "N·m", Lowest::Above(0.0), TORQUE_MOST),
        Input::word("unit", "unit of the wrench", &["N·m", "N·cm", "lbf·ft", "lbf·in"]),
    ],
    rounding: "Rounded down to three digits, so that the torque is never passed. The unit of the source comes \
               first: pairs printed in manuals are each rounded.",
    source: Basis {
        sources: &[Source::new(
            Standard(Mark::SecondHand),
            "1 lbf·ft = 1.3558179483314004 N·m and 1 lbf·in = 0.1129848290276167 N·m, exactly: NIST \
             SP 811, appendix B.8",
        )],
        holds: "",
    },
    example: &[("torque", "1.2 N·m"), ("unit", "lbf·in")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let unit = Unit::parse(given.word("unit")?)?;
    let torque = given.quantity("torque")?;
    let result = digits(torque.value_in(unit)?, 3, unit, Rounding::Down)?;
    Ok(Answer { lines: vec![format!("{torque} = {result}")], result, also: Vec::new() })
}
