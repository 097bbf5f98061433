//! What a run promises at its end, and what is asked before its first step.

use crate::cube::Conjunct;

/// Why something must hold at done.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PromiseSource {
    /// The procedure's `leaves`.
    Leaves,
    /// The equipment's `normal`.
    Normal,
}

/// What must hold on every way to done.
#[derive(Clone, Copy, Debug)]
pub struct Promise {
    /// What must hold.
    pub conjunct: Conjunct,
    /// Why.
    pub source: PromiseSource,
}

/// Something that has to be so before the first step.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Asked {
    /// What must hold.
    pub conjunct: Conjunct,
    /// Why: the procedure's `requires`, or the equipment's `normal`.
    pub source: PromiseSource,
    /// Whether it is asked of the record, because it is evidence or cannot be seen then; otherwise somebody looks.
    pub by_record: bool,
}
