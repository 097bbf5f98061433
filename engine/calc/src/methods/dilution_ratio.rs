//! How much concentrate a ratio means, once it is said which kind of ratio it is.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::rounded::{digits, stepped};
use super::source::SourceKind::{AgencyTable, Derived};
use super::source::{Basis, Mark, Source};
use super::strength::{Measured, STEP_OF_MEASURE, VOLUME, WATER};
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "dilution-ratio",
    purpose: "How much concentrate a ratio means: 1 part to so many parts of water, or 1 part in so many in all.",
    formula: "parts of water: share = 1 ÷ (parts + 1); parts in all: share = 1 ÷ parts; \
              made up to a volume: concentrate = share × volume; \
              added to water: concentrate = water × share ÷ (1 − share)",
    inputs: &[
        Input::new(
            "parts",
            "the greater figure of the ratio, 64 in 1:64",
            Kind::Number,
            Lowest::At(1.0),
            10_000.0,
        ),
        Input::word(
            "reading",
            "what those parts are: the water alone, or the finished mix",
            &["of-water", "in-all"],
        ),
        VOLUME.optional(),
        WATER,
        STEP_OF_MEASURE,
    ],
    rounding: "The concentrate is rounded up to a whole step and the water down, so that the mix is never too \
               weak.",
    source: Basis {
        sources: &[
            Source::new(Derived, "By the definition of a ratio"),
            Source::new(
                AgencyTable(Mark::Read),
                "A dilution of 1:100 is 1 part to 99 parts of water, so 100 in all: WHO 2014, annex G, \
                 table G.1",
            ),
            Source::new(
                AgencyTable(Mark::Read),
                "On one sheet 1:10 is 250 mL to 2250 mL of water, but 1:50 is 20 mL to 1000 mL: \
                 Haldimand-Norfolk Health Unit, mixing of chlorine bleach",
            ),
        ],
        holds: "So the reading has to be given.",
    },
    example: &[("parts", "64"), ("reading", "of-water"), ("volume", "5 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let millilitre = Unit::parse("mL")?;
    let measured = Measured::from_given(given)?;
    let parts = given.value("parts")?;
    let in_all = match given.word("reading")? {
        "of-water" => parts + 1.0,
        _ => parts,
    };
    let exact = measured.concentrate(1.0, in_all);
    if !exact.is_finite() {
        return Err(given.refuse("1 part in 1 is the concentrate itself; use it undiluted"));
    }
    let concentrate = stepped(exact, given.value("round_up")?, millilitre, Rounding::Up)?;
    if concentrate.value() > measured.mix(concentrate.value()) {
        return Err(given.refuse("the concentrate would fill the whole volume; use it undiluted"));
    }
    let (done, water) = measured.water(given, concentrate.value())?;
    let lines = vec![format!(
        "1 part in {} parts in all, {done}: {}, up to a whole {}: {concentrate}",
        given.quantity("parts").map(|_| in_all)?,
        digits(exact, 4, millilitre, Rounding::Nearest)?,
        given.quantity("round_up")?
    )];
    Ok(Answer { lines, result: concentrate, also: vec![("water", water)] })
}
