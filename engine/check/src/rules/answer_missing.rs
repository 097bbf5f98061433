//! P06: a question has no answer for something that may be so.

use crate::context::Context;
use document::Diagnostic;
use proof::Obligation;

pub(crate) const CODE: &str = "P06";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let refuted = context.proof.refuted.iter();
    refuted
        .filter_map(|refuted| match refuted.obligation {
            Obligation::Answered(node) => Some(context.node(node)),
            _ => None,
        })
        .map(|node| {
            let message =
                format!("{} has no answer for everything that may be so there", context.step_words(node));
            Diagnostic::error(CODE, context.key(node, "answers"), message)
                .help("add an answer that `shows` what is missing, or one that shows nothing")
        })
        .collect()
}
