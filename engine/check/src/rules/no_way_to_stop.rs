//! P09: work stopped at a step cannot be brought to the state in which the machine may be left.

use crate::context::Context;
use crate::story::story;
use document::Diagnostic;
use proof::Obligation;

pub(crate) const CODE: &str = "P09";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Stop(node) = refuted.obligation else { continue };
        let node = context.node(node);
        let message = format!(
            "work stopped at {} leaves no way to the equipment's `safe_state`",
            context.step_words(node)
        );
        findings.push(
            Diagnostic::error(CODE, context.id_place(node), message)
                .note(context.equipment.key_place("/safe_state"), "the state in which the machine may be left")
                .help("give the equipment an action with `restores: true` that helps here, or do the steps in another order")
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
