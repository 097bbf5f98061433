//! G04: steps lead back to themselves without a stated bound.

use crate::context::Context;
use document::Diagnostic;
use machine::step_number;

pub(crate) const CODE: &str = "G04";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let loops = context.shape.loops.iter();
    loops
        .filter_map(|nodes| {
            let first = context.node(*nodes.first()?);
            let mut steps: Vec<String> = Vec::new();
            for node in nodes.iter().map(|&id| context.node(id)) {
                let word = format!("{} `{}`", step_number(&node.pointer), node.path);
                if !steps.contains(&word) {
                    steps.push(word);
                }
            }
            let message = format!("{} leads back to itself without a bound", context.step_words(first));
            Some(
                Diagnostic::error(CODE, context.id_place(first), message)
                    .trace(vec![format!("the loop: {}", steps.join(", "))])
                    .help("put the steps into a `repeat` with `until`, `at_most` and `otherwise`"),
            )
        })
        .collect()
}
