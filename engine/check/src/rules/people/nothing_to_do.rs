//! U04: a role is listed that has nothing to do.

use crate::writing::{Found, Writing};
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "U04";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    if super::speaks_of_two(writing).is_some() || writing.steps.iter().any(|one| one.step.perform.is_some()) {
        return Vec::new();
    }
    let named: BTreeSet<_> = writing.steps.iter().flat_map(super::named).map(|(_, role)| role).collect();
    let further = writing.model().performers.keys().skip(1).filter(|role| !named.contains(role));
    further
        .map(|role| {
            writing.advice(CODE, &format!("/performers/{role}"), format!("no step is for `{role}`")).help(
                "name the role at its steps with `by`, `verified_by` or `hold`, or take it off the list",
            )
        })
        .collect()
}
