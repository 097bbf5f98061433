//! C11: a question has a yes and no no.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C11";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let lacking = writing.steps.iter().filter_map(|one| {
        let answers = one.step.answers.as_ref()?;
        let has = |word: &str| answers.keys().any(|answer| answer.eq_ignore_ascii_case(word));
        match (has("yes"), has("no")) {
            (true, false) => Some((one, "no")),
            (false, true) => Some((one, "yes")),
            _ => None,
        }
    });
    lacking
        .map(|(one, word)| {
            let message = format!("the question of step `{}` has no answer `{word}`", one.step.id);
            writing.warning(CODE, &one.key("answers"), message).help(format!("say where `{word}` leads"))
        })
        .collect()
}
