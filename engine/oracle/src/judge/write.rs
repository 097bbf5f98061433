//! Writing and opening a condition, with the consequences (R3, R4).

use super::model::{Cube, Judged};
use super::record::Record;

impl Judged {
    /// The condition has one of these values from now on. All that was written thereby, a bit each.
    pub(super) fn write(&self, record: &mut Record, var: usize, set: u64) -> u64 {
        record.field[var] = set;
        record.clock[var] = 0;
        record.opened &= !(1 << var);
        self.keep_in_order(record);
        let fleeting = self.fleeting(record, self.stood_over(record, 1 << var));
        self.consequences(record, 1 << var, fleeting)
    }

    /// What comes of it that these were written, and that these do not last, a bit each. All that was written thereby.
    pub(super) fn consequences(&self, record: &mut Record, mut written: u64, mut fleeting: u64) -> u64 {
        // Evidence that is lost: all that is due at once, then what is due because of that. Each is lost once.
        let mut lost = 0u64;
        loop {
            let mut due = fleeting;
            fleeting = 0;
            for of in self.conditions().filter(|of| lost >> of & 1 == 0) {
                let mentions = |cause: &Cube| cause.iter().any(|&(var, _)| written >> var & 1 == 1);
                if self.vars[of].lost.iter().any(|cause| mentions(cause) && record.may(cause)) {
                    due |= 1 << of;
                }
            }
            if due == 0 {
                break;
            }
            lost |= due;
            written |= due;
            record.opened |= due;
            for of in self.conditions().filter(|of| due >> of & 1 == 1) {
                record.field[of] = self.all(of);
                record.clock[of] = 0;
            }
            self.keep_in_order(record);
        }
        // A clock whose `while` does not surely hold begins anew; what has settled stays so.
        for of in self.conditions() {
            if self.vars[of].settles.as_ref().is_some_and(|settles| !record.surely(&settles.holds)) {
                record.clock[of] = 0;
            }
        }
        self.keep_in_order(record);
        written
    }

    /// The condition may have any value from now on, and counts as opened.
    pub(super) fn open(&self, record: &mut Record, var: usize) -> u64 {
        let written = self.write(record, var, self.all(var));
        record.opened |= 1 << var;
        written
    }
}
