//! How long a charged body takes to lose its voltage.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Lowest};
use super::method::{Answer, Method};
use super::rounded::{STEP_OF_TIME, digits, waited};
use super::source::SourceKind::Handbook;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Rounding, Unit};
use crate::real::ln;

pub(crate) static METHOD: Method = Method {
    name: "static-discharge",
    purpose: "How long a charged body takes through a resistance to fall to a voltage.",
    formula: "time = resistance × capacitance × ln(from ÷ to)",
    inputs: &[
        Input::in_unit(
            "resistance",
            "resistance to earth; the greatest to be expected",
            "ohm",
            Lowest::At(1.0),
            1e14,
        ),
        Input::in_unit(
            "capacitance",
            "capacitance to earth; the greatest to be expected",
            "µF",
            Lowest::At(1e-6),
            1_000_000.0,
        ),
        Input::in_unit("from", "voltage at the beginning", "V", Lowest::Above(0.0), 1_000_000.0),
        Input::in_unit("to", "voltage at the end", "V", Lowest::Above(0.0), 1_000_000.0),
        STEP_OF_TIME,
    ],
    rounding: "Rounded up to a whole step, so that nothing is touched early; the exact time is shown as well.",
    source: Basis {
        sources: &[Source::new(
            Handbook(Mark::Read),
            "t = R·C·ln(V0 ÷ V): MIL-HDBK-274A, equation 3, page 12",
        )],
        holds: "Valid while nothing charges the body and both figures stay the same.",
    },
    example: &[
        ("resistance", "60 Gohm"),
        ("capacitance", "100 pF"),
        ("from", "20 kV"),
        ("to", "50 V"),
        ("round_up", "5 s"),
    ],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    if given.value("to")? > given.value("from")? {
        return Err(given.refuse("the voltage falls; `to` has to be at most `from`"));
    }
    let second = Unit::parse("s")?;
    let constant = given.value("resistance")? * given.value("capacitance")? / 1e6;
    let seconds = constant * ln(given.value("from")? / given.value("to")?);
    let result = waited(given, seconds)?;
    let (tau, exact) = (digits(constant, 3, second, Rounding::Up), digits(seconds, 3, second, Rounding::Up));
    let lines = vec![
        format!(
            "resistance × capacitance = {} × {} = {}",
            given.quantity("resistance")?,
            given.quantity("capacitance")?,
            tau.as_ref().map_or_else(|_| "under 1 ps".into(), ToString::to_string)
        ),
        format!(
            "time = that × ln({} ÷ {}) = {}, up to a whole {}: {result}",
            given.quantity("from")?,
            given.quantity("to")?,
            exact.as_ref().map_or_else(|_| "under 1 ps".into(), ToString::to_string),
            given.quantity("round_up")?
        ),
    ];
    let also =
        [("constant", tau), ("exact", exact)].into_iter().filter_map(|(name, one)| Some((name, one.ok()?)));
    Ok(Answer { lines, result, also: also.collect() })
}
