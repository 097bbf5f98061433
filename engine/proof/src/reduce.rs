//! Partial-order reduction: items of an any-order block that have nothing to do with each other commute.
//!
//! Items that share a condition which one of them writes, which both test while it is open, or a rule, stand in one
//! cluster and are interleaved in full. Clusters are explored one after the other: whatever a cluster meets, it meets in
//! the same way whether the others are done or not.

use crate::alike::{Alike, alike};
use machine::{AbstractState, Choice, Effect, Guard, Machine, NodeId, NodeKind, Place, STOP, VarId, Vars};
use std::collections::{BTreeMap, BTreeSet};

/// For every choosing node met so far, its clusters as sets of items, in the order in which they are explored.
#[derive(Default)]
pub(crate) struct Reduction {
    clusters: BTreeMap<NodeId, Vec<u32>>,
    /// In a part of a machine, of which nothing is told, the items that are alike: they are taken in one order alone.
    alike: Option<BTreeMap<NodeId, Vec<Alike>>>,
}

impl Reduction {
    /// The same where items that are alike are taken in one order alone.
    pub(crate) fn of_part() -> Self {
        Self { clusters: BTreeMap::new(), alike: Some(BTreeMap::new()) }
    }

    /// Items that are alike, block by block.
    pub(crate) fn alike(&self) -> impl Iterator<Item = &Alike> {
        self.alike.iter().flat_map(BTreeMap::values).flatten()
    }

    /// For each item of a block with several clusters, its nodes and what items of the others write: that may have come about
    /// before or not, wherever a person is in the item.
    pub(crate) fn beside(&self, machine: &Machine) -> Vec<(NodeId, Vec<NodeId>, Vars)> {
        let mut all = Vec::new();
        for (&choosing, clusters) in self.clusters.iter().filter(|(_, clusters)| clusters.len() > 1) {
            let NodeKind::AnyOrder { items } = machine.node(choosing).kind else { continue };
            let writes: Vec<BTreeSet<VarId>> =
                (0..items).map(|item| footprint(machine, choosing, item).writes).collect();
            for item in 0..items {
                let of = |at: &u8| clusters.iter().any(|one| one >> item & 1 == 1 && one >> at & 1 == 1);
                let mut vars = Vars::none(Vars::words(&machine.layout));
                let others = (0..items).filter(|at| !of(at)).flat_map(|at| &writes[usize::from(at)]);
                others.for_each(|&var| vars.add(var));
                let block = machine.node(choosing).block;
                let is_in = |id: &NodeId| {
                    let node = machine.node(*id);
                    node.block == block && node.item == Some(item)
                };
                let nodes = (0..machine.nodes.len() as u32).map(NodeId).filter(is_in).collect();
                all.push((choosing, nodes, vars));
            }
        }
        all
    }

    /// Finds the clusters of a block from everything that arrives at its choosing node. `asked` is what is asked wherever a
    /// person stands.
    pub(crate) fn enter(
        &mut self,
        machine: &Machine,
        asked: &BTreeSet<VarId>,
        node: NodeId,
        states: &[AbstractState],
    ) {
        let NodeKind::AnyOrder { items } = machine.node(node).kind else { return };
        let clusters = clusters(machine, asked, node, items, states);
        self.clusters.insert(node, clusters);
        if let Some(all) = &mut self.alike {
            all.insert(node, alike(machine, node));
        }
    }

    /// Whether an outcome needs to be followed from a place.
    pub(crate) fn follows(&self, machine: &Machine, place: Place, outcome: usize) -> bool {
        let Some(item) = machine.node(place.node).outcomes[outcome].choice.item() else { return true };
        self.is_first(place, item) && self.is_due(place, item)
    }

    /// Whether every item before it that is like it is done.
    fn is_first(&self, place: Place, item: u8) -> bool {
        let all = self.alike.iter().filter_map(|all| all.get(&place.node)).flatten();
        all.filter(|alike| alike.iter().any(|(of, _)| *of == item))
            .flatten()
            .all(|(of, _)| *of >= item || place.items >> of & 1 == 1)
    }

    fn is_due(&self, place: Place, item: u8) -> bool {
        let Some(clusters) = self.clusters.get(&place.node) else { return true };
        let begun = |cluster: &&u32| place.items & **cluster != 0 && place.items & **cluster != **cluster;
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

/// The footprint of an item: what it reads and writes, with everything that follows from it.
struct Footprint {
    reads: BTreeSet<VarId>,
    writes: BTreeSet<VarId>,
    tests: Vec<machine::Conjunct>,
    /// What is taken to be so where a run goes on: what it needs, and what keeps a rule from being broken or evidence from ending.
    needs: Vec<machine::Conjunct>,
    /// Whether it can leave the block for another step.
    leaves: bool,
    /// Whether time passes in it.
    waits: bool,
    /// Whether a look in it may find a rule broken, which the next act, of whatever item, has to end.
    finds: bool,
}

fn clusters(
    machine: &Machine,
    asked: &BTreeSet<VarId>,
    choosing: NodeId,
    items: u8,
    states: &[AbstractState],
) -> Vec<u32> {
    let mut footprints: Vec<Footprint> = (0..items).map(|item| footprint(machine, choosing, item)).collect();
    let settling = settling(machine, &footprints, states);
    for footprint in footprints.iter_mut().filter(|footprint| footprint.waits) {
        footprint.writes.extend(&settling);
        follow(machine, footprint);
    }
    let whole = (0..items).fold(0, |whole, item| whole | 1 << item);
    if footprints.iter().any(|footprint| footprint.leaves || footprint.finds)
        || states.iter().any(|state| !machine.found(state).is_empty())
    {
        // Whoever leaves sees the others half done; and what is found broken any of them may have to end.
        return vec![whole];
    }
    // A run goes on from a need that is not surely met as if it were, and from a rule that may be broken as if it were not: then
    // the item tells something of what is asked.
    let narrows = |footprint: &Footprint| {
        let field =
            |state: &AbstractState, need: &machine::Conjunct| state.bits.field(&machine.layout, need.var);
        let is_open =
            |need: &&machine::Conjunct| states.iter().any(|state| field(state, need) & !need.set != 0);
        footprint.needs.iter().filter(is_open).any(|need| asked.contains(&need.var))
    };
    let tells = |footprint: &Footprint| !footprint.writes.is_disjoint(asked) || narrows(footprint);
    let mut cluster: Vec<usize> = (0..footprints.len()).collect();
    for (at, one) in footprints.iter().enumerate() {
        for (other_at, other) in footprints.iter().enumerate().skip(at + 1) {
            if tells(one) || tells(other) || depend(machine, one, other, states) {
                let (from, to) = (cluster[other_at], cluster[at]);
                cluster.iter_mut().filter(|name| **name == from).for_each(|name| *name = to);
            }
        }
    }
    let mut sets: BTreeMap<usize, u32> = BTreeMap::new();
    for (item, name) in cluster.into_iter().enumerate() {
        *sets.entry(name).or_default() |= 1 << item;
    }
    sets.into_values().collect()
}

fn depend(machine: &Machine, one: &Footprint, other: &Footprint, states: &[AbstractState]) -> bool {
    let meets = |writes: &BTreeSet<VarId>, footprint: &Footprint| {
        !writes.is_disjoint(&footprint.reads) || !writes.is_disjoint(&footprint.writes)
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
fn footprint(machine: &Machine, choosing: NodeId, item: u8) -> Footprint {
    let mut footprint = Footprint {
        reads: BTreeSet::new(),
        writes: BTreeSet::new(),
        tests: Vec::new(),
        needs: Vec::new(),
        leaves: false,
        waits: false,
        finds: false,
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
        footprint.needs.extend(node.needs.iter().map(|need| need.conjunct));
        for outcome in &node.outcomes {
            if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
                footprint.tests.extend(&cube.0);
            }
            footprint.tests.extend(outcome.waits.iter().flat_map(|(cube, _)| &cube.0));
            for effect in &outcome.effects {
                // A look that contradicts the record writes.
                footprint.writes.insert(effect.var());
                if let Effect::Look(asked) = effect {
                    footprint.tests.push(*asked);
                }
                footprint.finds |= !effect.is_act() && !machine.speaking_of(&[effect.var()]).is_empty();
            }
            footprint.waits |= !outcome.waits.is_empty();
            let to = outcome.to.node;
            if to == choosing {
                continue;
            }
            if to != STOP && machine.node(to).block != block {
                footprint.leaves = true;
            } else if to != STOP {
                open.push(to);
            }
        }
    }
    footprint.tests.extend(&footprint.needs);
    footprint.reads.extend(footprint.tests.iter().map(|conjunct| conjunct.var));
    follow(machine, &mut footprint);
    footprint
}

/// What a wait in the block may settle: what has not settled on arrival, and what some item sets anew.
fn settling(machine: &Machine, footprints: &[Footprint], states: &[AbstractState]) -> Vec<VarId> {
    let open = |settling: &&machine::Settling| {
        footprints.iter().any(|footprint| footprint.writes.contains(&settling.var))
            || states.iter().any(|state| state.bits.field(&machine.layout, settling.var) & settling.from != 0)
    };
    machine.settling.iter().filter(open).map(|settling| settling.var).collect()
}

/// What ends with what an item writes, and the rules that it may break.
fn follow(machine: &Machine, footprint: &mut Footprint) {
    let otherwise = |part: &machine::Conjunct| machine::Conjunct {
        var: part.var,
        set: machine.layout.all(part.var) & !part.set,
    };
    let follows = machine.consequences(std::mem::take(&mut footprint.writes));
    footprint.writes = follows.changed;
    for cube in follows.looked_at {
        footprint.reads.extend(cube.0.iter().map(|conjunct| conjunct.var));
        // Whether evidence ends, and going on only outside a broken rule, parts what is known.
        footprint.tests.extend(&cube.0);
        footprint.needs.extend(cube.0.iter().map(otherwise));
    }
}
