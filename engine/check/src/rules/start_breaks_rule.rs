//! P03: a start that the procedure permits already breaks a rule.

use super::rule_broken::why;
use crate::context::Context;
use crate::story::story;
use crate::words::cube_words;
use document::Diagnostic;
use proof::Obligation;

pub(crate) const CODE: &str = "P03";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Rule { rule, by: None } = refuted.obligation else { continue };
        let rule = &context.machine.rules[rule];
        let message = format!(
            "`{}` may start with the rule `{}` broken: {}",
            context.machine.procedure,
            rule.name,
            cube_words(&context.machine.layout, &rule.when)
        );
        findings.push(
            Diagnostic::error(CODE, context.procedure.key_place("/requires"), message)
                .note(context.equipment_place("never", &rule.name), why(context, &rule.name))
                .help("state under `requires` what must be so at the start, or give the condition a `normal` value")
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
