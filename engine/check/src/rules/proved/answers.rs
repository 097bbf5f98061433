//! Answers of a question.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::conjunct_words;
use document::Place;
use machine::{Choice, Conjunct, Effect, Layout, Node};
use proof::Obligation;

pub(super) const RULES: &[Rule] =
    &[rule!("P06", Error, "A question has no answer for something that may be so", Proof(answer_missing))];

fn answer_missing(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Answered(node) = refuted.obligation else { continue };
        let node = context.node(node);
        let message =
            format!("{} has no answer for everything that may be so there", context.step_words(node));
        let missing = not_shown(&context.machine.layout, node);
        let missing = missing.unwrap_or_else(|| "what is missing".to_owned());
        findings.push(
            Finding::at_place(context.key(node, "answers"), message)
                .cause(context.cause_at(node, ""))
                .help(format!("add an answer that `shows` {missing}, or one that shows nothing"))
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

/// The values that no answer shows, where the answers are all about the same condition.
fn not_shown(layout: &Layout, node: &Node) -> Option<String> {
    let mut missing: Option<Conjunct> = None;
    for outcome in &node.outcomes {
        if !matches!(outcome.choice, Choice::Answer(_)) {
            continue;
        }
        let &[Effect::Look(shown)] = &outcome.effects[..] else { return None };
        let before = missing.unwrap_or(Conjunct { var: shown.var, set: layout.all(shown.var) });
        if before.var != shown.var {
            return None;
        }
        missing = Some(Conjunct { set: before.set & !shown.set, ..before });
    }
    missing.map(|missing| conjunct_words(layout, missing))
}
