//! Sets of variables, one bit each.

use machine::{Machine, VarId, Words};

/// A set of variables.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Vars(Words);

impl Vars {
    /// How many words a set takes.
    pub(crate) fn words(machine: &Machine) -> usize {
        machine.layout.ids().count().div_ceil(64).max(1)
    }

    pub(crate) fn none(words: usize) -> Self {
        Self(Words::clear(words))
    }

    pub(crate) fn has(&self, var: VarId) -> bool {
        self.0[var.0 as usize / 64] >> (var.0 % 64) & 1 == 1
    }

    pub(crate) fn add(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] |= 1 << (var.0 % 64);
    }

    pub(crate) fn remove(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] &= !(1 << (var.0 % 64));
    }

    pub(crate) fn is_within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(mine, theirs)| mine & !theirs == 0)
    }

    pub(crate) fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= theirs);
    }

    pub(crate) fn join(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine |= theirs);
    }
}
