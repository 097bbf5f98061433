//! Sets of variables, one bit each.

use crate::layout::{Layout, VarId};
use crate::words::Words;

/// A set of variables.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Vars(pub(crate) Words);

impl Vars {
    /// How many words a set takes.
    #[must_use]
    pub fn words(layout: &Layout) -> usize {
        layout.ids().count().div_ceil(64).max(1)
    }

    /// The empty set, in so many words.
    #[must_use]
    pub fn none(words: usize) -> Self {
        Self(Words::clear(words))
    }

    /// The set of these, in so many words.
    pub(crate) fn of(words: usize, vars: impl IntoIterator<Item = VarId>) -> Self {
        let mut set = Self::none(words);
        vars.into_iter().for_each(|var| set.add(var));
        set
    }

    /// Whether a variable is in it.
    #[must_use]
    pub fn has(&self, var: VarId) -> bool {
        self.0[var.0 as usize / 64] >> (var.0 % 64) & 1 == 1
    }

    /// How many there are.
    #[must_use]
    pub fn count(&self) -> u32 {
        self.0.iter().map(|word| word.count_ones()).sum()
    }

    /// Puts a variable in.
    pub fn add(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] |= 1 << (var.0 % 64);
    }

    /// Takes a variable out.
    pub fn remove(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] &= !(1 << (var.0 % 64));
    }

    /// Whether every variable of it is in the other.
    #[must_use]
    pub fn is_within(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(mine, theirs)| mine & !theirs == 0)
    }

    /// Keeps what is in the other too.
    pub fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= theirs);
    }

    /// Adds what is in the other.
    pub fn join(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine |= theirs);
    }
}
