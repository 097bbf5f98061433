//! The longest that a person may have to wait in one run.

use calc::quantity::Duration;
use document::Library;
use document::model::{Figure, Kind, Procedure, Wait};
use machine::{LookKind, Machine, Node, NodeId, NodeKind};
use petgraph::algo::kosaraju_scc;
use petgraph::graph::{DiGraph, NodeIndex};

/// The longest waits of a procedure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Waits {
    /// The longest total, in milliseconds: every wait at its longest, with its limit where it has one.
    pub total_ms: u64,
    /// The steps that wait on that way, with what each may take at most, in milliseconds.
    pub steps: Vec<(String, u64)>,
}

/// The longest way through the machine. Items of a block that is done in any order each count once.
#[must_use]
pub fn longest_waits(library: &Library, machine: &Machine) -> Waits {
    let mut graph: DiGraph<(), ()> = DiGraph::new();
    machine.nodes.iter().for_each(|_| {
        graph.add_node(());
    });
    for (at, node) in machine.nodes.iter().enumerate() {
        for outcome in &node.outcomes {
            graph.add_edge(NodeIndex::new(at), NodeIndex::new(outcome.to.node.0 as usize), ());
        }
    }
    // Groups come last first, so that what follows a group is known before it.
    let groups = kosaraju_scc(&graph);
    let mut best: Vec<Waits> = vec![Waits::default(); machine.nodes.len()];
    for group in &groups {
        let inside = |node: NodeIndex| group.contains(&node);
        let after = group.iter().flat_map(|&node| graph.neighbors(node)).filter(|&node| !inside(node));
        let mut waits = Waits::default();
        for node in after {
            if best[node.index()].total_ms > waits.total_ms {
                waits = best[node.index()].clone();
            }
        }
        let mut own: Vec<NodeIndex> = group.clone();
        own.sort_unstable();
        for node in own.into_iter().rev() {
            let id = NodeId(node.index() as u32);
            let millis = longest(library, machine.node(id));
            if millis > 0 {
                waits.total_ms = waits.total_ms.saturating_add(millis);
                waits.steps.insert(0, (machine.node(id).path.clone(), millis));
            }
        }
        for node in group {
            best[node.index()] = waits.clone();
        }
    }
    best.swap_remove(machine.entry.0 as usize)
}

/// The longest that one step may wait, on any machine: counted where its time passes, before its first look.
fn longest(library: &Library, node: &Node) -> u64 {
    let passes = match node.kind {
        NodeKind::Wait => true,
        NodeKind::Tick(tick) => tick.look == LookKind::Until && tick.number == 1,
        NodeKind::End
        | NodeKind::Route
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::InAct { .. }
        | NodeKind::Follows { .. }
        | NodeKind::Measure { .. }
        | NodeKind::Ask
        | NodeKind::Hold
        | NodeKind::AnyOrder { .. }
        | NodeKind::Verify { .. } => false,
    };
    if !passes {
        return 0;
    }
    let Some(procedure) = library.procedures.get(&node.procedure) else { return 0 };
    let wait = procedure
        .model
        .step_at(&node.pointer)
        .and_then(|step| if let Kind::Wait(wait) = &step.kind { Some(wait) } else { None });
    wait.map_or(0, |wait| longest_wait(library, &procedure.model, wait))
}

/// The longer of its time and its limit, in milliseconds.
fn longest_wait(library: &Library, procedure: &Procedure, wait: &Wait) -> u64 {
    let Some(equipment) = library.equipment.get(&procedure.equipment) else { return 0 };
    let millis = |figure: &Figure| {
        let cases = document::figure_cases(&equipment.model, Some(procedure), figure).unwrap_or_default();
        let times = cases.iter().filter_map(|case| Duration::from_quantity(&case.quantity).ok());
        times.map(Duration::as_millis).max().unwrap_or(0)
    };
    let (time, limit) = (wait.time.as_ref().map_or(0, millis), wait.limit.as_ref().map_or(0, millis));
    time.max(limit)
}
