//! Where fasteners sit.

use super::error::PatternError;
use crate::quantity::{Quantity, Unit};

/// The most fasteners a layout may have: more than any cover in the trade, few enough to draw.
const FASTENERS_MOST: usize = 200;
/// 10 m. With it, sums and squares of distances stay far inside whole numbers.
const PLACE_MOST: i64 = 10_000_000;
/// The radius at which a circle is drawn; its true size does not change the order.
const CIRCLE_RADIUS: f64 = 50_000.0;

/// A length in whole micrometres, so that "equally far" is exact.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Micrometres(i64);

impl Micrometres {
    /// Takes a quantity of length, 10 m at most either way.
    ///
    /// # Errors
    /// [`PatternError::Place`] when it is no such length or not in whole micrometres.
    pub fn from_quantity(quantity: &Quantity) -> Result<Micrometres, PatternError> {
        let refused = || PatternError::Place { quantity: quantity.to_string() };
        let micrometres =
            Unit::parse("µm").and_then(|unit| quantity.value_in(unit)).map_err(|_| refused())?;
        if micrometres.fract() != 0.0 || micrometres.abs() > PLACE_MOST as f64 {
            return Err(refused());
        }
        Ok(Micrometres(micrometres as i64))
    }

    /// The length in millimetres.
    pub fn mm(self) -> f64 {
        self.0 as f64 / 1000.0
    }

    pub(super) fn whole(self) -> i64 {
        self.0
    }
}

/// A place, seen from outside: `x` to the right and `y` downwards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Position {
    /// To the right.
    pub x: Micrometres,
    /// Downwards.
    pub y: Micrometres,
}

/// An arrangement of fasteners. Up to 200 of them; a pitch is above zero.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Layout {
    /// In one row, numbered from the left.
    Line {
        /// How many.
        count: usize,
        /// From one to the next.
        pitch: Micrometres,
    },
    /// In rows and columns, numbered row by row from the top left.
    Grid {
        /// How many rows.
        rows: usize,
        /// How many in a row.
        columns: usize,
        /// From one to the next, both ways.
        pitch: Micrometres,
    },
    /// Evenly round a circle, numbered clockwise from the top.
    Circle {
        /// How many.
        count: usize,
    },
    /// Each in its own place, numbered as listed.
    Free(Vec<Position>),
}

impl Layout {
    /// Where each fastener sits, in the order of their numbers. A circle is given with a radius of 50 mm.
    ///
    /// # Errors
    /// [`PatternError::Count`], [`PatternError::Place`] for a pitch that is not above zero or leads beyond 10 m,
    /// and [`PatternError::SamePlace`].
    pub fn positions(&self) -> Result<Vec<Position>, PatternError> {
        checked_positions(self)
    }
}

pub(super) fn checked_positions(layout: &Layout) -> Result<Vec<Position>, PatternError> {
    let count = match layout {
        Layout::Line { count, .. } | Layout::Circle { count } => *count,
        Layout::Grid { rows, columns, .. } => rows.saturating_mul(*columns),
        Layout::Free(positions) => positions.len(),
    };
    if count == 0 || count > FASTENERS_MOST {
        return Err(PatternError::Count { count });
    }
    match layout {
        Layout::Line { pitch, .. } => grid(count, count, *pitch),
        Layout::Grid { columns, pitch, .. } => grid(count, *columns, *pitch),
        Layout::Circle { .. } => Ok((0..count).map(|index| on_circle(index, count)).collect()),
        Layout::Free(positions) => {
            for (second, here) in positions.iter().enumerate() {
                if let Some(first) = positions[..second].iter().position(|there| there == here) {
                    return Err(PatternError::SamePlace { first: first + 1, second: second + 1 });
                }
            }
            Ok(positions.clone())
        }
    }
}

fn grid(count: usize, columns: usize, pitch: Micrometres) -> Result<Vec<Position>, PatternError> {
    // No more than 200 pitches of 10 m: far from overflow.
    let steps = |number: usize| Micrometres(pitch.0 * number as i64);
    if pitch.0 <= 0 || steps(columns - 1).0 > PLACE_MOST || steps(count / columns - 1).0 > PLACE_MOST {
        return Err(PatternError::Place { quantity: format!("{} mm", pitch.mm()) });
    }
    Ok((0..count).map(|index| Position { x: steps(index % columns), y: steps(index / columns) }).collect())
}

fn on_circle(index: usize, count: usize) -> Position {
    let angle = std::f64::consts::TAU * index as f64 / count as f64;
    // Rounded to tenths of a millimetre, which no machine's sine is too coarse for.
    let place = |share: f64| Micrometres((share * CIRCLE_RADIUS / 100.0).round() as i64 * 100);
    Position { x: place(angle.sin()), y: place(-angle.cos()) }
}
