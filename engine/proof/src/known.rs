//! A record on its way through a plan whose ways meet again: of each condition for itself, what is so on every way.

use crate::record::Record;
use machine::{Conjunct, Cube, Effect, Machine, VarId, Vars};

/// What is known on every way so far.
#[derive(Clone)]
pub(crate) struct Known {
    /// As a record; the rules found broken are all that may have been found so on some way.
    pub(crate) record: Record,
    /// Of what something was known at the beginning, was looked at or was written on some way. A rule is found broken by a look
    /// only where each of its conditions is among them, or holds anyway.
    touched: Vars,
    /// What was looked at on every way since it was last written.
    pub(crate) seen: Vars,
}

impl Known {
    pub(crate) fn new(machine: &Machine, record: Record) -> Self {
        let touched = record.known(machine);
        Self::among(machine, record, touched)
    }

    /// Of every record that is a part of this one and knows something of these conditions at most.
    pub(crate) fn among(machine: &Machine, record: Record, known: Vars) -> Self {
        Self { record, touched: known, seen: Vars::none(Vars::words(&machine.layout)) }
    }

    /// Whether it is of this record too, which knows nothing of others than these.
    pub(crate) fn is_of(&self, machine: &Machine, record: &Record, these: &Vars) -> bool {
        record.is_part_of(&self.record)
            && (these.is_within(&self.touched) || record.known(machine).is_within(&self.touched))
    }

    /// The side of a look on which the condition has one of the values.
    pub(crate) fn look(&mut self, machine: &Machine, conjunct: Conjunct) {
        let mut written = self.record.look(machine, conjunct);
        self.wrote(&written);
        self.touched.add(conjunct.var);
        self.seen.add(conjunct.var);
        written.push(conjunct.var);
        for &rule in machine.speaking_of(&written).iter() {
            let when = &machine.rules[rule].when;
            let told = |part: &Conjunct| self.touched.has(part.var) || self.record.surely(machine, *part);
            if self.record.meets(machine, when) && when.0.iter().all(told) {
                self.record.find(machine, rule);
            }
        }
    }

    /// Nobody can tell any more what the condition is.
    pub(crate) fn lose(&mut self, machine: &Machine, var: VarId) {
        let written = self.record.lose(machine, var);
        self.wrote(&written);
    }

    /// Acts, or gives the rule that this may newly break or come to; then nothing of it counts.
    pub(crate) fn act<'m>(&mut self, machine: &'m Machine, effects: &[Effect]) -> Result<(), &'m Cube> {
        let mut record = self.record.clone();
        let written = record.act(machine, effects)?;
        self.record = record;
        self.wrote(&written);
        Ok(())
    }

    /// What is known whichever of two ways was taken.
    pub(crate) fn either(mut self, other: &Self) -> Self {
        self.record = self.record.either(&other.record);
        self.touched.join(&other.touched);
        self.seen.keep(&other.seen);
        self
    }

    fn wrote(&mut self, written: &[VarId]) {
        for &var in written {
            self.touched.add(var);
            self.seen.remove(var);
        }
    }
}
