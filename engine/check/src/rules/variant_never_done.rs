//! G06: for some variant no run ends at done.

use crate::context::Context;
use crate::words::cube_words;
use document::Diagnostic;

pub(crate) const CODE: &str = "G06";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() || context.shape.never_done {
        return Vec::new();
    }
    let never = context.proof.never_done.iter();
    never
        .map(|cube| {
            let procedure = &context.machine.procedure;
            let message = if cube.0.is_empty() {
                format!("`{procedure}` never comes to `done`, whatever is found")
            } else {
                let variant = cube_words(&context.machine.layout, cube);
                format!("with {variant}, `{procedure}` never comes to `done`, whatever is found")
            };
            Diagnostic::error(CODE, context.procedure.place("/procedure"), message)
                .help("look at the checks and the `only` keys on the way: one of them never lets it through")
        })
        .collect()
}
