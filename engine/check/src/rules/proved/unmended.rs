//! What a look shows to be broken, and what is done next.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::{broken_words, found_broken, story};
use crate::words::conjunct_words;
use document::Place;
use document::model::either;
use machine::{Conjunct, DONE, Effect, Machine, Trace};
use proof::Obligation;

pub(super) const RULES: &[Rule] = &[rule!(
    "P16",
    Error,
    "A look shows that a rule is broken, and the next act does not end that",
    Proof(not_ended)
)];

fn not_ended(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Unmended(id) = refuted.obligation else { continue };
        let node = context.node(id);
        let broken = refuted.trace.as_ref().map(|trace| broken_words(context, trace));
        let broken = broken.unwrap_or_else(|| "a rule is broken".to_owned());
        let next = if id == DONE {
            format!("{} comes without it", context.step_words(node))
        } else {
            format!("{} does something else", context.step_words(node))
        };
        let message = format!("a look there shows that {broken}; the next act has to end it, and {next}");
        let rules =
            refuted.trace.as_ref().map(|trace| found_broken(context.machine, trace)).unwrap_or_default();
        let mut finding = Finding::at_place(context.id_place(node), message)
            .cause(format!("{}: {broken}", node.procedure))
            .help(help(context.machine, refuted.trace.as_ref(), &rules));
        for &rule in &rules {
            let declared = context.equipment_place("never", &context.machine.rules[rule].name);
            finding = finding.note(declared, "the rule");
        }
        findings.push(finding.trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()));
    }
    findings
}

/// What may stand after the look.
fn help(machine: &Machine, trace: Option<&Trace>, rules: &[usize]) -> String {
    let layout = &machine.layout;
    let parts = || rules.iter().flat_map(|&rule| &machine.rules[rule].when.0);
    let ends = |part: &Conjunct, effect: &Effect| match *effect {
        Effect::Write(made) => made.var == part.var && made.set & part.set == 0,
        Effect::Open(_) | Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => false,
    };
    let acts = machine.restoring.iter().filter(|action| {
        let is_ready = trace.is_none_or(|trace| action.needs.meets(layout, trace.last()));
        is_ready && action.effects.iter().any(|effect| parts().any(|part| ends(part, effect)))
    });
    let acts: Vec<String> = acts.map(|action| format!("`{}`", action.name)).collect();
    if acts.is_empty() {
        let words = parts().map(|part| {
            let others = Conjunct { var: part.var, set: layout.all(part.var) & !part.set };
            conjunct_words(layout, others)
        });
        let words: Vec<String> = words.collect();
        return format!("lead from the look to an act that leaves {}", either(&words));
    }
    format!("lead from the look to a step with the action {}", either(&acts))
}
