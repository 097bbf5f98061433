//! How much powder to dissolve in a volume.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use super::strength::{AT_MOST, VOLUME, WANTED, made_up, reached};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-powder",
    purpose: "How much powder to dissolve and make up with water to a volume.",
    formula: "powder = wanted × volume ÷ active",
    inputs: &[
        Input::in_unit("active", "active part of the powder, by mass", "%", Lowest::At(1.0), 100.0),
        WANTED,
        VOLUME,
        AT_MOST,
        Input::in_unit(
            "round_up",
            "step of the balance, to which the powder is rounded up",
            "g",
            Lowest::At(0.01),
            1000.0,
        )
        .or("0.1 g"),
    ],
    rounding: "Rounded up, so that the mix is never too weak; what it then reaches is checked against the \
               label's limit.",
    source: Basis {
        sources: &[Source::new(
            AgencyTable(Mark::Read),
            "Grams per litre = wanted % ÷ active % × 1000: CDC Guideline for Disinfection and \
             Sterilization, appendix E",
        )],
        holds: "",
    },
    example: &[("active", "70 %"), ("wanted", "0.5 %"), ("volume", "10 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let gram = Unit::parse("g")?;
    let (active, volume) = (given.value("active")? / 100.0, given.value("volume")?);
    let exact = given.value("wanted")? * volume / active / 1000.0;
    let step = given.value("round_up")?;
    let weighed = Rounding::Up.whole(exact / step) * step;
    let result = Quantity::worked(weighed, gram, 3, Rounding::Up)?.trimmed();
    let strength = reached(given, weighed * 1000.0 * active / volume)?;
    let working = format!(
        "powder = {} × {} ÷ {} = {}, up to a whole {}: {result}",
        given.quantity("wanted")?,
        given.quantity("volume")?,
        given.quantity("active")?,
        Quantity::worked(exact, gram, 2, Rounding::Nearest)?,
        given.quantity("round_up")?
    );
    made_up(given, working, result, Vec::new(), strength)
}
