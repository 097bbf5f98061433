//! W03: the verb of an act has no one meaning.

use crate::writing::lists::VAGUE_VERB;
use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W03";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let mut sentences = text.sentences.iter().filter(|_| text.role == Role::Act);
    let verb = sentences
        .find_map(|sentence| sentence.after_condition().first().filter(|word| word.is(VAGUE_VERB)))?;
    said(
        format!("begins with `{}`, which is no one act", verb.raw),
        "name what the hands do, or make it a `confirm`",
    )
}
