//! What there is to prove.

use machine::{NodeId, VarId};

/// Something to be proved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Obligation {
    /// A precondition: an index into the node's needs.
    Need {
        /// The node.
        node: NodeId,
        /// Which of its needs.
        need: usize,
    },
    /// A rule is not broken by leaving a node, or by the start itself (`None`).
    Rule {
        /// An index into the machine's rules.
        rule: usize,
        /// The node that is left.
        by: Option<NodeId>,
    },
    /// A promise at done: an index into the machine's promises.
    Promise(usize),
    /// A question has an answer for whatever may be true there.
    Answered(NodeId),
    /// Work stopped at the node can be brought to the state in which the machine may be left.
    Stop(NodeId),
    /// After an interruption at the node, a variable that nobody can look at and that is still relied on has no value
    /// there, unless it settles away, for which nothing was proved.
    Resume {
        /// The node.
        node: NodeId,
        /// The variable.
        var: VarId,
    },
}
