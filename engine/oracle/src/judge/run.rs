//! What a way makes of one record: the records after it, and what goes wrong on it.

use super::fault::Fault;
use super::model::{Cube, Judged};
use super::place::Place;
use super::record::Record;
use super::ways::{Deed, Way};
use std::collections::BTreeSet;

impl Judged {
    /// All records after a way from a place, each with the items that are offered again because of it; and what goes wrong.
    pub(super) fn run(
        &self,
        place: &Place,
        record: &Record,
        way: &Way,
    ) -> (Vec<(Record, u64)>, BTreeSet<Fault>) {
        let mut run = Run { judged: self, place, touched: 0, faults: BTreeSet::new() };
        let mut records = vec![(record.clone(), 0)];
        for deed in &way.deeds {
            records = run.all(records, deed);
        }
        let mut records: Vec<(Record, u64)> =
            records.into_iter().map(|(record, against)| (record, self.sent_back(place, against))).collect();
        records.sort();
        records.dedup();
        (records, run.faults)
    }
}

struct Run<'a> {
    judged: &'a Judged,
    place: &'a Place,
    /// What this look has looked at or written so far, a bit each: the same on every branch but for evidence, of which
    /// more is tried than may be lost.
    touched: u64,
    faults: BTreeSet<Fault>,
}

impl Run<'_> {
    /// Each record with the conditions that looks on this way contradicted in it, a bit each.
    fn all(&mut self, records: Vec<(Record, u64)>, deed: &Deed) -> Vec<(Record, u64)> {
        let before = self.touched;
        let mut touched = before;
        let mut after = Vec::new();
        for (record, mut against) in records {
            self.touched = before;
            if let Some((var, set)) = self.judged.shown(deed) {
                against |= u64::from(record.field[var] & set == 0) << var;
            }
            let mut made = Vec::new();
            self.one(record, deed, &mut made);
            after.extend(made.into_iter().map(|record| (record, against)));
            touched |= self.touched;
        }
        self.touched = if *deed == Deed::Looked { 0 } else { touched };
        after
    }

    /// The records after a deed, added to those of others.
    fn one(&mut self, mut record: Record, deed: &Deed, after: &mut Vec<Record>) {
        let judged = self.judged;
        match deed {
            Deed::Keep(cube) => {
                if !cube.iter().all(|&(var, set)| judged.narrow(&mut record, var, set)) {
                    return;
                }
            }
            Deed::Without(cube) => return after.extend(judged.parts_without(&record, cube)),
            Deed::Time(times) => return self.time(record, times, after),
            &Deed::Look { var, set, said } => match judged.look(&mut record, var, set, said) {
                Some(touched) => self.touched |= touched,
                None => return,
            },
            &Deed::FindOut { var, set } => self.touched |= judged.find_out(&mut record, var, set),
            &Deed::Open(var) => self.touched |= judged.open(&mut record, var),
            Deed::Looked => judged.find(&mut record, self.touched),
            &Deed::Write { var, set, disturbs } => return self.write(record, var, set, disturbs, after),
            Deed::Verified(vars) => {
                for var in vars {
                    record.opened &= !(1 << var);
                    self.touched |= 1 << var;
                }
            }
            Deed::ActOver => self.over(&mut record),
            Deed::AnythingElse => {
                if record.found != 0 {
                    self.unmended(&mut record);
                }
            }
        }
        after.push(record);
    }

    /// The first time whose variants hold, each in its own part.
    fn time(&self, record: Record, times: &[(Cube, u64)], after: &mut Vec<Record>) {
        let mut rest = vec![record];
        for (cube, time) in times {
            let mut others = Vec::new();
            for record in rest {
                others.extend(self.judged.parts_without(&record, cube));
                let mut part = record;
                if cube.iter().all(|&(var, set)| self.judged.narrow(&mut part, var, set)) {
                    self.judged.pass_time(&mut part, *time);
                    after.push(part);
                }
            }
            rest = others;
        }
        after.extend(rest);
    }

    /// An act's write: what it breaks is a fault, and the run goes on with the parts that break nothing (R12).
    fn write(&mut self, mut record: Record, var: usize, set: u64, disturbs: bool, after: &mut Vec<Record>) {
        let judged = self.judged;
        let written =
            if disturbs { judged.open(&mut record, var) } else { judged.write(&mut record, var, set) };
        for var in judged.conditions().filter(|&var| judged.vars[var].normal.is_some()) {
            record.wrote |= written & 1 << var;
        }
        let breaks = |&(at, (_, when)): &(usize, &(String, Cube))| {
            let mentions = when.iter().any(|&(var, _)| written >> var & 1 == 1);
            record.found >> at & 1 == 0 && mentions && record.may(when)
        };
        let broken: Vec<&(String, Cube)> =
            judged.rules.iter().enumerate().filter(breaks).map(|(_, rule)| rule).collect();
        let mut parts = vec![record];
        for (name, when) in broken {
            let at = judged.key(&judged.begun(self.place));
            self.faults.insert(Fault::Rule { rule: name.clone(), at });
            parts = parts.iter().flat_map(|part| judged.cut(part, when)).collect();
        }
        // Between two rules nothing falls: that would bring back what the first one took away.
        parts.iter_mut().for_each(|part| judged.keep_in_order(part));
        after.append(&mut parts);
    }

    /// An act is over: of what was found broken it has ended something (R13).
    fn over(&mut self, record: &mut Record) {
        if record.found == 0 {
            return;
        }
        let before = record.found;
        self.judged.find(record, 0);
        if record.found == before {
            self.unmended(record);
        }
    }

    fn unmended(&mut self, record: &mut Record) {
        let at = self.judged.key(&self.judged.begun(self.place));
        self.faults.insert(Fault::Unmended(at));
        record.found = 0;
    }
}
