//! Which item of an any-order block alone writes a condition.

use crate::layout::VarId;
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

    /// The item that alone writes the condition in a block.
    pub(crate) fn of(&self, block: u32, var: VarId) -> Option<u8> {
        self.0.get(block as usize)?.get(&var).copied()
    }
}
