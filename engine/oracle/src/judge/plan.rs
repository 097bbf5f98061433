//! Stopping: a tree of looks, restoring acts and waits to the state in which the machine may be left (R16, R17).

use super::look::Said;
use super::model::{Judged, Restoring};
use super::record::Record;
use super::relied::bits;
use std::collections::{BTreeSet, HashMap};

/// Records of plans past which nobody goes on.
const LIMIT: usize = 30_000;

/// What is known of plans so far.
#[derive(Default)]
pub struct Planner {
    /// The records that plans come to, numbered as they were met.
    numbers: HashMap<Record, usize>,
    /// Of each whether there is a plan from it.
    ends: Vec<bool>,
}

/// A move that leads to records of which it is not yet known whether a plan ends from them.
struct Move {
    from: usize,
    /// How many of the records it leads to.
    open: usize,
}

impl Planner {
    /// Whether there is a plan from a record; `None` where there are too many records to tell.
    pub fn can_stop(&mut self, judged: &Judged, record: &Record) -> Option<bool> {
        if judged.rest.is_none() {
            return Some(true);
        }
        let mut record = record.clone();
        // What was found broken and is not so any more is over, be it owed for still.
        judged.find(&mut record, 0);
        let record = judged.for_plans(record);
        if let Some(&known) = self.numbers.get(&record) {
            return Some(self.ends[known]);
        }
        let first = self.ends.len();
        self.explore(judged, record)?;
        Some(self.ends[first])
    }

    /// All records that moves from this new one lead to, and from which of them a plan ends: where nothing is left to be done,
    /// then where some move leads only to records with a plan.
    fn explore(&mut self, judged: &Judged, from: Record) -> Option<()> {
        let first = self.ends.len();
        let mut met = Vec::new();
        self.number(from, &mut met)?;
        let (mut moves, mut led_to, mut ended): (Vec<Move>, Vec<Vec<usize>>, Vec<usize>) = Default::default();
        let mut next = 0;
        while next < met.len() {
            let from = first + next;
            let at_rest = judged.at_rest(&met[next]);
            if at_rest {
                ended.push(from);
            }
            let onwards = if at_rest { Vec::new() } else { judged.moves(&met[next]) };
            next += 1;
            for to in onwards {
                let to =
                    to.into_iter().map(|to| self.number(to, &mut met)).collect::<Option<Vec<usize>>>()?;
                led_to.resize_with(met.len(), Vec::new);
                let open: Vec<usize> = to.into_iter().filter(|&to| !self.ends[to]).collect();
                if open.is_empty() {
                    ended.push(from);
                } else if open.iter().all(|&to| to >= first) {
                    open.iter().for_each(|to| led_to[to - first].push(moves.len()));
                    moves.push(Move { from, open: open.len() });
                }
            }
        }
        while let Some(record) = ended.pop() {
            if std::mem::replace(&mut self.ends[record], true) {
                continue;
            }
            for &of in led_to.get(record - first).into_iter().flatten() {
                moves[of].open -= 1;
                if moves[of].open == 0 {
                    ended.push(moves[of].from);
                }
            }
        }
        Some(())
    }

    /// The number of a record, and a new one if it was not met before; `None` where there are too many.
    fn number(&mut self, record: Record, met: &mut Vec<Record>) -> Option<usize> {
        if let Some(&known) = self.numbers.get(&record) {
            return Some(known);
        }
        let number = self.ends.len();
        if number > LIMIT {
            return None;
        }
        met.push(record.clone());
        self.numbers.insert(record, number);
        self.ends.push(false);
        Some(number)
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

    /// What plans read, a bit each.
    pub(super) fn read_by_plans(&self) -> u64 {
        let acts = self.restoring.iter().map(|act| &act.needs);
        let rules = self.rules.iter().map(|(_, when)| when).chain(&self.released);
        let of_conditions = self.vars.iter().flat_map(|of| {
            of.lost.iter().chain([&of.seen_when]).chain(of.settles.iter().map(|settles| &settles.holds))
        });
        let read = acts.chain(rules).chain(of_conditions).chain(&self.rest);
        read.fold(0, |read, cube| read | bits(cube))
    }

    /// The record without what no plan reads.
    fn for_plans(&self, mut record: Record) -> Record {
        record.wrote = 0;
        for var in (0..self.vars.len()).filter(|var| self.planned >> var & 1 == 0) {
            record.field[var] = self.all(var);
            record.clock[var] = 0;
        }
        record.opened &= self.planned;
        record.look_only &= self.planned;
        record
    }

    /// Moves from one record: of each all the records that it may lead to.
    fn moves(&self, record: &Record) -> Vec<Vec<Record>> {
        let mut moves = Vec::new();
        moves.extend(self.restoring.iter().filter_map(|act| self.restored(record, act)).map(|to| vec![to]));
        for time in self.waits(record) {
            let mut waited = record.clone();
            self.pass_time(&mut waited, time);
            self.find(&mut waited, 0);
            moves.push(vec![self.for_plans(waited)]);
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
            self.for_plans(seen)
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
        Some(self.for_plans(record))
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
