//! Where ways meet: equal boxes become one, a box inside another goes, and two that differ in one variable merge, where that
//! hides nothing that the record rules out.

use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use machine::{AbstractState, Bits, Machine, Marks, Words};
use std::collections::BTreeMap;

/// Above this many boxes at one place, boxes are only merged, not compared pair by pair.
const PAIRWISE_LIMIT: usize = 256;

/// What keeps two boxes of a place apart: what is sensitive, the clocks of what is, and their marks.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Apart {
    fields: Words,
    clocks: Words,
    marks: Marks,
}

fn apart(machine: &Machine, live: &LiveVars, state: &AbstractState) -> Apart {
    let node = state.place.node;
    let fields = live.apart(machine, state);
    let mut clocks = state.clocks.clone();
    for (settling, clock) in machine.settling.iter().zip(&mut clocks) {
        if !live.is_sensitive(node, settling.var) {
            *clock = 0;
        }
    }
    Apart { fields, clocks, marks: state.marks.clone() }
}

/// Whether one box says nothing that another at the same place does not say: a part of it, with the same ruled out.
pub(crate) fn is_covered(
    machine: &Machine,
    live: &LiveVars,
    state: &AbstractState,
    by: &AbstractState,
) -> bool {
    state.is_within(by) && apart(machine, live, state) == apart(machine, live, by)
}

/// Joins the boxes at one place. Exact: what the boxes say stays the same, because two merge only where they differ in a single
/// variable that is not sensitive there, and their clocks are equal. So it also stays where the budget ends.
pub(crate) fn join(
    machine: &Machine,
    live: &LiveVars,
    states: &mut Vec<AbstractState>,
    meter: &Meter<'_>,
) -> Result<(), BudgetExhausted> {
    if states.len() < 2 {
        return Ok(());
    }
    meter.work(states.len())?;
    let mut groups: BTreeMap<Apart, Vec<AbstractState>> = BTreeMap::new();
    for state in states.drain(..) {
        groups.entry(apart(machine, live, &state)).or_default().push(state);
    }
    let mut ended = Ok(());
    for mut group in groups.into_values() {
        if ended.is_ok() {
            ended = merge(machine, live, &mut group, meter);
        }
        states.append(&mut group);
    }
    ended
}

/// Joins boxes that nothing keeps apart.
fn merge(
    machine: &Machine,
    live: &LiveVars,
    states: &mut Vec<AbstractState>,
    meter: &Meter<'_>,
) -> Result<(), BudgetExhausted> {
    loop {
        let before = states.len();
        let [first, _, ..] = &states[..] else { return Ok(()) };
        let node = first.place.node;
        let differ = differing(states);
        for var in machine.layout.ids() {
            if states.len() < 2 {
                return Ok(());
            }
            if live.is_sensitive(node, var) || differ.field(&machine.layout, var) == 0 {
                continue;
            }
            meter.work(states.len())?;
            let mut met: BTreeMap<(Bits, Words), AbstractState> = BTreeMap::new();
            for state in states.drain(..) {
                let mut rest = state.bits.clone();
                rest.set_field(&machine.layout, var, 0);
                let other = met.entry((rest, state.clocks.clone())).or_insert_with(|| state.clone());
                other.bits.union(&state.bits);
            }
            states.extend(met.into_values());
        }
        if states.len() <= PAIRWISE_LIMIT {
            meter.work(states.len() * states.len() / 16)?;
            *states = maximal(std::mem::take(states));
        }
        if states.len() == before {
            return Ok(());
        }
    }
}

/// The bits that some boxes have and others have not.
fn differing(states: &[AbstractState]) -> Bits {
    let mut differ = states[0].bits.clone();
    differ.differ(&states[0].bits);
    for state in states {
        let mut here = states[0].bits.clone();
        here.differ(&state.bits);
        differ.union(&here);
    }
    differ
}

/// Drops boxes inside another.
fn maximal(states: Vec<AbstractState>) -> Vec<AbstractState> {
    let mut kept: Vec<AbstractState> = Vec::with_capacity(states.len());
    for state in states {
        if kept.iter().any(|other| state.is_within(other)) {
            continue;
        }
        kept.retain(|other| !other.is_within(&state));
        kept.push(state);
    }
    kept
}
