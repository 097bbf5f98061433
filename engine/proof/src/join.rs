//! Where ways meet: equal boxes become one, a box inside another goes, and two that differ in one variable merge.

use crate::meter::{BudgetExhausted, Meter};
use machine::{AbstractState, Bits, Machine};
use std::collections::BTreeMap;

/// Above this many boxes at one place, boxes are only merged, not compared pair by pair.
const PAIRWISE_LIMIT: usize = 256;

/// A box with where it came from.
pub(crate) struct Arrival<P> {
    pub(crate) state: AbstractState,
    pub(crate) from: Vec<P>,
}

/// Joins the boxes at one place. Exact: the union of the boxes stays the same, because two boxes merge only where they
/// differ in a single variable and their clocks are equal. So it also stays where the budget ends.
pub(crate) fn join<P>(
    machine: &Machine,
    arrivals: &mut Vec<Arrival<P>>,
    meter: &Meter<'_>,
) -> Result<(), BudgetExhausted> {
    loop {
        let before = arrivals.len();
        for var in machine.layout.ids() {
            if arrivals.len() < 2 {
                return Ok(());
            }
            meter.work(arrivals.len())?;
            let mut met: BTreeMap<(Bits, Box<[u64]>), Arrival<P>> = BTreeMap::new();
            for arrival in arrivals.drain(..) {
                let mut rest = arrival.state.bits.clone();
                rest.set_field(&machine.layout, var, 0);
                let key = (rest, arrival.state.clocks.clone());
                match met.get_mut(&key) {
                    Some(other) => {
                        other.state.bits.union(&arrival.state.bits);
                        other.from.extend(arrival.from);
                    }
                    None => {
                        met.insert(key, arrival);
                    }
                }
            }
            arrivals.extend(met.into_values());
        }
        if arrivals.len() <= PAIRWISE_LIMIT {
            meter.work(arrivals.len() * arrivals.len() / 16)?;
            *arrivals = maximal(std::mem::take(arrivals));
        }
        if arrivals.len() == before {
            return Ok(());
        }
    }
}

/// Drops boxes inside another.
fn maximal<P>(arrivals: Vec<Arrival<P>>) -> Vec<Arrival<P>> {
    let mut kept: Vec<Arrival<P>> = Vec::with_capacity(arrivals.len());
    for arrival in arrivals {
        if kept.iter().any(|other| arrival.state.is_within(&other.state)) {
            continue;
        }
        kept.retain(|other| !other.state.is_within(&arrival.state));
        kept.push(arrival);
    }
    kept
}
