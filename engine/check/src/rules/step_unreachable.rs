//! G01: no way through the graph leads to a step.

use crate::context::Context;
use document::Diagnostic;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "G01";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let unreachable: BTreeSet<_> = context.shape.unreachable.iter().copied().collect();
    let key = |id: &machine::NodeId| {
        let node = context.node(*id);
        (node.source, node.pointer.as_str())
    };
    // A step stands at several nodes: it is reached if one of them is.
    let reached: BTreeSet<_> = (0..context.machine.nodes.len() as u32)
        .map(machine::NodeId)
        .filter(|id| !unreachable.contains(id))
        .collect();
    let reached: BTreeSet<_> = reached.iter().map(key).collect();
    let mut told = BTreeSet::new();
    let mut findings = Vec::new();
    for id in &context.shape.unreachable {
        let node = context.node(*id);
        if reached.contains(&key(id)) || !told.insert(key(id)) {
            continue;
        }
        findings.push(
            Diagnostic::error(
                CODE,
                context.id_place(node),
                format!("nothing leads to {}", context.step_words(node)),
            )
            .help("lead to it with `then`, `otherwise` or an answer, or take it out"),
        );
    }
    findings
}
