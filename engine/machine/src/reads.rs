//! Backwards over the graph of nodes: which variables some way reads before it writes them.

use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Choice, DONE, Effect, Guard, Node, NodeId, NodeKind, Outcome, Place};
use crate::words::Words;
use std::collections::{BTreeMap, BTreeSet};

/// A set of variables, one bit each.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Set(Words);

impl Set {
    fn empty(words: usize) -> Self {
        Self(Words::clear(words))
    }

    fn of(words: usize, vars: impl IntoIterator<Item = VarId>) -> Self {
        let mut set = Self::empty(words);
        vars.into_iter().for_each(|var| set.insert(var));
        set
    }

    fn has(&self, var: VarId) -> bool {
        self.0[var.0 as usize / 64] >> (var.0 % 64) & 1 == 1
    }

    fn insert(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] |= 1 << (var.0 % 64);
    }

    fn remove(&mut self, var: VarId) {
        self.0[var.0 as usize / 64] &= !(1 << (var.0 % 64));
    }

    fn keep(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine &= theirs);
    }

    fn add(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(mine, theirs)| *mine |= theirs);
    }
}

/// What a machine's outcomes read and write, worked out once.
pub(crate) struct Effects {
    words: usize,
    /// For every effect, what decides whether evidence ends by it and, of an act, whether a rule is broken.
    decides: BTreeMap<(Conjunct, bool), Set>,
    /// For every condition for which time counts only under others, or in vain beside others, those.
    sustained: BTreeMap<VarId, Set>,
}

impl Effects {
    pub(crate) fn new(machine: &Machine) -> Self {
        let words = machine.layout.ids().count().div_ceil(64).max(1);
        let mut decides = BTreeMap::new();
        let effects =
            machine.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|outcome| &outcome.effects);
        for &effect in effects {
            let key = named(machine, effect);
            decides.entry(key).or_insert_with(|| deciding(machine, words, key));
        }
        let sustained = machine.settling.iter().filter_map(|settling| {
            let cubes = settling.holds.iter().chain(machine.standing_over(settling.var));
            let parts = cubes.flat_map(|cube| &cube.0).map(|part| part.var);
            let parts: Vec<VarId> = parts.filter(|&var| var != settling.var).collect();
            (!parts.is_empty()).then(|| (settling.var, Set::of(words, parts)))
        });
        Self { words, decides, sustained: sustained.collect() }
    }

    /// Whether what time does to the variable hangs on others.
    pub(crate) fn is_sustained(&self, var: VarId) -> bool {
        self.sustained.contains_key(&var)
    }

    /// What is relied on before an outcome, where `set` is relied on after it: needs apart.
    fn before(&self, machine: &Machine, outcome: &Outcome, mut set: Set, steps: bool) -> Set {
        // One write after the other: a rule is judged after each, with what the later ones have not written yet.
        for effect in outcome.effects.iter().rev() {
            self.without(*effect, &mut set);
            if steps && let Some(decides) = self.decides.get(&named(machine, *effect)) {
                set.add(decides);
            }
        }
        if !outcome.waits.is_empty() {
            let waited: Vec<&Set> =
                self.sustained.iter().filter(|(var, _)| set.has(**var)).map(|(_, under)| under).collect();
            waited.into_iter().for_each(|under| set.add(under));
        }
        if steps {
            tests(outcome).for_each(|var| set.insert(var));
        }
        set
    }

    /// What an outcome does not write, of `set`.
    fn kept(&self, outcome: &Outcome, mut set: Set) -> Set {
        outcome.effects.iter().for_each(|effect| self.without(*effect, &mut set));
        set
    }

    /// What is relied on before an effect, for its own sake alone: whoever writes or looks finds out.
    fn without(&self, effect: Effect, set: &mut Set) {
        match effect {
            Effect::Write(_)
            | Effect::Open(_)
            | Effect::Look(_)
            | Effect::Find(_)
            | Effect::Lose(_)
            | Effect::Verify(_) => set.remove(effect.var()),
        }
    }
}

/// The values that an effect names, and whether an act does it.
fn named(machine: &Machine, effect: Effect) -> (Conjunct, bool) {
    let var = effect.var();
    let any = Conjunct { var, set: machine.layout.all(var) };
    match effect {
        Effect::Write(made) => (made, true),
        Effect::Open(_) => (any, true),
        Effect::Look(seen) | Effect::Find(seen) => (seen, false),
        Effect::Lose(_) => (any, false),
        // Nothing is written: what was is seen.
        Effect::Verify(_) => (Conjunct { var, set: 0 }, false),
    }
}

/// What decides whether evidence ends because a variable gets these values and, if an act does that, whether a rule is broken:
/// the other conditions of causes and rules whose own part of it they meet.
fn deciding(machine: &Machine, words: usize, (named, rules): (Conjunct, bool)) -> Set {
    let made = machine.settled_too(named);
    let mut ended: BTreeSet<VarId> = BTreeSet::new();
    let meets = |cube: &Cube, ended: &BTreeSet<VarId>| {
        cube.0
            .iter()
            .any(|part| part.var == made.var && part.set & made.set != 0 || ended.contains(&part.var))
    };
    let causes = loop {
        let causes: Vec<_> = machine.lost_when.iter().filter(|lost| meets(&lost.when, &ended)).collect();
        let now: BTreeSet<VarId> = causes.iter().map(|lost| lost.var).collect();
        if now == ended {
            break causes;
        }
        ended = now;
    };
    let broken =
        machine.rules.iter().filter(|rule| rules && meets(&rule.when, &ended)).map(|rule| &rule.when);
    // What comes to be known has to last.
    let is_known = named.set != 0 && named.set != machine.layout.all(named.var);
    let standing = machine.standing_over(named.var).filter(|_| is_known);
    let cubes = causes.into_iter().map(|lost| &lost.when).chain(broken).chain(standing);
    let parts = cubes.flat_map(|cube| &cube.0).map(|part| part.var);
    Set::of(words, parts.filter(|&var| var != made.var))
}

/// What decides without anybody being asked.
fn tests(outcome: &Outcome) -> impl Iterator<Item = VarId> {
    let guard = match &outcome.guard {
        Guard::Is(cube) | Guard::IsNot(cube) => &cube.0[..],
        Guard::Always => &[],
    };
    outcome.waits.iter().flat_map(|(cube, _)| &cube.0).chain(guard).map(|conjunct| conjunct.var)
}

/// For every place, what some way reads before it writes it.
#[derive(Clone, Debug)]
pub(crate) struct Reads {
    nodes: Vec<AtNode>,
    blocks: BTreeMap<u32, Block>,
    /// The conditions for which time counts only under others.
    sustained: Vec<VarId>,
}

#[derive(Clone, Debug)]
struct AtNode {
    /// What is read on some way; inside an item of a block only as far as the item goes.
    read: Set,
    /// Inside an item: what some way to its end does not write.
    kept: Set,
    /// Inside an item, for each condition for which time counts only under others: those others, where a wait comes before the
    /// end of the item and the condition is not written after it. They are read if the condition is read after the item.
    waited: Vec<Set>,
    block: Option<u32>,
    /// The item of the block that it belongs to.
    item: Option<u8>,
}

/// A block: its choosing node, the first node of each item, and what is read once all are done.
#[derive(Clone, Debug)]
struct Block {
    choosing: NodeId,
    firsts: Vec<(u8, NodeId)>,
    after: Set,
}

impl Reads {
    /// `at_done` is read there; without `steps` that alone counts, and what a wait for it counts under.
    pub(crate) fn new(machine: &Machine, effects: &Effects, at_done: &[VarId], steps: bool) -> Self {
        let of = |node: &Node| AtNode {
            read: Set::empty(effects.words),
            kept: Set::empty(effects.words),
            waited: Vec::new(),
            block: node.block,
            item: None,
        };
        let sustained = effects.sustained.keys().copied().collect();
        let nodes = machine.nodes.iter().map(of).collect();
        let mut all = Self { nodes, blocks: BTreeMap::new(), sustained };
        all.find_blocks(machine, effects.words);
        let at_done = Set::of(effects.words, at_done.iter().copied());
        loop {
            let mut grown = false;
            for at in (0..machine.nodes.len()).rev() {
                grown |= all.update(machine, effects, NodeId(at as u32), &at_done, steps);
            }
            if !grown {
                return all;
            }
        }
    }

    /// Whether some way from the place reads the variable before it writes it.
    pub(crate) fn at(&self, place: Place, var: VarId) -> bool {
        let node = &self.nodes[place.node.0 as usize];
        if node.read.has(var) {
            return true;
        }
        let Some(block) = node.block.and_then(|block| self.blocks.get(&block)) else { return false };
        let own = node.item.map_or(0, |item| 1 << item);
        let after = self.with_open(block, |item| (place.items | own) >> item & 1 == 0);
        let mut waited = self.sustained.iter().zip(&node.waited);
        (node.item.is_none() || node.kept.has(var)) && after.has(var)
            || waited.any(|(&of, under)| under.has(var) && after.has(of))
    }

    /// What is read in a block of which these items are open, and after it.
    fn with_open(&self, block: &Block, is_open: impl Fn(u8) -> bool) -> Set {
        let open = block.firsts.iter().filter(|(item, _)| is_open(*item));
        let open: Vec<&AtNode> = open.map(|(_, first)| &self.nodes[first.0 as usize]).collect();
        let mut set = block.after.clone();
        open.iter().for_each(|item| set.keep(&item.kept));
        open.iter().for_each(|item| set.add(&item.read));
        for (at, item) in open.iter().enumerate() {
            let others =
                || open.iter().enumerate().filter(move |(other, _)| *other != at).map(|(_, other)| other);
            for (&of, under) in self.sustained.iter().zip(&item.waited) {
                if others().any(|other| other.read.has(of)) {
                    set.add(under);
                } else if block.after.has(of) {
                    // Those that write it come first; they must not write what its time counts under.
                    let mut under = under.clone();
                    others().filter(|other| !other.kept.has(of)).for_each(|other| under.keep(&other.kept));
                    set.add(&under);
                }
            }
        }
        set
    }

    fn find_blocks(&mut self, machine: &Machine, words: usize) {
        for (at, node) in machine.nodes.iter().enumerate() {
            let (NodeKind::AnyOrder { .. }, Some(id)) = (&node.kind, node.block) else { continue };
            let choosing = NodeId(at as u32);
            let first = |outcome: &Outcome| match outcome.choice {
                Choice::Item(item) => Some((item, outcome.to.node)),
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Is(_)
                | Choice::CannotTell
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver
                | Choice::AllItems => None,
            };
            let firsts: Vec<(u8, NodeId)> = node.outcomes.iter().filter_map(first).collect();
            for &(item, first) in &firsts {
                let mut open = vec![first];
                while let Some(node) = open.pop() {
                    let inside = node != choosing && machine.node(node).block == Some(id);
                    let at = &mut self.nodes[node.0 as usize];
                    if inside && at.item.replace(item).is_none() {
                        at.waited = vec![Set::empty(words); self.sustained.len()];
                        open.extend(machine.node(node).outcomes.iter().map(|outcome| outcome.to.node));
                    }
                }
            }
            self.blocks.insert(id, Block { choosing, firsts, after: Set::empty(words) });
        }
    }

    /// What is read from a node on where it is entered from outside its block.
    fn on_entry(&self, node: NodeId) -> Set {
        let mut set = self.nodes[node.0 as usize].read.clone();
        let block = self.nodes[node.0 as usize].block.and_then(|block| self.blocks.get(&block));
        if let Some(block) = block.filter(|block| block.choosing == node) {
            set.add(&self.with_open(block, |_| true));
        }
        set
    }

    fn update(
        &mut self,
        machine: &Machine,
        effects: &Effects,
        id: NodeId,
        at_done: &Set,
        steps: bool,
    ) -> bool {
        let (at, node) = (id.0 as usize, machine.node(id));
        let (mut read, mut kept) = (self.nodes[at].read.clone(), self.nodes[at].kept.clone());
        if steps {
            node.needs.iter().for_each(|need| read.insert(need.conjunct.var));
        }
        if id == DONE {
            read.add(at_done);
        }
        let mut waited = self.nodes[at].waited.clone();
        let mut after_all = None;
        for outcome in &node.outcomes {
            let to = outcome.to.node;
            let inside = node.block.is_some() && machine.node(to).block == node.block;
            let ends_item = outcome.to.item.is_some();
            let further = match (ends_item, inside) {
                (true, _) => Set::empty(effects.words),
                (false, true) => self.nodes[to.0 as usize].read.clone(),
                (false, false) => self.on_entry(to),
            };
            match outcome.choice {
                // What items read is counted with those that are open.
                Choice::Item(_) => continue,
                Choice::AllItems => {
                    let after = after_all.get_or_insert_with(|| Set::empty(effects.words));
                    after.add(&effects.before(machine, outcome, further, steps));
                }
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Is(_)
                | Choice::CannotTell
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver => read.add(&effects.before(machine, outcome, further, steps)),
            }
            let further = match (ends_item, inside) {
                (true, _) => Set::of(effects.words, machine.layout.ids()),
                (false, true) => self.nodes[to.0 as usize].kept.clone(),
                (false, false) => Set::empty(effects.words),
            };
            let kept_by_it = effects.kept(outcome, further);
            for (place, (waited, &of)) in waited.iter_mut().zip(&self.sustained).enumerate() {
                let after = self.nodes[to.0 as usize].waited.get(place).filter(|_| inside && !ends_item);
                let mut under =
                    after.map_or_else(|| Set::empty(effects.words), |set| effects.kept(outcome, set.clone()));
                if !outcome.waits.is_empty() && kept_by_it.has(of) {
                    under.add(&effects.sustained[&of]);
                }
                waited.add(&under);
            }
            kept.add(&kept_by_it);
        }
        let here = &mut self.nodes[at];
        let mut grown = here.read != read || here.kept != kept || here.waited != waited;
        (here.read, here.kept, here.waited) = (read, kept, waited);
        if let (Some(after), Some(block)) =
            (after_all, node.block.and_then(|block| self.blocks.get_mut(&block)))
        {
            grown |= block.after != after;
            block.after = after;
        }
        grown
    }
}
