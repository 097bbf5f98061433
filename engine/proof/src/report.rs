//! What an exploration says of itself: what there was to prove, what was never reached, and why it ended.

use crate::counts::Counts;
use machine::{AbstractState, Conjunct, Cube, Machine, Node, NodeId, NodeKind, VarId, VarOrigin};
use std::collections::BTreeSet;

/// Why and where an exploration ended early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    /// The node at which it ended.
    pub at: NodeId,
    /// How many sets of states met there: boxes, or nodes of their diagrams.
    pub sets_there: usize,
    /// The variables in which they differ, those that drive the growth most first.
    pub drivers: Vec<VarId>,
}

/// The end among boxes: what drives the growth is what they have most variety in.
pub(crate) fn ended(machine: &Machine, at: NodeId, states: &[&AbstractState]) -> Ended {
    let variety = |var| {
        let fields = states.iter().map(|state| state.bits.field(&machine.layout, var));
        fields.collect::<BTreeSet<u64>>().len().saturating_sub(1)
    };
    let drivers = machine.layout.ids().map(|var| (variety(var), var)).collect();
    Ended { at, sets_there: states.len(), drivers: sorted(drivers) }
}

/// The end among diagrams: what drives the growth is what they have most nodes for.
pub(crate) fn ended_with_sets(at: NodeId, nodes: Vec<(usize, VarId)>) -> Ended {
    let sets_there = nodes.iter().map(|(count, _)| count).sum();
    Ended { at, sets_there, drivers: sorted(nodes) }
}

fn sorted(mut drivers: Vec<(usize, VarId)>) -> Vec<VarId> {
    drivers.retain(|&(variety, _)| variety > 0);
    drivers.sort_by_key(|&(variety, var)| (std::cmp::Reverse(variety), var));
    drivers.into_iter().map(|(_, var)| var).collect()
}

/// Acts that set something and disturb nothing: they can be found to change nothing.
pub(crate) fn acts(machine: &Machine) -> Vec<NodeId> {
    let ids = (0..machine.nodes.len() as u32).map(NodeId);
    let settles = |set: &Conjunct| set.set.count_ones() == 1;
    ids.filter(|&id| {
        let node = machine.node(id);
        let sets = node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
        node.kind == NodeKind::Act && !sets.is_empty() && sets.iter().all(settles)
    })
    .collect()
}

/// Whether work can be stopped at a node: somebody is asked or told something there.
pub(crate) fn person_stands_at(node: &Node) -> bool {
    match node.kind {
        NodeKind::End | NodeKind::Route | NodeKind::Enter => false,
        NodeKind::Act
        | NodeKind::Confirm(_)
        | NodeKind::Measure { .. }
        | NodeKind::Wait(_)
        | NodeKind::Ask
        | NodeKind::Hold
        | NodeKind::AnyOrder { .. }
        | NodeKind::RepeatUntil { .. } => true,
    }
}

/// Whether the variable is a variant.
pub(crate) fn is_variant(machine: &Machine, var: VarId) -> bool {
    machine.layout.var(var).origin == VarOrigin::Variant
}

/// The variants that no state at done has.
pub(crate) fn uncovered(machine: &Machine, done: &[AbstractState]) -> Vec<Cube> {
    let variants: Vec<VarId> = machine.layout.ids().filter(|&var| is_variant(machine, var)).collect();
    let mut rest = vec![machine.start()];
    for state in done {
        let of = |&var: &VarId| Conjunct { var, set: state.bits.field(&machine.layout, var) };
        let cube = Cube(variants.iter().map(of).collect());
        rest = rest.iter().flat_map(|part| machine.outside(part, &cube)).collect();
    }
    let cube = |state: &AbstractState| {
        let all = variants.iter().map(|&var| Conjunct { var, set: state.bits.field(&machine.layout, var) });
        Cube(all.filter(|conjunct| conjunct.set != machine.layout.all(conjunct.var)).collect())
    };
    rest.iter().map(cube).collect()
}

/// How much there is to prove at a node: its preconditions, each rule that leaving it may break, and its answers.
pub(crate) fn obligations_of(machine: &Machine, node: &Node) -> Counts {
    let written: BTreeSet<VarId> = node
        .outcomes
        .iter()
        .flat_map(|outcome| outcome.havoc.iter().copied().chain(outcome.sets.iter().map(|set| set.var)))
        .collect();
    let rules =
        machine.rules.iter().filter(|rule| written.iter().any(|&var| rule.when.mentions(var))).count();
    let asks = node.kind == NodeKind::Ask;
    Counts {
        needs: node.needs.len(),
        rules,
        promises: 0,
        answers: usize::from(asks),
        stops: usize::from(machine.rest.is_some() && person_stands_at(node)),
        resumes: if person_stands_at(node) { machine.lapses.len() } else { 0 },
    }
}
