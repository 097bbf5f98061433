//! How much energy a charged body holds.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::{Derived, Handbook};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "stored-energy",
    purpose: "How much energy and charge a charged body holds.",
    formula: "energy = ½ × capacitance × voltage²; charge = capacitance × voltage",
    inputs: &[
        Input::in_unit(
            "capacitance",
            "capacitance; the greatest to be expected",
            "µF",
            Lowest::At(1e-6),
            1_000_000.0,
        ),
        Input::in_unit("voltage", "voltage; the greatest to be expected", "V", Lowest::At(1.0), 1_000_000.0),
    ],
    rounding: "Rounded up to three digits, so that energy is never understated.",
    source: Basis {
        sources: &[
            Source::new(Handbook(Mark::Read), "W = ½·C·V²: MIL-HDBK-274A, 4.7.1, page 29"),
            Source::new(Derived, "Q = C·V, by the definition of capacitance"),
        ],
        holds: "",
    },
    example: &[("capacitance", "100 pF"), ("voltage", "20 kV")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (capacitance, voltage) = (given.value("capacitance")?, given.value("voltage")?);
    let millijoules = capacitance * voltage * voltage / 2000.0;
    let result = digits(millijoules, 3, Unit::parse("mJ")?, Rounding::Up)?;
    let charge = digits(capacitance * voltage, 3, Unit::parse("µC")?, Rounding::Up)?;
    let (held, across) = (given.quantity("capacitance")?, given.quantity("voltage")?);
    let lines = vec![
        format!("charge = {held} × {across} = {charge}"),
        format!("energy = ½ × {held} × ({across})² = {result}"),
    ];
    Ok(Answer { lines, result, also: vec![("charge", charge)] })
}
