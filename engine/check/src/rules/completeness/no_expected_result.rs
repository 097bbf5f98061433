//! C07: acts have no expected result.

use crate::writing::{Found, Writing};
use document::model::Kind;

pub(crate) const CODE: &str = "C07";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let acts = writing
        .steps
        .iter()
        .filter(|one| matches!(one.step.kind(), Some(Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_))));
    // Each that is accepted is counted for itself; the others are told together.
    let blind: Vec<_> = acts.filter(|one| one.step.expect.is_none()).collect();
    let (accepted, told): (Vec<_>, Vec<_>) =
        blind.into_iter().partition(|one| one.step.accept.contains_key(CODE));
    let first = told.first().map(|one| (one, told.len()));
    let all = accepted.iter().map(|one| (one, 1)).chain(first);
    all.map(|(one, count)| {
        let key = one.key(one.step.main_key().unwrap_or_default());
        let message = match count {
            1 => format!("step `{}` has no expected result", one.step.id),
            _ => format!("step `{}` and {} more have no expected result", one.step.id, count - 1),
        };
        writing
            .advice(CODE, &key, message)
            .help("add `expect`: what is seen, heard or read when the step is done")
    })
    .collect()
}
