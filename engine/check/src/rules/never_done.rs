//! G05: no way leads from the first step to `done`.

use crate::context::Context;
use document::Diagnostic;

pub(crate) const CODE: &str = "G05";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    if !context.shape.never_done {
        return Vec::new();
    }
    let place = context.procedure.place("/procedure");
    let message = format!("no way leads to the end of `{}`", context.machine.procedure);
    vec![
        Diagnostic::error(CODE, place, message)
            .help("let one of the steps lead to `done`, or past the last step"),
    ]
}
