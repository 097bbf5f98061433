//! From the middle outwards.

use super::error::PatternError;
use super::layout::{Layout, Position};

/// A place measured from the centroid, in micrometres times the number of fasteners, so that it is whole.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) struct Offset {
    pub(super) x: i64,
    pub(super) y: i64,
}

impl Offset {
    /// The squared distance from the centroid: at most 2 × (200 × 20 m)² in micrometres, 3 × 10¹⁹.
    pub(super) fn squared(self) -> i128 {
        let square = |length: i64| i128::from(length) * i128::from(length);
        square(self.x) + square(self.y)
    }

    pub(super) fn is_image_of(self, other: Offset) -> bool {
        self != other && self.x.abs() == other.x.abs() && self.y.abs() == other.y.abs()
    }
}

pub(super) fn offsets(positions: &[Position]) -> Vec<Offset> {
    let count = positions.len() as i64;
    let middle_x: i64 = positions.iter().map(|place| place.x.whole()).sum();
    let middle_y: i64 = positions.iter().map(|place| place.y.whole()).sum();
    let from_middle = |place: &Position| Offset {
        x: place.x.whole() * count - middle_x,
        y: place.y.whole() * count - middle_y,
    };
    positions.iter().map(from_middle).collect()
}

pub(super) fn suits(layout: &Layout) -> Result<(), PatternError> {
    match layout {
        Layout::Circle { .. } => Err(PatternError::Unsuited {
            because: "on a circle no fastener is nearer the centre; use the crosswise or the circular rule",
        }),
        Layout::Line { .. } | Layout::Grid { .. } | Layout::Edge { .. } | Layout::Free(_) => Ok(()),
    }
}

pub(super) fn order(positions: &[Position]) -> Vec<usize> {
    let offsets = offsets(positions);
    let mut left: Vec<usize> = (0..positions.len()).collect();
    left.sort_by_key(|&index| (offsets[index].squared(), offsets[index]));
    let mut order = Vec::with_capacity(left.len());
    while !left.is_empty() {
        let first = left.remove(0);
        order.push(first + 1);
        let here = offsets[first];
        // The long way first: two rows then give the zig-zag, a single row left and right in turn.
        let images = [(1, -1), (-1, 1), (-1, -1)].map(|(x, y)| Offset { x: x * here.x, y: y * here.y });
        let image = images.iter().find_map(|image| left.iter().position(|&index| offsets[index] == *image));
        if let Some(place) = image {
            order.push(left.remove(place) + 1);
        }
    }
    order
}
