//! H02: the consequence of a hazard names no harm.

use crate::writing::lists::harm;
use crate::writing::text::Role;
use crate::writing::{Found, Ground};

pub(crate) const CODE: &str = "H02";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let texts = ground.texts.iter().filter(|text| text.role == Role::Consequence);
    let mild = texts.filter(|text| !text.words().any(|word| harm(&word.lower)));
    mild.map(|text| {
        ground
            .advice(CODE, &text.at, format!("{} names no harm", text.subject()))
            .help("say what happens to whom")
    })
    .collect()
}
