//! An item of an any-order block is offered again, once, where a look of another item contradicts what it alone writes.

use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Effect, Node};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// For each block, by number, the conditions that one item alone writes, with that item.
#[derive(Clone, Debug, Default)]
pub(crate) struct Owners(Vec<BTreeMap<VarId, u8>>);

impl Owners {
    /// The blocks of these nodes; `beside` is what each block itself leaves and disturbs.
    pub(crate) fn new(nodes: &[Node], beside: &[Vec<Effect>]) -> Self {
        // None where several items write it, or the block itself does.
        let of = |effects: &Vec<Effect>| effects.iter().map(|effect| (effect.var(), None)).collect();
        let mut blocks: Vec<BTreeMap<VarId, Option<u8>>> = beside.iter().map(of).collect();
        for node in nodes {
            let (Some(block), Some(item)) = (node.block, node.item) else { continue };
            let Some(block) = blocks.get_mut(block as usize) else { continue };
            let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
            for effect in effects.filter(|effect| effect.is_act()) {
                match block.entry(effect.var()) {
                    Entry::Vacant(entry) => {
                        entry.insert(Some(item));
                    }
                    Entry::Occupied(mut entry) => {
                        if *entry.get() != Some(item) {
                            entry.insert(None);
                        }
                    }
                }
            }
        }
        let owned = |block: BTreeMap<VarId, Option<u8>>| {
            block.into_iter().filter_map(|(var, item)| Some((var, item?))).collect()
        };
        Self(blocks.into_iter().map(owned).collect())
    }
}

impl Machine {
    /// The item that is offered again, if it is done and was not before, where what a look at this node says contradicts the record.
    #[must_use]
    pub fn offers(&self, node: &Node, effect: Effect) -> Option<u8> {
        let seen = effect.seen()?;
        let item = *self.owners.0.get(node.block? as usize)?.get(&seen.var)?;
        // What may be anything contradicts nothing.
        (node.item != Some(item) && seen.set != self.layout.all(seen.var)).then_some(item)
    }
}
