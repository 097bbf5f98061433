//! A record at a place: what may be true of the machine, and how far that is known.

use crate::bits::Bits;
use crate::marks::Marks;
use crate::node::Place;
use crate::words::Words;

/// Where a procedure is and what the record entitles people to believe there: for every condition the values that it may
/// have. What a record rules out is part of it: a look that says otherwise is a surprise.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct AbstractState {
    /// Where.
    pub place: Place,
    /// For every condition, the values it may have.
    pub bits: Bits,
    /// For every settling condition, the time in milliseconds that has surely passed since it was last set while what it
    /// counts under held, at most the time it settles in. Once the value that gives way is impossible the clock stands at
    /// that time.
    pub clocks: Words,
    /// What was opened, written by acts, contradicted by a look, and found broken: see [`crate::Machine::is_opened`] and
    /// its neighbours.
    pub marks: Marks,
}

impl AbstractState {
    /// Whether everything possible by `self` is possible by `other`, with the same marks. A longer guaranteed time allows
    /// fewer states, because a settling value may fall at any moment up to its time. This alone does not mean that `other`
    /// stands for `self`: it rules out less, and so other looks are surprises.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.place == other.place
            && self.marks == other.marks
            && self.clocks.iter().zip(&other.clocks).all(|(mine, theirs)| mine >= theirs)
            && self.bits.is_subset(&other.bits)
    }

    /// What is known whichever of two records it is: of each condition, clock and mark for itself.
    pub fn widen(&mut self, other: &Self) {
        self.bits.union(&other.bits);
        let clocks = self.clocks.iter_mut().zip(&other.clocks);
        clocks.for_each(|(mine, theirs)| *mine = (*mine).min(*theirs));
        self.marks.union(&other.marks);
    }
}
