//! Up to which reading a limit is proved to be kept.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::{Answer, Method};
use super::source::SourceKind::Standard;
use super::source::{Basis, Mark, Source};
use crate::quantity::{Quantity, Range, Rounding, Unit, Verdict};
use crate::real::normal_below;

pub(crate) static METHOD: Method = Method {
    name: "guard-band",
    purpose: "Up to which reading a limit is proved to be kept, with the uncertainty of the instrument taken off.",
    formula: "acceptance limit = limit − factor × uncertainty for side at-most, limit + factor × uncertainty for \
              at-least",
    inputs: &[
        Input::open("limit", "limit that must be kept", Kind::Any),
        Input::word("side", "which side of the limit is allowed", &["at-most", "at-least"]),
        Input::new(
            "uncertainty",
            "expanded uncertainty of the instrument, k = 2",
            Kind::Uncertainty("limit"),
            Lowest::Above(0.0),
            1e12,
        ),
        Input::new("factor", "guard band in uncertainties", Kind::Number, Lowest::At(0.0), 3.0).or("1"),
        Input::open("reading", "reading to be judged", Kind::Like("limit")).optional(),
    ],
    rounding: "Rounded inwards, to two digits of the uncertainty, so that a doubtful reading never passes; the \
               probability is rounded down.",
    source: Basis {
        sources: &[
            Source::new(
                Standard(Mark::Read),
                "Acceptance limit = limit − guard band, and four statements: ILAC-G8:09/2019, 4.1 and \
                 4.2.3",
            ),
            Source::new(
                Standard(Mark::SecondHand),
                "A band of U gives at most 2.5 % false acceptance, none up to 50 %: ILAC-G8:09/2019",
            ),
            Source::new(
                Standard(Mark::Memory),
                "Probability inside the limit: JCGM 106, normal distribution",
            ),
        ],
        holds: "",
    },
    example: &[("limit", "2 ohm"), ("side", "at-most"), ("uncertainty", "0.05 ohm")],
    figure,
};

fn figure(given: &Given) -> Result<Answer, MethodError> {
    let limit = given.quantity("limit")?;
    let unit = limit.unit();
    let upper = given.word("side")? == "at-most";
    let uncertainty = given.value("uncertainty")?;
    let band = given.value("factor")? * uncertainty;
    let (exact, inwards, sign) = if upper {
        (limit.value() - band, Rounding::Down, "−")
    } else {
        (limit.value() + band, Rounding::Up, "+")
    };
    let result = Quantity::worked(exact, unit, places(uncertainty), inwards)?.trimmed();
    let mut lines = vec![format!(
        "acceptance limit = {limit} {sign} {} × {} = {result}",
        given.quantity("factor")?,
        given.quantity("uncertainty")?
    )];
    let mut also = Vec::new();
    if let Some((reading, read)) = given.optional("reading") {
        let beyond = if upper { read - limit.value() } else { limit.value() - read };
        let inside = (normal_below(-beyond / (uncertainty / 2.0)) * 100.0).min(99.9);
        let inside = Quantity::worked(inside, Unit::parse("%")?, 1, Rounding::Down)?;
        let statement = statement(limit, &result, reading, upper, beyond > band)?;
        lines.push(format!("{reading}: {statement}; inside the limit with a probability of {inside}"));
        also.push(("inside", inside));
    }
    Ok(Answer { lines, result, also })
}

/// The four statements of ILAC-G8.
fn statement(
    limit: &Quantity,
    acceptance: &Quantity,
    reading: &Quantity,
    upper: bool,
    beyond_band: bool,
) -> Result<&'static str, MethodError> {
    let within = |edge: &Quantity| {
        let (low, high) = if upper { (None, Some(edge.clone())) } else { (Some(edge.clone()), None) };
        Ok::<_, MethodError>(Range::new(low, high)?.judge(reading, None)? == Verdict::Within)
    };
    Ok(match (within(acceptance)?, within(limit)?) {
        (true, _) => "pass",
        (false, true) => "conditional pass: not proved to be inside",
        (false, false) if beyond_band => "fail",
        (false, false) => "conditional fail: not proved to be outside",
    })
}

/// Decimals that show two digits of the uncertainty.
fn places(uncertainty: f64) -> u8 {
    let (mut size, mut places) = (uncertainty, 1);
    while size < 1.0 && places < 12 {
        size *= 10.0;
        places += 1;
    }
    places
}
