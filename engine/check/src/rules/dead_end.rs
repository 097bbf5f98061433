//! G03: from a step no way leads to an end.

use crate::context::Context;
use document::Diagnostic;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "G03";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut told = BTreeSet::new();
    let ids = context.shape.endless.iter();
    ids.map(|&id| context.node(id))
        .filter(|node| told.insert((node.source, node.pointer.as_str())))
        .map(|node| {
            let message = format!("from {} no way leads to `done` or `stop`", context.step_words(node));
            Diagnostic::error(CODE, context.id_place(node), message)
                .help("give the loop it is caught in a way out")
        })
        .collect()
}
