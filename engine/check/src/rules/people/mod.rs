//! Who does it, who verifies it.

pub(super) mod not_independent;
pub(super) mod nothing_to_do;
pub(super) mod released_by_performer;
pub(super) mod role_missing;
pub(super) mod too_few_people;

use crate::writing::phrases::begins;
use crate::writing::text::{Role, Text};
use crate::writing::{StepAt, Writing};
use document::model::Name;

/// The roles that a step names, each with where.
fn named<'o, 'a>(one: &'o StepAt<'a>) -> impl Iterator<Item = (String, &'a Name)> + use<'o, 'a> {
    let step = one.step;
    let roles = [
        ("by", step.by.as_ref()),
        ("verified_by", step.verified_by.as_ref()),
        ("hold/released_by", step.hold.as_ref().map(|hold| &hold.released_by)),
    ];
    roles.into_iter().filter_map(|(key, role)| role.map(|role| (one.key(key), role)))
}

/// The first text that speaks of more than one person at the work.
fn speaks_of_two<'w, 'a>(writing: &'w Writing<'a>) -> Option<&'w Text<'a>> {
    let phrases = ["two people", "two persons", "both people", "second person"];
    let working = |role| matches!(role, Role::Act | Role::Note | Role::Expect);
    writing.texts.iter().filter(|text| working(text.role)).find(|text| {
        text.sentences.iter().any(|sentence| {
            let people = |at: &usize| matches!(&*sentence.words[*at].lower, "two" | "both" | "second");
            (0..sentence.words.len())
                .filter(people)
                .any(|at| phrases.iter().any(|phrase| begins(&sentence.words[at..], phrase)))
        })
    })
}
