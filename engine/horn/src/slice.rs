//! What one topic is about: the places from which its obligations can be violated, and the bits that count at each of them.
//!
//! A bit counts at a place if an obligation or the guard of a move reads it there, or if what a move makes of a bit that counts at the
//! next place reads it. What does not count is left out of the predicates: nothing in the clauses would read it.

use std::collections::BTreeSet;

use crate::clock::{Clock, Shows};
use crate::moves::{Items, Move, Topic};
use crate::record::{Context, Record};
use crate::system::System;
use crate::term::{Bit, Term};

/// What stands for one bit in a clause.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Value {
    /// A truth value.
    Truth(Term),
    /// A number: a clock.
    Number(Clock),
}

/// A move between places that count.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Way {
    pub(crate) from: u32,
    pub(crate) to: u32,
    pub(crate) when: Term,
    /// One for each bit that counts at `to`, in order.
    pub(crate) values: Vec<Value>,
}

/// A topic as clauses.
#[derive(Debug)]
pub(crate) struct Slice {
    /// What counts at each node; nothing where the node does not count at all.
    pub(crate) bits: Vec<BTreeSet<Bit>>,
    pub(crate) ways: Vec<Way>,
    /// What must not be, and at which node.
    pub(crate) faults: Vec<(u32, Term)>,
    pub(crate) entry: u32,
    /// The start, if something can be violated from there: one for each bit that counts at the entry.
    pub(crate) start: Option<Vec<Value>>,
    /// Whether the start itself is violated.
    pub(crate) is_start_bad: bool,
}

/// More truth values than this for one clock, and it is a number instead.
const MOST_STEPS: usize = 16;

/// Which nodes count, and the bits that count there.
struct Live {
    bits: Vec<BTreeSet<Bit>>,
    counts: Vec<bool>,
    /// Entries whose clock is a number.
    numbers: BTreeSet<u32>,
}

/// The slice of a topic; none if nothing of it can be violated whatever the records are.
pub(crate) fn slice(context: &mut Context, system: &System, topic: Topic) -> Option<Slice> {
    let is_start_bad = system.start.faults.iter().any(|fault| fault.topic == topic);
    let reached = reached(context, system);
    let mut numbers = BTreeSet::new();
    let live = loop {
        let live = live(context, system, topic, &reached, &numbers);
        let grown: Vec<u32> = (0..context.form.settling.len() as u32)
            .filter(|entry| live.bits.iter().any(|bits| steps(bits, *entry) > MOST_STEPS))
            .collect();
        if grown.is_empty() {
            break live;
        }
        numbers.extend(grown);
    };
    let entry = context.form.entry;
    let is_reached = live.counts[entry as usize];
    if !is_reached && !is_start_bad {
        return None;
    }
    let mut ways = Vec::new();
    let mut faults = Vec::new();
    for (node, station) in system.stations.iter().enumerate().filter(|(node, _)| live.counts[*node]) {
        let at = node as u32;
        faults.extend(station.faults.iter().filter(|it| it.topic == topic).map(|it| (at, it.when)));
        for it in station.moves.iter().filter(|it| live.counts[it.to as usize]) {
            let values = values(context, &live.bits[it.to as usize], &it.record, Some(&it.items));
            ways.push(Way { from: at, to: it.to, when: it.when, values });
        }
    }
    let start = is_reached.then(|| values(context, &live.bits[entry as usize], &system.start.record, None));
    Some(Slice { bits: live.bits, ways, faults, entry, start, is_start_bad })
}

fn values(context: &mut Context, bits: &BTreeSet<Bit>, record: &Record, items: Option<&Items>) -> Vec<Value> {
    let value = |bit: &Bit| match bit {
        Bit::Clock(entry) => Value::Number(record.clock[*entry as usize]),
        bit => Value::Truth(context.value(record, items, *bit)),
    };
    bits.iter().map(value).collect()
}

impl Context<'_> {
    /// What stands for a bit that nothing was done to.
    pub(crate) fn unchanged(&mut self, bit: Bit) -> Value {
        match bit {
            Bit::Clock(entry) => Value::Number(self.clocks.make(Shows::Kept(entry))),
            bit => Value::Truth(self.terms.bit(bit)),
        }
    }

    fn read_by(&mut self, bit: Bit, it: &Move, numbers: &BTreeSet<u32>) -> BTreeSet<Bit> {
        let Bit::Clock(entry) = bit else {
            let value = self.value(&it.record, Some(&it.items), bit);
            return self.read_in(value, numbers);
        };
        let (mut terms, mut kept) = (BTreeSet::new(), BTreeSet::new());
        self.clocks.depends(it.record.clock[entry as usize], &mut terms, &mut kept);
        let mut bits: BTreeSet<Bit> = kept.into_iter().map(Bit::Clock).collect();
        for term in terms {
            bits.extend(self.read_in(term, numbers));
        }
        bits
    }

    fn read_in(&mut self, term: Term, numbers: &BTreeSet<u32>) -> BTreeSet<Bit> {
        let bits = self.terms.reads(term);
        let number = |bit: &Bit| match bit {
            Bit::Least(entry, _) if numbers.contains(entry) => Bit::Clock(*entry),
            bit => *bit,
        };
        bits.iter().map(number).collect()
    }
}

/// How many truth values stand for the entry's clock.
fn steps(bits: &BTreeSet<Bit>, entry: u32) -> usize {
    bits.iter().filter(|bit| matches!(bit, Bit::Least(of, _) if *of == entry)).count()
}

/// The nodes to which moves lead, whatever the records are.
fn reached(context: &Context, system: &System) -> Vec<bool> {
    let mut reached = vec![false; system.stations.len()];
    let mut todo = vec![context.form.entry];
    while let Some(node) = todo.pop() {
        if !reached[node as usize] {
            reached[node as usize] = true;
            todo.extend(system.stations[node as usize].moves.iter().map(|it| it.to));
        }
    }
    reached
}

fn live(
    context: &mut Context,
    system: &System,
    topic: Topic,
    reached: &[bool],
    numbers: &BTreeSet<u32>,
) -> Live {
    let count = system.stations.len();
    let mut live =
        Live { bits: vec![BTreeSet::new(); count], counts: vec![false; count], numbers: numbers.clone() };
    let mut from: Vec<BTreeSet<usize>> = vec![BTreeSet::new(); count];
    for (node, station) in system.stations.iter().enumerate().filter(|(node, _)| reached[*node]) {
        for it in &station.moves {
            from[it.to as usize].insert(node);
        }
        for fault in station.faults.iter().filter(|fault| fault.topic == topic) {
            live.counts[node] = true;
            let bits = context.read_in(fault.when, numbers);
            live.bits[node].extend(bits);
        }
    }
    // The last ones first: most moves lead forward.
    let mut todo: BTreeSet<usize> = (0..count).filter(|node| reached[*node]).collect();
    while let Some(node) = todo.pop_last() {
        if grow(context, system, node, &mut live) {
            todo.extend(from[node].iter().copied());
        }
    }
    live
}

/// Adds what the moves from a node read for what counts where they lead; whether anything was added.
fn grow(context: &mut Context, system: &System, node: usize, live: &mut Live) -> bool {
    let mut read = BTreeSet::new();
    let was_counted = live.counts[node];
    for it in &system.stations[node].moves {
        if live.counts[it.to as usize] {
            live.counts[node] = true;
            read.extend(context.read_in(it.when, &live.numbers));
            for bit in &live.bits[it.to as usize] {
                read.extend(context.read_by(*bit, it, &live.numbers));
            }
        }
    }
    let bits = &mut live.bits[node];
    let before = bits.len();
    // What has too many steps will be a number: it need not be followed to its end.
    read.retain(|bit| !matches!(bit, Bit::Least(entry, _) if steps(bits, *entry) > MOST_STEPS));
    bits.extend(read);
    bits.len() > before || live.counts[node] != was_counted
}
