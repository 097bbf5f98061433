//! H05: a hazard to things speaks of injury.

use crate::writing::text::Role;
use crate::writing::{Found, Ground};
use document::model::Worst;

pub(crate) const CODE: &str = "H05";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let texts = ground.texts.iter().filter(|text| text.role == Role::Consequence);
    let injuring = texts.filter(|text| {
        let body = [
            "injur", "skin", "eye", "hand", "finger", "person", "people", "foot", "feet", "hurt", "blind",
            "burn",
        ];
        let speaks = text.words().any(|word| body.iter().any(|beginning| word.lower.starts_with(beginning)));
        speaks && super::of(ground, text).is_some_and(|hazard| hazard.worst == Worst::Damage)
    });
    injuring
        .map(|text| {
            ground
                .warning(
                    CODE,
                    &text.at,
                    format!("{} speaks of people, but `worst` is damage", text.subject()),
                )
                .help("state the worst injury under `worst`")
        })
        .collect()
}
