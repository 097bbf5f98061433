//! U02: the person who verifies is the one who did it.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "U02";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let performers = &writing.model().performers;
    let alone = |one: &&crate::writing::StepAt<'_>| {
        let Some(verifier) = &one.step.verified_by else { return false };
        let doer = one.step.by.as_ref().or(performers.keys().next());
        doer == Some(verifier) && performers.get(verifier).is_some_and(|&people| people < 2)
    };
    let steps = writing.steps.iter().filter(alone);
    steps
        .map(|one| {
            let message =
                format!("step `{}` is done and verified by the only person of one role", one.step.id);
            writing
                .warning(CODE, &one.key("verified_by"), message)
                .help("name another role, or a second person of this one")
        })
        .collect()
}
