//! Fasteners taken round the edge.

use super::centre_out::{Offset, offsets};
use super::error::PatternError;
use super::layout::{Layout, Position};
use std::cmp::Ordering;

const NOT_A_RING: PatternError = PatternError::Unsuited {
    because: "some fasteners sit inside the ring of the others; use the centre-out rule or write the order out",
};

/// The ring for the crosswise rule: fastener numbers clockwise, starting with 1.
pub(super) fn crosswise(layout: &Layout, positions: &[Position]) -> Result<Vec<usize>, PatternError> {
    if positions.len() < 3 {
        return Err(PatternError::Unsuited {
            because: "crosswise needs at least three fasteners; write the order out",
        });
    }
    if let Layout::Line { .. } = layout {
        return Err(PatternError::Unsuited {
            because: "a line has no opposite sides; use the centre-out rule",
        });
    }
    around(layout, positions)
}

/// The ring for the circular rule, or a line from the left.
pub(super) fn circular(layout: &Layout, positions: &[Position]) -> Result<Vec<usize>, PatternError> {
    if let Layout::Line { .. } = layout {
        return Ok((1..=positions.len()).collect());
    }
    around(layout, positions)
}

/// By angle about the centroid. A fastener on it, or two in one direction from it, are no ring.
fn around(layout: &Layout, positions: &[Position]) -> Result<Vec<usize>, PatternError> {
    if let Layout::Circle { .. } = layout {
        return Ok((1..=positions.len()).collect());
    }
    let offsets = offsets(positions);
    if positions.len() > 1 && offsets.iter().any(|offset| offset.squared() == 0) {
        return Err(NOT_A_RING);
    }
    let mut ring: Vec<usize> = (0..positions.len()).collect();
    ring.sort_by(|&left, &right| clockwise(offsets[left], offsets[right]));
    if ring.windows(2).any(|pair| clockwise(offsets[pair[0]], offsets[pair[1]]) == Ordering::Equal) {
        return Err(NOT_A_RING);
    }
    if let Some(start) = ring.iter().position(|&index| index == 0) {
        ring.rotate_left(start);
    }
    Ok(ring.into_iter().map(|index| index + 1).collect())
}

/// Compares directions by angle, clockwise from straight up, in whole numbers.
fn clockwise(left: Offset, right: Offset) -> Ordering {
    let half = |offset: Offset| u8::from(offset.x < 0 || offset.x == 0 && offset.y > 0);
    let cross = i128::from(left.x) * i128::from(right.y) - i128::from(left.y) * i128::from(right.x);
    half(left).cmp(&half(right)).then(0.cmp(&cross))
}
