//! How much concentrate a dose on a label means for a volume of water.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::{digits, stepped};
use super::source::SourceKind::{Derived, Standard};
use super::source::{Basis, Mark, Source};
use super::strength::STEP_OF_MEASURE;
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-dose",
    purpose: "How much concentrate to add to a volume of water at a label's dose, such as 2 US fl oz/US gal.",
    formula: "concentrate = dose × water",
    inputs: &[
        Input::in_unit(
            "dose",
            "volume of concentrate for each volume of water",
            "mL/L",
            Lowest::Above(0.0),
            1000.0,
        ),
        Input::in_unit("water", "volume of the water to which is added", "L", Lowest::At(0.1), 10_000.0),
        STEP_OF_MEASURE,
    ],
    rounding: "Rounded up to a whole step of the measure, so that the mix is never too weak.",
    source: Basis {
        sources: &[
            Source::new(Derived, "By the definition of a dose"),
            Source::new(
                Standard(Mark::SecondHand),
                "1 US fl oz/US gal is 1/128 by volume: NIST SP 811, appendix B.8",
            ),
        ],
        holds: "A label's dose counts for the water to which is added.",
    },
    example: &[("dose", "10 mL/L"), ("water", "5 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let millilitre = Unit::parse("mL")?;
    let exact = given.value("dose")? * given.value("water")?;
    let concentrate = stepped(exact, given.value("round_up")?, millilitre, Rounding::Up)?;
    let lines = vec![format!(
        "concentrate = {} × {} = {}, up to a whole {}: {concentrate}",
        given.quantity("dose")?,
        given.quantity("water")?,
        digits(exact, 4, millilitre, Rounding::Nearest)?,
        given.quantity("round_up")?
    )];
    Ok(Answer { lines, result: concentrate, also: Vec::new() })
}
