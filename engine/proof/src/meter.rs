//! The budget, asked wherever work can be long; once it has ended it is not asked again.

use machine::Machine;
use std::cell::Cell;

/// How far an exploration may go.
pub struct Budget<'a> {
    /// How many boxes may be explored, kept for the search of a shortest run, and wait in between. The work is limited with
    /// them, so that the same input comes to the same verdict on every machine.
    pub boxes: usize,
    /// Asked about every millisecond; the exploration ends when it says no, and does not ask again. Lets a caller with a
    /// clock end what takes too long, wherever it is by then.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
}

/// After how many pieces of work the budget is asked whether to go on. A piece takes about a microsecond.
const ASKED_EVERY: usize = 1000;

/// How many words a set of states may have that counts as one: those of most procedures have fewer.
const SMALL_RECORD: usize = 12;

/// How many pieces of work may be done for each set of states of the budget: a loop of checks, of the tests, takes eleven.
const WORK_FOR_EACH: u64 = 25;

/// What of the budget has ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Limit {
    /// So many sets of states were explored, or wait to be.
    Sets,
    /// So much was done to join them, to look for plans and for runs.
    Work,
    /// The caller says that there is no more time.
    Time,
}

/// The budget has ended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BudgetExhausted;

/// Counts work and sets of states against a budget.
pub(crate) struct Meter<'a> {
    budget: &'a Budget<'a>,
    /// How many sets of states may be kept.
    most: Cell<usize>,
    sets: Cell<usize>,
    /// What was done since the budget was asked.
    work: Cell<usize>,
    /// What was done before.
    spent: Cell<u64>,
    ended: Cell<Option<Limit>>,
}

impl<'a> Meter<'a> {
    pub(crate) fn new(budget: &'a Budget<'a>) -> Self {
        let most = Cell::new(budget.boxes);
        let (sets, work, spent) = (Cell::new(0), Cell::new(0), Cell::new(0));
        Self { budget, most, sets, work, spent, ended: Cell::new(None) }
    }

    /// For another search, of as many sets of states, but not of more than the budget has: they are counted afresh. Its work
    /// and time are not; where they have ended, little more is done.
    pub(crate) fn again(&self, most: usize) {
        self.most.set(most.min(self.budget.boxes));
        self.sets.set(0);
    }

    /// So many pieces of work are about to be done.
    pub(crate) fn work(&self, pieces: usize) -> Result<(), BudgetExhausted> {
        let work = self.work.get() + pieces;
        if work < ASKED_EVERY {
            self.work.set(work);
            return Ok(());
        }
        self.work.set(0);
        self.spent.set(self.spent.get().saturating_add(work as u64));
        if self.is_over() {
            return Err(BudgetExhausted);
        }
        if self.spent.get() > WORK_FOR_EACH.saturating_mul(self.budget.boxes as u64) {
            return Err(self.end(Limit::Work));
        }
        if !(self.budget.go_on)() {
            return Err(self.end(Limit::Time));
        }
        Ok(())
    }

    /// So many more sets of states are kept.
    pub(crate) fn keep(&self, sets: usize) -> Result<(), BudgetExhausted> {
        self.work(sets)?;
        if self.sets.get() + sets > self.most.get() {
            return Err(self.end(Limit::Sets));
        }
        self.sets.set(self.sets.get() + sets);
        Ok(())
    }

    /// So many sets of states wait to be explored: memory ends as the budget does, and sooner where each takes much of it.
    pub(crate) fn hold(&self, machine: &Machine, sets: usize) -> Result<(), BudgetExhausted> {
        let sets = sets.saturating_mul(machine.record_words().div_ceil(SMALL_RECORD));
        if sets > self.most.get() { Err(self.end(Limit::Sets)) } else { Ok(()) }
    }

    /// Whether there is more to be had than so many sets of states.
    pub(crate) fn goes_beyond(&self, sets: usize) -> bool {
        self.budget.boxes > sets && !self.is_over()
    }

    /// Whether nothing more is to be done, however few sets there are.
    pub(crate) fn is_over(&self) -> bool {
        matches!(self.ended.get(), Some(Limit::Work | Limit::Time))
    }

    /// What ended last.
    pub(crate) fn limit(&self) -> Limit {
        self.ended.get().unwrap_or(Limit::Sets)
    }

    fn end(&self, limit: Limit) -> BudgetExhausted {
        if !self.is_over() {
            self.ended.set(Some(limit));
        }
        BudgetExhausted
    }

    /// How many sets of states were kept.
    pub(crate) fn sets(&self) -> usize {
        self.sets.get()
    }
}
