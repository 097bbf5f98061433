//! Sets of variables.

use crate::layout::VarId;
use crate::words::Words;

/// A set of variables, one bit each.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Set(pub(crate) Words);

impl Set {
    pub(crate) fn empty(words: usize) -> Self {
        Self(Words::clear(words))
    }

    pub(crate) fn of(words: usize, vars: impl IntoIterator<Item = VarId>) -> Self {
        let mut set = Self::empty(words);
        vars.into_iter().for_each(|var| set.insert(var));
        set
    }

    pub(crate) fn has(&self, var: VarId) -> bool {
        self.0[var.0 as usize / 64] >> (var.0 % 64) & 1 == 1
    }

    pub(crate) fn insert(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] |= 1 << (var.0 % 64);
    }

    pub(crate) fn remove(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] &= !(1 << (var.0 % 64));
    }

    pub(crate) fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= theirs);
    }

    pub(crate) fn add(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine |= theirs);
    }
}
