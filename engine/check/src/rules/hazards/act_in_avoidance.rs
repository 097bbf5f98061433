//! H01: the avoidance of a hazard holds an act.

use crate::writing::lists::{CONDITION, STANDING, VERB};
use crate::writing::text::Role;
use crate::writing::{Found, Ground};
use document::model::WritingScheme;

pub(crate) const CODE: &str = "H01";

pub(crate) fn findings(ground: &Ground<'_>) -> Vec<Found> {
    let plain = ground.equipment.model.writing == WritingScheme::Doe;
    let texts = ground.texts.iter().filter(|text| text.role == Role::Avoid);
    let acts = texts.filter_map(|text| {
        let begins = |sentence: &crate::writing::text::Sentence<'_>| {
            let first = sentence.words.first().filter(|word| plain && word.is(CONDITION));
            let act = sentence.after_condition().first().filter(|word| word.is(VERB) && !word.is(STANDING));
            first.or(act).map(|word| word.raw.to_owned())
        };
        Some((text, text.sentences.iter().find_map(begins)?))
    });
    acts.map(|(text, word)| {
        ground
            .advice(CODE, &text.at, format!("{} begins with `{word}`: no standing directive", text.subject()))
            .help("make a step or a precondition of the act; say here what to keep doing")
    })
    .collect()
}
