//! Any order without every order: items of a block that have nothing to do with each other commute.
//!
//! Items that share a condition which one of them writes, which both test while it is open, or a rule, stand in one
//! cluster and are interleaved in full. Clusters are explored one after the other: whatever a cluster meets, it meets in
//! the same way whether the others are done or not.

use crate::plan::Planner;
use machine::{Choice, Guard, Machine, NodeId, NodeKind, Place, STOP, State, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// For every choosing node met so far, its clusters as sets of items, in the order in which they are explored.
#[derive(Default)]
pub(crate) struct Reduction {
    clusters: BTreeMap<NodeId, Vec<u64>>,
}

impl Reduction {
    /// Finds the clusters of a block from everything that arrives at its choosing node.
    pub(crate) fn enter(
        &mut self,
        machine: &Machine,
        planner: Option<&Planner<'_>>,
        lapsing: &BTreeSet<VarId>,
        node: NodeId,
        states: &[&State],
    ) {
        let NodeKind::AnyOrder { items } = machine.node(node).kind else { return };
        // What is asked wherever a person stands: whether the machine can be left, and what lapses there.
        let asked = planner.iter().flat_map(|planner| planner.relevant()).chain(lapsing).copied().collect();
        let clusters = clusters(machine, &asked, node, items, states);
        self.clusters.insert(node, clusters);
    }

    /// Whether an outcome needs to be followed from a place.
    pub(crate) fn follows(&self, machine: &Machine, place: Place, outcome: usize) -> bool {
        let Choice::Item(item) = machine.node(place.node).outcomes[outcome].choice else { return true };
        let Some(clusters) = self.clusters.get(&place.node) else { return true };
        let begun = |cluster: &&u64| place.items & **cluster != 0 && place.items & **cluster != **cluster;
        // A cluster that was begun is finished before another.
        let due = match clusters.iter().find(begun) {
            Some(cluster) => *cluster,
            // Each cluster is also explored alone from the beginning: a shortest run needs no other, and nothing of it is
            // hidden by one before it that no run gets through.
            None if place.items == 0 => return true,
            None => {
                let first_open = clusters.iter().position(|cluster| place.items & cluster == 0);
                let Some(first_open) = first_open else { return false };
                // Clusters done out of turn lead nowhere new.
                if clusters[first_open..].iter().any(|cluster| place.items & cluster != 0) {
                    return false;
                }
                clusters[first_open]
            }
        };
        due >> item & 1 == 1
    }
}

/// What an item reads and writes, with everything that follows from it.
struct Touch {
    reads: BTreeSet<VarId>,
    writes: BTreeSet<VarId>,
    tests: Vec<machine::Conjunct>,
    /// Whether it can leave the block for another step.
    leaves: bool,
    /// Whether time passes in it.
    waits: bool,
}

fn clusters(
    machine: &Machine,
    asked: &BTreeSet<VarId>,
    choosing: NodeId,
    items: u8,
    states: &[&State],
) -> Vec<u64> {
    let mut touches: Vec<Touch> = (0..items).map(|item| touch(machine, choosing, item)).collect();
    let settling = settling(machine, &touches, states);
    for touch in touches.iter_mut().filter(|touch| touch.waits) {
        touch.writes.extend(&settling);
        follow(machine, touch);
    }
    let whole = if items == 64 { u64::MAX } else { (1 << items) - 1 };
    if touches.iter().any(|touch| touch.leaves) {
        // Whoever leaves sees the others half done.
        return vec![whole];
    }
    let mut cluster: Vec<usize> = (0..touches.len()).collect();
    for (at, one) in touches.iter().enumerate() {
        for (other_at, other) in touches.iter().enumerate().skip(at + 1) {
            let seen_by_the_other = !one.writes.is_disjoint(asked) || !other.writes.is_disjoint(asked);
            if seen_by_the_other || depend(machine, one, other, states) {
                let (from, to) = (cluster[other_at], cluster[at]);
                cluster.iter_mut().filter(|name| **name == from).for_each(|name| *name = to);
            }
        }
    }
    let mut sets: BTreeMap<usize, u64> = BTreeMap::new();
    for (item, name) in cluster.into_iter().enumerate() {
        *sets.entry(name).or_default() |= 1 << item;
    }
    sets.into_values().collect()
}

fn depend(machine: &Machine, one: &Touch, other: &Touch, states: &[&State]) -> bool {
    let meets = |writes: &BTreeSet<VarId>, touch: &Touch| {
        !writes.is_disjoint(&touch.reads) || !writes.is_disjoint(&touch.writes)
    };
    if meets(&one.writes, other) || meets(&other.writes, one) {
        return true;
    }
    // Both test what nobody writes: that matters only while a test can part what is known.
    let shared = |conjunct: &&machine::Conjunct| {
        one.reads.contains(&conjunct.var) && other.reads.contains(&conjunct.var)
    };
    one.tests.iter().chain(&other.tests).filter(shared).any(|conjunct| {
        states.iter().any(|state| {
            let field = state.bits.field(&machine.layout, conjunct.var);
            field & conjunct.set != 0 && field & !conjunct.set != 0
        })
    })
}

/// Follows an item from its first node back to the choosing node.
fn touch(machine: &Machine, choosing: NodeId, item: u8) -> Touch {
    let mut touch = Touch {
        reads: BTreeSet::new(),
        writes: BTreeSet::new(),
        tests: Vec::new(),
        leaves: false,
        waits: false,
    };
    let block = machine.node(choosing).block;
    let first = machine.node(choosing).outcomes.iter().find(|outcome| outcome.choice == Choice::Item(item));
    let mut open: Vec<NodeId> = first.iter().map(|outcome| outcome.to.node).collect();
    let mut seen: BTreeSet<NodeId> = BTreeSet::new();
    while let Some(id) = open.pop() {
        if !seen.insert(id) {
            continue;
        }
        let node = machine.node(id);
        touch.tests.extend(node.needs.iter().map(|need| need.conjunct));
        for outcome in &node.outcomes {
            if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
                touch.tests.extend(cube.0.iter().filter(|conjunct| !outcome.fresh.contains(&conjunct.var)));
            }
            touch.tests.extend(outcome.waits.iter().flat_map(|(cube, _)| &cube.0));
            touch.writes.extend(outcome.fresh.iter().copied().chain(outcome.sets.iter().map(|set| set.var)));
            touch.waits |= !outcome.waits.is_empty();
            let to = outcome.to.node;
            if to == choosing {
                continue;
            }
            if to != STOP && machine.node(to).block != block {
                touch.leaves = true;
            } else if to != STOP {
                open.push(to);
            }
        }
    }
    touch.reads.extend(touch.tests.iter().map(|conjunct| conjunct.var));
    follow(machine, &mut touch);
    touch
}

/// What a wait in the block may settle: what has not settled on arrival, and what some item sets anew.
fn settling(machine: &Machine, touches: &[Touch], states: &[&State]) -> Vec<VarId> {
    let open = |settling: &&machine::Settling| {
        touches.iter().any(|touch| touch.writes.contains(&settling.var))
            || states.iter().any(|state| state.bits.field(&machine.layout, settling.var) & settling.from != 0)
    };
    machine.settling.iter().filter(open).map(|settling| settling.var).collect()
}

/// What ends with what an item writes, and the rules that it may break.
fn follow(machine: &Machine, touch: &mut Touch) {
    let follows = machine.consequences(std::mem::take(&mut touch.writes));
    touch.writes = follows.changed;
    for cube in follows.looked_at {
        touch.reads.extend(cube.0.iter().map(|conjunct| conjunct.var));
        // Whether evidence ends, and going on only outside a broken rule, parts what is known.
        touch.tests.extend(&cube.0);
    }
}
