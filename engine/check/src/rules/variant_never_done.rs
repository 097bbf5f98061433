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
            let who = if cube.0.is_empty() {
                "no run".to_owned()
            } else {
                format!("with {} no run", cube_words(&context.machine.layout, cube))
            };
            let message = format!("{who} of `{}` ends at done", context.machine.procedure);
            Diagnostic::error(CODE, context.procedure.place("/procedure"), message)
                .help("look at the gates and `only` keys on the way: one of them never opens for it")
        })
        .collect()
}
