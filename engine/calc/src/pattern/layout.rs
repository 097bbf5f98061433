//! Where fasteners sit.

use super::error::PatternError;
use crate::quantity::{Quantity, Unit};

/// The most fasteners a layout may have: more than any cover in the trade, few enough to draw.
const FASTENERS_MOST: usize = 200;
/// 10 m. With it, sums and squares of distances stay far inside whole numbers.
const PLACE_MOST: i64 = 10_000_000;

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
        /// From one to the next in a row.
        pitch: Micrometres,
        /// From row to row.
        row_pitch: Micrometres,
    },
    /// Round the edge of a rectangle: the outermost fasteners of a grid of at least two rows and two columns,
    /// numbered clockwise from the top left.
    Edge {
        /// How many rows the grid would have.
        rows: usize,
        /// How many along the top.
        columns: usize,
        /// From one to the next along the top.
        pitch: Micrometres,
        /// From one to the next down a side.
        row_pitch: Micrometres,
    },
    /// Evenly round a circle, numbered clockwise from the top.
    Circle {
        /// How many.
        count: usize,
        /// Of the circle on which they sit.
        diameter: Micrometres,
    },
    /// Each in its own place, numbered as listed.
    Free(Vec<Position>),
}

impl Layout {
    /// Where each fastener sits, in the order of their numbers.
    ///
    /// # Errors
    /// [`PatternError::Count`], [`PatternError::Place`] for a pitch that is not above zero or leads beyond 10 m,
    /// [`PatternError::SamePlace`], and [`PatternError::Unsuited`] for an edge of one row or column.
    pub fn positions(&self) -> Result<Vec<Position>, PatternError> {
        checked_positions(self)
    }
}

pub(super) fn checked_positions(layout: &Layout) -> Result<Vec<Position>, PatternError> {
    let count = match layout {
        Layout::Line { count, .. } | Layout::Circle { count, .. } => *count,
        Layout::Grid { rows, columns, .. } => rows.saturating_mul(*columns),
        Layout::Edge { rows, columns, .. } if *rows < 2 || *columns < 2 => {
            return Err(PatternError::Unsuited {
                because: "an edge has at least two rows and two columns; describe one row as a line",
            });
        }
        Layout::Edge { rows, columns, .. } => (rows - 1).saturating_add(columns - 1).saturating_mul(2),
        Layout::Free(positions) => positions.len(),
    };
    if count == 0 || count > FASTENERS_MOST {
        return Err(PatternError::Count { count });
    }
    match layout {
        Layout::Line { pitch, .. } => grid(1, count, *pitch, *pitch),
        Layout::Grid { rows, columns, pitch, row_pitch } => grid(*rows, *columns, *pitch, *row_pitch),
        Layout::Edge { rows, columns, pitch, row_pitch } => edge(*rows, *columns, *pitch, *row_pitch),
        Layout::Circle { count, diameter } => {
            if diameter.0 <= 0 {
                return Err(PatternError::Place { quantity: format!("{} mm", diameter.mm()) });
            }
            let places: Vec<Position> =
                (0..*count).map(|index| on_circle(index, *count, *diameter)).collect();
            apart(&places).map(|()| places)
        }
        Layout::Free(positions) => apart(positions).map(|()| positions.clone()),
    }
}

/// No two fasteners sit in one place.
fn apart(positions: &[Position]) -> Result<(), PatternError> {
    for (second, here) in positions.iter().enumerate() {
        if let Some(first) = positions[..second].iter().position(|there| there == here) {
            return Err(PatternError::SamePlace { first: first + 1, second: second + 1 });
        }
    }
    Ok(())
}

fn grid(
    rows: usize,
    columns: usize,
    pitch: Micrometres,
    row_pitch: Micrometres,
) -> Result<Vec<Position>, PatternError> {
    for (pitch, number) in [(pitch, columns), (row_pitch, rows)] {
        if pitch.0 <= 0 || steps(pitch, number - 1).0 > PLACE_MOST {
            return Err(PatternError::Place { quantity: format!("{} mm", pitch.mm()) });
        }
    }
    let place =
        |index: usize| Position { x: steps(pitch, index % columns), y: steps(row_pitch, index / columns) };
    Ok((0..rows * columns).map(place).collect())
}

/// No more than 200 pitches of 10 m: far from overflow.
fn steps(pitch: Micrometres, number: usize) -> Micrometres {
    Micrometres(pitch.0 * number as i64)
}

/// Along the top, down the right side, back along the bottom and up the left side.
fn edge(
    rows: usize,
    columns: usize,
    pitch: Micrometres,
    row_pitch: Micrometres,
) -> Result<Vec<Position>, PatternError> {
    let (last_row, last_column) = (rows - 1, columns - 1);
    // Two sides tell whether the pitches fit: the whole grid may be far larger than its edge.
    grid(rows, 1, pitch, row_pitch)?;
    grid(1, columns, pitch, row_pitch)?;
    let place = |row: usize, column: usize| Position { x: steps(pitch, column), y: steps(row_pitch, row) };
    let top = (0..last_column).map(|column| place(0, column));
    let right = (0..last_row).map(|row| place(row, last_column));
    let bottom = (1..=last_column).rev().map(|column| place(last_row, column));
    let left = (1..=last_row).rev().map(|row| place(row, 0));
    Ok(top.chain(right).chain(bottom).chain(left).collect())
}

fn on_circle(index: usize, count: usize, diameter: Micrometres) -> Position {
    let angle = std::f64::consts::TAU * index as f64 / count as f64;
    // Rounded to thousandths of the radius, and at least to micrometres, which no machine's sine is too coarse for.
    let grain = (diameter.0 / 2_000).max(1);
    let radius = diameter.0 as f64 / 2.0;
    let place = |share: f64| Micrometres((share * radius / grain as f64).round() as i64 * grain);
    Position { x: place(angle.sin()), y: place(-angle.cos()) }
}
