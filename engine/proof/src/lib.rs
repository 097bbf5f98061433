//! Explores a machine on every path: verdicts and counterexamples, no wording.
//!
//! [`prove`] follows sets of states (boxes) from every permitted start through every outcome. Nothing is estimated: an
//! obligation that no box violates holds on every path, and one that is violated comes with a shortest run that was
//! replayed through the machine, value by value.

mod concrete;
mod explore;
mod join;
mod live;
mod order;
mod search;
mod shape;

pub use explore::{Budget, Ended};
pub use shape::{Shape, shape};

use machine::{Machine, NodeId, ReplayError, Trace};

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
}

/// An obligation that does not hold.
#[derive(Clone, Debug)]
pub struct Refuted {
    /// Which.
    pub obligation: Obligation,
    /// A shortest run that violates it; `None` if the search for one ended at its budget, or for
    /// [`Obligation::Answered`], which is a gap and no run.
    pub trace: Option<Trace>,
}

/// What was proved.
#[derive(Clone, Debug)]
pub struct Proof {
    /// How many obligations there are on the places reached.
    pub obligations: usize,
    /// Those that do not hold, in order. Every other one is proved, if the exploration ended by itself.
    pub refuted: Vec<Refuted>,
    /// Why the exploration ended early, if it did: then nothing is proved that is not refuted.
    pub ended: Option<Ended>,
    /// How many boxes were explored.
    pub boxes: usize,
    /// For every node, whether some run reaches it.
    pub reached: Vec<bool>,
}

/// Explores every path of the machine within a budget.
///
/// # Errors
/// If a counterexample does not replay: a fault of this crate, never of the procedure.
pub fn prove(machine: &Machine, budget: &Budget<'_>) -> Result<Proof, ReplayError> {
    let order = order::Order::new(machine);
    let live = live::Live::new(machine, &order);
    let explored = explore::explore(machine, &order, &live, budget);
    let traces = search::traces(machine, &live, &explored.violated, budget)?;
    let refuted = explored
        .violated
        .into_iter()
        .map(|obligation| Refuted { obligation, trace: traces.get(&obligation).cloned() })
        .collect();
    Ok(Proof {
        obligations: explored.obligations,
        refuted,
        ended: explored.ended,
        boxes: explored.boxes,
        reached: explored.reached,
    })
}
