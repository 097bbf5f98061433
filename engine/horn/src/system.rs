//! The whole of a form as terms: what must not be at each node, the moves from it, and the start.

use std::collections::BTreeSet;

use form::Part;

use crate::moves::{Fault, Items, Move, Topic};
use crate::record::{Context, Record};
use crate::term::{Bit, FALSE, Term};

/// A node: what must not be there or on the way from it, and the ways from it.
pub(crate) struct Station {
    pub(crate) faults: Vec<Fault>,
    pub(crate) moves: Vec<Move>,
}

/// The start: a record without anything open in it.
pub(crate) struct Start {
    pub(crate) record: Record,
    pub(crate) faults: Vec<Fault>,
}

/// Everything.
pub(crate) struct System {
    pub(crate) stations: Vec<Station>,
    pub(crate) start: Start,
}

impl Context<'_> {
    pub(crate) fn system(&mut self) -> System {
        let form = self.form;
        let start = self.start();
        let mut stations = Vec::new();
        for (index, node) in form.nodes.iter().enumerate() {
            let moves = self.moves(node);
            let mut faults = Vec::new();
            let record = self.any_record();
            for need in &node.needs {
                faults.push(self.stray(&record, *need, None));
            }
            if index == 0 {
                for promise in &form.promises {
                    let owed = promise.usual.then(|| record.wrote[promise.part.var as usize]);
                    faults.push(self.stray(&record, promise.part, owed));
                }
                let found = record.found.iter().enumerate();
                faults
                    .extend(found.map(|(rule, when)| Fault { topic: Topic::Rule(rule as u32), when: *when }));
            }
            faults.extend(moves.iter().flat_map(|it| &it.faults).copied());
            stations.push(Station { faults: real(faults), moves });
        }
        System { stations, start }
    }

    /// That a variable may be outside of the part, where that is owed.
    fn stray(&mut self, record: &Record, part: Part, owed: Option<Term>) -> Fault {
        let within = self.within(record, part);
        let mut when = self.terms.not(within);
        if let Some(owed) = owed {
            when = self.terms.and(&[owed, when]);
        }
        Fault { topic: Topic::Var(part.var), when }
    }

    fn start(&mut self) -> Start {
        let form = self.form;
        let mut record = self.blank_record();
        for part in &form.start {
            let values = record.may[part.var as usize].iter().enumerate();
            let values = values.map(|(value, may)| if part.set >> value & 1 == 1 { *may } else { FALSE });
            let values = values.collect();
            self.set_may(&mut record, part.var, values);
        }
        self.settle(&mut record, crate::term::TRUE);
        let mut faults = Vec::new();
        for (rule, it) in form.rules.iter().enumerate() {
            let when = self.holds(&record, &it.when);
            faults.push(Fault { topic: Topic::Rule(rule as u32), when });
        }
        let mut due = self.none();
        for part in &form.start {
            due[part.var as usize] = self.fleeting(&record, &record, part.var);
        }
        self.lose(&mut record, due);
        for part in &form.unseen {
            faults.push(self.stray(&record, *part, None));
        }
        Start { record, faults: real(faults) }
    }

    /// What a bit is in a record, in terms of the bits at the place where the move to it began.
    pub(crate) fn value(&mut self, record: &Record, items: Option<&Items>, bit: Bit) -> Term {
        match bit {
            Bit::May(var, value) => record.may[var as usize][value as usize],
            Bit::Opened(var) => record.opened[var as usize],
            Bit::Wrote(var) => record.wrote[var as usize],
            Bit::LookOnly(entry) => record.look_only[entry as usize],
            Bit::Found(rule) => record.found[rule as usize],
            Bit::Least(entry, millis) => {
                self.clocks.least(&mut self.terms, record.clock[entry as usize], millis)
            }
            Bit::Item(item) => items.map_or(FALSE, |items| items.done[item as usize]),
            Bit::Again(item) => items.map_or(FALSE, |items| items.again[item as usize]),
            Bit::Clock(_) => FALSE,
        }
    }
}

/// The faults that may be, each once.
fn real(faults: Vec<Fault>) -> Vec<Fault> {
    let mut seen = BTreeSet::new();
    faults.into_iter().filter(|fault| fault.when != FALSE && seen.insert((fault.topic, fault.when))).collect()
}
