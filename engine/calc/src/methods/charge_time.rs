//! How long a battery charges.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::{STEP_OF_TIME, digits, waited};
use super::source::SourceKind::MakerTable;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "charge-time",
    purpose: "How long a charger needs at a constant current.",
    formula: "time = capacity × (1 − charged) ÷ (current × efficiency)",
    inputs: &[
        Input::in_unit("capacity", "rated capacity of the battery", "Ah", Lowest::At(0.01), 10_000.0),
        Input::in_unit("charged", "state of charge at the beginning", "%", Lowest::At(0.0), 99.0).or("0 %"),
        Input::in_unit("current", "constant current of the charger", "A", Lowest::At(0.001), 1000.0),
        Input::in_unit(
            "efficiency",
            "charge taken up for each charge given; 80 % to 95 % is printed",
            "%",
            Lowest::At(50.0),
            100.0,
        ),
        STEP_OF_TIME,
    ],
    rounding: "Rounded up to a whole step. A loss counts as a division: 20 % lost is a factor of 1.25, not of \
               1.20.",
    source: Basis {
        sources: &[Source::new(
            MakerTable(Mark::Read),
            "Hours = charge that is missing ÷ current × 1.25, which is an efficiency of 80 %: \
             instructions of makers of chargers",
        )],
        holds: "Valid while the current is constant; chargers lower it towards the end, so the charger's \
                own sign comes first.",
    },
    example: &[("capacity", "12 Ah"), ("current", "1.8 A"), ("efficiency", "85 %"), ("round_up", "15 min")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let missing = given.value("capacity")? * (100.0 - given.value("charged")?) / 100.0;
    let hours = missing / (given.value("current")? * given.value("efficiency")? / 100.0);
    let result = waited(given, hours * 3600.0)?;
    let lines = vec![
        format!(
            "missing = {} × (100 % − {}) = {}",
            given.quantity("capacity")?,
            given.quantity("charged")?,
            digits(missing, 4, Unit::parse("Ah")?, Rounding::Nearest)?
        ),
        format!(
            "time = missing ÷ ({} × {}) = {}, up to a whole {}: {result}",
            given.quantity("current")?,
            given.quantity("efficiency")?,
            digits(hours, 4, Unit::parse("h")?, Rounding::Nearest)?,
            given.quantity("round_up")?
        ),
    ];
    Ok(Answer { lines, result, also: Vec::new() })
}
