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
    /// A rule that a look found broken is ended by the next act; the node is where something else is done.
    Unmended(NodeId),
    /// What the procedure requires of something that nobody can see is so at a start by hand: an index into the machine's
    /// `unseen`.
    Unseen(usize),
    /// A promise at done: an index into the machine's promises.
    Promise(usize),
    /// A question has an answer for whatever may be true there.
    Answered(NodeId),
    /// Work stopped at the node can be brought to the state in which the machine may be left.
    Stop(NodeId),
    /// The same where the way from the node leads to the stop.
    StopAfter(NodeId),
    /// There is a plan for leaving the machine whatever is true of it: the answer to every surprise.
    Universal,
    /// After an interruption at the node somebody can make sure again of a condition that is still relied on.
    Resume {
        /// The node.
        node: NodeId,
        /// The variable.
        var: VarId,
    },
}
