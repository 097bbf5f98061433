//! U03: a hold point is released by the person who works.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "U03";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let first = writing.model().performers.first().filter(|(_, people)| **people < 2).map(|(role, _)| role);
    let holds = writing.steps.iter().filter_map(|one| Some((one, &one.step.hold.as_ref()?.released_by)));
    let own = holds.filter(|(_, role)| Some(*role) == first);
    own.map(|(one, role)| {
        let message =
            format!("hold point `{}` is released by the only `{role}`, who does the work", one.step.id);
        writing.warning(CODE, &one.key("hold/released_by"), message).help("name another role")
    })
    .collect()
}
