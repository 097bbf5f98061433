//! The budget, asked wherever work can be long; once it has ended it is not asked again.

use machine::Machine;
use std::cell::Cell;

/// How far an exploration may go.
pub struct Budget<'a> {
    /// How many boxes may be explored, kept for the search of a shortest run, and wait in between.
    pub boxes: usize,
    /// Asked about every millisecond; the exploration ends when it says no, and does not ask again. Lets a caller with a
    /// clock limit the time.
    pub go_on: &'a (dyn Fn() -> bool + Sync),
}

/// After how many pieces of work the budget is asked whether to go on. A piece takes about a microsecond.
const ASKED_EVERY: usize = 1000;

/// How many words a set of states may have that counts as one: those of most procedures have fewer.
const SMALL_RECORD: usize = 12;

/// The budget has ended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct BudgetExhausted;

/// Counts work and sets of states against a budget.
pub(crate) struct Meter<'a> {
    budget: &'a Budget<'a>,
    /// How many sets of states may be kept.
    most: Cell<usize>,
    sets: Cell<usize>,
    work: Cell<usize>,
    said_no: Cell<bool>,
}

impl<'a> Meter<'a> {
    pub(crate) fn new(budget: &'a Budget<'a>) -> Self {
        let most = Cell::new(budget.boxes);
        Self { budget, most, sets: Cell::new(0), work: Cell::new(0), said_no: Cell::new(false) }
    }

    /// For another search, of as many sets of states, but not of more than the budget has: they are counted afresh. Its time is
    /// not; where that has ended, little more is done.
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
        if self.said_no.get() || !(self.budget.go_on)() {
            self.said_no.set(true);
            return Err(BudgetExhausted);
        }
        Ok(())
    }

    /// So many more sets of states are kept.
    pub(crate) fn keep(&self, sets: usize) -> Result<(), BudgetExhausted> {
        self.work(sets)?;
        if self.sets.get() + sets > self.most.get() {
            return Err(BudgetExhausted);
        }
        self.sets.set(self.sets.get() + sets);
        Ok(())
    }

    /// So many sets of states wait to be explored: memory ends as the budget does, and sooner where each takes much of it.
    pub(crate) fn hold(&self, machine: &Machine, sets: usize) -> Result<(), BudgetExhausted> {
        let sets = sets.saturating_mul(machine.record_words().div_ceil(SMALL_RECORD));
        if sets > self.most.get() { Err(BudgetExhausted) } else { Ok(()) }
    }

    /// Whether there is more to be had than so many sets of states.
    pub(crate) fn goes_beyond(&self, sets: usize) -> bool {
        self.budget.boxes > sets && !self.time_is_over()
    }

    /// Whether the budget said no to going on, however few sets there are.
    pub(crate) fn time_is_over(&self) -> bool {
        self.said_no.get()
    }

    /// How many sets of states were kept.
    pub(crate) fn sets(&self) -> usize {
        self.sets.get()
    }
}
