//! Where fasteners sit, and the order in which they are tightened and loosened.
//!
//! Fasteners are numbered from 1: along a line from the left, across a grid row by row from the top left, round a
//! rectangle's edge clockwise from the top left, round a circle clockwise from the top, otherwise as listed. An
//! *order* lists fastener numbers in the order of tightening; the *turns* are the same the other way round, the turn
//! of each fastener, as drawings print it.

mod centre_out;
mod crosswise;
mod error;
mod layout;
mod ring;
mod verify;

pub use error::PatternError;
pub use layout::{Layout, Micrometres, Position};
pub use verify::verify;

use layout::checked_positions;

/// How an order is found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// From the middle outwards, so that a long cover or gasket is not trapped in a bow.
    ///
    /// By distance from the centroid. Fasteners equally far follow as mirror-image pairs: the left-most of them
    /// (the upper of two) first, then its image below or above or, if it has none, its image on the other side,
    /// straight across or through the centre. A line of seven is tightened 4 3 5 2 6 1 7; two rows give the
    /// zig-zag of service manuals. Not for a circle, where all are equally far. Source: families of layouts in
    /// engine service texts (memory; centre first, ends last: read); the choice among equals is ours.
    CentreOut,
    /// Each fastener followed by the one opposite, so that a round flange closes in parallel.
    ///
    /// For 4, 8, 12, 16, 20 and 24 the legacy sequence of ASME PCC-1 table 3 (2nd hand). For other even numbers
    /// pairs of opposites, the next pair as far as possible from all pairs tightened, then from the last pair,
    /// then the lowest number; for odd numbers steps of half the ring, rounded down: a star (both common
    /// practice, no source). Needs at least three fasteners on one ring.
    Crosswise,
    /// Round the ring clockwise, or along a line from the left: the last pass, until nothing turns any more
    /// (ASME PCC-1 table 1, 2nd hand).
    Circular,
    /// As someone wrote it: every fastener once.
    Authored(Vec<usize>),
}

/// Gives the order in which fasteners of a layout are tightened by a rule, as fastener numbers.
///
/// # Errors
/// [`PatternError`] when the layout has no fasteners, too many or two in one place, when the rule does not suit
/// the layout, or when an authored order does not name every fastener once.
pub fn order(layout: &Layout, rule: &Rule) -> Result<Vec<usize>, PatternError> {
    let positions = checked_positions(layout)?;
    match rule {
        Rule::CentreOut => {
            centre_out::suits(layout)?;
            Ok(centre_out::order(&positions))
        }
        Rule::Crosswise => {
            let ring = ring::crosswise(layout, &positions)?;
            Ok(crosswise::places(ring.len()).into_iter().map(|place| ring[place]).collect())
        }
        Rule::Circular => ring::circular(layout, &positions),
        Rule::Authored(order) => {
            error::expect_permutation(order, positions.len())?;
            Ok(order.clone())
        }
    }
}

/// Turns an order about: the turn at which each fastener is tightened, in the order of their numbers.
pub fn turns(order: &[usize]) -> Vec<usize> {
    let mut pairs: Vec<(usize, usize)> = order.iter().copied().zip(1..).collect();
    pairs.sort_unstable();
    pairs.into_iter().map(|(_, turn)| turn).collect()
}

/// The order of loosening: the order of tightening reversed (engine service text, read).
pub fn removal(order: &[usize]) -> Vec<usize> {
    order.iter().rev().copied().collect()
}

#[cfg(test)]
mod tests;
