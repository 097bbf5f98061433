//! Sets of states as decision diagrams, where boxes would be too many.

mod levels;
mod rings;
mod space;
mod store;
mod visit;

pub(crate) use rings::traces;
pub(crate) use space::{Clocks, Space};
pub(crate) use store::{NONE, Root};
