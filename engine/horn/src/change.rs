//! What a change draws after it: evidence that ends, clocks that begin anew, time that passes.
//!
//! The names are those of `FORM.md`, section 2. What may or may not happen to a variable there is a term for each variable here.

use form::Standing;

use crate::clock::Shows;
use crate::record::{Context, Record, has};
use crate::term::{FALSE, TRUE, Term};

impl Context<'_> {
    /// A term for each variable: at first that of none.
    pub(crate) fn none(&self) -> Vec<Term> {
        vec![FALSE; self.form.vars.len()]
    }

    /// Puts the variable, and says what was changed.
    pub(crate) fn put(&mut self, record: &mut Record, var: u32, set: &[Term], opened: Term) -> Vec<Term> {
        let form = self.form;
        let mut values = set.to_vec();
        for entry in form.settling.iter().filter(|entry| entry.var == var) {
            let from: Vec<Term> = pick(set, entry.from);
            let gives_way = self.terms.or(&from);
            for (_, term) in values.iter_mut().enumerate().filter(|(value, _)| has(entry.to, *value)) {
                *term = self.terms.or(&[*term, gives_way]);
            }
        }
        self.set_may(record, var, values);
        record.opened[var as usize] = opened;
        let mut changed = self.none();
        changed[var as usize] = TRUE;
        let mut due = self.none();
        due[var as usize] = self.fleeting(record, record, var);
        self.end_evidence(record, &mut changed, due);
        self.restart_clocks(record, &changed, TRUE);
        changed
    }

    /// Loses the variables for which the term is so, and says what was changed.
    pub(crate) fn lose(&mut self, record: &mut Record, due: Vec<Term>) -> Vec<Term> {
        let some = self.terms.or(&due);
        let mut changed = self.none();
        if some != FALSE {
            self.end_evidence(record, &mut changed, due);
            self.restart_clocks(record, &changed, some);
        }
        changed
    }

    /// Ends what is due and what becomes due by that.
    fn end_evidence(&mut self, record: &mut Record, changed: &mut [Term], mut due: Vec<Term>) {
        let form = self.form;
        let mut ended = self.none();
        // A cause of which no variable was changed in the last round was asked about in a round before: it is new no more.
        let mut recent: Vec<bool> = changed.iter().map(|it| *it != FALSE).collect();
        for _round in 0..=form.vars.len() {
            for loss in &form.lost_when {
                if !loss.when.iter().any(|part| recent[part.var as usize]) {
                    continue;
                }
                let var = loss.var as usize;
                let named: Vec<Term> = loss.when.iter().map(|part| changed[part.var as usize]).collect();
                let named = self.terms.or(&named);
                let meets = self.meets(record, &loss.when);
                let comes = self.terms.and(&[named, meets]);
                let comes = self.terms.and_not(comes, ended[var]);
                due[var] = self.terms.or(&[due[var], comes]);
            }
            if due.iter().all(|it| *it == FALSE) {
                return;
            }
            for (var, is_due) in due.iter().enumerate() {
                recent[var] = *is_due != FALSE;
                if *is_due == FALSE {
                    continue;
                }
                let values = record.may[var].clone();
                let values = values.iter().map(|value| self.terms.or(&[*value, *is_due])).collect();
                self.set_may(record, var as u32, values);
                record.opened[var] = self.terms.or(&[record.opened[var], *is_due]);
                changed[var] = self.terms.or(&[changed[var], *is_due]);
                ended[var] = self.terms.or(&[ended[var], *is_due]);
            }
            due = self.none();
        }
    }

    /// Clocks of what changed begin anew; then, where `when` is so, the record is settled.
    fn restart_clocks(&mut self, record: &mut Record, changed: &[Term], when: Term) {
        let zero = self.clocks.make(Shows::Known(0));
        for (entry, it) in self.form.settling.iter().enumerate() {
            let anew = changed[it.var as usize];
            if anew != FALSE {
                record.clock[entry] = self.clocks.make(Shows::Ite(anew, zero, record.clock[entry]));
                record.unsettled[entry] = true;
            }
        }
        self.settle(record, when);
    }

    /// Whether what is known of the variable goes at once: `stood` is the record by which it is stood over.
    pub(crate) fn fleeting(&mut self, record: &Record, stood: &Record, var: u32) -> Term {
        let all = self.terms.and(&record.may[var as usize]);
        if all == TRUE {
            return FALSE;
        }
        let stood = self.stood_over(stood, var, &mut Vec::new());
        self.terms.and_not(stood, all)
    }

    fn stood_over(&mut self, record: &Record, var: u32, asked: &mut Vec<u32>) -> Term {
        if asked.contains(&var) {
            return FALSE;
        }
        asked.push(var);
        let form = self.form;
        let mut causes = Vec::new();
        for loss in form.lost_when.iter().filter(|loss| loss.var == var) {
            let stands = match &loss.standing {
                Standing::Event => FALSE,
                Standing::Feeds => TRUE,
                Standing::ByItself { falling, stood_over } => {
                    let mut any = Vec::new();
                    for entry in falling {
                        let entry = &form.settling[*entry as usize];
                        any.push(self.touches(record, form::Part { var: entry.var, set: entry.from }));
                    }
                    for other in stood_over {
                        any.push(self.stood_over(record, *other, asked));
                    }
                    self.terms.or(&any)
                }
            };
            let meets = self.meets(record, &loss.when);
            causes.push(self.terms.and(&[stands, meets]));
        }
        asked.pop();
        self.terms.or(&causes)
    }

    /// Settles the record where `when` is so.
    ///
    /// An entry that is its variable's only one is passed over if nothing that it reads was changed since it was settled last: what
    /// the first pass does is done already, and the second too (`HORN.md`, "Settled already"). For it `when` is no matter
    /// either: where that is not so nothing was changed.
    pub(crate) fn settle(&mut self, record: &mut Record, when: Term) {
        let form = self.form;
        for (entry, it) in form.settling.iter().enumerate() {
            if !record.unsettled[entry] {
                continue;
            }
            let when = if self.is_one_of_several(entry) { when } else { TRUE };
            let remains = self.touches(record, form::Part { var: it.var, set: it.from });
            let is_over = self.terms.and_not(when, remains);
            let after = self.clocks.make(Shows::Known(it.after));
            record.clock[entry] = self.clocks.make(Shows::Ite(is_over, after, record.clock[entry]));
            let gains = self.terms.and(&[when, remains]);
            let values = record.may[it.var as usize].clone().into_iter().enumerate();
            let values = values.map(
                |(value, term)| {
                    if has(it.to, value) { self.terms.or(&[term, gains]) } else { term }
                },
            );
            let values = values.collect();
            self.set_may(record, it.var, values);
        }
        for (entry, it) in form.settling.iter().enumerate() {
            let Some(holds) = it.holds.as_ref().filter(|_| record.unsettled[entry]) else { continue };
            let when = if self.is_one_of_several(entry) { when } else { TRUE };
            let remains = self.touches(record, form::Part { var: it.var, set: it.from });
            let holds = self.holds(record, holds);
            let stands_still = self.terms.and(&[when, remains]);
            let stands_still = self.terms.and_not(stands_still, holds);
            let zero = self.clocks.make(Shows::Known(0));
            record.clock[entry] = self.clocks.make(Shows::Ite(stands_still, zero, record.clock[entry]));
        }
        for entry in 0..form.settling.len() {
            record.unsettled[entry] = self.is_one_of_several(entry);
        }
    }

    /// So much time passes.
    pub(crate) fn pass(&mut self, record: &mut Record, millis: u64) {
        let form = self.form;
        let before = record.clone();
        let mut settled = self.none();
        for (entry, it) in form.settling.iter().enumerate() {
            let runs = match &it.holds {
                None => TRUE,
                Some(holds) => self.holds(&before, holds),
            };
            let moved = self.clocks.make(Shows::More(record.clock[entry], millis, it.after));
            record.clock[entry] = self.clocks.make(Shows::Ite(runs, moved, record.clock[entry]));
            let over = self.clocks.least(&mut self.terms, record.clock[entry], it.after);
            let over = self.terms.and(&[runs, over]);
            let over = self.terms.and_not(over, record.look_only[entry]);
            let had = self.touches(record, form::Part { var: it.var, set: it.from });
            let gone = self.terms.and(&[over, had]);
            let var = it.var as usize;
            settled[var] = self.terms.or(&[settled[var], gone]);
            let values = record.may[var].clone().into_iter().enumerate();
            let values = values.map(
                |(value, term)| {
                    if has(it.from, value) { self.terms.and_not(term, over) } else { term }
                },
            );
            let values = values.collect();
            self.set_may(record, it.var, values);
        }
        let mut due = self.none();
        for var in 0..form.vars.len() {
            if settled[var] != FALSE {
                let fleeting = self.fleeting(record, &before, var as u32);
                due[var] = self.terms.and(&[settled[var], fleeting]);
            }
        }
        self.lose(record, due);
    }
}

/// Those of the terms whose value is in the set.
fn pick(values: &[Term], set: u64) -> Vec<Term> {
    values.iter().enumerate().filter(|(value, _)| has(set, *value)).map(|(_, term)| *term).collect()
}
