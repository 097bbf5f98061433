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
mod plan;
mod reach;
mod reduce;
mod search;
mod shape;

pub use explore::{Budget, Ended};
pub use plan::{Leaving, Move as PlanMove, Planner};
pub use reach::{reachable, run_to};
pub use shape::{Shape, shape};

use machine::{Cube, Machine, NodeId, ReplayError, Trace, VarId, VarOrigin};
use std::collections::{BTreeMap, BTreeSet};

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
    /// After an interruption at the node, what is still relied on of a variable can be established again.
    Resume {
        /// The node.
        node: NodeId,
        /// The variable.
        var: VarId,
    },
}

/// An obligation that does not hold.
#[derive(Clone, Debug)]
pub struct Refuted {
    /// Which.
    pub obligation: Obligation,
    /// A shortest run that violates it; `None` if the search for one ended at its budget, or for
    /// [`Obligation::Answered`] and [`Obligation::Resume`], which are gaps and no runs.
    pub trace: Option<Trace>,
}

/// What was proved.
#[derive(Clone, Debug, Default)]
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
    /// Nodes whose act changes nothing, however they are reached.
    pub idle: Vec<NodeId>,
    /// Variants for which no run ends at done, as boxes over the variants alone.
    pub never_done: Vec<Cube>,
    /// For every node at which work can be stopped, the ways to leave the machine from there.
    pub leaving: BTreeMap<NodeId, Vec<Leaving>>,
}

/// Explores every path of the machine within a budget.
///
/// # Errors
/// If a counterexample does not replay: a fault of this crate, never of the procedure.
pub fn prove(machine: &Machine, budget: &Budget<'_>) -> Result<Proof, ReplayError> {
    let order = order::Order::new(machine);
    let mut planner = Planner::new(machine);
    let live = live::Live::new(machine, &order, &kept(machine, planner.as_ref()));
    let explored = explore::explore(machine, &order, &live, planner.as_mut(), budget);
    let traces =
        search::traces(machine, &live, planner.as_mut(), &explored.reduction, &explored.violated, budget)?;
    let idle = explored.idle();
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
        idle,
        never_done: explored.never_done,
        leaving: explored.leaving,
        reached: explored.reached,
    })
}

/// Variables that must never be widened: what plans for stopping rely on, and the variants that decide a way.
fn kept(machine: &Machine, planner: Option<&Planner<'_>>) -> BTreeSet<VarId> {
    let mut kept: BTreeSet<VarId> = planner.iter().flat_map(|planner| planner.relevant()).copied().collect();
    for outcome in machine.nodes.iter().flat_map(|node| &node.outcomes) {
        let guard = match &outcome.guard {
            machine::Guard::Is(cube) | machine::Guard::IsNot(cube) => &cube.0[..],
            machine::Guard::Always => &[],
        };
        // How long a wait is decides what has settled after it, and so the way.
        let decided = guard
            .iter()
            .chain(outcome.waits.iter().flat_map(|(cube, _)| &cube.0))
            .map(|conjunct| conjunct.var);
        kept.extend(decided.filter(|&var| machine.layout.var(var).origin == VarOrigin::Variant));
    }
    kept
}
