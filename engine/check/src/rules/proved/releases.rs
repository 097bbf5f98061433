//! Acts that the equipment allows only once a person has released them.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::words::cube_words;
use crate::written::in_machine;
use document::Place;
use document::model::{Kind, Name};
use known::Known;
use machine::{Choice, Cube, Machine, Node, NodeId, NodeKind};
use std::collections::BTreeSet;

mod known;

pub(super) const RULES: &[Rule] = &[rule!(
    "P14",
    Error,
    "An act that needs a release does not stand behind a hold point of its own",
    Proof(not_released)
)];

fn not_released(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for (name, rule) in &context.equipment.model.never {
        let Some(role) = &rule.released_by else { continue };
        let Some(when) = in_machine(&context.machine.layout, &rule.when) else { continue };
        let acts = bringing_about(context.machine, &when);
        let demand = Demand { context, role, acts };
        let mut told = BTreeSet::new();
        for id in demand.unreleased() {
            let node = context.node(id);
            if !demand.acts.contains(&id) || !told.insert((node.source, node.pointer.as_str())) {
                continue;
            }
            let message = format!(
                "{} may bring about {}, and a way leads to it without a hold point of `{role}` of its own",
                context.step_words(node),
                cube_words(&context.machine.layout, &when)
            );
            findings.push(
                Finding::at_place(context.key(node, "leaves"), message)
                    .cause(context.cause_at(node, name))
                    .note(context.equipment_place("never", name), "released step by step by this role")
                    .help(format!(
                        "before it, on every way, put a step with `hold` and `released_by: {role}`"
                    )),
            );
        }
    }
    findings
}

/// The nodes at which an act writes a condition of the rule so that the rule may come true: unless its own step has seen to
/// it, by what it needs or by what it did before, that another part of the rule is not so.
fn bringing_about(machine: &Machine, when: &Cube) -> BTreeSet<NodeId> {
    let mut all = BTreeSet::new();
    for id in begins(machine) {
        let mut open = vec![(id, Known::by_needs(machine.node(id)))];
        while let Some((at, known)) = open.pop() {
            for outcome in &machine.node(at).outcomes {
                let mut known = known.clone();
                for &effect in &outcome.effects {
                    let changed = known.apply(machine, effect);
                    let writes = effect.is_act() && changed.iter().any(|&var| when.mentions(var));
                    if writes && known.may_be(when) {
                        all.insert(at);
                    }
                }
                if continues(machine, at, outcome.to.node) {
                    open.push((outcome.to.node, known));
                }
            }
        }
    }
    all
}

/// The nodes at which the doing of a step begins: those to which some way leads from elsewhere, or none at all.
fn begins(machine: &Machine) -> BTreeSet<NodeId> {
    let ids = || (0..machine.nodes.len() as u32).map(NodeId);
    let ways =
        || ids().flat_map(|from| machine.node(from).outcomes.iter().map(move |way| (from, way.to.node)));
    let within: BTreeSet<NodeId> =
        ways().filter(|&(from, to)| continues(machine, from, to)).map(|(_, to)| to).collect();
    let entered = ways().filter(|&(from, to)| !continues(machine, from, to)).map(|(_, to)| to);
    ids().filter(|id| !within.contains(id)).chain(entered).collect()
}

/// Whether a node belongs to the same doing of a step as the one that leads to it: the further conditions of its act, its
/// verification, what it leaves besides.
fn continues(machine: &Machine, from: NodeId, to: NodeId) -> bool {
    let (from, node) = (machine.node(from), machine.node(to));
    let goes_on = match node.kind {
        NodeKind::InAct { .. } | NodeKind::Verify { .. } | NodeKind::Follows { .. } => true,
        NodeKind::End
        | NodeKind::Route
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::Tick(_)
        | NodeKind::Measure { .. }
        | NodeKind::Wait
        | NodeKind::Ask
        | NodeKind::Hold
        | NodeKind::AnyOrder { .. } => false,
    };
    goes_on && (&from.path, &from.rounds, &from.pointer) == (&node.path, &node.rounds, &node.pointer)
}

/// The acts that need a release, with the role that gives it.
struct Demand<'c, 'a> {
    context: &'c Context<'a>,
    role: &'a Name,
    acts: BTreeSet<NodeId>,
}

impl Demand<'_, '_> {
    fn is_released_at(&self, node: &Node) -> bool {
        let step = self.context.document(node).model.step_at(&node.pointer);
        node.kind == NodeKind::Hold
            && matches!(step.map(|step| &step.kind), Some(Kind::Hold(hold)) if hold.released_by == *self.role)
    }

    /// The places to which a way leads with no release since the start, or since the last step that needed one.
    fn unreleased(&self) -> BTreeSet<NodeId> {
        let machine = self.context.machine;
        let mut open = vec![machine.entry];
        // A release is used up once the step is left.
        let (mut within, mut met) = (Vec::from_iter(self.acts.iter().copied()), BTreeSet::new());
        while let Some(id) = within.pop() {
            if !met.insert(id) {
                continue;
            }
            for outcome in &machine.node(id).outcomes {
                let to = outcome.to.node;
                if continues(machine, id, to) { within.push(to) } else { open.push(to) }
            }
        }
        let mut seen = BTreeSet::new();
        while let Some(id) = open.pop() {
            if !seen.insert(id) || self.is_released_at(machine.node(id)) {
                continue;
            }
            let node = machine.node(id);
            let on = node
                .outcomes
                .iter()
                .filter(|outcome| outcome.choice != Choice::AllItems || !self.block_releases(node));
            open.extend(on.map(|outcome| outcome.to.node));
        }
        seen
    }

    /// Whether, once all items of a block are done, a release was given in it and nothing in it needed one: an item is done
    /// on no way without its hold point.
    fn block_releases(&self, choosing: &Node) -> bool {
        let machine = self.context.machine;
        if self.acts.iter().any(|&act| machine.node(act).block == choosing.block) {
            return false;
        }
        choosing.outcomes.iter().any(|outcome| match outcome.choice {
            Choice::Item(_) => self.item_releases(outcome.to.node, choosing.block),
            Choice::AllItems
            | Choice::Done
            | Choice::Pass
            | Choice::Fail
            | Choice::CannotTell
            | Choice::Answer(_)
            | Choice::Applies
            | Choice::PassedOver => false,
        })
    }

    fn item_releases(&self, first: NodeId, block: Option<u32>) -> bool {
        let machine = self.context.machine;
        let (mut seen, mut open) = (BTreeSet::new(), vec![first]);
        while let Some(id) = open.pop() {
            let node = machine.node(id);
            if node.block != block || !seen.insert(id) || self.is_released_at(node) {
                continue;
            }
            if node.outcomes.iter().any(|outcome| outcome.to.item.is_some()) {
                return false;
            }
            open.extend(node.outcomes.iter().map(|outcome| outcome.to.node));
        }
        true
    }
}
