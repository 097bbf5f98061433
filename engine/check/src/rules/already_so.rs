//! P11: an act that never changes anything.

use crate::context::Context;
use crate::words::conjunct_words;
use document::Diagnostic;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "P11";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() {
        return Vec::new();
    }
    let key = |id: machine::NodeId| (context.node(id).source, context.node(id).pointer.clone());
    let idle: BTreeSet<_> = context.proof.idle.iter().copied().collect();
    // A step in several rounds is idle only if it is so in every round that is reached.
    let busy: BTreeSet<_> = (0..context.machine.nodes.len() as u32)
        .map(machine::NodeId)
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
        let sets = node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
        let words: Vec<String> =
            sets.iter().map(|&set| conjunct_words(&context.machine.layout, set)).collect();
        let message = format!(
            "{} changes nothing: whichever way leads to it, {} is so already",
            context.step_words(node),
            words.join(" and ")
        );
        findings.push(
            Diagnostic::warning(CODE, context.id_place(node), message)
                .help("take the step out, or make it a `confirm` if it is to be looked at again"),
        );
    }
    findings
}
