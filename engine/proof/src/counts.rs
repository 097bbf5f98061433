//! How much there is to prove, kind by kind.

use crate::obligation::Obligation;
use std::ops::AddAssign;

/// Numbers of obligations by their kind.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Counts {
    /// Preconditions: [`Obligation::Need`].
    pub needs: usize,
    /// Rules that an act, or the start, may break: [`Obligation::Rule`].
    pub rules: usize,
    /// Steps that have to end what was found broken: [`Obligation::Unmended`].
    pub mends: usize,
    /// What nobody can see and a start by hand requires: [`Obligation::Unseen`].
    pub unseen: usize,
    /// Promises at done: [`Obligation::Promise`].
    pub promises: usize,
    /// Questions that must have an answer: [`Obligation::Answered`].
    pub answers: usize,
    /// Places at which work can be stopped, and ways that lead to the stop: [`Obligation::Stop`], [`Obligation::StopAfter`] and
    /// [`Obligation::Universal`].
    pub stops: usize,
    /// What somebody must be able to make sure of again after an interruption: [`Obligation::Resume`].
    pub resumes: usize,
}

impl Counts {
    /// All of them.
    #[must_use]
    pub fn total(&self) -> usize {
        self.needs
            + self.rules
            + self.mends
            + self.unseen
            + self.promises
            + self.answers
            + self.stops
            + self.resumes
    }

    /// Counts one more of a kind.
    pub fn count(&mut self, obligation: Obligation) {
        *match obligation {
            Obligation::Need { .. } => &mut self.needs,
            Obligation::Rule { .. } => &mut self.rules,
            Obligation::Unmended(_) => &mut self.mends,
            Obligation::Unseen(_) => &mut self.unseen,
            Obligation::Promise(_) => &mut self.promises,
            Obligation::Answered(_) => &mut self.answers,
            Obligation::Stop(_) | Obligation::StopAfter(_) | Obligation::Universal => &mut self.stops,
            Obligation::Resume { .. } => &mut self.resumes,
        } += 1;
    }
}

impl AddAssign for Counts {
    fn add_assign(&mut self, other: Self) {
        self.needs += other.needs;
        self.rules += other.rules;
        self.mends += other.mends;
        self.unseen += other.unseen;
        self.promises += other.promises;
        self.answers += other.answers;
        self.stops += other.stops;
        self.resumes += other.resumes;
    }
}
