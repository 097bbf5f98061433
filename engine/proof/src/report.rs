//! What an exploration says of itself: what there was to prove, what was never reached, and why it ended.

use crate::counts::Counts;
use crate::meter::Limit;
use machine::{
    AbstractState, Conjunct, Cube, Duty, Effect, Machine, Node, NodeId, NodeKind, STOP, VarId, VarOrigin,
};
use std::collections::BTreeSet;

/// Why and where an exploration ended early.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Ended {
    /// The node at which it ended.
    pub at: NodeId,
    /// How many sets of states met there.
    pub sets_there: usize,
    /// The variables in which they differ, those that drive the growth most first.
    pub drivers: Vec<VarId>,
    /// What of the budget ended.
    pub limit: Limit,
    /// Whether what ended is the search for the plan for stopping from whatever is true.
    pub plan: bool,
}

/// What drives the growth is what they have most variety in.
pub(crate) fn ended(machine: &Machine, limit: Limit, at: NodeId, states: &[&AbstractState]) -> Ended {
    let variety = |var| {
        let fields = states.iter().map(|state| state.bits.field(&machine.layout, var));
        fields.collect::<BTreeSet<u64>>().len().saturating_sub(1)
    };
    let drivers = machine.layout.ids().map(|var| (variety(var), var)).collect();
    Ended { at, sets_there: states.len(), drivers: sorted(drivers), limit, plan: false }
}

fn sorted(mut drivers: Vec<(usize, VarId)>) -> Vec<VarId> {
    drivers.retain(|&(variety, _)| variety > 0);
    drivers.sort_by_key(|&(variety, var)| (std::cmp::Reverse(variety), var));
    drivers.into_iter().map(|(_, var)| var).collect()
}

/// Acts that make something so and disturb nothing: they can be found to change nothing.
pub(crate) fn acts(machine: &Machine) -> Vec<NodeId> {
    let ids = (0..machine.nodes.len() as u32).map(NodeId);
    ids.filter(|&id| machine.node(id).kind == NodeKind::Act && writes(machine, id)).collect()
}

/// Whether an act, from this node of it on, writes something and writes single values alone.
fn writes(machine: &Machine, id: NodeId) -> bool {
    let settles = |effect: &Effect| match effect {
        Effect::Write(set) => set.set.count_ones() == 1,
        Effect::Open(_) | Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => false,
    };
    let outcomes = &machine.node(id).outcomes;
    outcomes.iter().all(|outcome| {
        let to = outcome.to.node;
        let goes_on = matches!(machine.node(to).kind, NodeKind::InAct { .. });
        !outcome.effects.is_empty()
            && outcome.effects.iter().all(settles)
            && (!goes_on || writes(machine, to))
    })
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

/// How much there is to prove at the start and at done, before any node.
pub(crate) fn at_ends(machine: &Machine) -> Counts {
    Counts {
        promises: machine.promises.len(),
        rules: machine.rules.len(),
        unseen: machine.unseen.len(),
        stops: usize::from(machine.rest.is_some()),
        ..Counts::default()
    }
}

/// How much there is to prove at a node: its preconditions, each rule that leaving it may break, its answers, what it owes to
/// rules found broken.
pub(crate) fn obligations_of(machine: &Machine, node: &Node) -> Counts {
    let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
    let acts: Vec<VarId> = effects.filter(|effect| effect.is_act()).map(|effect| effect.var()).collect();
    let owes = !machine.rules.is_empty() && node.outcomes.iter().any(|outcome| outcome.duty != Duty::Nothing);
    let stops = node.outcomes.iter().any(|outcome| outcome.to.node == STOP);
    let is_stood_at = node.is_stood_at();
    let counted = |is: bool| usize::from(machine.rest.is_some() && is);
    Counts {
        needs: node.needs.len(),
        rules: machine.speaking_of(&acts).len(),
        mends: usize::from(owes),
        unseen: 0,
        promises: 0,
        answers: usize::from(node.kind == NodeKind::Ask),
        stops: counted(is_stood_at) + counted(stops),
        resumes: 0,
    }
}
