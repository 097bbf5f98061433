//! G02: the graph leads to a step, but no run does, whatever is true at the start.

use crate::context::Context;
use document::Diagnostic;
use machine::{NodeId, NodeKind};
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "G02";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() {
        return Vec::new();
    }
    let unreachable: BTreeSet<_> = context.shape.unreachable.iter().copied().collect();
    let ids = || (0..context.machine.nodes.len() as u32).map(NodeId);
    let key = |id: NodeId| (context.node(id).source, context.node(id).pointer.as_str());
    let reached: BTreeSet<_> = ids().filter(|id| context.proof.reached[id.0 as usize]).map(key).collect();
    let mut told = BTreeSet::new();
    ids()
        .filter(|id| context.node(*id).kind != NodeKind::End && !unreachable.contains(id))
        .filter(|id| !reached.contains(&key(*id)) && told.insert(key(*id)))
        .map(|id| {
            let node = context.node(id);
            Diagnostic::warning(
                CODE,
                context.id_place(node),
                format!("{} is never reached, whatever is true at the start", context.step_words(node)),
            )
            .help("what would lead to it is never so: look at the answers, `otherwise` and `only` before it")
        })
        .collect()
}
