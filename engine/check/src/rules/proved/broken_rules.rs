//! Rules of the equipment.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::cube_words;
use document::Place;
use document::model::Name;
use proof::Obligation;

pub(super) const RULES: &[Rule] = &[
    rule!("P02", Error, "Leaving a step can break a rule of the equipment", Proof(rule_broken)),
    rule!(
        "P03",
        Error,
        "What is asked before the first step already breaks a rule",
        Proof(start_breaks_rule)
    ),
];

fn rule_broken(context: &Context<'_>) -> Vec<Finding<Place>> {
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
        let key = match context.step_of(node) {
            Some(step) if !step.common.leaves.is_empty() => "leaves",
            Some(step) if step.kind.action().is_some() => "action",
            _ => "id",
        };
        let declared = context.equipment_place("never", &rule.name);
        let authored = context.equipment.model.never.get(&rule.name);
        // What whoever works has to mind is no help yet to whoever writes.
        let mut help =
            "let a gate, a wait or an act before this step see to it that this cannot be so".to_owned();
        if let Some(hazard) = authored.and_then(|rule| context.equipment.model.hazards.get(&rule.hazard)) {
            help = format!("{help}. {}", hazard.avoid);
        }
        let finding = Finding::at_place(context.key(node, key), message)
            .note(declared, why(context, &rule.name))
            .cause(format!("{}: {}", node.procedure, rule.name))
            .help(help);
        findings.push(finding.trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()));
    }
    findings
}

/// Why the equipment has this rule, in its author's words if there are any.
fn why(context: &Context<'_>, rule: &Name) -> String {
    let authored = context.equipment.model.never.get(rule);
    authored.and_then(|rule| rule.why.clone()).unwrap_or_else(|| "the rule".to_owned())
}

fn start_breaks_rule(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Rule { rule, by: None } = refuted.obligation else { continue };
        let rule = &context.machine.rules[rule];
        let message = format!(
            "what `{}` asks for before its first step breaks the rule `{}`: {}",
            context.machine.procedure,
            rule.name,
            cube_words(&context.machine.layout, &rule.when)
        );
        findings.push(
            Finding::at_place(context.procedure.key_place("/requires"), message)
                .note(context.equipment_place("never", &rule.name), why(context, &rule.name))
                .help("require that one of these is not so, and begin with how it is made so")
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
