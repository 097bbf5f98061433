//! The flow of a nozzle at another pressure or bore.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::{Handbook, Practice};
use super::source::{Basis, Mark, Source};
use crate::quantity::Rounding;

/// Further away than this from the known point the flow may be of another kind.
const RATIO_MOST: f64 = 10.0;

pub(crate) static METHOD: Method = Method {
    name: "orifice-flow",
    purpose: "The flow of a nozzle at another pressure, or of one of another bore, from a flow that is known.",
    formula: "result = flow × (to_bore ÷ bore)² × √(to_pressure ÷ pressure)",
    inputs: &[
        Input::in_unit("flow", "flow that is known", "L/min", Lowest::Above(0.0), 10_000.0),
        Input::in_unit("pressure", "pressure at which it is known", "kPa", Lowest::At(10.0), 100_000.0),
        Input::in_unit("to_pressure", "pressure at which it is wanted", "kPa", Lowest::At(10.0), 100_000.0),
        Input::in_unit("bore", "bore at which it is known", "mm", Lowest::At(0.1), 100.0).optional(),
        Input::in_unit("to_bore", "bore at which it is wanted", "mm", Lowest::At(0.1), 100.0).optional(),
    ],
    rounding: "Rounded down to four digits, so that a purge reckoned with it never ends early.",
    source: Basis {
        sources: &[
            Source::new(
                Handbook(Mark::Read),
                "Flow as the square of the bore and the root of the pressure, for the turbulent flow of \
                 one liquid: Hydraulic Institute, Engineering Data Library, theoretical discharge of \
                 nozzles",
            ),
            Source::new(Practice, "Pressure ratios up to 10"),
        ],
        holds: "",
    },
    example: &[("flow", "0.55 L/min"), ("pressure", "200 kPa"), ("to_pressure", "300 kPa")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (flow, unit) = (given.quantity("flow")?, given.quantity("flow")?.unit());
    let ratio = given.value("to_pressure")? / given.value("pressure")?;
    if !(1.0 / RATIO_MOST - 1e-9..=RATIO_MOST + 1e-9).contains(&ratio) {
        return Err(given.refuse(format!("the two pressures differ by more than a factor of {RATIO_MOST}")));
    }
    let (area, of_area) = match (given.optional("bore"), given.optional("to_bore")) {
        (None, None) => (1.0, String::new()),
        (Some((bore, known)), Some((to_bore, wanted))) => {
            ((wanted / known) * (wanted / known), format!(" × ({to_bore} ÷ {bore})²"))
        }
        _ => return Err(given.refuse("give both `bore` and `to_bore`, or neither")),
    };
    let result = digits(flow.value() * area * ratio.sqrt(), 4, unit, Rounding::Down)?;
    let line = format!(
        "{flow}{of_area} × √({} ÷ {}) = {result}",
        given.quantity("to_pressure")?,
        given.quantity("pressure")?
    );
    Ok(Answer { lines: vec![line], result, also: Vec::new() })
}
