//! What the steps from a place on still rely on: what some way reads before it writes it.
//!
//! Unlike what must not be projected away ([`crate::live`]), this is exact down to the items of an any-order block that are done:
//! an interruption after the last item that reads a condition takes nothing away.

use crate::live::{mark, reads, written};
use machine::{Choice, DONE, Machine, NodeId, Outcome, VarId};
use std::collections::BTreeMap;

/// When a variable is relied on at a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Relied {
    /// Whatever items are done; everywhere outside blocks that some way reads it.
    Always,
    /// Never.
    Never,
    /// While one of the first items is open; with a second set, also once all of those are done.
    Items(u64, Option<u64>),
}

/// For every node, what is relied on there.
pub(crate) struct Reliance {
    /// What is read on some way, as a set of variables a node; inside an item of a block only as far as the item goes.
    read: Vec<Vec<u64>>,
    /// Inside an item: what some way to its end does not write.
    kept: Vec<Vec<u64>>,
    blocks: BTreeMap<u32, Block>,
    /// The item that a node belongs to.
    item: Vec<Option<u8>>,
    block: Vec<Option<u32>>,
    words: usize,
}

/// A block: its choosing node, the first node of each item, and what is relied on once all are done.
struct Block {
    choosing: NodeId,
    firsts: Vec<(u8, NodeId)>,
    after: Vec<u64>,
}

impl Reliance {
    /// Backwards over the nodes until nothing is added.
    pub(crate) fn new(machine: &Machine) -> Self {
        let words = machine.layout.ids().count().div_ceil(64).max(1);
        let none = vec![vec![0; words]; machine.nodes.len()];
        let block = machine.nodes.iter().map(|node| node.block).collect();
        let item = vec![None; machine.nodes.len()];
        let mut all = Self { read: none.clone(), kept: none, blocks: BTreeMap::new(), item, block, words };
        all.find_blocks(machine);
        loop {
            let mut grown = false;
            for at in (0..machine.nodes.len()).rev() {
                grown |= all.update(machine, NodeId(at as u32));
            }
            if !grown {
                return all;
            }
        }
    }

    /// When the variable is relied on at the node.
    pub(crate) fn at(&self, node: NodeId, var: VarId) -> Relied {
        let (has, at) = (|set: &[u64]| set[var.0 as usize / 64] >> (var.0 % 64) & 1 == 1, node.0 as usize);
        if has(&self.read[at]) {
            return Relied::Always;
        }
        let Some(block) = self.block[at].and_then(|block| self.blocks.get(&block)) else {
            return Relied::Never;
        };
        let own = match self.item[at] {
            Some(_) if !has(&self.kept[at]) => return Relied::Never,
            Some(item) => 1 << item,
            None => 0,
        };
        let (mut readers, mut writers) = (0u64, 0u64);
        for &(item, first) in &block.firsts {
            readers |= u64::from(has(&self.read[first.0 as usize])) << item;
            writers |= u64::from(!has(&self.kept[first.0 as usize])) << item;
        }
        match (readers & !own, has(&block.after).then_some(writers & !own)) {
            (0, None) => Relied::Never,
            (_, Some(0)) => Relied::Always,
            (readers, after) => Relied::Items(readers, after),
        }
    }

    fn find_blocks(&mut self, machine: &Machine) {
        for (at, node) in machine.nodes.iter().enumerate() {
            let (machine::NodeKind::AnyOrder { .. }, Some(id)) = (&node.kind, node.block) else { continue };
            let choosing = NodeId(at as u32);
            let first = |outcome: &Outcome| match outcome.choice {
                Choice::Item(item) => Some((item, outcome.to.node)),
                Choice::Done
                | Choice::Pass
                | Choice::Fail
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
                    if inside && self.item[node.0 as usize].replace(item).is_none() {
                        open.extend(machine.node(node).outcomes.iter().map(|outcome| outcome.to.node));
                    }
                }
            }
            self.blocks.insert(id, Block { choosing, firsts, after: vec![0; self.words] });
        }
    }

    /// What is relied on by a step that leads to the node from outside its block.
    fn on_entry(&self, node: NodeId) -> Vec<u64> {
        let at = node.0 as usize;
        let mut set = self.read[at].clone();
        let block = self.block[at].and_then(|block| self.blocks.get(&block));
        if let Some(block) = block.filter(|block| block.choosing == node) {
            for (word, set) in set.iter_mut().enumerate() {
                let firsts = || block.firsts.iter().map(|(_, first)| first.0 as usize);
                let kept = firsts().fold(u64::MAX, |all, first| all & self.kept[first][word]);
                *set |= firsts().fold(block.after[word] & kept, |all, first| all | self.read[first][word]);
            }
        }
        set
    }

    fn update(&mut self, machine: &Machine, id: NodeId) -> bool {
        let (at, node) = (id.0 as usize, machine.node(id));
        let (mut read, mut kept) = (self.read[at].clone(), self.kept[at].clone());
        node.needs.iter().for_each(|need| mark(&mut read, need.conjunct.var));
        if id == DONE {
            machine.promises.iter().for_each(|promise| mark(&mut read, promise.conjunct.var));
        }
        let mut after_all = None;
        for outcome in &node.outcomes {
            let to = outcome.to.node;
            let inside = node.block.is_some() && machine.node(to).block == node.block;
            let set = match outcome.choice {
                // What items read is counted with those that are open.
                Choice::Item(_) => continue,
                Choice::AllItems => after_all.get_or_insert_with(|| vec![0; self.words]),
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver => &mut read,
            };
            reads(outcome, set);
            let (wrote, decides) = written(machine, outcome, self.words);
            let further = match (outcome.to.item.is_some(), inside) {
                (true, _) => vec![0; self.words],
                (false, true) => self.read[to.0 as usize].clone(),
                (false, false) => self.on_entry(to),
            };
            for (word, set) in set.iter_mut().enumerate() {
                *set |= (further[word] | decides[word]) & !wrote[word];
                kept[word] |= match (outcome.to.item.is_some(), inside) {
                    (true, _) => !wrote[word],
                    (false, true) => self.kept[to.0 as usize][word] & !wrote[word],
                    (false, false) => 0,
                };
            }
        }
        let mut grown = self.read[at] != read || self.kept[at] != kept;
        (self.read[at], self.kept[at]) = (read, kept);
        if let (Some(after), Some(block)) =
            (after_all, node.block.and_then(|block| self.blocks.get_mut(&block)))
        {
            grown |= block.after != after;
            block.after = after;
        }
        grown
    }
}
