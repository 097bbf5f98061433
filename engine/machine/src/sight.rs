//! How a condition is found out.

use crate::bits::Bits;
use crate::cube::Cube;
use crate::layout::Layout;

/// How a condition is found out, and what an interruption does to what is known of it.
#[derive(Clone, Debug, Default)]
pub struct Sight {
    /// Whether there is a question that a look answers, and somebody can see it. A variant always has one.
    pub is_asked: bool,
    /// Whether nobody can see it.
    pub is_hidden: bool,
    /// What must surely hold for a look to be possible.
    pub when: Cube,
    /// Whether it is after an interruption as it was before.
    pub keeps: bool,
}

impl Sight {
    /// Whether somebody can find it out, by looking or with an instrument, where this is known.
    #[must_use]
    pub fn shows(&self, layout: &Layout, bits: &Bits) -> bool {
        !self.is_hidden && self.when.holds(layout, bits)
    }

    /// Whether a person can look at it where this is known.
    #[must_use]
    pub fn reaches(&self, layout: &Layout, bits: &Bits) -> bool {
        self.is_asked && self.when.holds(layout, bits)
    }
}
