//! What the ways of mixing share.

use super::error::MethodError;
use super::given::Given;
use super::input::{Input, Kind, Lowest};
use super::method::Answer;
use crate::quantity::{Quantity, Rounding, Unit};

pub(crate) const WANTED: Input =
    Input::new("wanted", "strength of the finished mix", Kind::Strength, Lowest::Above(0.0), 1_000_000.0);

pub(crate) const VOLUME: Input = Input::in_unit(
    "volume",
    "volume of the finished mix, made up with water to it",
    "L",
    Lowest::At(0.1),
    10_000.0,
);

pub(crate) const WATER: Input = Input::in_unit(
    "water",
    "volume of the water to which is added, instead of `volume`",
    "L",
    Lowest::At(0.1),
    10_000.0,
)
.optional();

pub(crate) const STOCK: Input =
    Input::new("stock", "strength of the concentrate", Kind::Strength, Lowest::Above(0.0), 1_000_000.0);

/// The step of a measuring jug or spoon.
pub(crate) const STEP_OF_MEASURE: Input = Input::in_unit(
    "round_up",
    "step of the measure, to which the concentrate is rounded up",
    "mL",
    Lowest::At(0.1),
    1000.0,
)
.or("1 mL");

pub(crate) const AT_MOST: Input = Input::new(
    "at_most",
    "greatest strength the label allows",
    Kind::Strength,
    Lowest::Above(0.0),
    1_000_000.0,
)
.optional();

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

/// What of a mix is measured: its volume when it is done ("make up to"), or the water before ("add to"). The same
/// figure read one way or the other gives mixes that differ by the concentrate's share, so it is never left open.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Measured {
    /// The finished mix, in millilitres.
    Mix(f64),
    /// The water, in millilitres.
    Water(f64),
}

impl Measured {
    /// Exactly one of the inputs `volume` and `water`.
    pub(crate) fn from_given(given: &Given) -> Result<Measured, MethodError> {
        match (given.optional("volume"), given.optional("water")) {
            (Some((_, litres)), None) => Ok(Measured::Mix(litres * 1000.0)),
            (None, Some((_, litres))) => Ok(Measured::Water(litres * 1000.0)),
            _ => Err(given.refuse(
                "give exactly one of `volume`, the finished mix made up to it, and `water`, to which is added",
            )),
        }
    }

    /// So much concentrate of the stock's strength makes a mix of the wanted one. Both strengths in one unit.
    pub(crate) fn concentrate(self, wanted: f64, stock: f64) -> f64 {
        match self {
            Measured::Mix(volume) => wanted * volume / stock,
            Measured::Water(water) => wanted * water / (stock - wanted),
        }
    }

    /// The finished mix with so much concentrate in it.
    pub(crate) fn mix(self, concentrate: f64) -> f64 {
        match self {
            Measured::Mix(volume) => volume,
            Measured::Water(water) => water + concentrate,
        }
    }

    /// What to do with the water, and how much it is, rounded down.
    pub(crate) fn water(self, given: &Given, concentrate: f64) -> Result<(String, Quantity), MethodError> {
        let millilitre = Unit::parse("mL")?;
        Ok(match self {
            Measured::Mix(volume) => (
                format!("made up with water to {}", given.quantity("volume")?),
                Quantity::worked(volume - concentrate, millilitre, 0, Rounding::Down)?,
            ),
            Measured::Water(water) => (
                format!("added to {} of water", given.quantity("water")?),
                Quantity::worked(water, millilitre, 0, Rounding::Down)?,
            ),
        })
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
