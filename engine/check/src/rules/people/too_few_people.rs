//! U05: a text speaks of two people, and one is listed.

use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "U05";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let people: u64 = writing.model().performers.values().map(|&people| u64::from(people)).sum();
    let Some(text) = super::speaks_of_two(writing).filter(|_| people < 2) else { return Vec::new() };
    let message = format!("{} speaks of two people, but `performers` counts one", text.subject());
    vec![writing.warning(CODE, &text.at, message).help("list the second person under `performers`")]
}
