//! C09: the title names no task.

use crate::writing::lists::{ACTOR, DETERMINER};
use crate::writing::text::Role;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C09";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let mut titles = writing.texts.iter().filter(|text| text.role == Role::Title);
    let first = titles.next().and_then(|text| text.sentences.first()?.words.first());
    let Some(first) = first
        .filter(|word| word.is(DETERMINER | ACTOR) || word.lower.len() > 5 && word.lower.ends_with("ing"))
    else {
        return Vec::new();
    };
    let message = format!("the title begins with `{}`, not with what is done", first.raw);
    vec![writing.advice(CODE, "/title", message).help("begin with the verb: \"Clean the tank strainer\"")]
}
