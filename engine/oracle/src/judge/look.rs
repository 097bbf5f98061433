//! What a look makes of a record (R6).

use super::model::Judged;
use super::record::Record;

/// What somebody who was asked whether a condition has one of some values says.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Said {
    /// It has.
    Yes,
    /// It has not.
    No,
    /// Nobody can tell.
    CannotTell,
}

impl Judged {
    /// A look at one condition, asked for a set. What was looked at or written thereby, a bit each; `None` where nobody can
    /// say that: there is no "no" where all values are asked for.
    pub(super) fn look(&self, record: &mut Record, var: usize, set: u64, said: Said) -> Option<u64> {
        let leaves = match said {
            Said::Yes => set,
            Said::No => self.all(var) & !set,
            Said::CannotTell => return Some(self.open(record, var)),
        };
        if leaves == 0 {
            return None;
        }
        let common = record.field[var] & leaves;
        let touched = if common == 0 {
            self.find_out(record, var, leaves)
        } else if record.opened >> var & 1 == 1 {
            self.write(record, var, common)
        } else {
            self.narrow(record, var, common);
            let over = self.stood_over(record, 1 << var);
            1 << var | self.lose_fleeting(record, over)
        };
        self.find_shown(record, var, if common == 0 { leaves } else { common });
        // What the look's own consequences opened stays so.
        Some(touched)
    }

    /// A look finds out that a condition has one of these values, whatever was believed. What settles and was contradicted is
    /// believed only by looking from then on.
    pub(super) fn find_out(&self, record: &mut Record, var: usize, set: u64) -> u64 {
        let contradicted = record.field[var] & set == 0;
        if contradicted && self.vars[var].settles.is_some() && !self.vars[var].hidden {
            record.look_only |= 1 << var;
        }
        let touched = self.write(record, var, set);
        self.find_shown(record, var, set);
        touched
    }

    /// At the look itself what settles has the value that was seen: it may give way from then on (R12).
    /// Of what something fills, too: what is told of that does not last, and yet it was so.
    fn find_shown(&self, record: &mut Record, var: usize, seen: u64) {
        if self.vars[var].settles.is_none() {
            return;
        }
        let mut then = record.clone();
        then.field[var] &= seen;
        for (at, (_, when)) in self.rules.iter().enumerate() {
            if when.iter().any(|&(of, _)| of == var) && then.surely(when) {
                record.found |= 1 << at;
            }
        }
    }

    /// Which rules are found broken after a look at these, and which are ended (R12).
    pub(super) fn find(&self, record: &mut Record, touched: u64) {
        for (at, (_, when)) in self.rules.iter().enumerate() {
            if when.iter().any(|&(var, _)| touched >> var & 1 == 1) && record.surely(when) {
                record.found |= 1 << at;
            }
            if !record.may(when) {
                record.found &= !(1 << at);
            }
        }
    }
}
