//! What must never be, and comes about while nobody acts.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use document::Place;

pub(super) const RULES: &[Rule] =
    &[rule!("P19", Error, "Time alone brings about what must never be", Proof(brought_about_by_time))];

/// Rules are judged where an act writes what they name: what settles into one of its values by itself is judged nowhere.
fn brought_about_by_time(context: &Context<'_>) -> Vec<Finding<Place>> {
    let equipment = &context.equipment.model;
    let mut findings = Vec::new();
    for (rule, never) in &equipment.never {
        for (name, values) in &never.when {
            let settles = equipment.conditions.get(name).and_then(|condition| condition.settles.as_ref());
            let by_time = settles.filter(|one| values.0.contains(&one.to) && !values.0.contains(&one.from));
            let Some(settles) = by_time else { continue };
            let message = format!(
                "time alone makes `{name}` {}, which `{rule}` names: nothing is proved of the moment at which it comes about",
                settles.to
            );
            let when = format!("{}/when", document::pointer("/never", rule));
            findings.push(
                Finding::at_place(context.equipment.key_place(&document::pointer(&when, name)), message)
                    .cause(equipment.equipment.to_string())
                    .help(format!(
                        "let the rule name what an act does and what has to be before it, or let `{name}` come about by acts alone"
                    )),
            );
        }
    }
    findings
}
