//! Whether the work comes to its end without anything that the record ruled out.

use crate::acts::moves;
use crate::boxes::met;
use crate::meter::Budget;
use crate::order::Order;
use crate::report::{is_variant, uncovered};
use crate::shape::can_be_done;
use machine::{AbstractState, Bits, Cube, DONE, Effect, Machine, NodeId, Place, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// Variants with which no run comes to done but through a surprise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct BySurprise {
    /// Which; everything where they do not decide it.
    pub variants: Cube,
    /// The look of which only a surprise leads on to done; the last of these where there are more.
    pub look: Option<NodeId>,
}

/// Follows every run until something surprises. Nothing is told where the budget ends first.
pub(crate) fn by_surprise_alone(machine: &Machine, budget: &Budget<'_>) -> Vec<BySurprise> {
    if nothing_surprises(machine) || some_runs_end(machine) {
        return Vec::new();
    }
    let variants: BTreeSet<VarId> = machine.layout.ids().filter(|&var| is_variant(machine, var)).collect();
    let mut reached: BTreeMap<NodeId, Bits> = BTreeMap::new();
    let mut surprised: BTreeMap<(NodeId, NodeId), Bits> = BTreeMap::new();
    let mut done: Vec<AbstractState> = Vec::new();
    let whole = moves(machine, &variants, budget, &mut |at, _, step| {
        let (to, bits) = (step.state.place.node, &step.state.bits);
        if step.surprise {
            note(&mut surprised, (at, to), bits);
            return false;
        }
        note(&mut reached, to, bits);
        if to == DONE {
            done.push(step.state.clone());
        }
        true
    });
    if whole.is_none() {
        return Vec::new();
    }
    let rest = uncovered(machine, &done);
    if rest.is_empty() {
        return Vec::new();
    }
    let (order, can_be_done) = (Order::new(machine), can_be_done(machine));
    let of = |variants: Cube| {
        let meets = |bits: &Bits| variants.meets(&machine.layout, bits);
        let leads_on = |((_, to), bits): &(&(NodeId, NodeId), &Bits)| {
            can_be_done[to.0 as usize] && meets(bits) && !reached.get(to).is_some_and(meets)
        };
        let looks = surprised.iter().filter(leads_on).map(|((at, _), _)| *at);
        let look = looks.max_by_key(|at| order.key(Place::at(*at)));
        BySurprise { variants, look }
    };
    rest.into_iter().map(of).collect()
}

fn nothing_surprises(machine: &Machine) -> bool {
    let mut effects =
        machine.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|outcome| &outcome.effects);
    effects.all(|effect| match effect {
        Effect::Write(_) | Effect::Open(_) | Effect::Lose(_) => true,
        Effect::Look(_) | Effect::Find(_) | Effect::Verify(_) => false,
    })
}

/// How many places are come to for each that there is, before every run is followed.
const TRIED_FOR_EACH: usize = 4;

/// Whether a few runs, the first way first, come to done with every variant. Mostly they do, and then no other is of interest.
fn some_runs_end(machine: &Machine) -> bool {
    let mut done: Vec<AbstractState> = Vec::new();
    let mut due = vec![machine.start()];
    for _ in 0..TRIED_FOR_EACH * machine.nodes.len() {
        let Some(state) = due.pop() else { break };
        let Some(state) = met(machine, &state, &mut BTreeSet::new()) else { continue };
        let ended = done.len();
        let outcomes: Vec<usize> = machine.open(state.place).collect();
        for outcome in outcomes.into_iter().rev() {
            let steps = machine
                .step(&state, outcome)
                .into_iter()
                .filter(|step| !step.surprise && step.broken.is_empty());
            for step in steps {
                if step.state.place.node == DONE {
                    done.push(step.state);
                } else {
                    due.push(step.state);
                }
            }
        }
        if done.len() > ended && uncovered(machine, &done).is_empty() {
            return true;
        }
    }
    false
}

/// Of several sets of states each variable by itself.
fn note<K: Ord>(all: &mut BTreeMap<K, Bits>, key: K, bits: &Bits) {
    all.entry(key).and_modify(|known| known.union(bits)).or_insert_with(|| bits.clone());
}
