//! How strong a mix is that has been made.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::digits;
use super::source::SourceKind::AgencyTable;
use super::source::{Basis, Mark, Source};
use super::strength::{Measured, STOCK, VOLUME, WATER};
use crate::quantity::{Rounding, Unit};

pub(crate) static METHOD: Method = Method {
    name: "mix-strength",
    purpose: "How strong a mix of so much liquid concentrate is, made up to a volume or added to water.",
    formula: "made up to a volume: strength = stock × concentrate ÷ volume; \
              added to water: strength = stock × concentrate ÷ (water + concentrate)",
    inputs: &[
        STOCK,
        Input::in_unit(
            "concentrate",
            "volume of concentrate in the mix",
            "mL",
            Lowest::Above(0.0),
            1_000_000.0,
        ),
        VOLUME.optional(),
        WATER,
    ],
    rounding: "Rounded down to three digits, so that a mix is never taken to be stronger than it is.",
    source: Basis {
        sources: &[
            Source::new(
                AgencyTable(Mark::Read),
                "C1·V1 = C2·V2: CDC Guideline for Disinfection and Sterilization, appendix E",
            ),
            Source::new(
                AgencyTable(Mark::Read),
                "1 % is 10 000 mg/L for liquids as dense as water: Red Cross items catalogue",
            ),
        ],
        holds: "",
    },
    example: &[("stock", "5 %"), ("concentrate", "20 mL"), ("volume", "1 L")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let measured = Measured::from_given(given)?;
    let concentrate = given.value("concentrate")?;
    let mix = measured.mix(concentrate);
    if concentrate > mix {
        return Err(given.refuse("there is more concentrate than mix; look at the two volumes"));
    }
    let (done, _) = measured.water(given, concentrate)?;
    let result = digits(given.value("stock")? * concentrate / mix, 3, Unit::parse("mg/L")?, Rounding::Down)?;
    let line = format!("{} of {} {done}: {result}", given.quantity("concentrate")?, given.quantity("stock")?);
    Ok(Answer { lines: vec![line], result, also: Vec::new() })
}
