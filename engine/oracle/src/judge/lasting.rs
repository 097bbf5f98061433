//! What does not last (R24): what time, or what feeds it, may yet change by itself.

use super::model::{Cube, Judged};
use super::record::Record;

impl Judged {
    /// What does not last, a bit each: that of which something is known, among these over which a cause stands.
    pub(super) fn fleeting(&self, record: &Record, over: u64) -> u64 {
        let known = |var: &usize| over >> var & 1 == 1 && record.field[*var] != self.all(*var);
        self.conditions().filter(known).fold(0, |all, var| all | 1 << var)
    }

    /// What does not last among these is open, all at once, though it was not written. All that was written thereby, a bit each.
    pub(super) fn lose_fleeting(&self, record: &mut Record, over: u64) -> u64 {
        let fleeting = self.fleeting(record, over);
        if fleeting == 0 { 0 } else { self.consequences(record, 0, fleeting) }
    }

    /// Of these, over which a cause stands, a bit each.
    pub(super) fn stood_over(&self, record: &Record, of: u64) -> u64 {
        if !self.conditions().any(|var| of >> var & 1 == 1 && !self.vars[var].lost.is_empty()) {
            return 0;
        }
        let may_fall = |var: usize, set: u64| {
            self.falls_into(var, set)
                && self.vars[var]
                    .settles
                    .as_ref()
                    .is_some_and(|settles| record.field[var] & settles.from != 0)
        };
        of & self.standing(|cause| record.may(cause), may_fall)
    }

    /// For every condition what decides, in some record, whether a cause stands over it, a bit each (R19).
    pub(super) fn watched(&self) -> Vec<u64> {
        let may_fall = |var: usize, set: u64| self.falls_into(var, set);
        let over = self.standing(|_| true, may_fall);
        let of = |var: usize| {
            let causes = self.vars[var].lost.iter();
            let standing = causes.filter(|cause| self.comes_about(var, cause, over, may_fall));
            standing.flatten().fold(0u64, |read, &(of, _)| read | 1 << of) & !(1 << var)
        };
        (0..self.vars.len()).map(of).collect()
    }

    /// Over what a cause stands, a bit each, where such a cause may hold and such a condition may yet fall.
    fn standing(&self, may: impl Fn(&Cube) -> bool, may_fall: impl Fn(usize, u64) -> bool + Copy) -> u64 {
        let mut over = 0u64;
        loop {
            let before = over;
            for var in self.conditions() {
                let mut causes = self.vars[var].lost.iter().filter(|cause| may(cause));
                if causes.any(|cause| self.comes_about(var, cause, before, may_fall)) {
                    over |= 1 << var;
                }
            }
            if over == before {
                return over;
            }
        }
    }

    /// Whether a cause that may hold may yet come about by itself: it feeds what it ends, or another condition in it falls, or
    /// a cause stands over that one as well.
    fn comes_about(
        &self,
        ended: usize,
        cause: &Cube,
        over: u64,
        may_fall: impl Fn(usize, u64) -> bool,
    ) -> bool {
        let by_itself =
            |&(var, set): &(usize, u64)| var != ended && (may_fall(var, set) || over >> var & 1 == 1);
        self.feeds(ended, cause) || cause.iter().any(by_itself)
    }

    /// Whether it settles only while something holds, and the cause may bring it back at any moment. A cause that names every value of
    /// a condition is that it is moved, which is over at once.
    pub(super) fn feeds(&self, var: usize, cause: &Cube) -> bool {
        let is_sustained = self.vars[var].settles.as_ref().is_some_and(|settles| !settles.holds.is_empty());
        is_sustained && cause.iter().all(|&(of, set)| set != self.all(of))
    }

    /// Whether a condition that falls comes into a set.
    fn falls_into(&self, var: usize, set: u64) -> bool {
        let settles = self.vars[var].settles.as_ref();
        settles.is_some_and(|settles| settles.from & set == 0 && settles.to & set != 0)
    }
}
