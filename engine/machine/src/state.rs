//! An abstract state: a place, a box and the clocks of what settles.

use crate::bits::Bits;
use crate::node::Place;

/// Where a procedure is and what may be true of the machine there: a set of concrete states, each with one value a
/// condition.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AbstractState {
    /// Where.
    pub place: Place,
    /// For every condition, the values it may have.
    pub bits: Bits,
    /// For every settling condition, the time in milliseconds that has surely passed since it was last set, at most the
    /// time it settles in. Once the value that gives way is impossible the clock stands at that time.
    pub clocks: Box<[u64]>,
}

impl AbstractState {
    /// Whether every concrete state of `self` is one of `other`. A longer guaranteed time allows fewer states, because a
    /// settling value may fall at any moment up to its time.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.place == other.place
            && self.clocks.iter().zip(&other.clocks).all(|(mine, theirs)| mine >= theirs)
            && self.bits.is_subset(&other.bits)
    }
}
