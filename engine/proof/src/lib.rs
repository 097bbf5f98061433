//! Explores a machine on every path: verdicts and counterexamples, no wording.
//!
//! [`prove`] follows sets of states (boxes) from every permitted start through every outcome. Nothing is estimated: an
//! obligation that no box violates holds on every path, and one that is violated comes with a shortest run that was
//! replayed through the machine, value by value.

mod boxes;
mod concrete;
mod counts;
mod diagram;
mod explore;
mod join;
mod live;
mod meter;
mod order;
mod plan;
mod reach;
mod reduce;
mod relied;
mod report;
mod resume;
mod search;
mod shape;
mod ways;
mod witness;

pub use counts::Counts;
pub use explore::Budget;
pub use plan::{Leaving, Move as PlanMove, Planner};
pub use reach::{reachable, run_to};
pub use report::Ended;
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
    /// After an interruption at the node, a variable that nobody can look at and that is still relied on has no value
    /// there, unless it settles away, for which nothing was proved.
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
    /// A shortest run that violates it; `None` if the search for one ended at its budget.
    pub trace: Option<Trace>,
}

/// What was proved.
#[derive(Clone, Debug, Default)]
pub struct Proof {
    /// How many obligations there are on the places reached.
    pub obligations: usize,
    /// The same, kind by kind.
    pub counts: Counts,
    /// Those that do not hold, in order. Every other one is proved, if the exploration ended by itself.
    pub refuted: Vec<Refuted>,
    /// Why the exploration ended early, if it did: then nothing is proved that is not refuted.
    pub ended: Option<Ended>,
    /// How many sets of states were explored: boxes, and nodes of diagrams.
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

/// Above so many boxes at one node, decision diagrams take over (measured: 32 to 128 are fastest, 512 takes ten times as long).
const BOXES_AT_JOIN: usize = 128;

/// Explores every path of the machine within a budget.
///
/// # Errors
/// If a counterexample does not replay: a fault of this crate, never of the procedure.
pub fn prove(machine: &Machine, budget: &Budget<'_>) -> Result<Proof, ReplayError> {
    prove_above(machine, budget, BOXES_AT_JOIN)
}

/// The same, with decision diagrams wherever more than so many boxes meet; with 0 everywhere. The verdicts and the
/// lengths of the runs are the same whatever the figure.
///
/// # Errors
/// If a counterexample does not replay: a fault of this crate, never of the procedure.
pub fn prove_above(
    machine: &Machine,
    budget: &Budget<'_>,
    boxes_at_join: usize,
) -> Result<Proof, ReplayError> {
    let order = order::Order::new(machine);
    let mut planner = Planner::new(machine);
    let live = live::LiveVars::new(machine, &order, &kept(machine, planner.as_ref()));
    let meter = meter::Meter::new(budget);
    let explorer = explore::Explorer::new(machine, &order, &live, planner.as_mut(), &meter, boxes_at_join);
    let mut explored = explorer.run();
    let boxes = meter.sets();
    meter.again();
    let mut search = witness::WitnessSearch {
        machine,
        live: &live,
        planner: planner.as_mut(),
        meter: &meter,
        lapsed: &explored.lapsed,
        wanted: explored.violated.clone(),
        found: BTreeMap::new(),
    };
    search::traces(&mut search, &mut explored.space, &explored.reduction, boxes_at_join)?;
    let traces = search.found;
    let idle = |id: &NodeId| explored.reached[id.0 as usize] && !explored.busy[id.0 as usize];
    let idle = report::acts(machine).into_iter().filter(idle).collect();
    let refuted = explored
        .violated
        .into_iter()
        .map(|obligation| Refuted { obligation, trace: traces.get(&obligation).cloned() })
        .collect();
    Ok(Proof {
        obligations: explored.obligations.total(),
        counts: explored.obligations,
        refuted,
        ended: explored.ended,
        boxes,
        idle,
        never_done: explored.never_done,
        leaving: explored.leaving,
        reached: explored.reached,
    })
}

/// Variables that must never be projected away: what plans for stopping rely on, what ends evidence at an interruption, and
/// the variants that decide a way.
fn kept(machine: &Machine, planner: Option<&Planner<'_>>) -> BTreeSet<VarId> {
    let mut kept: BTreeSet<VarId> = planner.iter().flat_map(|planner| planner.relevant()).copied().collect();
    kept.extend(resume::Resume::new(machine).causes);
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
