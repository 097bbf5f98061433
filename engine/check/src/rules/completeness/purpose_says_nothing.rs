//! C05: the purpose says no more than the title.

use crate::writing::text::Role;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C05";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let of = |role| writing.texts.iter().find(|text| text.role == role);
    let words = |role| {
        of(role).into_iter().flat_map(|text| text.words()).map(|word| word.lower.clone()).collect::<Vec<_>>()
    };
    let purpose = words(Role::Purpose);
    if purpose.len() >= 3 && purpose != words(Role::Title) {
        return Vec::new();
    }
    vec![
        writing
            .advice(CODE, "/purpose", "the purpose says no more than the title")
            .help("say what is better afterwards"),
    ]
}
