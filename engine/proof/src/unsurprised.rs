//! Whether the work comes to its end without anything that the record ruled out.

use crate::acts::moves;
use crate::meter::Budget;
use crate::order::Order;
use crate::report::{is_variant, uncovered};
use crate::shape::can_be_done;
use machine::{AbstractState, Bits, Cube, DONE, Machine, NodeId, Place, VarId};
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

/// Of several sets of states each variable by itself.
fn note<K: Ord>(all: &mut BTreeMap<K, Bits>, key: K, bits: &Bits) {
    all.entry(key).and_modify(|known| known.union(bits)).or_insert_with(|| bits.clone());
}
