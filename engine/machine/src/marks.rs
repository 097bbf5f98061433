//! What a record holds beside values and clocks: sets of variables and of rules, packed into words.

use crate::layout::VarId;

/// Four sets in one row of bits: conditions opened since they were last looked at or written, conditions that an act wrote
/// and that must be as usual at done, settling conditions of which only a look counts, rules found broken.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Marks(Box<[u64]>);

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
        Marks(vec![0; (self.found(self.rules)).div_ceil(64)].into_boxed_slice())
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
