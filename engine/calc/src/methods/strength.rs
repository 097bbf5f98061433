//! What the three ways of mixing share.

use super::given::Given;
use super::input::{Input, Kind, Lowest, Presence};
use super::{Answer, MethodError};
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) const WANTED: Input = Input {
    name: "wanted",
    meaning: "strength of the finished mix",
    kind: Kind::Strength,
    from: Lowest::Above(0.0),
    to: 1_000_000.0,
    presence: Presence::Required,
};

pub(crate) const VOLUME: Input = Input {
    name: "volume",
    meaning: "volume of the finished mix, made up to with water",
    kind: Kind::Of("L"),
    from: Lowest::At(0.1),
    to: 10_000.0,
    presence: Presence::Required,
};

pub(crate) const AT_MOST: Input = Input {
    name: "at_most",
    meaning: "greatest strength the label allows",
    kind: Kind::Strength,
    from: Lowest::Above(0.0),
    to: 1_000_000.0,
    presence: Presence::Optional,
};

/// A strength in mg/L as it came out, shown to the next whole mg/L (hundredths below 10 mg/L).
///
/// Rounding up the active part makes a mix a little stronger than asked for; this refuses it when that, or the
/// strength asked for, is above what the label allows.
pub(crate) fn reached(given: &Given, milligrams_per_litre: f64) -> Result<Quantity, MethodError> {
    let decimals = if milligrams_per_litre < 10.0 { 2 } else { 0 };
    let shown = Quantity::worked(milligrams_per_litre, Unit::parse("mg/L")?, decimals, Rounding::Up)?;
    match given.optional("at_most") {
        // A billionth, as in rounding, so that a mix exactly at the limit passes.
        Some((limit, most)) if milligrams_per_litre > most * (1.0 + 1e-9) => Err(given.refuse(format!(
            "the mix would reach {shown}, above the {limit} the label allows; \
             make more of it at once or use a finer measure"
        ))),
        _ => Ok(shown),
    }
}

/// An answer whose amount is followed by "fill up with water to the volume".
pub(crate) fn made_up(
    given: &Given,
    working: String,
    result: Quantity,
    mut also: Vec<(&'static str, Quantity)>,
    strength: Quantity,
) -> Result<Answer, MethodError> {
    let lines =
        vec![working, format!("made up with water to {} this gives {strength}", given.quantity("volume")?)];
    also.push(("strength", strength));
    Ok(Answer { lines, result, also })
}
