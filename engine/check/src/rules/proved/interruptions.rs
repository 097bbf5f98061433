//! Work that stops, and goes on again.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use document::Place;
use proof::Obligation;
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!(
        "P09",
        Error,
        "Work stopped at a step leaves no way to the state in which the machine may be left",
        Proof(no_way_to_stop)
    ),
    rule!(
        "P10",
        Error,
        "After an interruption at a step something it relies on cannot be found out again",
        Proof(no_way_to_resume)
    ),
];

fn no_way_to_stop(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Stop(node) = refuted.obligation else { continue };
        let node = context.node(node);
        let message = format!(
            "work stopped at {} leaves no way to the equipment's `safe_state`",
            context.step_words(node)
        );
        findings.push(
            Finding::at_place(context.id_place(node), message)
                .note(context.equipment.key_place("/safe_state"), "the state in which the machine may be left")
                .help("give the equipment an action with `restores: true` that helps here, or do the steps in another order")
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

fn no_way_to_resume(context: &Context<'_>) -> Vec<Finding<Place>> {
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
            Finding::at_place(context.id_place(node), message)
                .note(declared, "it stops counting at an interruption, by itself or with something else")
                .help(format!("give the condition `{}` an `ask`", var.name))
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
