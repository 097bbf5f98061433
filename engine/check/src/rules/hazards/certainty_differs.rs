//! H03: the consequence is less or more certain than stated.

use crate::writing::text::Role;
use crate::writing::{Found, Ground};
use document::model::Certainty;

pub(crate) const CODE: &str = "H03";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let texts = ground.texts.iter().filter(|text| text.role == Role::Consequence);
    let differing = texts.filter_map(|text| {
        let certainty = super::of(ground, text)?.certainty;
        let other = |word: &str| match certainty {
            Certainty::Will => matches!(word, "can" | "could" | "may" | "might"),
            Certainty::Could => word == "will",
        };
        Some((text, text.words().find(|word| other(&word.lower))?))
    });
    differing
        .map(|(text, word)| {
            ground
                .warning(
                    CODE,
                    &text.at,
                    format!("{} says `{}`, against its `certainty`", text.subject(), word.raw),
                )
                .help("change the word, or `certainty`")
        })
        .collect()
}
