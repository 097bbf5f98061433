//! Backwards over the graph of nodes: which variables some way reads before it writes them.

use crate::effects::{Effects, Set};
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Choice, DONE, Node, NodeId, NodeKind, Outcome, Place};
use std::collections::BTreeMap;

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
    /// Inside an item, for each item of the block that a look may offer again: the same of the ways with such a look.
    offering: Vec<Offering>,
    block: Option<u32>,
    /// The item of the block that it belongs to.
    item: Option<u8>,
}

/// What [`AtNode`] says of ways to the end of an item, of those on which a look offers another again.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Offering {
    kept: Set,
    waited: Vec<Set>,
}

/// A block: its choosing node, the first node of each item, the items that a look may offer again, and what is read once all are
/// done.
#[derive(Clone, Debug)]
struct Block {
    choosing: NodeId,
    firsts: Vec<NodeId>,
    offered: Vec<u8>,
    after: Set,
}

impl Block {
    fn all(&self) -> u32 {
        (0..self.firsts.len()).fold(0, |all, item| all | 1 << item)
    }
}

/// Which items of a block are open, and which were offered again.
#[derive(Clone, Copy)]
struct Items {
    open: u32,
    again: u32,
}

impl Items {
    fn is_open(self, item: u8) -> bool {
        self.open >> item & 1 == 1
    }

    /// Whether a look can offer the item again.
    fn may_come_back(self, item: u8) -> bool {
        (self.open | self.again) >> item & 1 == 0
    }

    /// The item was offered again.
    fn offered(self, item: u8) -> Self {
        Self { open: self.open | 1 << item, again: self.again | 1 << item }
    }

    /// The item is done.
    fn without(self, item: u8) -> Self {
        Self { open: self.open & !(1 << item), ..self }
    }
}

impl Reads {
    /// `at_done` is read there; without `steps` that alone counts, and what a wait for it counts under.
    pub(crate) fn new(machine: &Machine, effects: &Effects, at_done: &[VarId], steps: bool) -> Self {
        let of = |node: &Node| AtNode {
            read: Set::empty(effects.words),
            kept: Set::empty(effects.words),
            waited: Vec::new(),
            offering: Vec::new(),
            block: node.block,
            item: node.item,
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
        let items = Items { open: block.all() & !place.items, again: place.again };
        let Some(own) = node.item else { return self.with_open(block, items).has(var) };
        let items = items.without(own);
        let reads_on = |items: Items, kept: &Set, waited: &[Set]| {
            let mut under = self.sustained.iter().zip(waited).filter(|(_, under)| under.has(var)).peekable();
            if !kept.has(var) && under.peek().is_none() {
                return false;
            }
            let after = self.with_open(block, items);
            kept.has(var) && after.has(var) || under.any(|(&of, _)| after.has(of))
        };
        let mut offering = block.offered.iter().zip(&node.offering);
        reads_on(items, &node.kept, &node.waited)
            || offering.any(|(&item, ways)| {
                item != own
                    && items.may_come_back(item)
                    && reads_on(items.offered(item), &ways.kept, &ways.waited)
            })
    }

    /// What is read in a block of which these items are open, and after it.
    fn with_open(&self, block: &Block, items: Items) -> Set {
        let open: Vec<(u8, &AtNode)> = self.items(block).filter(|(item, _)| items.is_open(*item)).collect();
        let mut set = block.after.clone();
        open.iter().for_each(|(_, item)| set.keep(&item.kept));
        set.add(&self.inside(block, items));
        let come_to = open.iter().map(|&(item, node)| (item, node, None));
        let back = self.coming_back(block, items);
        let come_back = back.iter().map(|(item, ways)| (*item, self.first(block, *item), Some(ways)));
        for (item, node, ways) in come_to.chain(come_back).filter(|_| !self.sustained.is_empty()) {
            let others = || open.iter().filter(move |(other, _)| *other != item).map(|(_, other)| other);
            let left = items.without(item);
            let reach = |under: &Set| {
                let mut under = under.clone();
                ways.into_iter().for_each(|ways| under.keep(ways));
                under
            };
            // An item that comes back has come back.
            let left = if ways.is_some() { Items { again: left.again | 1 << item, ..left } } else { left };
            let inside = self.inside(block, left);
            for (&of, under) in self.sustained.iter().zip(&node.waited) {
                if inside.has(of) {
                    set.add(&reach(under));
                } else if block.after.has(of) {
                    // Those that write it come first; they must not write what its time counts under.
                    let mut under = reach(under);
                    others().filter(|other| !other.kept.has(of)).for_each(|other| under.keep(&other.kept));
                    set.add(&under);
                }
            }
            for (&other, way) in block.offered.iter().zip(&node.offering) {
                if other == item || !left.may_come_back(other) {
                    continue;
                }
                let inside = self.inside(block, left.offered(other));
                let waited = self.sustained.iter().zip(&way.waited);
                waited.filter(|(of, _)| inside.has(**of)).for_each(|(_, under)| set.add(&reach(under)));
            }
        }
        set
    }

    /// What is read in the items that are open, and in those that come back.
    fn inside(&self, block: &Block, items: Items) -> Set {
        let mut set = Set::empty(block.after.0.len());
        self.items(block).filter(|(item, _)| items.is_open(*item)).for_each(|(_, item)| set.add(&item.read));
        for (item, mut ways) in self.coming_back(block, items) {
            ways.keep(&self.first(block, item).read);
            set.add(&ways);
        }
        set
    }

    /// The items that a look in an open one offers again, or in one that comes back itself; each with what some way there does
    /// not write.
    fn coming_back(&self, block: &Block, items: Items) -> Vec<(u8, Set)> {
        let offered = block.offered.iter().enumerate().filter(|(_, item)| items.may_come_back(**item));
        let offered: Vec<(usize, u8)> = offered.map(|(at, &item)| (at, item)).collect();
        let none = Set::empty(block.after.0.len());
        let mut back: Vec<(u8, Set)> = offered.iter().map(|&(_, item)| (item, none.clone())).collect();
        for (&(at, _), (_, ways)) in offered.iter().zip(&mut back) {
            let open = self.items(block).filter(|(item, _)| items.is_open(*item));
            open.for_each(|(_, from)| ways.add(&from.offering[at].kept));
        }
        let mut grown = !back.is_empty();
        while std::mem::take(&mut grown) {
            for from in 0..back.len() {
                for to in (0..back.len()).filter(|&to| to != from) {
                    let mut more = back[from].1.clone();
                    more.keep(&self.first(block, offered[from].1).offering[offered[to].0].kept);
                    let before = back[to].1.clone();
                    back[to].1.add(&more);
                    grown |= back[to].1 != before;
                }
            }
        }
        back
    }

    /// The items of a block, each with its first node.
    fn items<'r>(&'r self, block: &'r Block) -> impl Iterator<Item = (u8, &'r AtNode)> {
        (0..).zip(&block.firsts).map(|(item, first)| (item, &self.nodes[first.0 as usize]))
    }

    fn first(&self, block: &Block, item: u8) -> &AtNode {
        &self.nodes[block.firsts[item as usize].0 as usize]
    }

    fn find_blocks(&mut self, machine: &Machine, words: usize) {
        for (at, node) in machine.nodes.iter().enumerate() {
            let (NodeKind::AnyOrder { .. }, Some(id)) = (&node.kind, node.block) else { continue };
            let is_item = |outcome: &&Outcome| matches!(outcome.choice, Choice::Item(_));
            let firsts = node.outcomes.iter().filter(is_item).map(|outcome| outcome.to.node).collect();
            let choosing = NodeId(at as u32);
            let block = Block { choosing, firsts, offered: Vec::new(), after: Set::empty(words) };
            self.blocks.insert(id, block);
        }
        for node in &machine.nodes {
            let Some(block) = node.block.and_then(|block| self.blocks.get_mut(&block)) else { continue };
            let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
            for item in effects.filter_map(|&effect| machine.offers(node, effect)) {
                if !block.offered.contains(&item) {
                    block.offered.push(item);
                }
            }
        }
        let waited = vec![Set::empty(words); self.sustained.len()];
        for node in self.nodes.iter_mut().filter(|node| node.item.is_some()) {
            let offered =
                node.block.and_then(|block| self.blocks.get(&block)).map_or(0, |of| of.offered.len());
            node.offering = vec![Offering { kept: Set::empty(words), waited: waited.clone() }; offered];
            node.waited.clone_from(&waited);
        }
    }

    /// What is read from a node on where it is entered from outside its block.
    fn on_entry(&self, node: NodeId) -> Set {
        let mut set = self.nodes[node.0 as usize].read.clone();
        let block = self.nodes[node.0 as usize].block.and_then(|block| self.blocks.get(&block));
        if let Some(block) = block.filter(|block| block.choosing == node) {
            set.add(&self.with_open(block, Items { open: block.all(), again: 0 }));
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
        let (mut waited, mut offering) = (self.nodes[at].waited.clone(), self.nodes[at].offering.clone());
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
            let after = if inside && !ends_item { &self.nodes[to.0 as usize].waited[..] } else { &[] };
            self.waits(effects, outcome, after, &kept_by_it, &mut waited);
            if inside {
                self.offer(machine, effects, (node, outcome), &mut offering);
            }
            kept.add(&kept_by_it);
        }
        let here = &mut self.nodes[at];
        let mut grown = here.read != read || here.kept != kept || here.waited != waited;
        grown |= here.offering != offering;
        (here.read, here.kept, here.waited, here.offering) = (read, kept, waited, offering);
        if let (Some(after), Some(block)) =
            (after_all, node.block.and_then(|block| self.blocks.get_mut(&block)))
        {
            grown |= block.after != after;
            block.after = after;
        }
        grown
    }

    /// Adds what waits rely on before an outcome, where `after` is relied on for them after it, and `kept` is not written any more.
    fn waits(&self, effects: &Effects, outcome: &Outcome, after: &[Set], kept: &Set, waited: &mut [Set]) {
        for (place, (waited, &of)) in waited.iter_mut().zip(&self.sustained).enumerate() {
            if let Some(after) = after.get(place) {
                waited.add(&effects.kept(outcome, after.clone()));
            }
            if !outcome.waits.is_empty() && kept.has(of) {
                waited.add(&effects.sustained[&of]);
            }
        }
    }

    /// The same of the ways on which a look, at once or later, offers another item again.
    fn offer(
        &self,
        machine: &Machine,
        effects: &Effects,
        (node, outcome): (&Node, &Outcome),
        offering: &mut [Offering],
    ) {
        let Some(block) = node.block.and_then(|block| self.blocks.get(&block)) else { return };
        let next = &self.nodes[outcome.to.node.0 as usize];
        let ends_item = outcome.to.item.is_some();
        for (at, (&item, all)) in block.offered.iter().zip(offering).enumerate() {
            let offers = outcome.effects.iter().any(|&effect| machine.offers(node, effect) == Some(item));
            let (mut kept, mut after) = (Set::empty(effects.words), Vec::new());
            if let Some(later) = next.offering.get(at).filter(|_| !ends_item) {
                kept.add(&later.kept);
                after.clone_from(&later.waited);
            }
            if offers && ends_item {
                machine.layout.ids().for_each(|var| kept.insert(var));
            } else if offers {
                kept.add(&next.kept);
                after.iter_mut().zip(&next.waited).for_each(|(after, waited)| after.add(waited));
            }
            let kept = effects.kept(outcome, kept);
            self.waits(effects, outcome, &after, &kept, &mut all.waited);
            all.kept.add(&kept);
        }
    }
}
