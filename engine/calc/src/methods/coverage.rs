//! How much liquid an area takes.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::{digits, stepped};
use super::source::SourceKind::{AgencyTable, Derived};
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "coverage",
    purpose: "How much liquid an area takes at a rate, and how far one fill of a tank goes.",
    formula: "volume = area × rate; area of one fill = tank ÷ rate",
    inputs: &[
        Input::in_unit("area", "area to be covered", "m²", Lowest::Above(0.0), 1_000_000.0),
        Input::in_unit("rate", "volume of liquid for each area", "mL/m²", Lowest::Above(0.0), 10_000.0),
        Input::in_unit("tank", "what one fill holds", "L", Lowest::At(0.1), 10_000.0).optional(),
        Input::in_unit("round_up", "step to which the volume is rounded up", "L", Lowest::At(0.01), 100.0)
            .or("0.1 L"),
    ],
    rounding: "The volume and the number of fills are rounded up and the area of one fill down, so that the \
               liquid is never too little.",
    source: Basis {
        sources: &[
            Source::new(Derived, "By the definition of a rate; 1 gal over 1000 ft² is 43.56 gal/acre"),
            Source::new(
                AgencyTable(Mark::Read),
                "Volume = area × rate: Alberta Agriculture, Agdex 606-1, page 11",
            ),
        ],
        holds: "",
    },
    example: &[("area", "180 m²"), ("rate", "40 mL/m²"), ("tank", "22 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let (area, rate) = (given.value("area")?, given.value("rate")?);
    let litres = area * rate / 1000.0;
    let volume = stepped(litres, given.value("round_up")?, Unit::parse("L")?, Rounding::Up)?;
    let mut lines = vec![format!(
        "volume = {} × {} = {}, up to a whole {}: {volume}",
        given.quantity("area")?,
        given.quantity("rate")?,
        digits(litres, 4, Unit::parse("L")?, Rounding::Nearest)?,
        given.quantity("round_up")?
    )];
    let mut also = Vec::new();
    if let Some((tank, holds)) = given.optional("tank") {
        let fill = digits(holds * 1000.0 / rate, 3, Unit::parse("m²")?, Rounding::Down)?;
        let fills = Quantity::worked(litres / holds, Unit::parse("times")?, 0, Rounding::Up)?;
        lines.push(format!(
            "one fill of {tank} covers {tank} ÷ {} = {fill}; fills: {fills}",
            given.quantity("rate")?
        ));
        also.extend([("fill", fill), ("fills", fills)]);
    }
    Ok(Answer { lines, result: volume, also })
}
