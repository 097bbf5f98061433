//! How long to pump until a vessel whose content mixes is clean enough.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::rounded::{STEP_OF_TIME, digits, waited};
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Rounding, Unit};
use crate::real::ln;

pub(crate) static METHOD: Method = Method {
    name: "purge-mixed",
    purpose: "How long to flush a tank, a filter or a room, where old and new mix, until a share of the old is left.",
    formula: "time = mixing × volume ÷ flow × ln(1 ÷ left)",
    inputs: &[
        Input::in_unit("volume", "volume that is flushed", "L", Lowest::At(0.001), 1_000_000.0),
        Input::in_unit(
            "flow",
            "flow through it, constant; the smallest to be expected",
            "L/min",
            Lowest::Above(0.0),
            1_000_000.0,
        ),
        Input::in_unit("left", "share of the old content that may be left", "%", Lowest::At(0.0001), 99.0),
        Input::new(
            "mixing",
            "1 for perfect mixing, up to 10 for corners that hardly take part",
            Kind::Number,
            Lowest::At(1.0),
            10.0,
        )
        .or("1"),
        STEP_OF_TIME,
    ],
    rounding: "Rounded up to a whole step, so that a flush never ends early.",
    source: Basis {
        sources: &[Source::new(
            AgencyTable(Mark::Read),
            "ln(C0/C) = Q·t/V with perfect mixing at a constant flow; a factor of 1 to 10 for poor \
             mixing: CDC, MMWR 1994;43(RR-13), table S3-1",
        )],
        holds: "",
    },
    example: &[("volume", "22 L"), ("flow", "2 L/min"), ("left", "1 %"), ("round_up", "10 s")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let share = given.value("left")? / 100.0;
    let changes = given.value("mixing")? * -ln(share);
    let volume = changes * given.value("volume")?;
    let seconds = volume / given.value("flow")? * 60.0;
    let result = waited(given, seconds)?;
    let through = digits(volume, 3, Unit::parse("L")?, Rounding::Up)?;
    let lines = vec![
        format!(
            "volumes = {} × ln(1 ÷ {}) = {}",
            given.quantity("mixing")?,
            given.quantity("left")?,
            Quantity::worked(changes, Unit::NUMBER, 3, Rounding::Nearest)?
        ),
        format!("through = volumes × {} = {through}", given.quantity("volume")?),
        format!(
            "time = through ÷ {} = {}, up to a whole {}: {result}",
            given.quantity("flow")?,
            digits(seconds, 4, Unit::parse("s")?, Rounding::Nearest)?,
            given.quantity("round_up")?
        ),
    ];
    let also = vec![("through", through), ("volumes", digits(changes, 4, Unit::NUMBER, Rounding::Up)?)];
    Ok(Answer { lines, result, also })
}
