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
    /// Promises at done: [`Obligation::Promise`].
    pub promises: usize,
    /// Questions that must have an answer: [`Obligation::Answered`].
    pub answers: usize,
    /// Places at which work can be stopped: [`Obligation::Stop`].
    pub stops: usize,
    /// What must not have changed unseen after an interruption: [`Obligation::Resume`].
    pub resumes: usize,
}

impl Counts {
    /// All of them.
    #[must_use]
    pub fn total(&self) -> usize {
        self.needs + self.rules + self.promises + self.answers + self.stops + self.resumes
    }

    /// Counts one more of a kind.
    pub fn count(&mut self, obligation: Obligation) {
        *match obligation {
            Obligation::Need { .. } => &mut self.needs,
            Obligation::Rule { .. } => &mut self.rules,
            Obligation::Promise(_) => &mut self.promises,
            Obligation::Answered(_) => &mut self.answers,
            Obligation::Stop(_) => &mut self.stops,
            Obligation::Resume { .. } => &mut self.resumes,
        } += 1;
    }
}

impl AddAssign for Counts {
    fn add_assign(&mut self, other: Self) {
        self.needs += other.needs;
        self.rules += other.rules;
        self.promises += other.promises;
        self.answers += other.answers;
        self.stops += other.stops;
        self.resumes += other.resumes;
    }
}
