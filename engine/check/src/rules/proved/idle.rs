//! Steps that change nothing.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::words::conjunct_words;
use document::Place;
use machine::{Effect, NodeKind};
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] =
    &[rule!("P11", Warning, "An act never changes anything", Proof(already_so))];

fn already_so(context: &Context<'_>) -> Vec<Finding<Place>> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() {
        return Vec::new();
    }
    let key = |id: machine::NodeId| (context.node(id).source, context.node(id).pointer.clone());
    let idle: BTreeSet<_> = context.proof.idle.iter().copied().collect();
    // A step in several rounds is idle only if it is so in every round that is reached.
    let busy: BTreeSet<_> = (0..context.machine.nodes.len() as u32)
        .map(machine::NodeId)
        .filter(|&id| context.node(id).kind == NodeKind::Act)
        .filter(|id| context.proof.reached[id.0 as usize] && !idle.contains(id))
        .map(key)
        .collect();
    let mut told = BTreeSet::new();
    let mut findings = Vec::new();
    for &id in context.proof.idle.iter().filter(|&&id| !busy.contains(&key(id))) {
        if !told.insert(key(id)) {
            continue;
        }
        let node = context.node(id);
        let words: Vec<String> = context
            .effects_of_act(id)
            .filter_map(|effect| match effect {
                Effect::Write(set) => Some(conjunct_words(&context.machine.layout, set)),
                Effect::Open(_) | Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => {
                    None
                }
            })
            .collect();
        let message = format!(
            "{} changes nothing: whichever way leads to it, {} is so already",
            context.step_words(node),
            words.join(" and ")
        );
        findings.push(
            Finding::at_place(context.id_place(node), message)
                .help("take the step out, or make it a `confirm` if it is to be looked at again"),
        );
    }
    findings
}
