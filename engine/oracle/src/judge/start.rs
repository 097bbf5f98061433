//! The record at the start: what was asserted (R20).

use super::fault::Fault;
use super::model::Judged;
use super::record::Record;
use super::relied::bits;
use std::collections::BTreeSet;

impl Judged {
    /// The record at the start, with what is relied on from there, unless what was asserted breaks a rule; and what goes wrong.
    pub(super) fn start(&self, relied_on: u64) -> (Option<Record>, BTreeSet<Fault>) {
        let mut faults = BTreeSet::new();
        let mut record = self.nothing_known();
        let (unseen, mut asserted): (Vec<_>, Vec<_>) =
            self.requires.iter().copied().partition(|&(var, _)| self.vars[var].hidden);
        for var in self.conditions().filter(|&var| relied_on >> var & 1 == 1 && !self.vars[var].hidden) {
            if let Some(normal) =
                self.vars[var].normal.filter(|_| !self.requires.iter().any(|&(of, _)| of == var))
            {
                asserted.push((var, normal));
            }
        }
        for &(var, set) in &asserted {
            record.field[var] = set;
        }
        self.keep_in_order(&mut record);
        for (rule, _) in self.rules.iter().filter(|(_, when)| record.surely(when)) {
            faults.insert(Fault::Rule { rule: rule.clone(), at: "start".to_owned() });
        }
        if !faults.is_empty() {
            return (None, faults);
        }
        let over = self.stood_over(&record, bits(&asserted));
        self.lose_fleeting(&mut record, over);
        for (var, set) in unseen {
            if record.field[var] & !set != 0 {
                let condition = self.vars[var].name.clone();
                faults.insert(Fault::Need { at: "start".to_owned(), condition, set });
            }
            if !self.narrow(&mut record, var, set) {
                return (None, faults);
            }
        }
        (Some(record), faults)
    }
}
