//! A record whose every bit is a term: what cubes ask of it, and how two of them become one.

use form::{Cube, Form, Part};

use crate::clock::{Clock, Clocks, Shows};
use crate::term::{Bit, FALSE, TRUE, Term, Terms, known};

/// A form, and the terms and clocks that are made of it.
pub(crate) struct Context<'a> {
    pub(crate) form: &'a Form,
    pub(crate) terms: Terms,
    pub(crate) clocks: Clocks,
}

/// A record.
#[derive(Clone)]
pub(crate) struct Record {
    /// For each variable and value whether the variable may have it.
    pub(crate) may: Vec<Vec<Term>>,
    pub(crate) opened: Vec<Term>,
    pub(crate) wrote: Vec<Term>,
    pub(crate) look_only: Vec<Term>,
    pub(crate) found: Vec<Term>,
    pub(crate) clock: Vec<Clock>,
    /// Entries of `settling` for which to settle may change something: see [`Context::settle`].
    pub(crate) unsettled: Vec<bool>,
}

/// A bit for each index below `count`.
fn each(count: usize, mut bit: impl FnMut(u32) -> Term) -> Vec<Term> {
    (0..count).map(|index| bit(index as u32)).collect()
}

impl<'a> Context<'a> {
    pub(crate) fn new(form: &'a Form) -> Context<'a> {
        Context { form, terms: Terms::new(), clocks: Clocks::default() }
    }

    /// Any record at a place: each bit stands for itself.
    pub(crate) fn any_record(&mut self) -> Record {
        let form = self.form;
        let terms = &mut self.terms;
        let may = form.vars.iter().enumerate();
        let may = may.map(|(var, it)| each(it.values.len(), |value| terms.bit(Bit::May(var as u32, value))));
        let may = may.collect();
        let entries = 0..form.settling.len();
        Record {
            may,
            opened: each(form.vars.len(), |var| terms.bit(Bit::Opened(var))),
            wrote: each(form.vars.len(), |var| terms.bit(Bit::Wrote(var))),
            look_only: each(form.settling.len(), |entry| terms.bit(Bit::LookOnly(entry))),
            found: each(form.rules.len(), |rule| terms.bit(Bit::Found(rule))),
            clock: entries.clone().map(|entry| self.clocks.make(Shows::Kept(entry as u32))).collect(),
            unsettled: entries.map(|entry| self.is_one_of_several(entry)).collect(),
        }
    }

    /// The record before the start: everything may be, nothing has passed, no marks.
    pub(crate) fn blank_record(&mut self) -> Record {
        let form = self.form;
        let zero = self.clocks.make(Shows::Known(0));
        Record {
            may: form.vars.iter().map(|var| vec![TRUE; var.values.len()]).collect(),
            opened: vec![FALSE; form.vars.len()],
            wrote: vec![FALSE; form.vars.len()],
            look_only: vec![FALSE; form.settling.len()],
            found: vec![FALSE; form.rules.len()],
            clock: vec![zero; form.settling.len()],
            unsettled: vec![true; form.settling.len()],
        }
    }

    /// Whether the entry's variable has another entry.
    pub(crate) fn is_one_of_several(&self, entry: usize) -> bool {
        let var = self.form.settling[entry].var;
        self.form.settling.iter().filter(|other| other.var == var).count() > 1
    }

    /// Whether the variable may have one of the values.
    pub(crate) fn touches(&mut self, record: &Record, part: Part) -> Term {
        let inside: Vec<Term> = members(record, part, true);
        self.terms.or(&inside)
    }

    /// Whether the variable has surely one of the values.
    pub(crate) fn within(&mut self, record: &Record, part: Part) -> Term {
        let outside: Vec<Term> = members(record, part, false);
        let strays = self.terms.or(&outside);
        self.terms.not(strays)
    }

    /// Whether the cube holds.
    pub(crate) fn holds(&mut self, record: &Record, cube: &Cube) -> Term {
        let parts: Vec<Term> = cube.iter().map(|part| self.within(record, *part)).collect();
        self.terms.and(&parts)
    }

    /// Whether the cube meets.
    pub(crate) fn meets(&mut self, record: &Record, cube: &Cube) -> Term {
        let parts: Vec<Term> = cube.iter().map(|part| self.touches(record, *part)).collect();
        self.terms.and(&parts)
    }

    /// Sets what the variable may be, and remembers for which entries that may matter.
    pub(crate) fn set_may(&self, record: &mut Record, var: u32, values: Vec<Term>) {
        if record.may[var as usize] == values {
            return;
        }
        record.may[var as usize] = values;
        for (entry, it) in self.form.settling.iter().enumerate() {
            let holds = it.holds.iter().flatten();
            if it.var == var || holds.into_iter().any(|part| part.var == var) {
                record.unsettled[entry] = true;
            }
        }
    }

    /// The first record where the term is so, else the second.
    pub(crate) fn either(&mut self, test: Term, yes: &Record, no: &Record) -> Record {
        let clocks = yes.clock.iter().zip(&no.clock);
        let clock = clocks.map(|(yes, no)| self.clocks.make(Shows::Ite(test, *yes, *no))).collect();
        let may = yes.may.iter().zip(&no.may);
        Record {
            may: may.map(|(yes, no)| self.either_terms(test, yes, no)).collect(),
            opened: self.either_terms(test, &yes.opened, &no.opened),
            wrote: self.either_terms(test, &yes.wrote, &no.wrote),
            look_only: self.either_terms(test, &yes.look_only, &no.look_only),
            found: self.either_terms(test, &yes.found, &no.found),
            clock,
            unsettled: yes.unsettled.iter().zip(&no.unsettled).map(|(yes, no)| *yes || *no).collect(),
        }
    }

    pub(crate) fn either_terms(&mut self, test: Term, yes: &[Term], no: &[Term]) -> Vec<Term> {
        yes.iter().zip(no).map(|(yes, no)| self.terms.ite(test, *yes, *no)).collect()
    }
}

/// The values of the part's variable that are in its set, or that are not.
fn members(record: &Record, part: Part, inside: bool) -> Vec<Term> {
    let values = record.may[part.var as usize].iter().enumerate();
    values.filter(|(value, _)| has(part.set, *value) == inside).map(|(_, term)| *term).collect()
}

/// Whether a set has the value.
pub(crate) fn has(set: u64, value: usize) -> bool {
    set >> value & 1 == 1
}

/// A set as terms, for a variable with so many values.
pub(crate) fn set_terms(set: u64, count: usize) -> Vec<Term> {
    (0..count).map(|value| known(has(set, value))).collect()
}
