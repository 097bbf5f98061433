//! Sets of states as decision diagrams, where boxes would be too many.

pub(crate) mod frontiers;
mod space;
mod store;
mod variable_order;
mod visit;

pub(crate) use space::{Clocks, Space};
pub(crate) use store::{NONE, Root};
