//! Where a walk stands, as far as the second account asks.

use machine::{AbstractState, NodeId};

/// Where a walk stood before an event.
pub(crate) struct Before {
    pub(crate) node: NodeId,
    /// Whether something was asked before the step.
    pub(crate) is_gated: bool,
    /// Whether some of its fasteners were done: whoever takes one back has the act in hand still.
    pub(crate) is_in_hand: bool,
    /// Whether somebody may be in the middle of the act there.
    pub(crate) may_be_in_act: bool,
    /// The time that has surely passed for each settling condition, in milliseconds.
    pub(crate) clocks: Vec<u64>,
    /// The answers to the question there, in their order.
    pub(crate) answers: Vec<String>,
}

/// Where it stands after it.
pub(crate) struct Stand<'w> {
    /// The proved record.
    pub(crate) state: &'w AbstractState,
    /// What was told, in a gate too.
    pub(crate) told: &'w AbstractState,
    /// Whether somebody may be in the middle of the act there.
    pub(crate) may_be_in_act: bool,
}
