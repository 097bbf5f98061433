//! H04: the consequence and the worst injury contradict each other.

use crate::writing::text::Role;
use crate::writing::{Found, Ground};
use document::model::Worst;

pub(crate) const CODE: &str = "H04";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let texts = ground.texts.iter().filter(|text| text.role == Role::Consequence);
    let differing = texts.filter(|text| {
        let deadly = ["kill", "death", "fatal", "die", "lethal"];
        let speaks =
            text.words().any(|word| deadly.iter().any(|beginning| word.lower.starts_with(beginning)));
        super::of(ground, text).is_some_and(|hazard| speaks != (hazard.worst == Worst::Death))
    });
    differing
        .map(|text| {
            ground
                .warning(
                    CODE,
                    &text.at,
                    format!("{} and its `worst` contradict each other about death", text.subject()),
                )
                .help("change the words, or `worst`")
        })
        .collect()
}
