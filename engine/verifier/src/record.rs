//! Many records as one: what is sure of all of them, and what may be so of some and not of others.

use std::ops::Not;

/// The answer to a question about many records. The lesser of two answers is "and", the greater is "or".
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Tri {
    No,
    Either,
    Yes,
}

impl From<bool> for Tri {
    fn from(yes: bool) -> Self {
        if yes { Self::Yes } else { Self::No }
    }
}

impl Not for Tri {
    type Output = Self;

    fn not(self) -> Self {
        match self {
            Self::No => Self::Yes,
            Self::Either => Self::Either,
            Self::Yes => Self::No,
        }
    }
}

/// A variable: `may(v)` is `may` if that is exact, else some part of it that is not empty.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Known {
    pub(crate) may: u64,
    pub(crate) exact: bool,
    pub(crate) opened: Tri,
    pub(crate) wrote: Tri,
}

impl Known {
    /// Values with no word about marks. Of one value alone no smaller part is left: it is exact.
    pub(crate) fn new(may: u64, exact: bool) -> Self {
        Self { may, exact: exact || may.count_ones() == 1, opened: Tri::Either, wrote: Tri::Either }
    }

    /// Takes over the values of another, not its marks.
    pub(crate) fn set_values(&mut self, of: Self) {
        (self.may, self.exact) = (of.may, of.exact);
    }

    /// What is left of the values within the set, of those records of which something is.
    pub(crate) fn cut(self, set: u64) -> Self {
        let left = Self::new(self.may & set, self.exact);
        Self { may: left.may, exact: left.exact, ..self }
    }

    /// Whether `may(v)` and the set have something in common.
    pub(crate) fn meets(self, set: u64) -> Tri {
        match self.may & set {
            0 => Tri::No,
            common if self.exact || common == self.may => Tri::Yes,
            _ => Tri::Either,
        }
    }

    /// Whether `may(v)` is a part of the set.
    pub(crate) fn within(self, set: u64) -> Tri {
        !self.meets(!set)
    }

    /// Whether the set is a part of `may(v)`.
    pub(crate) fn has(self, set: u64) -> Tri {
        match set & !self.may {
            0 if self.exact || set == 0 => Tri::Yes,
            0 => Tri::Either,
            _ => Tri::No,
        }
    }
}

/// An entry of `settling`: `clock(s)` is `least` if that is exact, else at least that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Clock {
    pub(crate) least: u64,
    pub(crate) exact: bool,
    pub(crate) look_only: Tri,
}

impl Clock {
    /// The time is surely this.
    pub(crate) fn set(&mut self, millis: u64) {
        (self.least, self.exact) = (millis, true);
    }

    /// Whether any time has passed.
    pub(crate) fn runs(self) -> Tri {
        match self.least {
            0 if self.exact => Tri::No,
            0 => Tri::Either,
            _ => Tri::Yes,
        }
    }
}

/// The variables, entries and rules that a view speaks of, each in the order of the form.
#[derive(Clone, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct State {
    pub(crate) vars: Vec<Known>,
    pub(crate) clocks: Vec<Clock>,
    pub(crate) found: Vec<bool>,
}

impl State {
    /// As the other, without new memory.
    pub(crate) fn copy(&mut self, other: &Self) {
        self.vars.clone_from(&other.vars);
        self.clocks.clone_from(&other.clocks);
        self.found.clone_from(&other.found);
    }

    /// The record that is the set at its most: nothing less known is in it. Marks that may be either are set.
    pub(crate) fn at_most(&self) -> Self {
        let mark = |mark: Tri| if mark == Tri::No { Tri::No } else { Tri::Yes };
        let most =
            |k: &Known| Known { exact: true, opened: mark(k.opened), wrote: mark(k.wrote), may: k.may };
        let least = |c: &Clock| Clock { exact: true, look_only: mark(c.look_only), least: c.least };
        Self {
            vars: self.vars.iter().map(most).collect(),
            clocks: self.clocks.iter().map(least).collect(),
            found: self.found.clone(),
        }
    }
}
