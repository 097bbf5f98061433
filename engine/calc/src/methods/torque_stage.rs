//! The torque of one stage of tightening.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::Standard;
use super::source::{Basis, Mark, Source};
use super::torque_unit::TORQUE_MOST;
use crate::quantity::{Quantity, Rounding};

pub(crate) static METHOD: Method = Method {
    name: "torque-stage",
    purpose: "The torque of one stage of tightening, as a share of the full torque.",
    formula: "result = torque × stage",
    inputs: &[
        Input::in_unit(
            "torque",
            "full torque, as the maker gives it",
            "N·m",
            Lowest::Above(0.0),
            TORQUE_MOST,
        ),
        Input::in_unit("stage", "share of the full torque", "%", Lowest::At(5.0), 100.0),
        Input::in_unit("step", "step of the wrench", "N·m", Lowest::At(0.01), 100.0).or("0.1 N·m"),
    ],
    rounding: "Rounded to the nearest step of the wrench that is not above the full torque.",
    source: Basis {
        sources: &[Source::new(
            Standard(Mark::SecondHand),
            "Stages of 20 to 30, 50 to 70 and 100 %: ASME PCC-1, table 1",
        )],
        holds: "",
    },
    example: &[("torque", "3 N·m"), ("stage", "50 %")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let torque = given.quantity("torque")?;
    let unit = torque.unit();
    let (full, step) = (torque.value(), given.quantity("step")?.value_in(unit)?);
    let exact = full * given.value("stage")? / 100.0;
    let steps = Rounding::Nearest.whole(exact / step).min(Rounding::Down.whole(full / step));
    if steps < 1.0 {
        return Err(given.refuse(format!(
            "this stage is less than one step of {}; take a finer wrench",
            given.quantity("step")?
        )));
    }
    let result = Quantity::worked(steps * step, unit, 6, Rounding::Nearest)?.trimmed();
    let line = format!(
        "{torque} × {} = {}, to a step of {}: {result}",
        given.quantity("stage")?,
        digits(exact, 4, unit, Rounding::Nearest)?,
        given.quantity("step")?
    );
    Ok(Answer { lines: vec![line], result, also: Vec::new() })
}
