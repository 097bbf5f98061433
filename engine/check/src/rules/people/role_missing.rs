//! U01: a role is named that nobody of the performers has.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "U01";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let performers = &writing.model().performers;
    let named = writing.steps.iter().flat_map(super::named);
    let missing = named.filter(|(_, role)| !performers.contains_key(*role));
    missing
        .map(|(at, role)| {
            writing
                .warning(
                    CODE,
                    &at,
                    format!("`{role}` is needed here, but `performers` lists nobody of that role"),
                )
                .help(format!("list `{role}` under `performers`"))
        })
        .collect()
}
