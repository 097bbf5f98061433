//! P02: leaving a step can break a rule of the equipment.

use crate::context::Context;
use crate::story::{step_of, story};
use crate::words::cube_words;
use document::Diagnostic;
use document::model::Name;
use proof::Obligation;

pub(crate) const CODE: &str = "P02";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Rule { rule, by: Some(by) } = refuted.obligation else { continue };
        let (rule, node) = (&context.machine.rules[rule], context.node(by));
        let message = format!(
            "{} can break the rule `{}`: {}",
            context.step_words(node),
            rule.name,
            cube_words(&context.machine.layout, &rule.when)
        );
        let key = match step_of(context, node) {
            Some(step) if !step.leaves.is_empty() => "leaves",
            Some(step) if step.action.is_some() => "action",
            _ => "id",
        };
        let declared = context.equipment_place("never", &rule.name);
        let authored = context.equipment.model.never.get(&rule.name);
        let mut finding =
            Diagnostic::error(CODE, context.key(node, key), message).note(declared, why(context, &rule.name));
        if let Some(hazard) = authored.and_then(|rule| context.equipment.model.hazards.get(&rule.hazard)) {
            finding = finding.help(hazard.avoid.clone());
        }
        findings.push(finding.trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()));
    }
    findings
}

/// Why the equipment has this rule, in its author's words if there are any.
pub(super) fn why(context: &Context<'_>, rule: &Name) -> String {
    let authored = context.equipment.model.never.get(rule);
    authored.and_then(|rule| rule.why.clone()).unwrap_or_else(|| "the rule".to_owned())
}
