//! Work that stops, and goes on again.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::{away_from_rest, story};
use crate::words::conjunct_words;
use document::Place;
use machine::{Conjunct, Effect, Machine, VarId};
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
    let layout = &context.machine.layout;
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Stop(node) = refuted.obligation else { continue };
        let node = context.node(node);
        let away = refuted.trace.as_ref().map(|trace| away_from_rest(context.machine, trace));
        let away = away.unwrap_or_default();
        let nothing_makes: Vec<Conjunct> =
            away.iter().copied().filter(|conjunct| !can_be_restored(context.machine, *conjunct)).collect();
        let words = |conjuncts: &[Conjunct]| {
            let words: Vec<String> = conjuncts.iter().map(|one| conjunct_words(layout, *one)).collect();
            words.join(" and ")
        };
        let step = context.step_words(node);
        let message = format!("work stopped at {step} leaves no way to the equipment's `safe_state`");
        let finding = match nothing_makes[..] {
            // Each place has a way of its own to be mended.
            [] => Finding::at_place(context.id_place(node), message)
                .cause(format!("{}: {}", context.machine.procedure, words(&away)))
                .help("give the equipment an action with `restores: true` that helps here, or do the steps in another order"),
            [..] => {
                let missing = words(&nothing_makes);
                let message = format!("{message}: no action with `restores: true` leaves {missing}");
                Finding::at_place(context.id_place(node), message)
                    .cause(format!("{}: {missing}", context.equipment.model.equipment))
                    .help(format!("give the equipment such an action, or take {missing} out of `safe_state`"))
            }
        };
        findings.push(
            finding
                .note(
                    context.equipment.key_place("/safe_state"),
                    "the state in which the machine may be left",
                )
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

/// Whether an action that plans for stopping may use, or time, can bring it about at all.
fn can_be_restored(machine: &Machine, wanted: Conjunct) -> bool {
    let within = |var: VarId, set: u64| var == wanted.var && set & !wanted.set == 0;
    let mut acts = machine.restoring.iter().flat_map(|action| &action.effects);
    acts.any(|effect| matches!(*effect, Effect::Write(set) if within(set.var, set.set)))
        || machine.settling.iter().any(|settling| within(settling.var, settling.to))
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
                .cause(format!("{}: {}", context.equipment.model.equipment, var.name))
                .note(declared, "it stops counting at an interruption, by itself or with something else")
                .help(format!("give the condition `{}` an `ask`", var.name))
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}
