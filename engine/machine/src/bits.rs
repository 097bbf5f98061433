//! A box: for every condition, the set of values it may have, packed into words.

use crate::layout::{Layout, VarId};
use crate::words::Words;

/// One bit for each value of each condition; a set bit means "may have this value".
///
/// A field never straddles two words, so that a set is one `u64`.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Bits(Words);

impl Bits {
    /// A box with every bit clear; not a state until each field has a value.
    #[must_use]
    pub fn clear(words: usize) -> Self {
        Self(Words::clear(words))
    }

    /// The values `var` may have, lowest bit first.
    #[must_use]
    pub fn field(&self, layout: &Layout, var: VarId) -> u64 {
        let slot = layout.slot(var);
        (self.0[slot.word] >> slot.shift) & slot.mask()
    }

    /// Replaces the values `var` may have.
    pub fn set_field(&mut self, layout: &Layout, var: VarId, values: u64) {
        let slot = layout.slot(var);
        let word = &mut self.0[slot.word];
        *word = (*word & !(slot.mask() << slot.shift)) | ((values & slot.mask()) << slot.shift);
    }

    /// Whether every state in `self` is in `other`.
    #[must_use]
    pub fn is_subset(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(mine, theirs)| mine & !theirs == 0)
    }

    /// Adds every bit of `other`: exact only where the two differ in one field.
    pub fn union(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine |= theirs;
        }
    }

    /// Leaves the bits in which the two differ.
    pub fn differ(&mut self, other: &Self) {
        for (mine, theirs) in self.0.iter_mut().zip(&other.0) {
            *mine ^= theirs;
        }
    }

    /// The packed words.
    #[must_use]
    pub fn words(&self) -> &[u64] {
        &self.0
    }
}
