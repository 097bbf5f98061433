//! W36: "And" and "or" are mixed in one question.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W36";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let mixed = |words: &[crate::writing::text::Word<'_>]| {
        let holds = |wanted: &str| words.iter().any(|word| word.lower == wanted);
        holds("and") && holds("or")
    };
    let found = match text.role {
        Role::Ask => text.sentences.iter().any(|sentence| mixed(&sentence.words)),
        Role::Act => text.sentences.iter().any(|sentence| {
            let condition = sentence.words.len() - sentence.after_condition().len();
            mixed(&sentence.words[..condition])
        }),
        _ => false,
    };
    found.then_some(())?;
    said("mixes `and` with `or`", "make a step of each question")
}
