//! Clocks as terms of their own, and the question that is asked of them: whether so much time has passed.
//!
//! A clock is only ever put to 0, put to `after`, or moved on by a wait; and only "is it `after` by now" is asked of it. "At least t
//! after a wait of w" is "at least t - w before": so a few truth values say all of a clock that counts, without arithmetic.

use std::collections::{BTreeSet, HashMap};

use crate::term::{Bit, TRUE, Term, Terms, known};

/// A clock: an index into [`Clocks`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(crate) struct Clock(u32);

/// What a clock shows.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) enum Shows {
    /// What the entry's clock showed at the place where the move begins.
    Kept(u32),
    /// So many milliseconds.
    Known(u64),
    /// So many milliseconds more, but no more than the last number.
    More(Clock, u64, u64),
    /// The first where the term is so, else the second.
    Ite(Term, Clock, Clock),
}

/// Every clock there is.
#[derive(Default)]
pub(crate) struct Clocks {
    shows: Vec<Shows>,
    index: HashMap<Shows, Clock>,
    least: HashMap<(Clock, u64), Term>,
}

impl Clocks {
    pub(crate) fn shows(&self, clock: Clock) -> Shows {
        self.shows[clock.0 as usize]
    }

    pub(crate) fn make(&mut self, shows: Shows) -> Clock {
        match shows {
            Shows::More(clock, 0, _) => return clock,
            Shows::Ite(_, yes, no) if yes == no => return yes,
            Shows::Ite(test, yes, _) if test == TRUE => return yes,
            Shows::Ite(test, _, no) if test == known(false) => return no,
            _ => {}
        }
        if let Some(clock) = self.index.get(&shows) {
            return *clock;
        }
        let clock = Clock(u32::try_from(self.shows.len()).unwrap_or(u32::MAX));
        self.shows.push(shows);
        self.index.insert(shows, clock);
        clock
    }

    /// Whether it shows so many milliseconds at least; they are no more than `after`, so that the cap at `after` does not count.
    pub(crate) fn least(&mut self, terms: &mut Terms, clock: Clock, millis: u64) -> Term {
        if millis == 0 {
            return TRUE;
        }
        if let Some(term) = self.least.get(&(clock, millis)) {
            return *term;
        }
        let term = match self.shows(clock) {
            Shows::Kept(entry) => terms.bit(Bit::Least(entry, millis)),
            Shows::Known(shown) => known(shown >= millis),
            Shows::More(inner, more, _) => self.least(terms, inner, millis.saturating_sub(more)),
            Shows::Ite(test, yes, no) => {
                let yes = self.least(terms, yes, millis);
                let no = self.least(terms, no, millis);
                terms.ite(test, yes, no)
            }
        };
        self.least.insert((clock, millis), term);
        term
    }

    /// The terms that a clock depends on, and the entries whose clocks it goes on from.
    pub(crate) fn depends(&self, clock: Clock, terms: &mut BTreeSet<Term>, kept: &mut BTreeSet<u32>) {
        match self.shows(clock) {
            Shows::Kept(entry) => {
                kept.insert(entry);
            }
            Shows::Known(_) => {}
            Shows::More(inner, ..) => self.depends(inner, terms, kept),
            Shows::Ite(test, yes, no) => {
                terms.insert(test);
                self.depends(yes, terms, kept);
                self.depends(no, terms, kept);
            }
        }
    }
}
