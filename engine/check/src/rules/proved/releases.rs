//! Acts that the equipment allows only once a person has released them.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::words::cube_words;
use document::Place;
use document::model::{Kind, Name};
use known::Known;
use machine::{Bits, Choice, Cube, Guard, Machine, Node, NodeId, NodeKind};
use std::collections::{BTreeMap, BTreeSet};

mod known;

pub(super) const RULES: &[Rule] = &[rule!(
    "P14",
    Error,
    "An act that needs a release does not stand behind a hold point of its own",
    Proof(not_released)
)];

fn not_released(context: &Context<'_>) -> Vec<Finding<Place>> {
    let machine = context.machine;
    let mut findings = Vec::new();
    for (at, rule) in machine.released.iter().enumerate() {
        let declared = context.equipment.model.never.get(&rule.name);
        let Some(role) = declared.and_then(|declared| declared.released_by.as_ref()) else { continue };
        let acts = match &context.proof.brought_about {
            Some(known) => known[at].clone(),
            None => bringing_about(machine, &rule.when),
        };
        let demand = Demand { context, role, acts };
        let mut told = BTreeSet::new();
        for id in demand.unreleased() {
            let node = context.node(id);
            if !told.insert((node.source, node.pointer.as_str())) {
                continue;
            }
            let message = format!(
                "{} may bring about {}, and a way leads to it without a hold point of `{role}` of its own",
                context.step_words(node),
                cube_words(&machine.layout, &rule.when)
            );
            findings.push(
                Finding::at_place(context.key(node, "leaves"), message)
                    .cause(context.cause_at(node, &rule.name))
                    .note(context.equipment_place("never", &rule.name), "released step by step by this role")
                    .help(format!(
                        "before it, on every way, put a step with `hold` and `released_by: {role}`"
                    )),
            );
        }
    }
    findings
}

/// The nodes at which an act writes a condition of the rule so that the rule may come true, as far as a step alone tells: unless
/// it has seen to it, by what it needs or by what it did before, that another part of the rule is not so. This serves where the
/// proof did not come to its end.
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

/// The parts of a box for which an outcome is.
fn of_variants(machine: &Machine, variants: &Bits, guard: &Guard) -> Vec<Bits> {
    match guard {
        Guard::Always => vec![variants.clone()],
        Guard::Is(cube) => cube.inside(&machine.layout, variants).into_iter().collect(),
        Guard::IsNot(cube) => cube.outside(&machine.layout, variants),
    }
}

/// Whether the role has released what comes next.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Release {
    Missing,
    Given,
    /// By a step that is not over: it serves what this step does besides.
    Used,
}

impl Release {
    fn used(self) -> Self {
        if self == Self::Given { Self::Used } else { self }
    }

    /// What is left of it once the step is.
    fn left(self) -> Self {
        if self == Self::Used { Self::Missing } else { self }
    }
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

    /// The acts to which a way leads, of some variant, with no release since the start, or since the last step that needed one.
    fn unreleased(&self) -> BTreeSet<NodeId> {
        let machine = self.context.machine;
        let start = machine.start().bits;
        let mut open = vec![(machine.entry, Release::Missing, start)];
        let mut seen: BTreeMap<(NodeId, Release), Vec<Bits>> = BTreeMap::new();
        let mut unreleased = BTreeSet::new();
        while let Some((id, mut release, variants)) = open.pop() {
            let known = seen.entry((id, release)).or_default();
            if known.iter().any(|known| variants.is_subset(known)) {
                continue;
            }
            known.push(variants.clone());
            let node = machine.node(id);
            if self.acts.contains(&id) {
                if release == Release::Missing {
                    unreleased.insert(id);
                }
                release = release.used();
            } else if self.is_released_at(node) {
                release = Release::Given;
            }
            for outcome in &node.outcomes {
                let to = outcome.to.node;
                let release = if outcome.choice == Choice::AllItems && self.block_releases(node) {
                    Release::Given
                } else if continues(machine, id, to) {
                    release
                } else {
                    release.left()
                };
                for part in of_variants(machine, &variants, &outcome.guard) {
                    open.push((to, release, part));
                }
            }
        }
        unreleased
    }

    /// Whether, once all items of a block are done, a release was given in it and nothing in it needed one: an item is done
    /// on no way without its hold point.
    fn block_releases(&self, choosing: &Node) -> bool {
        let machine = self.context.machine;
        if self.acts.iter().any(|&act| machine.node(act).block == choosing.block) {
            return false;
        }
        let mut items = choosing.outcomes.iter().filter(|outcome| outcome.choice.item().is_some());
        items.any(|outcome| self.item_releases(outcome.to.node, choosing.block))
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
