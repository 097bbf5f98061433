//! The verdicts on a machine, with a shortest run to each violation.

use crate::counts::Counts;
use crate::explore::Explorer;
use crate::live::LiveVars;
use crate::meter::{Budget, Meter};
use crate::obligation::Obligation;
use crate::order::Order;
use crate::plan::{Leaving, Planner};
use crate::report::{self, Ended};
use crate::resume::Resume;
use crate::search::traces;
use crate::witness::WitnessSearch;
use machine::{Cube, Guard, Machine, NodeId, ReplayError, Trace, VarId, VarOrigin};
use std::collections::{BTreeMap, BTreeSet};

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
    let order = Order::new(machine);
    let mut planner = Planner::new(machine);
    let live = LiveVars::new(machine, &order, &kept(machine, planner.as_ref()));
    let meter = Meter::new(budget);
    let explorer = Explorer::new(machine, &order, &live, planner.as_mut(), &meter, boxes_at_join);
    let mut explored = explorer.run();
    let boxes = meter.sets();
    meter.again();
    let mut search = WitnessSearch {
        machine,
        live: &live,
        planner: planner.as_mut(),
        meter: &meter,
        lapsed: &explored.lapsed,
        wanted: explored.violated.clone(),
        found: BTreeMap::new(),
    };
    traces(&mut search, &mut explored.space, &explored.reduction, boxes_at_join)?;
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
    kept.extend(Resume::new(machine).causes);
    for outcome in machine.nodes.iter().flat_map(|node| &node.outcomes) {
        let guard = match &outcome.guard {
            Guard::Is(cube) | Guard::IsNot(cube) => &cube.0[..],
            Guard::Always => &[],
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
