//! An item of an any-order block is offered again, once, where a look of another item contradicts what it alone writes.

use crate::machine::Machine;
use crate::node::{Effect, Node};

impl Machine {
    /// The item that is offered again, if it is done and was not before, where what a look at this node says contradicts the record.
    #[must_use]
    pub fn offers(&self, node: &Node, effect: Effect) -> Option<u8> {
        let seen = effect.seen()?;
        let item = self.owners.of(node.block?, seen.var)?;
        // What may be anything contradicts nothing.
        (node.item != Some(item) && seen.set != self.layout.all(seen.var)).then_some(item)
    }
}
