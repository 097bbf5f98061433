//! Stopping: a tree of looks, restoring acts and waits to the state in which the machine may be left (R16, R17).

use super::look::Said;
use super::model::{Judged, Restoring};
use super::record::Record;
use std::collections::{BTreeMap, BTreeSet};

/// Records of plans past which nobody goes on.
const LIMIT: usize = 30_000;

/// What is known of plans so far.
#[derive(Default)]
pub struct Planner {
    /// For each record whether there is a plan from it.
    known: BTreeMap<Record, bool>,
}

/// Moves from one record: of each all the records that it may lead to.
type Moves = Vec<Vec<Record>>;

impl Planner {
    /// Whether there is a plan from a record; `None` where there are too many records to tell.
    pub fn can_stop(&mut self, judged: &Judged, record: &Record) -> Option<bool> {
        if judged.rest.is_none() {
            return Some(true);
        }
        let record = judged.for_plans(record);
        if let Some(&known) = self.known.get(&record) {
            return Some(known);
        }
        let moves = self.reached(judged, &record)?;
        // The least set of records from which a plan ends: first where nothing is left to be done, then where some move
        // leads only to records with a plan.
        let mut ends: BTreeSet<&Record> = moves.keys().filter(|record| judged.at_rest(record)).collect();
        loop {
            let before = ends.len();
            for (record, moves) in &moves {
                let ended = |to: &Record| ends.contains(to) || self.known.get(to) == Some(&true);
                if !ends.contains(record) && moves.iter().any(|to| to.iter().all(ended)) {
                    ends.insert(record);
                }
            }
            if ends.len() == before {
                break;
            }
        }
        let found: Vec<(Record, bool)> =
            moves.keys().map(|record| (record.clone(), ends.contains(record))).collect();
        self.known.extend(found);
        self.known.get(&record).copied()
    }

    /// All records that moves lead to and of which nothing is known yet, with their moves.
    fn reached(&self, judged: &Judged, from: &Record) -> Option<BTreeMap<Record, Moves>> {
        let (mut reached, mut open) = (BTreeMap::new(), vec![from.clone()]);
        while let Some(record) = open.pop() {
            if reached.contains_key(&record) || self.known.contains_key(&record) {
                continue;
            }
            if reached.len() + self.known.len() > LIMIT {
                return None;
            }
            let moves = if judged.at_rest(&record) { Vec::new() } else { judged.moves(&record) };
            open.extend(moves.iter().flatten().cloned());
            reached.insert(record, moves);
        }
        Some(reached)
    }
}

impl Judged {
    /// Whether the machine may be left, as far as the record tells.
    fn at_rest(&self, record: &Record) -> bool {
        let broken = self
            .rules
            .iter()
            .enumerate()
            .any(|(at, (_, when))| record.found >> at & 1 == 1 && record.may(when));
        !broken && self.rest.as_ref().is_none_or(|rest| record.surely(rest))
    }

    /// The record without what no plan reads.
    fn for_plans(&self, record: &Record) -> Record {
        let mut record = record.clone();
        record.wrote = 0;
        let acts = self.restoring.iter().map(|act| &act.needs);
        let rules = self.rules.iter().map(|(_, when)| when).chain(&self.released);
        let of_conditions = self.vars.iter().flat_map(|of| {
            of.lost.iter().chain([&of.seen_when]).chain(of.settles.iter().map(|settles| &settles.holds))
        });
        let read: BTreeSet<usize> =
            acts.chain(rules).chain(of_conditions).chain(&self.rest).flatten().map(|&(var, _)| var).collect();
        for var in (0..self.vars.len()).filter(|var| !read.contains(var)) {
            record.field[var] = self.all(var);
            record.clock[var] = 0;
            record.opened &= !(1 << var);
            record.look_only &= !(1 << var);
        }
        record
    }

    fn moves(&self, record: &Record) -> Moves {
        let mut moves: Moves = Vec::new();
        moves.extend(self.restoring.iter().filter_map(|act| self.restored(record, act)).map(|to| vec![to]));
        for time in self.waits(record) {
            let mut waited = record.clone();
            self.pass_time(&mut waited, time);
            self.find(&mut waited, 0);
            moves.push(vec![self.for_plans(&waited)]);
        }
        for var in self.conditions() {
            let of = &self.vars[var];
            if !of.hidden && record.field[var].count_ones() > 1 && record.surely(&of.seen_when) {
                moves.push(self.looked(record, var));
            }
        }
        moves
    }

    /// A look at a condition that asks on until one value is it.
    fn looked(&self, record: &Record, var: usize) -> Vec<Record> {
        let values = (0..64).map(|bit| 1u64 << bit).filter(|value| record.field[var] & value != 0);
        let each = values.map(|value| {
            let mut seen = record.clone();
            let touched = self.look(&mut seen, var, value, Said::Yes).unwrap_or_default();
            self.find(&mut seen, touched);
            self.for_plans(&seen)
        });
        each.collect()
    }

    /// What a restoring act leads to, if it is possible and breaks no rule, and comes to nothing that has to be released,
    /// that is not surely so already.
    fn restored(&self, record: &Record, act: &Restoring) -> Option<Record> {
        if !record.surely(&act.needs) {
            return None;
        }
        let mut record = record.clone();
        for &(var, set, disturbs) in &act.writes {
            let before = record.clone();
            let written =
                if disturbs { self.open(&mut record, var) } else { self.write(&mut record, var, set) };
            let breaks = |when: &[(usize, u64)]| {
                when.iter().any(|&(var, _)| written >> var & 1 == 1)
                    && record.may(when)
                    && !before.surely(when)
            };
            if self.rules.iter().any(|(_, when)| breaks(when))
                || self.released.iter().any(|when| breaks(when))
            {
                return None;
            }
        }
        self.find(&mut record, 0);
        Some(self.for_plans(&record))
    }

    /// In full the times of what may settle by a wait, each once. Waiting longer may lose what does not last.
    fn waits(&self, record: &Record) -> BTreeSet<u64> {
        let waited = self.conditions().filter_map(|var| {
            let settles = self.vars[var].settles.as_ref()?;
            let counts = record.field[var] & settles.from != 0 && record.look_only >> var & 1 == 0;
            (counts && record.surely(&settles.holds)).then_some(settles.after)
        });
        waited.collect()
    }
}
