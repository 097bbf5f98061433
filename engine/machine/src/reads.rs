//! What some way from a place reads before it writes it: found by going back over the graph of nodes.

use crate::layout::VarId;
use crate::node::{NodeId, Place};
use crate::vars::Vars;
use std::collections::BTreeMap;

/// For every place, what some way reads before it writes it.
#[derive(Clone, Debug)]
pub(crate) struct Reads {
    pub(crate) nodes: Vec<AtNode>,
    pub(crate) blocks: BTreeMap<u32, Block>,
    /// The conditions for which time counts only under others.
    pub(crate) sustained: Vec<VarId>,
}

#[derive(Clone, Debug)]
pub(crate) struct AtNode {
    /// What is read on some way; inside an item of a block only as far as the item goes.
    pub(crate) read: Vars,
    /// Inside an item: what some way to its end does not write.
    pub(crate) kept: Vars,
    /// Inside an item, for each condition for which time counts only under others: those others, where a wait comes before the
    /// end of the item and the condition is not written after it. They are read if the condition is read after the item.
    pub(crate) waited: Vec<Vars>,
    /// Inside an item, for each item of the block that a look may offer again: the same of the ways with such a look.
    pub(crate) offering: Vec<Offering>,
    pub(crate) block: Option<u32>,
    /// The item of the block that it belongs to.
    pub(crate) item: Option<u8>,
}

/// What [`AtNode`] says of ways to the end of an item, of those on which a look offers another again.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Offering {
    pub(crate) kept: Vars,
    pub(crate) waited: Vec<Vars>,
}

/// A block: its choosing node, the first node of each item, the items that a look may offer again, and what is read once all are
/// done.
#[derive(Clone, Debug)]
pub(crate) struct Block {
    pub(crate) choosing: NodeId,
    pub(crate) firsts: Vec<NodeId>,
    pub(crate) offered: Vec<u8>,
    pub(crate) after: Vars,
}

impl Block {
    pub(crate) fn all(&self) -> u32 {
        (0..self.firsts.len()).fold(0, |all, item| all | 1 << item)
    }
}

/// Which items of a block are open, and which were offered again.
#[derive(Clone, Copy)]
pub(crate) struct Items {
    pub(crate) open: u32,
    pub(crate) again: u32,
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
        let reads_on = |items: Items, kept: &Vars, waited: &[Vars]| {
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
    pub(crate) fn with_open(&self, block: &Block, items: Items) -> Vars {
        let open: Vec<(u8, &AtNode)> = self.items(block).filter(|(item, _)| items.is_open(*item)).collect();
        let mut set = block.after.clone();
        open.iter().for_each(|(_, item)| set.keep(&item.kept));
        set.join(&self.inside(block, items));
        if self.sustained.is_empty() {
            return set;
        }
        let back = self.coming_back(block, items);
        let come_to = open.iter().map(|&(item, node)| (item, node, None));
        let come_back = back.iter().map(|(item, ways)| (*item, self.first(block, *item), Some(ways)));
        let all: Vec<(u8, &AtNode, Option<&Vars>)> = come_to.chain(come_back).collect();
        let mut under: Vec<Vars> =
            all.iter().map(|one| self.under_waits(block, items, *one, &open)).collect();
        self.chain(&all, &mut under);
        under.iter().for_each(|under| set.join(under));
        set
    }

    /// What the wait of one item counts under another item's wait before it may count for.
    fn chain(&self, all: &[(u8, &AtNode, Option<&Vars>)], under: &mut [Vars]) {
        let is_waited_for = |of: &VarId| under.iter().any(|under| under.has(*of));
        if !self.sustained.iter().any(is_waited_for) {
            return;
        }
        loop {
            let mut grown = false;
            for (at, (item, node, ways)) in all.iter().enumerate() {
                for (&of, reads) in self.sustained.iter().zip(&node.waited) {
                    let others = all.iter().zip(&*under).filter(|((other, ..), _)| other != item);
                    if others.map(|(_, under)| under).any(|under| under.has(of)) {
                        let more = reach(reads, *ways);
                        grown |= !more.is_within(&under[at]);
                        under[at].join(&more);
                    }
                }
            }
            if !grown {
                return;
            }
        }
    }

    /// What the waits of an item count under, for what the other items read and what comes after the block.
    fn under_waits(
        &self,
        block: &Block,
        items: Items,
        (item, node, ways): (u8, &AtNode, Option<&Vars>),
        open: &[(u8, &AtNode)],
    ) -> Vars {
        let mut set = Vars::none(block.after.0.len());
        let others = || open.iter().filter(move |(other, _)| *other != item).map(|(_, other)| other);
        let left = items.without(item);
        // An item that comes back has come back.
        let left = if ways.is_some() { Items { again: left.again | 1 << item, ..left } } else { left };
        let inside = self.inside(block, left);
        for (&of, under) in self.sustained.iter().zip(&node.waited) {
            if inside.has(of) {
                set.join(&reach(under, ways));
            } else if block.after.has(of) {
                // Those that write it come first; they must not write what its time counts under.
                let mut under = reach(under, ways);
                others().filter(|other| !other.kept.has(of)).for_each(|other| under.keep(&other.kept));
                set.join(&under);
            }
        }
        for (&other, way) in block.offered.iter().zip(&node.offering) {
            if other == item || !left.may_come_back(other) {
                continue;
            }
            let inside = self.inside(block, left.offered(other));
            let waited = self.sustained.iter().zip(&way.waited);
            waited.filter(|(of, _)| inside.has(**of)).for_each(|(_, under)| set.join(&reach(under, ways)));
        }
        set
    }

    /// What is read in the items that are open, and in those that come back.
    fn inside(&self, block: &Block, items: Items) -> Vars {
        let mut set = Vars::none(block.after.0.len());
        self.items(block).filter(|(item, _)| items.is_open(*item)).for_each(|(_, item)| set.join(&item.read));
        for (item, mut ways) in self.coming_back(block, items) {
            ways.keep(&self.first(block, item).read);
            set.join(&ways);
        }
        set
    }

    /// The items that a look in an open one offers again, or in one that comes back itself; each with what some way there does
    /// not write.
    fn coming_back(&self, block: &Block, items: Items) -> Vec<(u8, Vars)> {
        let offered = block.offered.iter().enumerate().filter(|(_, item)| items.may_come_back(**item));
        let offered: Vec<(usize, u8)> = offered.map(|(at, &item)| (at, item)).collect();
        let none = Vars::none(block.after.0.len());
        let mut back: Vec<(u8, Vars)> = offered.iter().map(|&(_, item)| (item, none.clone())).collect();
        for (&(at, _), (_, ways)) in offered.iter().zip(&mut back) {
            let open = self.items(block).filter(|(item, _)| items.is_open(*item));
            open.for_each(|(_, from)| ways.join(&from.offering[at].kept));
        }
        let mut grown = !back.is_empty();
        while std::mem::take(&mut grown) {
            for from in 0..back.len() {
                for to in (0..back.len()).filter(|&to| to != from) {
                    let mut more = back[from].1.clone();
                    more.keep(&self.first(block, offered[from].1).offering[offered[to].0].kept);
                    let before = back[to].1.clone();
                    back[to].1.join(&more);
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
}

/// What of this is read before some way back writes it.
fn reach(under: &Vars, ways: Option<&Vars>) -> Vars {
    let mut under = under.clone();
    ways.into_iter().for_each(|ways| under.keep(ways));
    under
}
