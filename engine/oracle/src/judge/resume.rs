//! Going on after an interruption: what of the record does not outlast it (R19).

use super::model::{Judged, Settling};
use super::record::Record;

impl Judged {
    /// The conditions relied on, a bit each, of which something is known that nobody knows any more afterwards.
    pub(super) fn not_known_again(&self, record: &Record, relied_on: u64) -> Vec<usize> {
        self.conditions()
            .filter(|&var| relied_on >> var & 1 == 1)
            .filter(|&var| record.field[var] != self.all(var) || record.clock[var] > 0)
            .filter(|&var| !self.outlasts(record, var))
            .collect()
    }

    fn outlasts(&self, record: &Record, var: usize) -> bool {
        let of = &self.vars[var];
        let has_half_run =
            |settles: &Settling| of.hidden && record.clock[var] > 0 && record.field[var] & settles.from != 0;
        let keeps = of.keeps && !of.settles.as_ref().is_some_and(has_half_run);
        if keeps || self.can_be_looked_at(record, var) {
            return true;
        }
        let is_evidence = !of.lost.is_empty() && of.settles.is_none();
        let known = |&(var, _): &(usize, u64)| self.stays(record, var) || self.is_covered(record, var);
        if is_evidence && of.lost.iter().all(|cause| cause.iter().all(known) && !record.may(cause)) {
            return true;
        }
        if of.ask && !of.hidden {
            return self.is_covered(record, var);
        }
        if is_evidence {
            return false;
        }
        let Some(settles) = of.settles.as_ref().filter(|_| of.hidden) else { return false };
        let is_brought = of.keeps || self.all(var) & !settles.from & !record.field[var] == 0;
        is_brought
            && record.surely(&settles.holds)
            && settles.holds.iter().all(|&(var, _)| self.stays(record, var))
    }

    /// Whether it can be looked at there.
    fn can_be_looked_at(&self, record: &Record, var: usize) -> bool {
        let of = &self.vars[var];
        of.ask && !of.hidden && record.surely(&of.seen_when)
    }

    fn stays(&self, record: &Record, var: usize) -> bool {
        self.vars[var].keeps || self.can_be_looked_at(record, var)
    }

    /// Whether it is surely covered by something that can be looked at, or keeps.
    fn is_covered(&self, record: &Record, var: usize) -> bool {
        let seen_when = &self.vars[var].seen_when;
        seen_when.iter().all(|&(var, _)| self.stays(record, var))
            && seen_when.iter().any(|&(var, set)| record.field[var] & set == 0)
    }
}
