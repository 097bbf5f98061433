//! Acts that the equipment allows only once a person has released them.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::words::cube_words;
use document::Place;
use document::model::{Kind, Name};
use machine::{Choice, Conjunct, Cube, Node, NodeId, NodeKind, Outcome};
use std::collections::BTreeSet;

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
        let Some(when) = cube(context, &rule.when) else { continue };
        let demand = Demand { context, role, when };
        let mut told = BTreeSet::new();
        for id in demand.unreleased() {
            let node = context.node(id);
            let acts = node.outcomes.iter().any(|outcome| demand.brings_about(node, outcome));
            if !acts || demand.is_released_at(node) || !told.insert((node.source, node.pointer.as_str())) {
                continue;
            }
            let message = format!(
                "{} may bring about {}, and a way leads to it without a hold point of `{role}` of its own",
                context.step_words(node),
                cube_words(&context.machine.layout, &demand.when)
            );
            findings.push(
                Finding::at_place(context.key(node, "leaves"), message)
                    .note(context.equipment_place("never", name), "released step by step by this role")
                    .help(format!(
                        "before it, on every way, put a step with `hold` and `released_by: {role}`"
                    )),
            );
        }
    }
    findings
}

/// The conditions of a rule in the machine.
fn cube(context: &Context<'_>, written: &document::model::Cube) -> Option<Cube> {
    let layout = &context.machine.layout;
    let one = |(name, values): (&Name, &document::model::Values)| {
        let var = layout.find(name)?;
        let set = values.0.iter().filter_map(|value| layout.bit(var, value)).fold(0, |set, bit| set | bit);
        Some(Conjunct { var, set })
    };
    written.iter().map(one).collect::<Option<Vec<Conjunct>>>().map(Cube)
}

/// One rule with the role that releases what it names.
struct Demand<'c, 'a> {
    context: &'c Context<'a>,
    role: &'a Name,
    when: Cube,
}

impl Demand<'_, '_> {
    /// Whether an outcome writes a condition of the rule so that the rule may come true: unless the act itself, or what it
    /// needs, sees to it that another part of the rule is not so.
    fn brings_about(&self, node: &Node, outcome: &Outcome) -> bool {
        let set = |part: &Conjunct| outcome.sets.iter().find(|set| set.var == part.var).map(|set| set.set);
        let needed = |part: &Conjunct| {
            let needs = node.needs.iter().filter(|need| need.conjunct.var == part.var);
            needs.fold(u64::MAX, |known, need| known & need.conjunct.set)
        };
        let parts = &self.when.0;
        parts.iter().any(|part| set(part).is_some_and(|set| set & part.set != 0))
            && parts.iter().all(|part| set(part).unwrap_or_else(|| needed(part)) & part.set != 0)
    }

    fn is_released_at(&self, node: &Node) -> bool {
        let step = self.context.document(node).model.step_at(&node.pointer);
        node.kind == NodeKind::Hold
            && matches!(step.map(|step| &step.kind), Some(Kind::Hold(hold)) if hold.released_by == *self.role)
    }

    /// The places to which a way leads with no release since the start, or since the last act that needed one.
    fn unreleased(&self) -> BTreeSet<NodeId> {
        let machine = self.context.machine;
        let mut open = vec![machine.entry];
        for node in &machine.nodes {
            let acts = node.outcomes.iter().filter(|outcome| self.brings_about(node, outcome));
            open.extend(acts.map(|outcome| outcome.to.node));
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
        let of_block = machine.nodes.iter().filter(|node| node.block == choosing.block);
        let acts = |node: &Node| node.outcomes.iter().any(|outcome| self.brings_about(node, outcome));
        let mut nodes = of_block.clone();
        if nodes.any(acts) {
            return false;
        }
        choosing.outcomes.iter().any(|outcome| match outcome.choice {
            Choice::Item(_) => self.item_releases(outcome.to.node, choosing.block),
            Choice::AllItems
            | Choice::Done
            | Choice::Pass
            | Choice::Fail
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
