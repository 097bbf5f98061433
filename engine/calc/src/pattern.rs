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
mod rule;
mod verify;

pub use error::PatternError;
pub use layout::{Layout, Micrometres, Position};
pub use rule::Rule;
pub use verify::verify;

use layout::checked_positions;

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
