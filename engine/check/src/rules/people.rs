//! Who does it, who verifies it.

use crate::rule::{Finding, Pointer, Rule};
use crate::text::phrases::begins;
use crate::text::{Role, Text};
use crate::written::{StepAt, WrittenProcedure};
use document::model::{Kind, Name};
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!("U01", Warning, "A role is named that nobody of the performers has", Step(role_missing)),
    rule!("U02", Warning, "The person who verifies is the one who did it", Step(not_independent)),
    rule!("U03", Warning, "A hold point is released by the person who works", Step(released_by_performer)),
    rule!("U04", Advice, "A role is listed that has nothing to do", Procedure(nothing_to_do)),
    rule!("U05", Warning, "A text speaks of two people, and one is listed", Procedure(too_few_people)),
];

fn role_missing(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let missing = named(one).filter(|(_, role)| !written.procedure.performers.contains_key(*role));
    missing
        .map(|(at, role)| {
            let message = format!("`{role}` is needed here, but `performers` lists nobody of that role");
            Finding::at_key(at, message).help(format!("list `{role}` under `performers`"))
        })
        .collect()
}

fn not_independent(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let performers = &written.procedure.performers;
    let Some(verifier) = &one.step.common.verified_by else { return Vec::new() };
    let doer = one.step.common.by.as_ref().or(performers.keys().next());
    if doer != Some(verifier) || performers.get(verifier).is_none_or(|&people| people > 1) {
        return Vec::new();
    }
    let message =
        format!("step `{}` is done and verified by the only person of one role", one.step.common.id);
    vec![
        Finding::at_key(one.key("verified_by"), message)
            .help("name another role, or a second person of this one"),
    ]
}

fn released_by_performer(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let only = written.procedure.performers.first().filter(|(_, people)| **people < 2).map(|(role, _)| role);
    let Kind::Hold(hold) = &one.step.kind else { return Vec::new() };
    let role = &hold.released_by;
    if Some(role) != only {
        return Vec::new();
    }
    let message =
        format!("hold point `{}` is released by the only `{role}`, who does the work", one.step.common.id);
    vec![Finding::at_key(one.key("hold/released_by"), message).help("name another role")]
}

fn nothing_to_do(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let performs = |one: &StepAt<'_>| matches!(one.step.kind, Kind::Perform(_));
    if speaks_of_two(written).is_some() || written.steps.iter().any(performs) {
        return Vec::new();
    }
    let named: BTreeSet<_> = written.steps.iter().flat_map(named).map(|(_, role)| role).collect();
    let further = written.procedure.performers.keys().skip(1).filter(|role| !named.contains(role));
    further
        .map(|role| {
            Finding::at_key(format!("/performers/{role}"), format!("no step is for `{role}`")).help(
                "name the role at its steps with `by`, `verified_by` or `hold`, or take it off the list",
            )
        })
        .collect()
}

fn too_few_people(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let people: u64 = written.procedure.performers.values().map(|&people| u64::from(people)).sum();
    let Some(text) = speaks_of_two(written).filter(|_| people < 2) else { return Vec::new() };
    let message = format!("{} speaks of two people, but `performers` counts one", text.subject());
    vec![Finding::at_key(&text.at, message).help("list the second person under `performers`")]
}

/// The roles that a step names, each with where.
fn named<'o, 'a>(one: &'o StepAt<'a>) -> impl Iterator<Item = (String, &'a Name)> + use<'o, 'a> {
    let step = one.step;
    let released_by = if let Kind::Hold(hold) = &step.kind { Some(&hold.released_by) } else { None };
    let roles = [
        ("by", step.common.by.as_ref()),
        ("verified_by", step.common.verified_by.as_ref()),
        ("hold/released_by", released_by),
    ];
    roles.into_iter().filter_map(|(key, role)| role.map(|role| (one.key(key), role)))
}

/// The first text that speaks of more than one person at the work.
fn speaks_of_two<'w, 'a>(written: &'w WrittenProcedure<'a>) -> Option<&'w Text<'a>> {
    let phrases = ["two people", "two persons", "both people", "second person"];
    let working = |role| matches!(role, Role::Act | Role::Note | Role::Expect);
    written.texts.iter().filter(|text| working(text.role)).find(|text| {
        text.sentences.iter().any(|sentence| {
            let people = |at: &usize| matches!(&*sentence.words[*at].lower, "two" | "both" | "second");
            (0..sentence.words.len())
                .filter(people)
                .any(|at| phrases.iter().any(|phrase| begins(&sentence.words[at..], phrase)))
        })
    })
}
