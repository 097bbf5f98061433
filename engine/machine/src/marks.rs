//! What a record holds beside values and clocks: sets of variables and of rules, packed into words.

use crate::layout::VarId;
use crate::words::Words;

/// Four sets in one row of bits: conditions opened since they were last looked at or written, conditions that an act wrote
/// and that must be as usual at done, settling conditions of which only a look counts, rules found broken.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Marks(Words);

/// How many members each of the sets may have.
#[derive(Clone, Copy, Debug)]
pub(crate) struct MarkSets {
    vars: usize,
    settling: usize,
    rules: usize,
}

impl MarkSets {
    pub(crate) fn new(vars: usize, settling: usize, rules: usize) -> Self {
        Self { vars, settling, rules }
    }

    pub(crate) fn none(self) -> Marks {
        Marks(Words::clear(self.words()))
    }

    /// How many words they take.
    pub(crate) fn words(self) -> usize {
        self.found(self.rules).div_ceil(64)
    }

    pub(crate) fn wrote(self, var: VarId) -> usize {
        self.vars + var.0 as usize
    }

    pub(crate) fn look_only(self, settling: usize) -> usize {
        2 * self.vars + settling
    }

    pub(crate) fn found(self, rule: usize) -> usize {
        2 * self.vars + self.settling + rule
    }
}

impl Marks {
    pub(crate) fn union(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine |= theirs);
    }

    /// Leaves what both have.
    pub fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= theirs);
    }

    /// Takes out what the other has.
    pub fn take_out(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= !theirs);
    }

    /// Whether the other has all of these.
    #[must_use]
    pub fn is_subset(&self, other: &Self) -> bool {
        self.0.iter().zip(&other.0).all(|(mine, theirs)| mine & !theirs == 0)
    }

    /// The members from one place up to another, counted from the first.
    pub(crate) fn members(&self, from: usize, to: usize) -> impl Iterator<Item = usize> + '_ {
        let words = &self.0[..to.div_ceil(64)];
        // Most of a word belongs to other sets, and most sets are empty.
        let in_word = move |at: usize| {
            let above = from.saturating_sub(at * 64);
            let below = to - at * 64;
            let left = words[at] >> above << above;
            if below < 64 { left & ((1 << below) - 1) } else { left }
        };
        let mut at = from / 64;
        let mut left = if at < words.len() { in_word(at) } else { 0 };
        std::iter::from_fn(move || {
            while left == 0 {
                at += 1;
                if at >= words.len() {
                    return None;
                }
                left = in_word(at);
            }
            let bit = left.trailing_zeros() as usize;
            left &= left - 1;
            Some(at * 64 + bit - from)
        })
    }

    pub(crate) fn has(&self, at: usize) -> bool {
        self.0[at / 64] >> (at % 64) & 1 == 1
    }

    pub(crate) fn put(&mut self, at: usize, is_in: bool) {
        if is_in {
            self.0[at / 64] |= 1 << (at % 64);
        } else {
            self.0[at / 64] &= !(1 << (at % 64));
        }
    }
}
