//! Work that is interrupted, and goes on again.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::cube_words;
use document::Place;
use document::model::Name;
use machine::{Cube, Machine, Settling, VarId};
use proof::{Obligation, Refuted};
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[rule!(
    "P10",
    Error,
    "After an interruption at a step something it relies on cannot be found out again",
    Proof(no_way_to_resume)
)];

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
        let (why, help) = why(context, var, refuted);
        let var = context.machine.layout.var(var);
        let message = format!(
            "after an interruption at {} nothing tells whether {} is still as it was: {why}",
            context.step_words(node),
            var.label
        );
        let declared = context.equipment_place("conditions", &var.name);
        findings.push(
            Finding::at_place(context.id_place(node), message)
                .cause(format!("{}: {}", context.equipment.model.equipment, var.name))
                .note(declared, "somebody may have changed it while nobody was at work")
                .help(help)
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

/// What may be done about a wait under what is not sure.
fn waiting_help(machine: &Machine, name: &Name, under: &Cube) -> String {
    let words = cube_words(&machine.layout, under);
    if under.0.iter().any(|part| machine.sight(part.var).is_hidden) {
        return format!(
            "nobody can see {words} either: let `while` of `{name}` name what can be seen instead, with the time of both as its `after`"
        );
    }
    format!("have {words} there, and give each of these an `ask`")
}

/// Why nobody can make sure of it again, and what mends that.
fn why(context: &Context<'_>, var: VarId, refuted: &Refuted) -> (String, String) {
    let (machine, name) = (context.machine, &context.machine.layout.var(var).name);
    let sight = machine.sight(var);
    let words = |cube: &Cube| cube_words(&machine.layout, cube);
    if sight.is_asked {
        return (
            format!(
                "it is looked at only with {}, and nobody can tell whether that is so",
                words(&sight.when)
            ),
            format!(
                "give each condition under `seen_when` of `{name}` an `ask`, so that somebody can look at them first"
            ),
        );
    }
    let settling = machine.settling.iter().find(|settling| settling.var == var);
    let causes: Vec<String> =
        machine.lost_when.iter().filter(|lost| lost.var == var).map(|lost| words(&lost.when)).collect();
    let known = refuted.trace.as_ref().map(|trace| trace.last().field(&machine.layout, var));
    // Values that a wait leaves and the record ruled out: see `Machine::taking_up`.
    let others = |settling: &Settling| {
        known.is_some_and(|known| machine.layout.all(var) & !settling.from & !known != 0)
    };
    match (settling, causes.is_empty()) {
        (Some(settling), _) if sight.is_hidden && !sight.keeps && others(settling) => (
            format!(
                "nobody can see it, and a wait only ends {}: somebody may have brought about another value",
                machine.layout.words_of(var, settling.from).join(" or ")
            ),
            format!(
                "say `keeps: true` under `{name}` if nothing but a step changes it, or leave it the two values of which one gives \
                 way to the other"
            ),
        ),
        (Some(settling), _) if sight.is_hidden => match &settling.holds {
            Some(under) => (
                format!(
                    "nobody can see it, and it is waited for only with {}, which is not sure there",
                    words(under)
                ),
                waiting_help(machine, name, under),
            ),
            None => ("nobody can see it".to_owned(), format!("wait for `{name}` anew before what needs it")),
        },
        (Some(_) | None, false) => (
            format!(
                "it ends with {}, and nobody can tell whether that came about",
                causes.join(", or with ")
            ),
            format!(
                "give each condition under `lost_when` of `{name}` an `ask`, or finish what relies on it before"
            ),
        ),
        (Some(_) | None, true) if sight.is_hidden => (
            "nobody can see it".to_owned(),
            format!(
                "say `keeps: true` under `{name}` if nothing but a step changes it, or give it `settles`"
            ),
        ),
        (Some(_) | None, true) => (
            "it has no question".to_owned(),
            format!(
                "give the condition `{name}` an `ask`, or `keeps: true` if nothing but a step changes it"
            ),
        ),
    }
}
