//! C06: the scope has no bounds.

use crate::writing::text::Role;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C06";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let bounds = ["not", "only", "alone", "without", "except", "no", "neither", "excludes", "other"];
    let mut texts = writing.texts.iter().filter(|text| text.role == Role::Scope);
    let Some(text) = texts.find(|text| !text.words().any(|word| bounds.contains(&&*word.lower))) else {
        return Vec::new();
    };
    vec![
        writing
            .advice(CODE, &text.at, "the scope does not say what is left out")
            .help("add a sentence: \"Does not cover …\""),
    ]
}
