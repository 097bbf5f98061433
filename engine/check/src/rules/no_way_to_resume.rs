//! P10: after an interruption at a step, something still relied on cannot be established again.

use crate::context::Context;
use crate::story::story;
use document::Diagnostic;
use proof::Obligation;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "P10";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut told = BTreeSet::new();
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Resume { node, var } = refuted.obligation else { continue };
        // One mend serves every step: the first that suffers is told.
        if !told.insert(var) {
            continue;
        }
        let node = context.node(node);
        let var = context.machine.layout.var(var);
        let message = format!(
            "after an interruption at {} nothing tells whether {} is still as it was: it has no question",
            context.step_words(node),
            var.label
        );
        let declared = context.equipment_place("conditions", &var.name);
        findings.push(
            Diagnostic::error(CODE, context.id_place(node), message)
                .note(declared, "it stops counting at an interruption, by itself or with something else")
                .help(format!("give the condition `{}` an `ask`", var.name))
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
