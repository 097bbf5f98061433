//! Work that stops: the ways to the state in which the machine may be left.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::{away, away_from_rest, broken_words, facts_of, story};
use crate::words::conjunct_words;
use document::Place;
use machine::{Bits, Conjunct};
use proof::{Obligation, Planner, Refuted, can_be_restored};

pub(super) const RULES: &[Rule] = &[
    rule!(
        "P09",
        Error,
        "Work stopped at a step leaves no way to the state in which the machine may be left",
        Proof(no_way_to_stop)
    ),
    rule!(
        "P17",
        Error,
        "Where a look says otherwise, no plan leads to the state in which the machine may be left",
        Proof(no_universal_plan)
    ),
];

/// What a stop is refuted at, with the words for where.
fn stop(context: &Context<'_>, refuted: &Refuted) -> Option<(machine::NodeId, String)> {
    match refuted.obligation {
        Obligation::Stop(node) => {
            Some((node, format!("work stopped at {}", context.step_words(context.node(node)))))
        }
        Obligation::StopAfter(node) => {
            Some((node, format!("the way from {} to the stop", context.step_words(context.node(node)))))
        }
        Obligation::Need { .. }
        | Obligation::Unseen(_)
        | Obligation::Rule { .. }
        | Obligation::Unmended(_)
        | Obligation::Promise(_)
        | Obligation::Answered(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => None,
    }
}

fn has_no_universal_plan(context: &Context<'_>) -> bool {
    context.proof.refuted.iter().any(|refuted| refuted.obligation == Obligation::Universal)
}

/// What one plan for whatever is true would mend is told there.
fn is_told_by_universal(context: &Context<'_>, refuted: &Refuted) -> bool {
    let away = refuted.trace.as_ref().map(|trace| away_from_rest(context.machine, trace));
    has_no_universal_plan(context) && away.is_none_or(|away| !away.is_empty())
}

fn no_way_to_stop(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Some((node, stopped)) = stop(context, refuted) else { continue };
        if is_told_by_universal(context, refuted) {
            continue;
        }
        let broken = refuted.trace.as_ref().map(|trace| broken_words(context, trace)).unwrap_or_default();
        let (message, cause) = if broken.is_empty() {
            (format!("{stopped} leaves no way to the equipment's `safe_state`"), String::new())
        } else {
            let message = format!("a look has shown that {broken}, and {stopped} leaves no way to end that");
            (message, broken)
        };
        findings.push(
            Finding::at_place(context.id_place(context.node(node)), message)
                .cause(format!("{}: {cause}", context.machine.procedure))
                .note(
                    context.equipment.key_place("/safe_state"),
                    "the state in which the machine may be left",
                )
                .help("give the equipment an action with `restores: true` that ends it")
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

fn no_universal_plan(context: &Context<'_>) -> Vec<Finding<Place>> {
    if !has_no_universal_plan(context) {
        return Vec::new();
    }
    let machine = context.machine;
    // What the proof came to: the search is not made again.
    let Some(from) = &context.proof.no_plan_from else { return Vec::new() };
    let away = away(machine, from);
    let rest = machine.rest.iter().flat_map(|rest| &rest.0).copied();
    let missing: Vec<Conjunct> = rest.filter(|part| !can_be_restored(machine, *part)).collect();
    let words = |parts: &[Conjunct]| {
        let words: Vec<String> = parts.iter().map(|one| conjunct_words(&machine.layout, *one)).collect();
        words.join(" and ")
    };
    let (message, help) = if missing.is_empty() {
        (
            format!(
                "where a look says otherwise than the record, no looks, waits and acts with `restores: true` lead to {}",
                words(&away)
            ),
            "let such an act need less, give what it needs an `ask`, or give the equipment another one"
                .to_owned(),
        )
    } else {
        let missing = words(&missing);
        (
            format!(
                "where a look says otherwise than the record, nothing leads to {missing}: no act with `restores: true` leaves it"
            ),
            format!("give the equipment such an act, or take {missing} out of `safe_state`"),
        )
    };
    // The run to a place at which the same is missing by the record shows best what it means.
    let stops = context
        .proof
        .refuted
        .iter()
        .filter(|refuted| stop(context, refuted).is_some() && is_told_by_universal(context, refuted));
    let shortest = stops.filter_map(|refuted| refuted.trace.as_ref()).min_by_key(|trace| trace.moves.len());
    let trace = shortest.map_or_else(|| vec![from_words(context, from)], |trace| story(context, trace));
    vec![
        Finding::at_place(context.equipment.key_place("/safe_state"), message)
            .cause(context.equipment.model.equipment.to_string())
            .help(help)
            .trace(trace),
    ]
}

/// The values from which there is no way, as far as they count.
fn from_words(context: &Context<'_>, from: &Bits) -> String {
    let layout = &context.machine.layout;
    let counts = Planner::new(context.machine).map(|planner| planner.relevant().clone());
    let known =
        counts.into_iter().flatten().filter(|&var| from.field(layout, var) != layout.all(var)).collect();
    format!("no way from where {}", facts_of(context, from, &known))
}
